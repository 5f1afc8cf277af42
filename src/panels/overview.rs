//! The first sheet of paper: the whole, small, with the panels' names, and how to put them together.

use kurbo::{Affine, Point, Rect, RoundedRect, Shape as _};

use super::cut::frame;
use super::foot::{self, About, fitted};
use super::grid::Grid;
use crate::plan::Voice;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::wrap;
use crate::sheet::{Item, ItemKind, Page, Rgb, Role, Sheet};

/// From the top margin to the picture, mm: the title.
const HEAD: f64 = 17.0;
/// Under the picture, mm: what to do.
const STEPS: f64 = 40.0;
const GAP: f64 = 4.0;
/// Size of what to do, mm, and its line pitch.
const TEXT: f64 = 2.9;
const LEAD: f64 = 4.1;
/// Text that comes out smaller than this is left out: nothing of it shows.
const SPECK: f64 = 0.1;

/// Where the small whole is, and its scale.
fn picture(sheet: &Sheet, grid: &Grid) -> (Rect, f64) {
    let (width, _) = grid.page();
    let margin = grid.margin();
    let (top, bottom) = (margin + HEAD, grid.foot().0 - STEPS - GAP);
    let room = (width - 2.0 * margin, (bottom - top).max(10.0));
    let scale = (room.0 / sheet.width).min(room.1 / sheet.height).min(1.0);
    let size = (sheet.width * scale, sheet.height * scale);
    let x = (width - size.0) / 2.0;
    (Rect::new(x, top, x + size.0, top + size.1), scale)
}

/// The whole page, small.
pub fn below(sheet: &Sheet, number: usize, grid: &Grid) -> Page {
    let (at, scale) = picture(sheet, grid);
    let to = Affine::translate(at.origin().to_vec2()) * Affine::scale(scale);
    let items = sheet.pages.get(number).map_or(&[][..], |page| &page.items);
    let mut items: Vec<Item> = items.iter().filter_map(|i| small(i.clone(), to, scale)).collect();
    items.push(frame(grid, at));
    Page { items }
}

fn small(mut item: Item, to: Affine, scale: f64) -> Option<Item> {
    match &mut item.kind {
        ItemKind::Area(area) => area.path.apply_affine(to),
        ItemKind::Use(used) => {
            let at = to * kurbo::Point::new(used.x, used.y);
            (used.x, used.y, used.scale) = (at.x, at.y, used.scale * scale);
        }
        ItemKind::Image(used) => {
            let at = to * kurbo::Point::new(used.x, used.y);
            (used.x, used.y, used.scale) = (at.x, at.y, used.scale * scale);
        }
        ItemKind::Text(text) => {
            if text.size * scale < SPECK {
                return None;
            }
            let at = to * kurbo::Point::new(text.x, text.y);
            (text.x, text.y) = (at.x, at.y);
            (text.size, text.advance) = (text.size * scale, text.advance * scale);
            text.glyphs.iter_mut().for_each(|g| g.x *= scale);
        }
    }
    item.bounds = to.transform_rect_bbox(item.bounds);
    Some(item)
}

/// Title, seams, names, and what to do.
pub fn draw(canvas: &mut Canvas<'_>, about: &About<'_>) {
    canvas.from(Some("overview"));
    let grid = about.grid;
    let (at, scale) = picture(about.sheet, grid);
    title(canvas, about);
    let (ink, fine) = (canvas.look.rule_ink, canvas.look.fine);
    canvas.frame(Role::Furniture, at.inflate(fine, fine), fine, ink);
    let inner = |lines: &[f64]| lines[1..lines.len() - 1].to_vec();
    for x in inner(grid.columns()) {
        seam(canvas, Rect::new(at.x0 + x * scale, at.y0, at.x0 + x * scale, at.y1));
    }
    for y in inner(grid.rows()) {
        seam(canvas, Rect::new(at.x0, at.y0 + y * scale, at.x1, at.y0 + y * scale));
    }
    for panel in grid.panels() {
        let middle = panel.counts.center().to_vec2() * scale + at.origin().to_vec2();
        let size = panel.counts.width().min(panel.counts.height()) * scale;
        badge(canvas, (middle.x, middle.y), &panel.name(), size);
    }
    steps(canvas, about, at.y1 + GAP + 2.0);
    foot::draw(canvas, about, None);
    canvas.from(None);
}

