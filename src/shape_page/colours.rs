//! In which finishes and colours the drawings are shown.

use crate::range::{ColourId, ColourRange, Finish, lab};

/// CIELAB lightness that the two colours are to be near to: pale and dark, but
/// neither paper nor black, on which no light or shade would be seen.
const PALE: f64 = 85.0;
const DARK: f64 = 28.0;

/// A pale and a dark colour of the range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    /// Nothing in a range without colours.
    pub pale: Option<ColourId>,
    /// Another colour than the pale one; nothing where the range has only one.
    pub dark: Option<ColourId>,
}

impl Pair {
    /// The colours whose lightness is nearest to pale and to dark, the first of equals.
    pub fn of(range: &ColourRange) -> Pair {
        let nearest = |to: f64, not: Option<ColourId>| {
            let off = |c: &ColourId| (lab(range.colour(*c).rgb()).l - to).abs();
            let all = (0..range.colours().len()).map(ColourId).filter(|c| Some(*c) != not);
            all.min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        let lightness = |c: Option<ColourId>| c.map(|c| lab(range.colour(c).rgb()).l);
        let pale = nearest(PALE, None);
        let dark = nearest(DARK, pale);
        // Where all colours are dark, or all pale, the lighter one still comes first.
        match lightness(pale) < lightness(dark) && dark.is_some() {
            true => Pair { pale: dark, dark: pale },
            false => Pair { pale, dark },
        }
    }

    /// Both, the pale one first.
    pub fn colours(&self) -> impl Iterator<Item = ColourId> + use<> {
        self.pale.into_iter().chain(self.dark)
    }
}

/// The finishes of a range's colours, in the order of the legend.
pub fn finishes(range: &ColourRange) -> Vec<Finish> {
    let has = |f: &Finish| range.colours().iter().any(|c| c.finish() == *f);
    Finish::ALL.into_iter().filter(has).collect()
}
