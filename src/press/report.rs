//! What a paper makes of a sheet's colours, in figures.

use std::collections::BTreeSet;

use super::paper::{Bytes, Paper};
use super::print::Print;
use super::tune::{APART, Seen, swaps, turn};
use crate::colour::lookalike::{self, Pair, pairs};
use crate::colour::{Lab50, difference};
use crate::work::Work;

/// Pairs up to this difference are reported by default (CIEDE2000).
pub const LIMIT: f64 = lookalike::LIMIT;
/// A colour that the paper can come so near to is in its gamut (CIEDE2000;
/// common practice, no source: a difference of 1 is just seen).
pub const IN_GAMUT: f64 = 1.0;
/// A hue that turns farther is another colour (degrees in Oklab; common practice, no source).
pub const TURNED: f64 = 10.0;

/// One colour on a paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColourLine {
    /// Its place in [`Print::colours`].
    pub colour: usize,
    pub aim: Lab50,
    pub value: Bytes,
    /// Relative to the paper's white.
    pub shown: Lab50,
    /// As an instrument measures it, the paper's own colour in it.
    pub measured: Lab50,
    /// CIEDE2000 between aim and shown.
    pub off: f64,
    /// The nearest that the paper can come.
    pub least: f64,
}

impl ColourLine {
    /// Can the paper show it?
    pub fn in_gamut(&self) -> bool {
        self.least <= IN_GAMUT
    }
}

/// Two look-alikes on a paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairLine {
    /// Places in [`Print::colours`].
    pub first: usize,
    pub second: usize,
    /// CIEDE2000 as aimed at and as shown.
    pub aimed: f64,
    pub shown: f64,
    pub lightness_swapped: bool,
    pub hue_swapped: bool,
    pub strength_swapped: bool,
}

impl PairLine {
    /// Apart as aimed at, and no more on the paper.
    pub fn fallen(&self) -> bool {
        self.aimed >= APART && self.shown < APART
    }

    /// Is it as it should be?
    pub fn kept(&self) -> bool {
        !self.fallen() && !self.lightness_swapped && !self.hue_swapped && !self.strength_swapped
    }
}

/// Sums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    pub colours: usize,
    pub in_gamut: usize,
    /// Mean and largest CIEDE2000 between aim and shown.
    pub mean: f64,
    pub most: f64,
    pub pairs: usize,
    /// Pairs that are under [`APART`] as they are aimed at: no print can part them.
    pub too_close: usize,
    /// Pairs that fall together on the paper.
    pub together: usize,
    pub lightness_swapped: usize,
    pub hue_swapped: usize,
    pub strength_swapped: usize,
    /// Colours whose hue turns by more than [`TURNED`].
    pub turned: usize,
    /// The most ink of a colour, percent; 0 for sRGB.
    pub ink: f64,
}

/// A paper's report, the worst first.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    pub colours: Vec<ColourLine>,
    pub pairs: Vec<PairLine>,
    pub totals: Totals,
}

impl Report {
    /// Of what is printed, for pairs up to `limit` apart, and any that fall together.
    pub fn new(paper: &Paper, print: &Print, limit: f64, work: &Work) -> Report {
        Report::of(paper, print, counted(&[print], limit, work))
    }

    /// Of plain and tuned values, over one and the same list of pairs.
    pub fn both(paper: &Paper, prints: [&Print; 2], limit: f64, work: &Work) -> [Report; 2] {
        let pairs = counted(&prints, limit, work);
        prints.map(|print| Report::of(paper, print, pairs.clone()))
    }

    fn of(paper: &Paper, print: &Print, reported: Vec<Pair>) -> Report {
        let mut colours: Vec<ColourLine> = (0..print.aims.len())
            .map(|i| ColourLine {
                colour: i,
                aim: print.aims[i],
                value: print.values[i],
                shown: print.shown[i],
                measured: paper.measured(print.shown[i]),
                off: difference(print.aims[i], print.shown[i]),
                least: print.least[i],
            })
            .collect();
        colours.sort_by(|a, b| b.off.total_cmp(&a.off).then(a.colour.cmp(&b.colour)));
        let seen = |colours: &[Lab50]| colours.iter().map(|c| Seen::of(*c)).collect::<Vec<_>>();
        let (aims, all_shown) = (seen(&print.aims), seen(&print.shown));
        let mut lines: Vec<PairLine> = reported
            .into_iter()
            .map(|p| {
                let shown = (&all_shown[p.first], &all_shown[p.second]);
                let [lightness_swapped, hue_swapped, strength_swapped] =
                    swaps((&aims[p.first], &aims[p.second]), shown);
                PairLine {
                    first: p.first,
                    second: p.second,
                    aimed: p.distance,
                    shown: difference(shown.0.lab, shown.1.lab),
                    lightness_swapped,
                    hue_swapped,
                    strength_swapped,
                }
            })
            .collect();
        lines.sort_by(|a, b| {
            let rank = |p: &PairLine| (p.kept(), !p.fallen());
            rank(a).cmp(&rank(b)).then(a.shown.total_cmp(&b.shown))
        });
        let totals = totals(paper, print, &colours, &lines);
        Report { colours, pairs: lines, totals }
    }
}

/// Pairs that are up to `limit` apart as aimed at, and those from afar that fall together in any print.
fn counted(prints: &[&Print], limit: f64, work: &Work) -> Vec<Pair> {
    let Some(first) = prints.first() else { return Vec::new() };
    let mut out = pairs(&first.aims, limit, work);
    let mut far = BTreeSet::new();
    for print in prints {
        for pair in pairs(&print.shown, APART, work) {
            let distance = difference(first.aims[pair.first], first.aims[pair.second]);
            if distance > limit && far.insert((pair.first, pair.second)) {
                out.push(Pair { distance, ..pair });
            }
        }
    }
    out
}

fn totals(paper: &Paper, print: &Print, colours: &[ColourLine], pairs: &[PairLine]) -> Totals {
    let count = |of: &dyn Fn(&PairLine) -> bool| pairs.iter().filter(|p| of(p)).count();
    Totals {
        colours: colours.len(),
        in_gamut: colours.iter().filter(|c| c.in_gamut()).count(),
        mean: colours.iter().map(|c| c.off).sum::<f64>() / colours.len().max(1) as f64,
        most: colours.iter().map(|c| c.off).fold(0.0, f64::max),
        pairs: pairs.len(),
        too_close: count(&|p| p.aimed < APART),
        together: count(&PairLine::fallen),
        lightness_swapped: count(&|p| p.lightness_swapped),
        hue_swapped: count(&|p| p.hue_swapped),
        strength_swapped: count(&|p| p.strength_swapped),
        turned: colours.iter().filter(|c| turn(c.aim, c.shown) > TURNED).count(),
        ink: print.values.iter().map(|v| paper.ink(*v)).fold(0.0, f64::max),
    }
}
