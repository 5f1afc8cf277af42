//! What of the changes concerns those who order: colours and parts by what became of them, as a buyer sees it.
//!
//! Of two sheets that is what they show, in their years; of two ranges all that they hold.

use super::pairs::Pairs;
use crate::colour::difference;
use crate::range::{CentreLine, ColourId, ColourRange, ListingId, PartId, SheetSpec, Words};

/// CIEDE2000 from which a new value is reported: about what is just visible where two colours touch (common practice,
/// no source).
const SEEN: f64 = 1.0;

/// One release, and what of it is shown.
#[derive(Clone, Copy)]
pub struct Offer<'a> {
    pub range: &'a ColourRange,
    /// None: the whole range.
    pub sheet: Option<&'a SheetSpec>,
}

impl Offer<'_> {
    /// The colours that are offered, in reading order.
    fn colours(&self) -> Vec<ColourId> {
        match self.sheet {
            Some(sheet) => sheet.families().iter().flat_map(|f| f.rows()).copied().collect(),
            None => {
                let mut all: Vec<ColourId> =
                    (0..self.range.colours().len()).map(ColourId).collect();
                all.sort_by_key(|c| (self.range.colour(*c).family(), *c));
                all
            }
        }
    }

    /// Was the colour made at all in the release's year?
    fn sold(&self, colour: ColourId) -> bool {
        let colour = self.range.colour(colour);
        let Some(year) = self.sheet.and_then(SheetSpec::year) else { return true };
        colour.first_year().is_none_or(|y| y <= year)
            && colour.last_year().is_none_or(|y| year <= y)
    }

    /// Was it made before that year, and no longer in it?
    fn ended(&self, colour: ColourId) -> bool {
        let year = self.sheet.and_then(SheetSpec::year);
        let last = self.range.colour(colour).last_year();
        year.zip(last).is_some_and(|(year, last)| last < year)
    }
}

/// A colour or part in the old release, and in the new one.
pub type Was<T> = (T, T);

/// What buyers learn. Ids are of the new range, those of what is gone of the old one.
#[derive(Debug, Default, Clone, PartialEq)]
pub struct News {
    pub new: Vec<ColourId>,
    /// Made before, then not, and now again.
    pub back: Vec<ColourId>,
    /// Made before, but not in what was shown.
    pub shown: Vec<ColourId>,
    /// With another name in a listing, or with another number alone.
    pub renamed: Vec<Was<ColourId>>,
    pub renumbered: Vec<Was<ColourId>>,
    /// Of a value that can be distinguished from the old one.
    pub shade: Vec<Was<ColourId>>,
    /// In another family.
    pub moved: Vec<Was<ColourId>>,
    /// With a last year that they did not have.
    pub ending: Vec<ColourId>,
    /// Of the old range.
    pub gone: Vec<ColourId>,
    /// Still made, but no longer shown.
    pub left_out: Vec<ColourId>,
    pub new_parts: Vec<PartId>,
    /// With another number, title or size.
    pub changed_parts: Vec<Was<PartId>>,
    /// Of the old range.
    pub gone_parts: Vec<PartId>,
    /// Parts and the colours in which they are now made, or no longer; both existed before.
    pub also: Vec<(PartId, Vec<ColourId>)>,
    pub no_longer: Vec<(PartId, Vec<ColourId>)>,
}

/// Which listings' names and numbers count, and how words are spelled.
#[derive(Clone, Copy)]
pub struct Said<'a> {
    pub lines: &'a [CentreLine],
    pub say: &'a dyn Fn(&Words) -> String,
}

impl News {
    /// Compares two releases.
    pub fn new(old: Offer<'_>, new: Offer<'_>, said: Said<'_>) -> News {
        let pairs = Pairs::new(old.range, new.range);
        let mut news = News::default();
        news.colours(old, new, said, &pairs);
        news.parts(old, new, said, &pairs);
        news.made(old, new, &pairs);
        news
    }

    /// Is there nothing to report?
    pub fn is_empty(&self) -> bool {
        *self == News::default()
    }

    fn colours(&mut self, old: Offer<'_>, new: Offer<'_>, said: Said<'_>, pairs: &Pairs) {
        let (before, after) = (Members::new(&old), Members::new(&new));
        for &is in &after.order {
            match pairs.colours.before(is.0).map(ColourId) {
                None => self.new.push(is),
                Some(was) if before.has(was) => {
                    let was = Offered { offer: old, colour: was };
                    self.stayed(was, Offered { offer: new, colour: is }, said, pairs);
                }
                Some(was) if old.ended(was) => self.back.push(is),
                Some(was) if !old.sold(was) => self.new.push(is),
                Some(_) => self.shown.push(is),
            }
        }
        for &was in &before.order {
            match pairs.colours.after(was.0).map(ColourId) {
                Some(is) if after.has(is) => {}
                Some(is) if new.sold(is) => self.left_out.push(is),
                _ => self.gone.push(was),
            }
        }
    }

