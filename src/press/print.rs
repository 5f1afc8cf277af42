//! The print values of a sheet's colours on a paper.

use std::collections::{BTreeMap, BTreeSet};

use super::paper::{Bytes, ColourMode, Paper};
use super::tune::{Tuned, nearest, tune};
use crate::colour::lookalike::pairs;
use crate::colour::{Lab50, to_rgb};
use crate::diag::{Diagnostic, Span};
use crate::graphic::Rgb;
use crate::range::{ColourId, Range, SheetSpec};
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
pub fn colours(range: &Range, sheet: &SheetSpec) -> Vec<ColourId> {
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
pub fn few_enough(range: &Range, sheet: &SheetSpec) -> Result<(), Diagnostic> {
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
    pub fn plain(paper: &Paper, range: &Range, sheet: &SheetSpec) -> Print {
        let mut print = Print::begin(paper, range, sheet);
        print.least = nearest(paper, &print.aims, &print.plain);
        print
    }

    /// With values that keep pairs apart.
    pub fn tuned(paper: &Paper, range: &Range, sheet: &SheetSpec, work: &Work) -> Print {
        let mut print = Print::begin(paper, range, sheet);
        let Tuned { values, shown, least } = tune(paper, &print.aims, &print.plain, work);
        (print.values, print.shown, print.least) = (values, shown, least);
        print
    }

    /// With the values of a file, in the sheet's order.
    pub fn given(paper: &Paper, range: &Range, sheet: &SheetSpec, values: Vec<Bytes>) -> Print {
        let mut print = Print::plain(paper, range, sheet);
        print.shown = values.iter().map(|v| paper.shows(*v)).collect();
        print.values = values;
        print
    }

    fn begin(paper: &Paper, range: &Range, sheet: &SheetSpec) -> Print {
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

    /// The sRGB colours to draw the sheet with: of a paper that takes sRGB the
    /// values themselves; of a press what it shows, each its own, so that
    /// [`super::inks`] finds the ink of a colour again.
    pub fn drawn(&self, colour_mode: ColourMode) -> BTreeMap<ColourId, Rgb> {
        let mut taken: BTreeMap<Rgb, Bytes> = BTreeMap::new();
        let mut out = BTreeMap::new();
        for ((id, value), shown) in self.colours.iter().zip(&self.values).zip(&self.shown) {
            let rgb = match colour_mode {
                ColourMode::Srgb => Rgb(value[0], value[1], value[2]),
                ColourMode::Cmyk => free(to_rgb(*shown).0, *value, &taken),
            };
            taken.insert(rgb, *value);
            out.insert(*id, rgb);
        }
        out
    }

    /// The values by the colour that is drawn for them.
    pub fn by_drawn(&self, colour_mode: ColourMode) -> BTreeMap<Rgb, Bytes> {
        let drawn = self.drawn(colour_mode);
        self.colours.iter().zip(&self.values).map(|(id, value)| (drawn[id], *value)).collect()
    }
}

/// The nearest colour that stands for no other value.
fn free(rgb: Rgb, value: Bytes, taken: &BTreeMap<Rgb, Bytes>) -> Rgb {
    let is_free = |c: &Rgb| taken.get(c).is_none_or(|v| *v == value);
    for reach in 0i16..=255 {
        let steps = || -reach..=reach;
        let near = steps().flat_map(|r| steps().flat_map(move |g| steps().map(move |b| [r, g, b])));
        let at = |d: [i16; 3]| {
            let step = |v: u8, d: i16| u8::try_from(i16::from(v) + d).ok();
            Some(Rgb(step(rgb.0, d[0])?, step(rgb.1, d[1])?, step(rgb.2, d[2])?))
        };
        // Of one reach the smallest step first.
        let mut ring: Vec<[i16; 3]> = near.filter(|d| d.iter().any(|v| v.abs() == reach)).collect();
        ring.sort_by_key(|d| d.iter().map(|v| i32::from(*v).pow(2)).sum::<i32>());
        if let Some(found) = ring.into_iter().filter_map(at).find(is_free) {
            return found;
        }
    }
    rgb
}
