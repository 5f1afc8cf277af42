//! The print values of a sheet's colours on a paper.

use std::collections::{BTreeMap, BTreeSet};

use super::paper::{Bytes, Paper};
use super::tune::{Tuned, nearest, tune};
use crate::colour::Lab50;
use crate::colour::lookalike::pairs;
use crate::diag::{Diagnostic, Span};
use crate::graphic::Rgb;
use crate::range::{ColourId, ColourRange, SheetSpec};
use crate::sheet::palette::PrintValues;
use crate::work::Work;

/// What is printed for every colour of a sheet, in the sheet's order.
#[derive(Debug, Clone, PartialEq)]
pub struct Print {
    pub colours: Vec<ColourId>,
    pub aims: Vec<Lab50>,
    /// What would be printed without care.
    pub plain: Vec<Bytes>,
    pub values: Vec<Bytes>,
    /// What the paper shows of the values.
    pub shown: Vec<Lab50>,
    /// The nearest that the paper can come to each aim, CIEDE2000.
    pub least: Vec<f64>,
}

/// The colours that a sheet shows, each once, in its order.
pub fn colours(range: &ColourRange, sheet: &SheetSpec) -> Vec<ColourId> {
    let mut seen = BTreeSet::new();
    let rows = sheet.families().iter().flat_map(|f| f.rows().iter().copied());
    rows.filter(|c| range.colour(*c).value().is_known() && seen.insert(*c)).collect()
}

/// More colours than anybody sells; beyond, a search takes too long.
pub const MOST_COLOURS: usize = 5000;
/// More pairs than anybody reads.
pub const MOST_PAIRS: usize = 1_000_000;

/// Can values be found for so many colours?
///
/// # Errors
/// The sheet shows more than [`MOST_COLOURS`].
pub fn few_enough(range: &ColourRange, sheet: &SheetSpec) -> Result<(), Diagnostic> {
    let count = colours(range, sheet).len();
    if count <= MOST_COLOURS {
        return Ok(());
    }
    let message =
        format!("print values can be tuned for at most {MOST_COLOURS} colours, not {count}");
    Err(Diagnostic::error("too-many-colours", message)
        .at(Some(Span { file: sheet.file().as_path().into(), range: 0..0 }))
        .help(
            "split its families between several sheets, or print without tuned values (make --plain)",
        ))
}

impl Print {
    /// Are the pairs up to `limit` apart so few that they can be reported?
    ///
    /// # Errors
    /// There are more than [`MOST_PAIRS`].
    pub fn few_pairs(&self, limit: f64, work: &Work) -> Result<(), Diagnostic> {
        let count = self.aims.len();
        if count * count / 2 <= MOST_PAIRS {
            return Ok(());
        }
        let found = pairs(&self.aims, limit, work).len();
        if found <= MOST_PAIRS {
            return Ok(());
        }
        let message = format!(
            "{found} pairs differ by at most {limit}, more than the {MOST_PAIRS} that can be reported"
        );
        Err(Diagnostic::error("too-many-pairs", message).help("use a smaller --limit"))
    }

    /// Printed without care.
    pub fn plain(paper: &Paper, range: &ColourRange, sheet: &SheetSpec) -> Print {
        let mut print = Print::begin(paper, range, sheet);
        print.least = nearest(paper, &print.aims, &print.plain);
        print
    }

    /// With values that keep pairs apart.
    pub fn tuned(paper: &Paper, range: &ColourRange, sheet: &SheetSpec, work: &Work) -> Print {
        let mut print = Print::begin(paper, range, sheet);
        let Tuned { values, shown, least } = tune(paper, &print.aims, &print.plain, work);
        (print.values, print.shown, print.least) = (values, shown, least);
        print
    }

    /// With the values of a file, in the sheet's order.
    pub fn given(
        paper: &Paper,
        range: &ColourRange,
        sheet: &SheetSpec,
        values: Vec<Bytes>,
    ) -> Print {
        let mut print = Print::plain(paper, range, sheet);
        print.shown = values.iter().map(|v| paper.shows(*v)).collect();
        print.values = values;
        print
    }

    fn begin(paper: &Paper, range: &ColourRange, sheet: &SheetSpec) -> Print {
        let colours = colours(range, sheet);
        let aims: Vec<Lab50> = colours.iter().map(|c| range.colour(*c).aim()).collect();
        let plain: Vec<Bytes> = colours
            .iter()
            .zip(&aims)
            .map(|(c, aim)| paper.plain(*aim, range.colour(*c).rgb()))
            .collect();
        let shown = plain.iter().map(|v| paper.shows(*v)).collect();
        let values = plain.clone();
        Print { colours, aims, plain, values, shown, least: Vec::new() }
    }

    /// The value of each colour.
    pub fn by_colour(&self) -> BTreeMap<ColourId, Bytes> {
        self.colours.iter().copied().zip(self.values.iter().copied()).collect()
    }

    /// The values of a paper that accepts sRGB.
    pub fn srgb(&self) -> PrintValues {
        let rgb = |[r, g, b, _]: Bytes| Rgb(r, g, b);
        let shown = self.by_colour().into_iter().map(|(id, value)| (id, rgb(value))).collect();
        PrintValues { shown, ..PrintValues::default() }
    }
}
