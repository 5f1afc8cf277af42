//! The text of a label: names and numbers per listing, as on the sheet.

use crate::diag::{Diagnostic, Findings};
use crate::range::{CentreLine, ColourId, ColourRange, ListingId, SheetSpec};
use crate::sheet::Sample;
use crate::spelling::Spelling;

/// A name and a number of one listing; either may be empty, not both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListingWords {
    pub listing: ListingId,
    pub name: String,
    pub number: String,
    /// The listing's title; empty where the range has one listing only.
    pub tag: String,
}

/// One colour's label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    pub colour: ColourId,
    pub key: String,
    pub sample: Sample,
    /// By listing, in the order in which they are shown; never empty.
    pub entries: Vec<ListingWords>,
}

/// In what words labels say which colour they are of.
#[derive(Clone, Copy)]
pub struct Wording<'a> {
    pub range: &'a ColourRange,
    /// What is shown of each listing.
    pub shown: &'a [CentreLine],
    pub spelling: &'a Spelling,
}

impl Wording<'_> {
    /// The texts of the labels of `colours`, at most `lines` listings each.
    ///
    /// A colour that is in none of the listings gets its name of another one, or
    /// its key, and is reported.
    pub fn said(&self, colours: &[ColourId], lines: usize, findings: &mut Findings) -> Vec<Said> {
        let (shown, cut) = self.shown.split_at(lines.min(self.shown.len()));
        for line in cut {
            let listing = &self.range.listings()[line.listing.0];
            let message = format!(
                "labels of {} have no room for the listing '{}'",
                if lines == 1 { "one line".to_owned() } else { format!("{lines} lines") },
                listing.key()
            );
            findings.push(Diagnostic::warning("listing-left-out", message).help(
                "use a label sheet with more lines, or choose the listings, each with its own --listing",
            ));
        }
        let short = Wording { shown, ..*self };
        colours.iter().map(|c| short.label(*c, findings)).collect()
    }

    fn label(&self, id: ColourId, findings: &mut Findings) -> Said {
        let Wording { range, shown, spelling } = *self;
        let colour = range.colour(id);
        let tag = |listing: ListingId| match &range.listings()[..] {
            [] | [_] => String::new(),
            all => spelling.apply(all[listing.0].title()),
        };
        let entry = |line: &CentreLine| {
            let name = colour.names()[line.listing.0].as_ref().filter(|_| line.name);
            let number = colour.numbers()[line.listing.0].as_ref().filter(|_| line.number);
            ListingWords {
                listing: line.listing,
                name: name.map(|w| spelling.apply(w)).unwrap_or_default(),
                number: number.cloned().unwrap_or_default(),
                tag: tag(line.listing),
            }
        };
        let mut entries: Vec<ListingWords> = shown.iter().map(entry).collect();
        entries.retain(|e| !(e.name.is_empty() && e.number.is_empty()));
        if entries.is_empty() {
            let named = colour.names().iter().position(|name| name.is_some());
            let name = colour.names().iter().flatten().next().map(|w| spelling.apply(w));
            let name = name.unwrap_or_else(|| colour.key().clone());
            let message = format!(
                "'{name}' has neither name nor number in the listings that its label shows"
            );
            findings.push(
                Diagnostic::warning("not-listed", message)
                    .at(colour.span().clone())
                    .help("the label shows only this; choose different listings with --listing"),
            );
            let listing = shown.first().map_or(ListingId(0), |l| l.listing);
            // The name is that of another listing, which is stated; a key belongs to none.
            let tag = named.map(|l| tag(ListingId(l))).unwrap_or_default();
            entries.push(ListingWords { listing, name, number: String::new(), tag });
        }
        Said { colour: id, key: colour.key().clone(), sample: Sample::of(range, id), entries }
    }
}

/// What a label shows of each listing: as the sheet does, or all of those asked for.
pub fn shown(sheet: &SheetSpec, asked: &[ListingId]) -> Vec<CentreLine> {
    if asked.is_empty() {
        return sheet.centre().clone();
    }
    let line = |listing: &ListingId| CentreLine { listing: *listing, name: true, number: true };
    asked.iter().map(line).collect()
}
