//! The trial sheet: printed crosses with scales, and small squares to be cut round them.
//!
//! Where an edge of the square crosses a scale, the scale shows how far the cut
//! fell to the right or down. Edges cross the scales squarely, so that an error
//! across does not change what is read along.

use kurbo::{Circle, Point, Rect, Shape as _, Vec2};

use super::offset::Mark;
use super::{Contour, Cut, CutSheet};
use crate::diag::Diagnostic;
use crate::plan::Look;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::{About, Rgb, Role, Sheet, Workshop};
use crate::spelling::Spelling;
use crate::table::{Align, Table};

/// Half the side of a square, mm: the zero of each scale is so far from the mark.
const HALF: f64 = 5.0;
/// A scale shows so many mm to both sides of its zero.
const REACH: i32 = 3;
/// All that is drawn of a mark lies within this of it, mm.
pub const ROOM: f64 = 10.5;
/// Lines of the print, mm.
const FINE: f64 = 0.1;
/// Lengths of the ticks at whole and half mm, to both sides of an arm, mm.
const TICK: f64 = 0.9;
const HALF_TICK: f64 = 0.5;
/// Size of the numbers at the scales and at the marks, mm.
const SMALL: f64 = 1.5;
const LARGE: f64 = 3.2;

/// What a trial sheet is made from, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    pub width: f64,
    pub height: f64,
    /// White at the top, right, bottom and left: nothing is cut there.
    pub margins: [f64; 4],
    /// Marks in a row, and rows, at most.
    pub columns: usize,
    pub rows: usize,
    /// How the squares are cut.
    pub cut: Cut,
    /// Centres of the registration marks, as on the sheets of labels.
    pub registration: Vec<Point>,
    pub registration_radius: f64,
}

impl Trial {
    /// Nine marks, kiss cut, without registration marks.
    pub fn new(width: f64, height: f64, margins: [f64; 4]) -> Trial {
        Trial {
            width,
            height,
            margins,
            columns: 3,
            rows: 3,
            cut: Cut::Kiss,
            registration: Vec::new(),
            registration_radius: 0.0,
        }
    }

    /// The marks row by row, as far apart as the margins allow; fewer on a sheet
    /// that is small, and none on registration marks.
    pub fn marks(&self) -> Vec<Mark> {
        let [top, right, bottom, left] = self.margins;
        let xs = places(left, self.width - right, self.columns);
        let ys = places(top, self.height - bottom, self.rows);
        let all = ys.iter().flat_map(|y| xs.iter().map(|x| Point::new(*x, *y)));
        let clear = |p: &Point| {
            let free = ROOM + self.registration_radius;
            self.registration.iter().all(|r| (r.x - p.x).abs().max((r.y - p.y).abs()) > free)
        };
        all.filter(clear).enumerate().map(|(i, at)| Mark { number: i + 1, at }).collect()
    }

    /// The file in which the maker writes what was measured: dx and dy are empty.
    pub fn form(&self) -> Table {
        let heads = ["mark", "x", "y", "dx", "dy"];
        let mut table = Table::new(&heads.map(|h| (h, Align::Right)));
        for mark in self.marks() {
            let at = [mark.at.x, mark.at.y].map(|v| format!("{v:.3}"));
            table.row(std::iter::once(mark.number.to_string()).chain(at));
        }
        table
    }
}

/// So many places between two ends, each with its room; fewer if there is none for all.
fn places(from: f64, to: f64, wanted: usize) -> Vec<f64> {
    let free = to - from - 2.0 * ROOM;
    if wanted == 0 || free < -1e-9 {
        return Vec::new();
    }
    let count = wanted.min(1 + (free.max(0.0) / (2.0 * ROOM)).floor() as usize);
    match count {
        1 => vec![(from + to) / 2.0],
        n => {
            let step = free / (n - 1) as f64;
            (0..n).map(|i| from + ROOM + step * i as f64).collect()
        }
    }
}

