//! Look-alikes of a sheet: which of its colours can be confused, by whom, and under which light.
//!
//! ```text
//! ColourRange + SheetSpec + LookalikesRequest -> pairs of colours, nearest first -> table, CSV, JSON
//! ```

pub mod report;

use std::collections::{BTreeMap, BTreeSet};

use crate::colour::lookalike::{self, Word, words};
use crate::colour::vision::Vision;
use crate::colour::{Lab50, difference};
use crate::range::{ColourId, ColourRange, FamilyId, Light, SheetSpec};
use crate::work::Work;

/// Up to this CIEDE2000 distance nobody can distinguish two colours that do not touch.
///
/// Common practice, no source: the limit of what counts as kept apart in print.
pub const TOGETHER: f64 = 2.0;

/// From this change of distance on a pair closes up or opens under another light.
///
/// Common practice, no source: half of what is just seen side by side.
pub const MOVED: f64 = 0.5;

/// The most pairs of a kind that are reported.
pub const MOST_PAIRS: usize = 100_000;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct LookalikesRequest {
    /// The largest difference, CIEDE2000.
    pub limit: f64,
    /// Only colours of these families; all of the sheet when empty.
    pub families: Vec<FamilyId>,
    /// Only pairs of one finish.
    pub same_finish: bool,
    /// Another light than the sheet's, to compare with.
    pub light: Option<Light>,
}

impl Default for LookalikesRequest {
    /// Every pair of the sheet that can be confused, under its own light.
    fn default() -> LookalikesRequest {
        LookalikesRequest {
            limit: lookalike::LIMIT,
            families: Vec::new(),
            same_finish: false,
            light: None,
        }
    }
}

/// Two colours of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    pub first: ColourId,
    pub second: ColourId,
    /// CIEDE2000 under the sheet's light.
    pub distance: f64,
    /// How the second differs from the first.
    pub words: Vec<Word>,
    /// CIEDE2000 as protan, deutan and tritan eyes see it.
    pub seen: [f64; 3],
    /// CIEDE2000 under the other light, where one is asked for.
    pub under: Option<f64>,
}

impl Pair {
    /// For whom the two fall together although they are apart for other eyes.
    pub fn together(&self) -> Vec<Vision> {
        let each = Vision::ALL.into_iter().zip(self.seen);
        let alike = each.filter(|(_, seen)| self.distance > TOGETHER && *seen <= TOGETHER);
        alike.map(|(vision, _)| vision).collect()
    }

    /// What the other light does to the two.
    pub fn moves(&self) -> Move {
        match self.under.map(|under| under - self.distance) {
            Some(change) if change <= -MOVED => Move::ClosesUp,
            Some(change) if change >= MOVED => Move::Opens,
            _ => Move::Stays,
        }
    }
}

/// What another light does to a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Move {
    ClosesUp,
    Opens,
    Stays,
}

impl Move {
    /// 'closes up', 'opens', 'stays'.
    pub fn word(self) -> &'static str {
        match self {
            Move::ClosesUp => "closes up",
            Move::Opens => "opens",
            Move::Stays => "stays",
        }
    }
}

/// All that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct LookAlikes {
    /// How many colours were compared.
    pub colours: usize,
    /// Nearest first: up to the limit under the sheet's light or, where one is
    /// asked for, under the other light. With another light only pairs of spectra.
    pub pairs: Vec<Pair>,
    /// Beyond the limit, but together for protan, deutan or tritan eyes. Not searched for with another light.
    pub only_some: Vec<Pair>,
    /// Pairs up to the limit that cannot be compared under the other light: a colour has no spectrum.
    pub unknown: usize,
    /// There were more than [`MOST_PAIRS`]: the furthest are missing.
    pub cut: bool,
}

/// Compares every colour of the sheet with every other.
pub fn find(
    range: &ColourRange,
    sheet: &SheetSpec,
    wish: &LookalikesRequest,
    work: &Work,
) -> LookAlikes {
    let asked = |f: &FamilyId| wish.families.is_empty() || wish.families.contains(f);
    let shown = sheet.families().iter().filter(|f| asked(&f.family()));
    let colours: Vec<ColourId> = shown
        .flat_map(|f| f.rows())
        .copied()
        .filter(|c| range.colour(*c).value().is_known())
        .collect();
    let mut found = Search { range, wish, work, cut: false };
    let (pairs, only_some, unknown) = match wish.light {
        None => {
            let aims = |c: ColourId| range.colour(c).aim();
            let near = found.near(&colours, wish.limit, &aims);
            let some = found.only_some(&colours, &near);
            (near, some, 0)
        }
        Some(light) => {
            let (pairs, unknown) = found.under(&colours, light);
            (pairs, BTreeSet::new(), unknown)
        }
    };
    LookAlikes {
        colours: colours.len(),
        pairs: found.reported(pairs),
        only_some: found.reported(only_some),
        unknown,
        cut: found.cut,
    }
}

