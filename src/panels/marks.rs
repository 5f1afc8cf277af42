//! Cut marks, half circles and neighbours' names in the rim of a panel.
//!
//! A mark is placed by the seams alone, in sheet coordinates, so it is at
//! the same place on every panel that shows it:
//!
//! * a tick goes on from each end of a seam or an edge, away from what counts;
//! * a circle lies across every seam between two panels of a row, below
//!   them: cut apart, its halves meet again when the panels lie right;
//! * a circle lies across every seam between two rows, at both ends.

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::grid::{Grid, Panel, name};
use crate::plan::Voice;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::{Rgb, Role};
use crate::spelling::Spelling;
use crate::units::pt_to_mm;

/// From what counts to the near end of a tick, mm: no ink stays on the sheet.
const GAP: f64 = 0.5;
/// Width of a tick, and of the white under it, mm.
const TICK: f64 = 0.15;
const HALO: f64 = 0.7;
/// A circle's radius and the width of its line, mm.
const RADIUS: f64 = 1.5;
const LINE: f64 = 0.2;
/// Size of neighbours' names, mm.
const NAME: f64 = 2.3;

/// Draws the marks of a panel.
pub fn draw(canvas: &mut Canvas<'_>, grid: &Grid, panel: &Panel, spelling: &Spelling) {
    canvas.from(Some("marks"));
    for circle in circles(grid, panel) {
        ring(canvas, circle, panel);
    }
    for tick in ticks(grid, panel) {
        let tick = tick + panel.shift;
        let ink = canvas.look.rule_ink;
        let wider = (HALO - TICK) / 2.0;
        let halo = match tick.width() < tick.height() {
            true => tick.inflate(wider, 0.0),
            false => tick.inflate(0.0, wider),
        };
        canvas.rect(Role::Furniture, halo, Rgb::WHITE);
        canvas.rect(Role::Cut, tick, ink);
    }
    names(canvas, grid, panel, spelling);
    canvas.from(None);
}

/// The ticks at the four corners of what counts, sheet coordinates.
pub fn ticks(grid: &Grid, panel: &Panel) -> Vec<Rect> {
    let (c, half) = (panel.counts, TICK / 2.0);
    let (near, far) = (GAP, grid.rim());
    let mut out = Vec::with_capacity(8);
    for x in [c.x0, c.x1] {
        out.push(Rect::new(x - half, c.y0 - far, x + half, c.y0 - near));
        out.push(Rect::new(x - half, c.y1 + near, x + half, c.y1 + far));
    }
    for y in [c.y0, c.y1] {
        out.push(Rect::new(c.x0 - far, y - half, c.x0 - near, y + half));
        out.push(Rect::new(c.x1 + near, y - half, c.x1 + far, y + half));
    }
    out
}

/// The circles that a panel shares with its neighbours, sheet coordinates.
pub fn circles(grid: &Grid, panel: &Panel) -> Vec<Circle> {
    let (rows, columns) = grid.size();
    let (c, out) = (panel.counts, grid.rim() / 2.0 + GAP / 2.0);
    let mut circles = Vec::new();
    let mut put = |x: f64, y: f64| circles.push(Circle::new((x, y), RADIUS));
    if panel.column > 0 {
        put(c.x0, c.y1 + out);
    }
    if panel.column + 1 < columns {
        put(c.x1, c.y1 + out);
    }
    // Rows are joined when they are whole: only their ends are still bare.
    let ends = [(0, c.x0 - out), (columns - 1, c.x1 + out)];
    for (_, x) in ends.into_iter().filter(|(column, _)| *column == panel.column) {
        if panel.row > 0 {
            put(x, c.y0);
        }
        if panel.row + 1 < rows {
            put(x, c.y1);
        }
    }
    circles
}

fn ring(canvas: &mut Canvas<'_>, circle: Circle, panel: &Panel) {
    let ink = canvas.look.rule_ink;
    let at = circle.center + panel.shift;
    canvas.dot(at, circle.radius + LINE * 1.5, Rgb::WHITE);
    canvas.fill(Role::Cut, annulus(Circle::new(at, circle.radius)), ink);
}

fn annulus(circle: Circle) -> BezPath {
    let (centre, half) = (circle.center, LINE / 2.0);
    let mut path = Circle::new(centre, circle.radius + half).to_path(1e-3);
    // The hole runs the other way round.
    let hole = Circle::new(centre, circle.radius - half).to_path(1e-3);
    path.extend(hole.reverse_subpaths());
    path
}

/// At the middle of each edge: what to do with it.
fn names(canvas: &mut Canvas<'_>, grid: &Grid, panel: &Panel, spelling: &Spelling) {
    let (rows, columns) = grid.size();
    let voice = canvas.look.voices.ruler.sized(NAME.max(pt_to_mm(5.0)));
    let c = panel.counts + panel.shift;
    let (row, column) = (panel.row, panel.column);
    let (middle, centre) = (c.center().y, c.center().x);
    let out = grid.rim() / 2.0 + GAP / 2.0;
    let drop = voice.cap / 2.0;
    let cut = |row, column| spelling.phrase("panels_cut_here", &[("panel", &name(row, column))]);
    let goes = |row, column| spelling.phrase("panels_goes_here", &[("panel", &name(row, column))]);
    if column > 0 {
        up(canvas, (c.x0 - out, middle), &cut(row, column - 1), voice);
    }
    if column + 1 < columns {
        up(canvas, (c.x1 + out, middle), &goes(row, column + 1), voice);
    }
    if row > 0 {
        level(canvas, (centre, c.y0 - out + drop), &cut(row - 1, column), voice);
    }
    if row + 1 < rows {
        level(canvas, (centre, c.y1 + out + drop), &goes(row + 1, column), voice);
    }
}

fn level(canvas: &mut Canvas<'_>, at: (f64, f64), text: &str, voice: Voice) {
    let half = canvas.look.width(voice, text) / 2.0 + 1.0;
    let (x, y) = at;
    let ground = Rect::new(x - half, y - voice.cap - 0.7, x + half, y + 0.9);
    canvas.rect(Role::Furniture, ground, Rgb::WHITE);
    canvas.text(Point::new(x, y), text, voice, Anchor::Middle);
}

fn up(canvas: &mut Canvas<'_>, at: (f64, f64), text: &str, voice: Voice) {
    let half = canvas.look.width(voice, text) / 2.0;
    let (x, y) = (at.0 + voice.cap / 2.0, at.1 + half);
    let ground = Rect::new(x - voice.cap - 0.7, at.1 - half - 1.0, x + 0.9, at.1 + half + 1.0);
    canvas.rect(Role::Furniture, ground, Rgb::WHITE);
    canvas.text_up(Point::new(x, y), text, voice);
}
