//! The report on a machine: its error, mark by mark, and how far that can be trusted.

use kurbo::Shape as _;

use super::{MOST_SCALE, MOST_TURN, Machine, Model, Tolerances};
use crate::diag::{Diagnostic, Findings};
use crate::labels::CutSheet;
use crate::table::{Align, Table};

impl Machine {
    /// The error in its parts; what was not found is not listed.
    pub fn parts(&self) -> Table {
        let mut table =
            Table::new(&[("error", Align::Left), ("size", Align::Right), ("unit", Align::Left)]);
        let mut row = |name: &str, size: f64, decimals: usize, unit: &str| {
            table.row([name, &plain(size, decimals), unit]);
        };
        row("shift to the right", self.shift().x, 3, "mm");
        row("shift down", self.shift().y, 3, "mm");
        if self.model() > Model::Shift {
            row("turn clockwise", self.turn(), 3, "degrees");
        }
        let percent = (self.scale() - kurbo::Vec2::new(1.0, 1.0)) * 100.0;
        match self.model() {
            Model::Shift => {}
            Model::Similar => row("too long", percent.x, 3, "%"),
            Model::Affine => {
                row("too long in x", percent.x, 3, "%");
                row("too long in y", percent.y, 3, "%");
                row("skew", self.skew(), 3, "degrees");
            }
        }
        row("residual (rms)", self.rms(), 3, "mm");
        table
    }

    /// Mark by mark: where it is, what was measured, what the correction leaves.
    pub fn marks(&self) -> Table {
        let heads = ["mark", "x", "y", "dx", "dy", "left dx", "left dy"];
        let mut table = Table::new(&heads.map(|h| (h, Align::Right)));
        for (reading, left) in self.readings.iter().zip(&self.left) {
            let (at, off) = (reading.mark.at, reading.off);
            let numbers = [at.x, at.y, off.x, off.y, left.x, left.y].map(|v| plain(v, 3));
            table.row(std::iter::once(reading.mark.number.to_string()).chain(numbers));
        }
        table
    }

    /// What to think of before cutting by it.
    pub(super) fn doubts(&self, tolerances: Tolerances) -> Findings {
        let mut findings = Findings::default();
        let count = self.readings.len();
        match (self.model, count) {
            (Model::Shift, 1) => findings.push(
                Diagnostic::hint("one-mark", "one mark gives only the shift")
                    .help("measure two marks far apart for the turn, four for stretch and skew"),
            ),
            (Model::Shift, _) => findings.push(
                Diagnostic::warning(
                    "marks-together",
                    "all marks are close together, so they give only the shift",
                )
                .help("measure marks in the corners of the sheet"),
            ),
            (Model::Similar, n) if n > 2 => findings.push(
                Diagnostic::warning(
                    "marks-in-line",
                    "all marks are near one line, so they give only shift, turn and one scale",
                )
                .help("measure marks on both sides of that line too"),
            ),
            _ => {}
        }
        if 2 * count == self.model.numbers() && count > 1 {
            findings.push(
                Diagnostic::hint("no-check", "no additional mark checks the others")
                    .help("measure one more; otherwise a reading error goes unnoticed"),
            );
        }
        let rms = self.rms();
        if rms > tolerances.bleed {
            findings.push(
                Diagnostic::warning(
                    "beyond-bleed",
                    format!(
                        "{rms:.2} mm (rms) remain after correction, more than the bleed of {:.2} mm: white edges will show",
                        tolerances.bleed
                    ),
                )
                .help("measure again, fasten the sheet better in the machine, or give the labels more bleed"),
            );
        }
        let scale = self.scale();
        let odd = [
            (self.turn().abs() > MOST_TURN, format!("turned by {:.1} degrees", self.turn())),
            (self.skew().abs() > MOST_TURN, format!("skewed by {:.1} degrees", self.skew())),
            (
                [scale.x, scale.y].iter().any(|s| (s - 1.0).abs() > MOST_SCALE),
                format!("stretched to {:.3} in x and {:.3} in y", scale.x, scale.y),
            ),
        ];
        for (_, what) in odd.into_iter().filter(|o| o.0) {
            findings.push(
                Diagnostic::warning("odd-machine", format!("the cuts are {what}, which is rare"))
                    .help("check the signs (right and down are positive) and the marks' numbers"),
            );
        }
        findings
    }
}

/// Labels whose cut, once corrected, leaves the sheet.
pub fn outside(sheet: &CutSheet) -> Findings {
    let mut findings = Findings::default();
    let page = kurbo::Rect::new(0.0, 0.0, sheet.width, sheet.height);
    for contour in &sheet.contours {
        let bounds = contour.path.bounding_box();
        if page.union(bounds) == page {
            continue;
        }
        let what = match contour.label {
            Some(label) => format!("the cut of label {}", label + 1),
            None => "a cut of the sheet".to_owned(),
        };
        findings.push(
            Diagnostic::warning(
                "off-sheet",
                format!("{what} is partly off the sheet after correction"),
            )
            .help("give the label sheet wider margins"),
        );
    }
    findings
}

/// So many decimals, and no zero with a sign.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        return text.trim_start_matches('-').to_owned();
    }
    text
}
