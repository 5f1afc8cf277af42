//! One change: of what, which kind, from what to what.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::range::Words;

/// What changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    Range,
    Listing,
    Family,
    Part,
    Colour,
    Sheet,
    Edition,
}

impl What {
    /// The word in tables and files.
    pub fn word(self) -> &'static str {
        match self {
            What::Range => "range",
            What::Listing => "listing",
            What::Family => "family",
            What::Part => "part",
            What::Colour => "colour",
            What::Sheet => "sheet",
            What::Edition => "edition",
        }
    }
}

/// How it changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChangeKind {
    /// Did not exist before.
    New,
    /// Its last year was set before and is not now.
    Back,
    /// Gone.
    Withdrawn,
    /// Still made, but its last year is set now and was not before.
    Ending,
    /// The same under another key.
    Rekeyed,
    Renamed,
    Renumbered,
    /// Another colour value.
    #[serde(rename = "re-valued")]
    Revalued,
    /// In another family.
    Moved,
    Finish,
    Years,
    /// Another note, which is not printed on colours but is on families.
    Note,
    Legend,
    /// Another outline.
    Shape,
    /// Drawn differently within the same outline.
    Drawing,
    Side,
    Role,
    Size,
    /// The same things in another order.
    Order,
    /// Shown on the sheet and not before; no longer shown.
    Shown,
    Hidden,
    /// Other words or another choice.
    Changed,
}

impl ChangeKind {
    /// The word in tables and files.
    pub fn word(self) -> &'static str {
        match self {
            ChangeKind::New => "new",
            ChangeKind::Back => "back",
            ChangeKind::Withdrawn => "withdrawn",
            ChangeKind::Ending => "ending",
            ChangeKind::Rekeyed => "re-keyed",
            ChangeKind::Renamed => "renamed",
            ChangeKind::Renumbered => "renumbered",
            ChangeKind::Revalued => "re-valued",
            ChangeKind::Moved => "moved",
            ChangeKind::Finish => "finish",
            ChangeKind::Years => "years",
            ChangeKind::Note => "note",
            ChangeKind::Legend => "legend",
            ChangeKind::Shape => "shape",
            ChangeKind::Drawing => "drawing",
            ChangeKind::Side => "side",
            ChangeKind::Role => "role",
            ChangeKind::Size => "size",
            ChangeKind::Order => "order",
            ChangeKind::Shown => "shown",
            ChangeKind::Hidden => "hidden",
            ChangeKind::Changed => "changed",
        }
    }
}

/// One change. Of something in both releases, the key is the new one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    pub what: What,
    pub kind: ChangeKind,
    pub key: String,
    /// What people call it.
    pub name: String,
    /// The listing of a name or number, by its key.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub listing: Option<String>,
    /// The spelling of a name of its own there, BCP 47.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spelling: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new: Option<String>,
    /// CIEDE2000 between the two values.
    #[serde(rename = "dE00", skip_serializing_if = "Option::is_none")]
    pub de00: Option<f64>,
}

/// Collects the changes of one thing.
pub(super) struct About<'a> {
    pub what: What,
    pub key: &'a str,
    pub name: &'a str,
    pub out: &'a mut Vec<Change>,
}

impl About<'_> {
    /// Notes one change.
    pub fn push(
        &mut self,
        kind: ChangeKind,
        old: Option<String>,
        new: Option<String>,
    ) -> &mut Change {
        self.out.push(Change {
            what: self.what,
            kind,
            key: self.key.to_owned(),
            name: self.name.to_owned(),
            listing: None,
            spelling: None,
            old,
            new,
            de00: None,
        });
        let last = self.out.len() - 1;
        &mut self.out[last]
    }

    /// Notes that a text differs, if it does.
    pub fn text(&mut self, kind: ChangeKind, old: &str, new: &str) {
        if old != new {
            self.push(kind, some(old), some(new));
        }
    }

    /// The same for a number or name of a listing.
    pub fn listed(
        &mut self,
        kind: ChangeKind,
        listing: &str,
        old: Option<&String>,
        new: Option<&String>,
    ) {
        if old != new {
            self.push(kind, old.cloned(), new.cloned()).listing = Some(listing.to_owned());
        }
    }

    /// The same for words, and for their form in each spelling.
    pub fn words(
        &mut self,
        kind: ChangeKind,
        listing: Option<&str>,
        old: Option<&Words>,
        new: Option<&Words>,
    ) {
        let text = |w: Option<&Words>| w.map(|w| w.text.clone()).filter(|t| !t.is_empty());
        let mut note = |spelling: Option<&str>, old: Option<String>, new: Option<String>| {
            if old != new {
                let change = self.push(kind, old, new);
                change.listing = listing.map(str::to_owned);
                change.spelling = spelling.map(str::to_owned);
            }
        };
        note(None, text(old), text(new));
        let tags = |w: Option<&Words>| w.map(|w| w.forms.keys().cloned().collect::<BTreeSet<_>>());
        for tag in &tags(old).unwrap_or_default() | &tags(new).unwrap_or_default() {
            let form = |w: Option<&Words>| w.and_then(|w| w.forms.get(&tag).cloned());
            note(Some(&tag), form(old), form(new));
        }
    }
}

/// A text, if there is any.
pub(super) fn some(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}
