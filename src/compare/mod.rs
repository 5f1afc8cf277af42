//! What changed from one release to the next, and what has to be made again.
//!
//! Everything is matched by key, once, in [`pairs`]; the other files look at
//! the pairs. Changes are in the new range's order, then what is gone in
//! the old one's.

pub mod again;
pub mod buyers;
pub mod change;
mod colours;
mod compared;
mod made;
mod pairs;
mod parts;
pub mod report;
mod sheets;

use std::collections::BTreeSet;

use serde::Serialize;

pub use again::Again;
pub use change::{Change, ChangeKind, What};
pub use compared::ComparedSheet;
pub use made::MadeChange;

use crate::range::{ColourId, ColourRange};
use pairs::Pairs;

/// Which release a range is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Release {
    pub maker: String,
    pub release: String,
}

/// All that differs.
#[derive(Debug, Clone, Serialize)]
pub struct Changes {
    pub old: Release,
    pub new: Release,
    /// The maker or the release, and the published listings.
    pub listings: Vec<Change>,
    pub families: Vec<Change>,
    pub parts: Vec<Change>,
    pub colours: Vec<Change>,
    /// Per colour, the parts newly made and no longer made in it.
    pub made: Vec<MadeChange>,
    /// Of two sheets: what they show, their words and their editions.
    pub sheet: Vec<Change>,
    pub again: Again,
}

impl Changes {
    /// Does nothing differ?
    pub fn is_empty(&self) -> bool {
        self.each().next().is_none() && self.made.is_empty() && self.again.is_empty()
    }

    /// Every change but those of availability, in the order of a report.
    pub fn each(&self) -> impl Iterator<Item = &Change> {
        [&self.colours, &self.listings, &self.families, &self.parts, &self.sheet]
            .into_iter()
            .flatten()
    }

    /// The colours with a change of this kind.
    pub fn colours_of(&self, kind: ChangeKind) -> impl Iterator<Item = &Change> {
        self.colours.iter().filter(move |c| c.kind == kind)
    }
}

/// Compares two ranges.
pub fn ranges(old: &ColourRange, new: &ColourRange) -> Changes {
    let pairs = Pairs::new(old, new);
    Changes { again: again::of_ranges(old, new, &pairs), ..changes(old, new, &pairs) }
}

/// Compares two sheets with their ranges.
pub fn sheets(old: &ComparedSheet<'_>, new: &ComparedSheet<'_>) -> Changes {
    let pairs = Pairs::new(old.range, new.range);
    Changes {
        sheet: sheets::changes(old, new, &pairs),
        again: again::of_sheets(old, new, &pairs),
        ..changes(old.range, new.range, &pairs)
    }
}

/// The colours that the old range does not have, not even under another key.
pub fn new_colours(old: &ColourRange, new: &ColourRange) -> BTreeSet<ColourId> {
    let pairs = Pairs::new(old, new);
    (0..new.colours().len()).filter(|&i| pairs.colours.before(i).is_none()).map(ColourId).collect()
}

fn changes(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Changes {
    let release = |range: &ColourRange| Release {
        maker: range.maker().text.clone(),
        release: range.release().text.clone(),
    };
    Changes {
        old: release(old),
        new: release(new),
        listings: parts::listings(old, new, pairs),
        families: parts::families(old, new, pairs),
        parts: parts::parts(old, new, pairs),
        colours: colours::changes(old, new, pairs),
        made: made::changes(old, new, pairs),
        sheet: Vec::new(),
        again: Again::default(),
    }
}