    fn stayed(&mut self, old: Offered<'_>, new: Offered<'_>, said: Said<'_>, pairs: &Pairs) {
        let (was, is) = (old.colour, new.colour);
        let (before, after) = (old.offer.range.colour(was), new.offer.range.colour(is));
        let (mut names, mut numbers) = (false, false);
        for (o, n) in lines(said, pairs) {
            let name = |c: &crate::range::Colour, l: usize| c.names()[l].as_ref().map(said.say);
            names |= o.name && name(before, o.listing.0) != name(after, n.0);
            numbers |= o.number && before.numbers()[o.listing.0] != after.numbers()[n.0];
        }
        if names {
            self.renamed.push((was, is));
        } else if numbers {
            self.renumbered.push((was, is));
        }
        if difference(before.aim(), after.aim()) >= SEEN {
            self.shade.push((was, is));
        }
        if pairs.families.after(before.family().0) != Some(after.family().0) {
            self.moved.push((was, is));
        }
        match (before.last_year().is_some(), after.last_year().is_some()) {
            (false, true) => self.ending.push(is),
            (true, false) if new.offer.sheet.is_none() => self.back.push(is),
            _ => {}
        }
    }

    fn parts(&mut self, old: Offer<'_>, new: Offer<'_>, said: Said<'_>, pairs: &Pairs) {
        let offered = |offer: Offer<'_>, part: usize| {
            let colours = offer.colours();
            offer.sheet.is_none() || colours.iter().any(|c| offer.range.is_made(*c, PartId(part)))
        };
        for (i, part) in new.range.parts().iter().enumerate().filter(|(i, _)| offered(new, *i)) {
            let Some(was) = pairs.parts.before(i).filter(|o| offered(old, *o)) else {
                self.new_parts.push(PartId(i));
                continue;
            };
            let before = &old.range.parts()[was];
            let number = |(o, n): (CentreLine, ListingId)| {
                before.numbers()[o.listing.0] != part.numbers()[n.0]
            };
            let title = (said.say)(before.title()) != (said.say)(part.title());
            let size = (said.say)(before.size()) != (said.say)(part.size());
            if title || size || lines(said, pairs).any(number) {
                self.changed_parts.push((PartId(was), PartId(i)));
            }
        }
        let stays = |p: usize| pairs.parts.after(p).is_some_and(|n| offered(new, n));
        let gone = (0..old.range.parts().len()).filter(|p| offered(old, *p) && !stays(*p));
        self.gone_parts = gone.map(PartId).collect();
    }

    fn made(&mut self, old: Offer<'_>, new: Offer<'_>, pairs: &Pairs) {
        let before = Members::new(&old);
        let both: Vec<Was<ColourId>> = new
            .colours()
            .into_iter()
            .filter_map(|is| Some((ColourId(pairs.colours.before(is.0)?), is)))
            .filter(|(was, _)| before.has(*was))
            .collect();
        for part in (0..new.range.parts().len()).map(PartId).filter(|p| !self.new_parts.contains(p))
        {
            let Some(earlier) = pairs.parts.before(part.0).map(PartId) else { continue };
            let cells = |made: bool| -> Vec<ColourId> {
                let differs = |(was, is): &&Was<ColourId>| {
                    let now = new.range.is_made(*is, part);
                    now == made && old.range.is_made(*was, earlier) != now
                };
                both.iter().filter(differs).map(|(_, is)| *is).collect()
            };
            let gone = self.gone_parts.contains(&earlier);
            let (also, no_longer) = (cells(true), cells(false));
            self.also.extend((!also.is_empty()).then_some((part, also)));
            self.no_longer.extend((!no_longer.is_empty() && !gone).then_some((part, no_longer)));
        }
    }
}

/// A colour of a release.
#[derive(Clone, Copy)]
struct Offered<'a> {
    offer: Offer<'a>,
    colour: ColourId,
}

/// The colours of a release, in order and to be asked for.
struct Members {
    order: Vec<ColourId>,
    has: Vec<bool>,
}

impl Members {
    fn new(offer: &Offer<'_>) -> Members {
        let order = offer.colours();
        let mut has = vec![false; offer.range.colours().len()];
        order.iter().for_each(|c| has[c.0] = true);
        Members { order, has }
    }

    fn has(&self, colour: ColourId) -> bool {
        self.has[colour.0]
    }
}

/// The lines whose listing is in both releases: the line with the old listing, and the new listing.
fn lines<'a>(said: Said<'a>, pairs: &'a Pairs) -> impl Iterator<Item = (CentreLine, ListingId)> {
    said.lines.iter().filter_map(|line| {
        let old = ListingId(pairs.listings.before(line.listing.0)?);
        Some((CentreLine { listing: old, ..*line }, line.listing))
    })
}

/// The old listing of a new one.
pub fn listing_before(
    old: &ColourRange,
    new: &ColourRange,
    listing: ListingId,
) -> Option<ListingId> {
    let key = new.listings()[listing.0].key();
    old.listings().iter().position(|l| l.key() == key).map(ListingId)
}
