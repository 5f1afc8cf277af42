//! The foot of a panel: check ruler, the panel's name, its neighbours.

use kurbo::Point;

use super::grid::{Grid, Panel, name};
use super::paper::Split;
use crate::plan::Voice;
use crate::sheet::Sheet;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::fitting;
use crate::sheet::ruler::{self, Length};
use crate::spelling::Spelling;
use crate::units::MM_PER_INCH;

/// Sizes of the panel's name and of the lines beside it, mm.
const NAME: f64 = 8.5;
const LINE: f64 = 2.5;
const RULER: f64 = 2.1;
/// Height of the ruler's ticks, mm.
const TICK: f64 = 3.0;

/// Which page of what is split_up.
pub struct About<'a> {
    pub sheet: &'a Sheet,
    /// Index of the page.
    pub number: usize,
    pub split: &'a Split,
    pub grid: &'a Grid,
    pub spelling: &'a Spelling,
}

impl About<'_> {
    /// The sheet's title, with the page where there are several.
    pub fn title(&self) -> String {
        let (title, pages) = (&self.sheet.about.title, self.sheet.pages.len());
        match pages {
            1 => title.clone(),
            _ => {
                let (page, pages) = ((self.number + 1).to_string(), pages.to_string());
                self.say("panels_page", &[("title", title), ("page", &page), ("pages", &pages)])
            }
        }
    }

    /// A fixed text, its places filled in.
    pub fn say(&self, key: &str, fill: &[(&str, &str)]) -> String {
        self.spelling.phrase(key, fill)
    }
}

/// Draws the foot; without a panel that of the overview.
pub fn draw(canvas: &mut Canvas<'_>, about: &About<'_>, panel: Option<&Panel>) {
    let grid = about.grid;
    let (top, height) = grid.foot();
    let (left, right) = (grid.margin(), grid.page().0 - grid.margin());
    canvas.from(Some("ruler"));
    let voices = &canvas.look.voices;
    let (ruler_voice, strong) = (voices.ruler.sized(RULER), voices.name.sized(NAME));
    let (first, quiet) = (voices.name.sized(LINE), voices.imprint_more.sized(LINE));
    let line = top + height * 0.52;
    ruler::draw(canvas, ruler_voice, Point::new(left, line), TICK, Length::Whole);
    canvas.from(Some("panel"));
    let mut x = left + 4.0 * MM_PER_INCH + 6.0;
    let word = panel.map_or_else(String::new, Panel::name);
    let taken = canvas.text(Point::new(x, line + strong.cap / 2.0), &word, strong, Anchor::Left);
    x += taken + if taken > 0.0 { 4.0 } else { 0.0 };
    let lines = [
        (about.title(), first),
        (place(about, panel), quiet),
        (panel.map_or_else(|| about.say("panels_measure", &[]), |t| beside(about, t)), quiet),
    ];
    for (i, (text, voice)) in lines.iter().enumerate() {
        let y = line + voice.cap / 2.0 + (i as f64 - 1.0) * LINE * 1.45;
        fitted(canvas, (x, y), text, *voice, right - x);
    }
    canvas.from(None);
}

fn place(about: &About<'_>, panel: Option<&Panel>) -> String {
    let (rows, columns) = about.grid.size();
    let (rows, columns) = (rows.to_string(), columns.to_string());
    let mut fill = vec![
        ("rows", rows.as_str()),
        ("columns", columns.as_str()),
        ("paper", about.split.desk().name()),
    ];
    let Some(panel) = panel else { return about.say("panels_overview", &fill) };
    let (row, column) = ((panel.row + 1).to_string(), (panel.column + 1).to_string());
    fill.extend([("row", row.as_str()), ("column", column.as_str())]);
    about.say("panels_place", &fill)
}

/// 'left B2, right B4, above A3, below C3'.
fn beside(about: &About<'_>, panel: &Panel) -> String {
    let (rows, columns) = about.grid.size();
    let (row, column) = (panel.row, panel.column);
    let mut out = Vec::new();
    let mut add =
        |key: &str, row, column| out.push(about.say(key, &[("panel", &name(row, column))]));
    if column > 0 {
        add("panels_left", row, column - 1);
    }
    if column + 1 < columns {
        add("panels_right", row, column + 1);
    }
    if row > 0 {
        add("panels_above", row - 1, column);
    }
    if row + 1 < rows {
        add("panels_below", row + 1, column);
    }
    out.join(", ")
}

/// A line that shrinks, then ends early, rather than leave the paper.
pub fn fitted(canvas: &mut Canvas<'_>, at: (f64, f64), text: &str, voice: Voice, room: f64) {
    let (voice, shown) = fitting(canvas.look, voice, text, room, 0.75);
    canvas.text(Point::from(at), &shown, voice, Anchor::Left);
}
