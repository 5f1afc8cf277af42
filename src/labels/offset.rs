//! The machine's error, found by least squares from where its cuts fell, and taken out of the cut file.
//!
//! ```text
//! CSV | RON -> Reading: a mark, and how far its cut fell from it
//!           -> Machine: meant -> fell, an affine map       (fit)
//!           -> CutSheet with the inverse applied           (Machine::correct)
//! ```
//!
//! How much is found depends on the marks that were measured:
//!
//! | marks | found | numbers |
//! |---|---|---|
//! | one, or all close together | shift | 2 |
//! | two, or all near one line | shift, turn, one scale | 4 |
//! | three or more, not on a line | shift, turn, scale in x and in y, skew | 6 |
//!
//! Close together and near a line mean within a quarter of the sheet's shorter
//! side: an error of reading would grow fourfold and more towards the edges.

mod file;
mod reading;
mod squares;
mod tell;

use kurbo::{Affine, Point, Vec2};

pub use self::file::{Measured, read};
pub use self::reading::{Mark, Model, Reading};
use self::squares::{middle, solve};
pub use self::tell::outside;

use super::CutSheet;
use crate::diag::{Diagnostic, Findings};

/// Marks farther apart than this share of the sheet's shorter side reveal turn and scale.
const SPREAD: f64 = 0.25;
/// A mark is rejected when it is farther from what the others give than this, mm ...
const FAR: f64 = 0.3;
/// ... and than so many times their own scatter in x or y ...
const FAR_SCATTERS: f64 = 8.0;
/// ... where so many readings of the others are left over to give their scatter.
const SPARE: usize = 4;
/// No machine that works turns by more degrees, or stretches or skews by a larger share.
const MOST_TURN: f64 = 3.0;
const MOST_SCALE: f64 = 0.03;

/// What is cut, and how much error it bears, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerances {
    pub width: f64,
    pub height: f64,
    /// How far the print goes on over the cut.
    pub bleed: f64,
}

/// A machine as its cuts show it.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    model: Model,
    /// From where a cut should be to where it is, mm.
    falls: Affine,
    centre: Point,
    /// What is left of each reading, mm.
    left: Vec<Vec2>,
    readings: Vec<Reading>,
}

/// Finds the machine's error; with it notes and warnings on how far it can be trusted.
///
/// # Errors
/// No marks, a mark that the others contradict, an error that cannot be undone.
pub fn fit(readings: &[Reading], tolerances: Tolerances) -> Result<(Machine, Findings), Findings> {
    if readings.is_empty() {
        return Err(Diagnostic::error("no-marks", "no marks have been measured")
            .help("cut the trial sheet, and write how far the cut is off at one or more marks")
            .into());
    }
    let near = SPREAD * tolerances.width.min(tolerances.height);
    let spread = spread(readings);
    let model = match spread {
        _ if readings.len() < 2 || spread.0 < near => Model::Shift,
        _ if readings.len() < 3 || spread.1 < near => Model::Similar,
        _ => Model::Affine,
    };
    let far = far_marks(readings, model);
    if far.failed() {
        return Err(far);
    }
    let (falls, left) = solve(model, readings);
    let centre = Point::new(tolerances.width / 2.0, tolerances.height / 2.0);
    let machine = Machine { model, falls, centre, left, readings: readings.to_vec() };
    if !(machine.falls.determinant() > 0.1 && machine.falls.is_finite()) {
        return Err(Diagnostic::error(
            "no-such-machine",
            "these distances would turn the cuts over, which no correction can undo",
        )
        .help("check the signs: right and down are positive, in mm")
        .into());
    }
    let findings = machine.doubts(tolerances);
    Ok((machine, findings))
}

impl Machine {
    /// How much was found.
    pub fn model(&self) -> Model {
        self.model
    }

    /// Where a cut falls that should be at `point`.
    pub fn falls(&self, point: Point) -> Point {
        self.falls * point
    }

    /// Where a cut must be sent to fall on `point`.
    pub fn sent(&self, point: Point) -> Point {
        self.falls.inverse() * point
    }