/// The sheet to print and the sheet to cut.
///
/// # Errors
/// The sheet has no room for a single mark.
pub fn trial(
    trial: &Trial,
    look: &Look,
    spelling: &Spelling,
) -> Result<(Sheet, CutSheet), Diagnostic> {
    let marks = trial.marks();
    if marks.is_empty() {
        let [top, right, bottom, left] = trial.margins;
        let (w, h) = (trial.width - left - right, trial.height - top - bottom);
        let side = 2.0 * ROOM;
        return Err(Diagnostic::error(
            "no-room-for-marks",
            format!("the {w:.1} x {h:.1} mm between the margins have no room for a mark of {side} x {side} mm"),
        )
        .help("use smaller margins in the label sheet for the trial, or a larger sheet"));
    }
    Ok((print(trial, &marks, look, spelling), cuts(trial, &marks)))
}

fn cuts(trial: &Trial, marks: &[Mark]) -> CutSheet {
    let square = |mark: &Mark| Contour {
        label: Some(mark.number - 1),
        cut: trial.cut,
        path: Rect::from_center_size(mark.at, (2.0 * HALF, 2.0 * HALF)).to_path(1e-3),
    };
    CutSheet {
        width: trial.width,
        height: trial.height,
        contours: marks.iter().map(square).collect(),
        marks: trial.registration.clone(),
        mark_radius: trial.registration_radius,
    }
}

fn print(trial: &Trial, marks: &[Mark], look: &Look, spelling: &Spelling) -> Sheet {
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(look, &workshop);
    let black = Rgb(0, 0, 0);
    for at in &trial.registration {
        let dot = Circle::new(*at, trial.registration_radius).to_path(1e-4);
        canvas.fill(Role::Cut, dot, black);
    }
    for mark in marks {
        canvas.from(Some(&format!("mark {}", mark.number)));
        cross(&mut canvas, mark);
    }
    canvas.from(None);
    let title = spelling.phrase("trial_title", &[]);
    let about = About {
        title,
        author: String::new(),
        language: spelling.tag().to_owned(),
        issue_date: None,
        year: None,
    };
    canvas.finish(trial.width, trial.height, 0.0, about)
}

/// A cross with a scale on each arm, its number between two arms.
fn cross(canvas: &mut Canvas<'_>, mark: &Mark) {
    let (black, at) = (Rgb(0, 0, 0), mark.at);
    let arm = HALF + f64::from(REACH);
    canvas.rule(Point::new(at.x - arm, at.y), 2.0 * arm, FINE, black);
    canvas.upright(Point::new(at.x, at.y - arm), 2.0 * arm, FINE, black);
    for side in [-1.0, 1.0] {
        for halves in -2 * REACH..=2 * REACH {
            let along = side * HALF + f64::from(halves) / 2.0;
            let tick = match halves {
                0 => 2.0 * TICK,
                h if h % 2 == 0 => TICK,
                _ => HALF_TICK,
            };
            canvas.upright(Point::new(at.x + along, at.y - tick), 2.0 * tick, FINE, black);
            canvas.rule(Point::new(at.x - tick, at.y + along), 2.0 * tick, FINE, black);
        }
        numbers(canvas, at, side);
    }
    let voice = canvas.look.voices.number.inked(black).sized(LARGE);
    let off = Vec2::new(-HALF / 2.0 - 0.6, -HALF / 2.0 - 0.6 + voice.cap / 2.0);
    canvas.text(
        Point::new(at.x + off.x, at.y + off.y),
        &mark.number.to_string(),
        voice,
        Anchor::Middle,
    );
}

/// What the ends of the scales on two arms stand for.
fn numbers(canvas: &mut Canvas<'_>, at: Point, side: f64) {
    let voice = canvas.look.voices.number.inked(Rgb(0, 0, 0)).sized(SMALL);
    for (value, text) in [(-2.0, "\u{2212}2"), (2.0, "+2")] {
        let along = side * HALF + value;
        // Under the level scales, right of the vertical ones.
        canvas.text(
            Point::new(at.x + along, at.y + TICK + 0.3 + voice.cap),
            text,
            voice,
            Anchor::Middle,
        );
        canvas.text(
            Point::new(at.x + TICK + 0.3, at.y + along + voice.cap / 2.0),
            text,
            voice,
            Anchor::Left,
        );
    }
}