/// Colours of one value, at least two each, in the order of the sheet.
pub fn of_one_value(range: &ColourRange, found: &LookAlikes) -> Vec<Vec<ColourId>> {
    let same = |p: &&Pair| range.colour(p.first).aim() == range.colour(p.second).aim();
    let mut out: Vec<Vec<ColourId>> = Vec::new();
    for pair in found.pairs.iter().filter(same) {
        let both = [pair.first, pair.second];
        match out.iter_mut().find(|group| both.iter().any(|c| group.contains(c))) {
            Some(group) => {
                let new: Vec<ColourId> = both.into_iter().filter(|c| !group.contains(c)).collect();
                group.extend(new);
            }
            None => out.push(both.to_vec()),
        }
    }
    out
}

/// Two colours by their places on the sheet, the earlier first.
type Places = BTreeSet<(usize, usize, ColourId, ColourId)>;

struct Search<'a> {
    range: &'a ColourRange,
    wish: &'a LookalikesRequest,
    work: &'a Work,
    cut: bool,
}

impl Search<'_> {
    /// Pairs up to a limit, as the colours look to `lab`.
    fn near(
        &mut self,
        colours: &[ColourId],
        limit: f64,
        lab: &dyn Fn(ColourId) -> Lab50,
    ) -> Places {
        // Of one finish: each finish by itself. Places are those in the whole list.
        let mut groups: BTreeMap<_, Vec<usize>> = BTreeMap::new();
        for (place, colour) in colours.iter().enumerate() {
            let finish = self.range.colour(*colour).finish();
            groups.entry(self.wish.same_finish.then_some(finish)).or_default().push(place);
        }
        let mut out = Places::new();
        for places in groups.values() {
            let labs: Vec<Lab50> = places.iter().map(|p| lab(colours[*p])).collect();
            let found = lookalike::nearest(&labs, limit, MOST_PAIRS, self.work);
            self.cut |= found.len() == MOST_PAIRS;
            out.extend(found.iter().map(|pair| {
                let (first, second) = (places[pair.first], places[pair.second]);
                (first, second, colours[first], colours[second])
            }));
        }
        out
    }

    /// Pairs beyond the limit that are together for some eyes.
    fn only_some(&mut self, colours: &[ColourId], near: &Places) -> Places {
        let mut out = Places::new();
        for vision in Vision::ALL {
            let seen = |c: ColourId| vision.sees(self.range.colour(c).aim());
            let seen: BTreeMap<ColourId, Lab50> = colours.iter().map(|c| (*c, seen(*c))).collect();
            out.extend(self.near(colours, TOGETHER, &|c| seen[&c]));
        }
        out.retain(|place| !near.contains(place));
        out.retain(|(_, _, a, b)| {
            difference(self.range.colour(*a).aim(), self.range.colour(*b).aim()) > TOGETHER
        });
        out
    }

    /// Pairs of spectra that are near under either light, and how many others are near.
    fn under(&mut self, colours: &[ColourId], light: Light) -> (Places, usize) {
        let range = self.range;
        let aim = |c: ColourId| range.colour(c).aim();
        let all = self.near(colours, self.wish.limit, &aim).len();
        let value = |c: ColourId| range.colour(c).value();
        let spectra: Vec<ColourId> =
            colours.iter().copied().filter(|c| value(*c).is_spectrum()).collect();
        let mut pairs = self.near(&spectra, self.wish.limit, &aim);
        let unknown = all - pairs.len();
        pairs.extend(self.near(&spectra, self.wish.limit, &|c| value(c).aim_under(light)));
        (pairs, unknown)
    }

    /// Nearest first, equal ones in the order of the sheet.
    fn reported(&self, places: Places) -> Vec<Pair> {
        let mut out: Vec<Pair> = places.into_iter().map(|(_, _, a, b)| self.pair(a, b)).collect();
        out.sort_by(|a, b| a.distance.total_cmp(&b.distance));
        out
    }

    fn pair(&self, first: ColourId, second: ColourId) -> Pair {
        let [a, b] = [first, second].map(|c| self.range.colour(c));
        let under = self
            .wish
            .light
            .map(|light| difference(a.value().aim_under(light), b.value().aim_under(light)));
        Pair {
            first,
            second,
            distance: difference(a.aim(), b.aim()),
            words: words(a.aim(), b.aim()),
            seen: Vision::ALL.map(|v| difference(v.sees(a.aim()), v.sees(b.aim()))),
            under,
        }
    }
}
