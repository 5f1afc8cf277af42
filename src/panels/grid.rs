//! Where the seams are.

use kurbo::{Rect, Vec2};

use super::paper::Split;
use super::seams::{Axis, Cuts};
use crate::diag::Diagnostic;
use crate::sheet::Sheet;
use crate::units::MM_PER_INCH;

/// Marks have at least so much room around what counts, mm.
const LEAST_RIM: f64 = 4.0;
/// Height of the foot with ruler and label, mm.
pub const FOOT: f64 = 14.0;
/// Room for the label beside the ruler, mm.
const LABEL: f64 = 26.0;
/// What counts of a panel is at least so wide and high, mm.
const LEAST: f64 = 30.0;
/// The most panels: more are not practical to glue.
pub const MOST_PANELS: usize = 400;

/// The seams of a page, and the paper's page that carries a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// The paper, turned as it is printed, mm.
    page: (f64, f64),
    margin: f64,
    /// The most of a page that a panel can carry, mm.
    room: (f64, f64),
    /// From a seam to the edge of what a panel shows.
    share: f64,
    /// From a seam to the end of its marks.
    rim: f64,
    /// Vertical lines from the left edge to the right one, horizontal ones
    /// from the top down: seams and the page's own edges, sheet coordinates.
    columns: Vec<f64>,
    rows: Vec<f64>,
}

/// One panel: its place, and what it shows of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    pub row: usize,
    pub column: usize,
    /// What is left of it when all is glued, sheet coordinates.
    pub counts: Rect,
    /// What it shows: half the overlap more at every seam.
    pub window: Rect,
    /// From the sheet to the paper.
    pub shift: Vec2,
}

impl Panel {
    /// 'B3': rows go by letters, columns by numbers.
    pub fn name(&self) -> String {
        name(self.row, self.column)
    }
}

/// The name of the panel at a place.
pub fn name(row: usize, column: usize) -> String {
    format!("{}{}", letters(row), column + 1)
}

/// A to Z, then AA, AB and so on.
pub fn letters(mut row: usize) -> String {
    let mut out = Vec::new();
    loop {
        out.push(b'A' + (row % 26) as u8);
        if row < 26 {
            break;
        }
        row = row / 26 - 1;
    }
    out.iter().rev().map(|b| char::from(*b)).collect()
}

impl Grid {
    /// Cuts `pages` pages of this size, portrait or landscape, whichever needs
    /// fewer panels.
    ///
    /// # Errors
    /// The paper has no room, or there would be too many panels.
    pub fn new(width: f64, height: f64, pages: usize, split: &Split) -> Result<Grid, Diagnostic> {
        let (short, long) = split.desk().size();
        let ways = [(short, long), (long, short)].map(|page| Grid::on(page, width, height, split));
        let best = ways.into_iter().flatten().min_by_key(Grid::count);
        let Some(grid) = best else {
            let message = format!(
                "{} has no room for a panel between margins of {} mm",
                split.desk().name(),
                split.margin()
            );
            return Err(Diagnostic::error("paper-too-small", message)
                .help("use a larger paper, for example A4, or smaller --margin and --overlap"));
        };
        let panels = grid.count().saturating_mul(pages);
        if panels > MOST_PANELS {
            let message = format!(
                "{width:.0} x {height:.0} mm would need {panels} panels of {}; at most {MOST_PANELS} are made",
                split.desk().name()
            );
            return Err(Diagnostic::error("too-many-panels", message)
                .help("use a larger paper, for example A3, or have it printed in one piece"));
        }
        Ok(grid)
    }

    fn on(page: (f64, f64), width: f64, height: f64, split: &Split) -> Option<Grid> {
        let share = split.overlap() / 2.0;
        let rim = share.max(LEAST_RIM);
        let margin = split.margin();
        let across = page.0 - 2.0 * (margin + rim);
        let down = page.1 - 2.0 * (margin + rim) - FOOT;
        let foot = page.0 - 2.0 * margin;
        if across < LEAST || down < LEAST || foot < 4.0 * MM_PER_INCH + LABEL {
            return None;
        }
        let (columns, rows) = (lines(width, across), lines(height, down));
        Some(Grid { page, margin, room: (across, down), share, rim, columns, rows })
    }

    /// As many panels with their seams where they cut least of a sheet of this size: through
    /// gutters and margins where they can.
    #[must_use]
    pub fn clear_of(&self, sheet: &Sheet) -> Grid {
        let (rows, columns) = self.size();
        let moved = |axis, steps: usize, most, even: &[f64]| match steps {
            1 => even.to_vec(),
            _ => Cuts::of(sheet, axis).lines(steps, most).unwrap_or_else(|| even.to_vec()),
        };
        Grid {
            columns: moved(Axis::Across, columns, self.room.0, &self.columns),
            rows: moved(Axis::Down, rows, self.room.1, &self.rows),
            ..self.clone()
        }
    }

    /// The paper as it is printed, mm.
    pub fn page(&self) -> (f64, f64) {
        self.page
    }

    /// White at every edge of the paper, mm.
    pub fn margin(&self) -> f64 {
        self.margin
    }

    /// From what counts to the end of the marks, mm.
    pub fn rim(&self) -> f64 {
        self.rim
    }

    /// Vertical lines, sheet coordinates: the edges first and last.
    pub fn columns(&self) -> &[f64] {
        &self.columns
    }

    /// Horizontal lines.
    pub fn rows(&self) -> &[f64] {
        &self.rows
    }

    /// Rows and columns of panels.
    pub fn size(&self) -> (usize, usize) {
        (self.rows.len() - 1, self.columns.len() - 1)
    }

    /// Panels of one page.
    pub fn count(&self) -> usize {
        let (rows, columns) = self.size();
        rows.saturating_mul(columns)
    }

    /// Is the paper printed in landscape?
    pub fn landscape(&self) -> bool {
        self.page.0 > self.page.1
    }

    /// Where the foot begins, and its height, on the paper.
    pub fn foot(&self) -> (f64, f64) {
        (self.page.1 - self.margin - FOOT, FOOT)
    }

    /// Every panel, row by row.
    pub fn panels(&self) -> impl Iterator<Item = Panel> + '_ {
        let (rows, columns) = self.size();
        (0..rows).flat_map(move |row| (0..columns).map(move |column| self.panel(row, column)))
    }

    fn panel(&self, row: usize, column: usize) -> Panel {
        let (x0, x1) = (self.columns[column], self.columns[column + 1]);
        let (y0, y1) = (self.rows[row], self.rows[row + 1]);
        let counts = Rect::new(x0, y0, x1, y1);
        let (rows, columns) = self.size();
        let inner = |there: bool| if there { self.share } else { 0.0 };
        let window = Rect::new(
            x0 - inner(column > 0),
            y0 - inner(row > 0),
            x1 + inner(column + 1 < columns),
            y1 + inner(row + 1 < rows),
        );
        let left = (self.page.0 - counts.width()) / 2.0;
        let shift = Vec2::new(left - x0, self.margin + self.rim - y0);
        Panel { row, column, counts, window, shift }
    }
}

/// Evenly spaced lines over a length, no step larger than `most`.
fn lines(length: f64, most: f64) -> Vec<f64> {
    // A hair more than a whole number of steps is that number.
    let n = ((length / most - 1e-9).ceil()).clamp(1.0, 1e5) as usize;
    (0..=n).map(|i| if i == n { length } else { length * i as f64 / n as f64 }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_go_by_letters() {
        let names = [0, 1, 25, 26, 27, 51, 52, 701, 702].map(letters);
        assert_eq!(names, ["A", "B", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"]);
    }
}
