//! Numbers and names of the listing by which the order is written.

use crate::range::{ColourId, ColourRange, FamilyId, ListingId, PartId, SheetSpec};
use crate::sheet::About;
use crate::sheet::words::filled_with;
use crate::spelling::Spelling;

/// A range in one listing and one spelling.
#[derive(Clone, Copy)]
pub struct Naming<'a> {
    pub range: &'a ColourRange,
    pub sheet: &'a SheetSpec,
    pub listing: ListingId,
    pub spelling: &'a Spelling,
}

impl<'a> Naming<'a> {
    /// A fixed text of the spelling, its places filled in.
    pub fn say(&self, key: &str, fill: &[(&str, &str)]) -> String {
        self.spelling.phrase(key, fill)
    }

    /// So many of a thing that the spelling counts: 'part' is `single_part` or `some_parts`.
    pub fn counted(&self, n: u64, thing: &str) -> String {
        match n {
            1 => self.say(&format!("single_{thing}"), &[]),
            n => self.say(&format!("some_{thing}s"), &[("n", &n.to_string())]),
        }
    }

    /// The listing's title.
    pub fn listing_title(&self) -> String {
        self.spelling.apply(self.range.listings()[self.listing.0].title())
    }

    /// The sheet's title, its blanks filled in as for a sheet at true size.
    pub fn title(&self) -> String {
        let counts = [self.sheet.colour_count(), self.sheet.families().len()];
        filled_with(self.range, counts, self.spelling, 1.0, self.sheet.title())
    }

    /// What a file of the sheet says of itself, under this title.
    pub fn about(&self, title: String) -> About {
        About {
            title,
            author: self.spelling.apply(self.range.maker()),
            language: self.spelling.tag().to_owned(),
            issue_date: self.sheet.issue_date(),
            year: self.sheet.year(),
        }
    }

    /// The part's number. Never that of another listing, which would order something else.
    pub fn part_number(&self, part: PartId) -> Option<&'a str> {
        self.range.part(part).numbers()[self.listing.0].as_deref()
    }

    /// The part's title, empty where the range has none.
    pub fn part_title(&self, part: PartId) -> String {
        self.spelling.apply(self.range.part(part).title())
    }

    /// The part's size as printed.
    pub fn part_size(&self, part: PartId) -> String {
        self.spelling.apply(self.range.part(part).size())
    }

    /// Number and title, for a line of text; the key where there is no number.
    pub fn part(&self, part: PartId) -> String {
        let number = self.part_number(part).unwrap_or(self.range.part(part).key());
        format!("{number} {}", self.part_title(part)).trim_end().to_owned()
    }

    /// The colour's number, of this listing only.
    pub fn colour_number(&self, colour: ColourId) -> Option<&'a str> {
        self.range.colour(colour).numbers()[self.listing.0].as_deref()
    }

    /// The colour's name; where the listing has none that of another, else the key.
    pub fn colour_name(&self, colour: ColourId) -> String {
        let colour = self.range.colour(colour);
        let own = colour.names()[self.listing.0].as_ref();
        match own.or_else(|| colour.names().iter().flatten().next()) {
            Some(words) => self.spelling.apply(words),
            None => colour.key().clone(),
        }
    }

    /// Number and name, for a line of text.
    pub fn colour(&self, colour: ColourId) -> String {
        let number = self.colour_number(colour).unwrap_or("");
        format!("{number} {}", self.colour_name(colour)).trim_start().to_owned()
    }

    pub fn family(&self, family: FamilyId) -> String {
        self.spelling.apply(self.range.family(family).title())
    }
}
