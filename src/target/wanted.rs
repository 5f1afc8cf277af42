//! Which values are printed to be read.

use super::request::TargetRequest;
use super::shuffle::shuffled;
use super::steps::Step;
use crate::colour::lookalike::pairs;
use crate::diag::{Diagnostic, Findings};
use crate::press::ColourMode;
use crate::press::paper::{Bytes, Paper};
use crate::range::{ColourId, PartId};

/// Colours that are nearer to each other have steps of their own in the chart (CIEDE2000).
const CLOSE: f64 = 5.0;
/// The tuned value of every colour, so many times.
const TIMES: usize = 2;
/// Steps of grey, and bare paper so many times.
const GREYS: u8 = 11;
const BARE: usize = 4;
/// Patches at most: beyond, steps are left out.
const MOST: usize = 1_200;
/// A part that is laid among patches, mm: the largest up to this size, else the smallest.
const PART: f64 = 17.0;

/// A colour's place for its part, with the values around it.
#[derive(Debug, Clone, PartialEq)]
pub struct CellWanted {
    pub colour: ColourId,
    pub part: PartId,
    /// The value of the colour itself, and eight that are a step away.
    pub value: Bytes,
    pub steps: [Bytes; 8],
}

/// A patch of the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchWanted {
    /// 'A1'.
    pub name: String,
    pub value: Bytes,
}

/// Everything that is printed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wanted {
    pub cells: Vec<CellWanted>,
    pub patches: Vec<PatchWanted>,
}

impl Wanted {
    /// What a target needs.
    ///
    /// # Errors
    /// The sheet shows no colour with a value.
    pub fn of(request: &TargetRequest<'_>) -> Result<Wanted, Findings> {
        if request.print.colours.is_empty() {
            let d = Diagnostic::error("empty-target", "the sheet shows no colour with a value");
            return Err(d.help("give its colours values").into());
        }
        let cells = if request.cells { cells(request) } else { Vec::new() };
        let patches = if request.chart { patches(request) } else { Vec::new() };
        Ok(Wanted { cells, patches })
    }
}

fn cells(request: &TargetRequest<'_>) -> Vec<CellWanted> {
    let (range, print, paper) = (request.naming.range, request.print, request.paper);
    let side = |part: &PartId| {
        let extent = range.part(*part).shape().extent;
        extent.width().max(extent.height())
    };
    let cell = |(colour, value): (&ColourId, &Bytes)| {
        let made: Vec<PartId> = (0..range.parts().len())
            .map(PartId)
            .filter(|part| range.is_made(*colour, *part))
            .collect();
        let fitting = made.iter().filter(|part| side(part) <= PART);
        let part = fitting.max_by(|a, b| side(a).total_cmp(&side(b)));
        let part = part.or_else(|| made.iter().min_by(|a, b| side(a).total_cmp(&side(b))))?;
        let steps = Step::ALL.map(|step| step.value(paper, *value, request.step));
        Some(CellWanted { colour: *colour, part: *part, value: *value, steps })
    };
    let cells = print.colours.iter().zip(&print.values).filter_map(cell).collect();
    shuffled(cells, |cell: &CellWanted| range.colour(cell.colour).key().clone())
}

fn patches(request: &TargetRequest<'_>) -> Vec<PatchWanted> {
    let (print, paper) = (request.print, request.paper);
    let mut values: Vec<(String, Bytes)> = Vec::new();
    for time in 0..TIMES {
        let each = print.values.iter().enumerate();
        values.extend(each.map(|(i, value)| (format!("colour {i} {time}"), *value)));
    }
    values.extend((0..BARE).map(|i| (format!("bare {i}"), paper.nothing())));
    for (i, value) in neutrals(paper).into_iter().chain(corners(paper)).enumerate() {
        values.push((format!("fixed {i}"), value));
    }
    let close = pairs(&print.aims, CLOSE, &crate::work::Work::default());
    let mut among: Vec<usize> = close.iter().flat_map(|pair| [pair.first, pair.second]).collect();
    among.sort_unstable();
    among.dedup();
    for colour in among {
        if values.len() + 4 > MOST {
            break;
        }
        for step in [Step::Lighter, Step::Stronger, Step::Hue(-1), Step::Hue(1)] {
            let value = step.value(paper, print.values[colour], request.step);
            values.push((format!("step {colour} {step:?}"), value));
        }
    }
    let values = shuffled(values, |(name, _)| name.clone());
    let name = |i: usize| format!("{}{}", letters(i / 12), i % 12 + 1);
    values
        .into_iter()
        .enumerate()
        .map(|(i, (_, value))| PatchWanted { name: name(i), value })
        .collect()
}

/// 'A' to 'Z', 'AA' and so on.
fn letters(mut row: usize) -> String {
    let mut out = Vec::new();
    loop {
        out.push(char::from(b'A' + (row % 26) as u8));
        if row < 26 {
            break;
        }
        row = row / 26 - 1;
    }
    out.iter().rev().collect()
}

/// Greys: of sRGB; of ink as black alone and as the three colours together.
fn neutrals(paper: &Paper) -> Vec<Bytes> {
    let step = |i: u8| (u16::from(i) * 255 / u16::from(GREYS - 1)) as u8;
    let greys = (0..GREYS).map(step);
    match paper.colour_mode() {
        ColourMode::Srgb => greys.map(|v| [v, v, v, 0]).collect(),
        ColourMode::Cmyk => {
            let most = ((paper.most_ink() * 2.55 / 3.0) as u8).min(230);
            let mixed = (1..6).map(|i: u8| {
                let v = (u16::from(most) * u16::from(i) / 5) as u8;
                [v, (f64::from(v) * 0.85) as u8, (f64::from(v) * 0.85) as u8, 0]
            });
            greys.map(|v| [0, 0, 0, v]).chain(mixed).collect()
        }
    }
}

/// Corners of the gamut.
fn corners(paper: &Paper) -> Vec<Bytes> {
    let full = 255;
    let bits = (1..8u8).map(|bits| [0, 1, 2].map(|k| if bits >> k & 1 == 1 { full } else { 0 }));
    match paper.colour_mode() {
        ColourMode::Srgb => {
            bits.filter(|c| *c != [full; 3]).map(|[r, g, b]| [r, g, b, 0]).collect()
        }
        ColourMode::Cmyk => {
            let inks = bits.map(|[c, m, y]| [c, m, y, 0]);
            inks.filter(|ink| crate::press::paper::ink(*ink) <= paper.most_ink()).collect()
        }
    }
}