fn title(canvas: &mut Canvas<'_>, about: &About<'_>) {
    let (grid, sheet) = (about.grid, about.sheet);
    let (x, y) = (grid.margin(), grid.margin());
    let room = grid.page().0 - 2.0 * x;
    let voices = &canvas.look.voices;
    let (title, quiet) = (voices.title.sized(6.4), voices.imprint_more.sized(3.0));
    fitted(canvas, (x, y + 6.0), &about.title(), title, room);
    let (rows, columns) = grid.size();
    let way = if grid.landscape() { "panels_across" } else { "panels_upright" };
    let fill = [
        ("size", format!("{:.0} × {:.0} mm", sheet.width, sheet.height)),
        ("rows", rows.to_string()),
        ("columns", columns.to_string()),
        ("paper", about.split.desk().name().to_owned()),
        ("overlap", about.split.overlap().to_string()),
    ];
    let line = about.say(way, &fill.each_ref().map(|(k, v)| (*k, v.as_str())));
    fitted(canvas, (x, y + 11.6), &line, quiet, room);
}

/// A line on a white one, so that it shows on any ground.
fn seam(canvas: &mut Canvas<'_>, line: Rect) {
    let ink = canvas.look.rule_ink;
    let wide = |by: f64| match line.width() > line.height() {
        true => line.inflate(0.0, by),
        false => line.inflate(by, 0.0),
    };
    canvas.rect(Role::Furniture, wide(0.3), Rgb::WHITE);
    canvas.rect(Role::Cut, wide(0.1), ink);
}

/// A panel's name on a white plate.
fn badge(canvas: &mut Canvas<'_>, at: (f64, f64), name: &str, room: f64) {
    let look = canvas.look;
    let voice = look.voices.name.sized((room * 0.2).clamp(2.2, 5.0));
    let half =
        (look.width(voice, name) / 2.0 + voice.size * 0.35, voice.cap / 2.0 + voice.size * 0.3);
    let plate = Rect::new(at.0 - half.0, at.1 - half.1, at.0 + half.0, at.1 + half.1);
    let rounded = |rect: Rect| RoundedRect::from_rect(rect, half.1 * 0.5).to_path(1e-3);
    let ink = look.rule_ink;
    canvas.fill(Role::Furniture, rounded(plate.inflate(0.15, 0.15)), ink);
    canvas.fill(Role::Furniture, rounded(plate), Rgb::WHITE);
    canvas.text(Point::new(at.0, at.1 + voice.cap / 2.0), name, voice, Anchor::Middle);
}

/// How to put the panels together.
fn steps(canvas: &mut Canvas<'_>, about: &About<'_>, top: f64) {
    let (rows, columns) = about.grid.size();
    let all = [
        ("panels_step_print", true),
        ("panels_step_row", columns > 1),
        ("panels_step_rows", rows > 1),
        ("panels_step_round", true),
        ("panels_step_blades", true),
    ];
    let all: Vec<String> =
        all.iter().filter(|(_, needed)| *needed).map(|(key, _)| about.say(key, &[])).collect();
    let look = canvas.look;
    let voice: Voice = look.voices.body.sized(TEXT);
    let number: Voice = look.voices.number.sized(TEXT);
    let (x, room) = (about.grid.margin(), about.grid.page().0 - 2.0 * about.grid.margin() - 5.0);
    let mut y = top + TEXT;
    for (i, text) in all.iter().enumerate() {
        canvas.text(Point::new(x, y), &(i + 1).to_string(), number, Anchor::Left);
        for line in wrap(look, voice, text, room) {
            canvas.text(Point::new(x + 5.0, y), &line, voice, Anchor::Left);
            y += LEAD;
        }
    }
}