    /// How far a cut for the middle of the sheet falls from it, mm.
    pub fn shift(&self) -> Vec2 {
        self.falls(self.centre) - self.centre
    }

    /// Degrees, clockwise on the sheet: how a line along x is turned.
    pub fn turn(&self) -> f64 {
        let [a, b, ..] = self.falls.as_coeffs();
        b.atan2(a).to_degrees()
    }

    /// Lengths along x and across, as cut for 1 mm.
    pub fn scale(&self) -> Vec2 {
        let [a, b, ..] = self.falls.as_coeffs();
        Vec2::new(a.hypot(b), self.falls.determinant() / a.hypot(b))
    }

    /// Degrees by which a line that should run straight down leans to the right, once turned back.
    pub fn skew(&self) -> f64 {
        let [a, b, c, d, ..] = self.falls.as_coeffs();
        (a * c + b * d).atan2(self.falls.determinant()).to_degrees()
    }

    /// What is left at each reading, in its order, mm.
    pub fn left(&self) -> &[Vec2] {
        &self.left
    }

    /// The root of the mean square of what is left, as a distance, mm.
    pub fn rms(&self) -> f64 {
        let sum: f64 = self.left.iter().map(|v| v.hypot2()).sum();
        (sum / self.left.len().max(1) as f64).sqrt()
    }

    /// The sheet as it must be sent, so that its cuts fall where they are meant.
    ///
    /// Registration marks stay: they are printed, and not cut.
    pub fn correct(&self, sheet: &CutSheet) -> CutSheet {
        let sent = self.falls.inverse();
        let mut out = sheet.clone();
        out.contours.iter_mut().for_each(|c| c.path.apply_affine(sent));
        out
    }
}

/// The extent of the marks along the line that fits them best, and across it, mm.
fn spread(readings: &[Reading]) -> (f64, f64) {
    let middle = middle(readings);
    let from = readings.iter().map(|r| r.mark.at - middle);
    let (xx, yy, xy) = from
        .clone()
        .fold((0.0, 0.0, 0.0), |s, v| (s.0 + v.x * v.x, s.1 + v.y * v.y, s.2 + v.x * v.y));
    let along = Vec2::from_angle(f64::atan2(2.0 * xy, xx - yy) / 2.0);
    let extent = |axis: Vec2| {
        let ends = from.clone().map(|v| v.dot(axis));
        let (low, high) = ends.fold((0.0, 0.0), |e, p| (f64::min(e.0, p), f64::max(e.1, p)));
        high - low
    };
    (extent(along), extent(along.turn_90()))
}

/// The mark that all the others speak against, if one does: the fit without it is looked at.
fn far_marks(readings: &[Reading], model: Model) -> Findings {
    let mut findings = Findings::default();
    let Some(spare) = (2 * readings.len()).checked_sub(2 + model.numbers()) else {
        return findings;
    };
    if spare < SPARE {
        return findings;
    }
    let suspects = (0..readings.len()).filter_map(|i| {
        let mut others = readings.to_vec();
        let mark = others.remove(i);
        let (falls, left) = solve(model, &others);
        let scatter = (left.iter().map(|v| v.hypot2()).sum::<f64>() / spare as f64).sqrt();
        let expected = falls * mark.mark.at - mark.mark.at;
        let far = (mark.off - expected).hypot();
        (far > FAR && far > FAR_SCATTERS * scatter).then_some((far, mark, expected))
    });
    // One wrong mark can make others look wrong: the farthest one is named.
    if let Some((far, mark, expected)) = suspects.max_by(|a, b| a.0.total_cmp(&b.0)) {
        let message = format!(
            "mark {} disagrees with the others by {far:.2} mm: it gives {:.2} and {:.2}, they give {:.2} and {:.2}",
            mark.mark.number, mark.off.x, mark.off.y, expected.x, expected.y
        );
        findings.push(
            Diagnostic::error("far-mark", message)
                .at(mark.place)
                .help("measure it again, or remove its line"),
        );
    }
    findings
}
