//! The lists of a range, read from its file or from tables of their own.

use super::index::Index;
use super::tables::{Files, ListField, Listed, made};
use crate::diag::Findings;
use crate::limits::{self, Bound};
use crate::read::ron::{Place, Source};
use crate::read::{raw, table};

/// The lists of a range, as they were written.
pub struct Lists {
    pub listings: Listed<raw::Listing>,
    pub families: Listed<raw::Family>,
    pub parts: Listed<raw::Part>,
    pub colours: Listed<raw::Colour>,
    /// The matrix, if one is given.
    pub made: Option<raw::Made>,
    /// Its places, if it is in a table.
    pub made_source: Option<Source>,
}

impl Lists {
    /// Takes the lists out of a range file, and opens the tables that it names.
    pub fn read(
        raw: &mut raw::Range,
        root: Place,
        files: &mut Files<'_>,
        findings: &mut Findings,
    ) -> Lists {
        let limits = files.sources.session.limits;
        let field = |bound: Bound, name| ListField { bound, root, name };
        let listings =
            field(limits.bound(limits::LISTINGS), "listings").here(raw.listings.take(), findings);
        let families =
            field(limits.bound(limits::FAMILIES), "families").here(raw.families.take(), findings);
        let titles: Vec<(String, String)> = listings.items.iter().map(key_and_title).collect();
        let named: Vec<table::Named<'_>> = titles.iter().map(|(k, t)| (&**k, &**t)).collect();
        let parts = field(limits.bound(limits::PARTS), "parts").here_or_there(
            raw.parts.take(),
            files,
            findings,
            |grid, own, findings| table::parts(grid, own, &named, findings),
        );
        let together = one_table(&raw.colours, &raw.made);
        let crosses: Vec<&str> = if together {
            let goes_by = parts.items.iter().map(goes_by_part);
            goes_by.flat_map(|(key, all)| all.into_iter().chain([key])).collect()
        } else {
            Vec::new()
        };
        let mut mappings = Vec::new();
        let colours = field(limits.bound(limits::COLOURS), "colours").here_or_there(
            raw.colours.take(),
            files,
            findings,
            |grid, own, findings| {
                mappings = own.to_vec();
                table::colours(grid, own, &named, &crosses, findings)
            },
        );
        let known = table::Known {
            listings: &named,
            colours: &colours.items.iter().map(goes_by_colour).collect::<Vec<_>>(),
            parts: &parts.items.iter().map(goes_by_part).collect::<Vec<_>>(),
            together: together.then_some(mappings.as_slice()),
        };
        let (made, made_source) = made(raw.made.take(), root, files, &known, findings);
        Lists { listings, families, parts, colours, made, made_source }
    }

    /// A list that nothing is in has a message.
    pub fn not_empty(&self, root: Place, findings: &mut Findings) {
        self.listings.not_empty(
            root,
            r#"add listings: [(key: "works", title: "Works list")]"#,
            findings,
        );
        self.families.not_empty(
            root,
            r#"add families: [(key: "gloss", title: "Gloss", finish: opaque)]"#,
            findings,
        );
        self.parts.not_empty(
            root,
            r#"add parts: [(key: "b9", shape: "shapes/button.svg")]"#,
            findings,
        );
        self.colours.not_empty(
            root,
            r##"add colours: [(key: "gannet", family: "gloss", value: "#f8f7f3")]"##,
            findings,
        );
    }

    /// The keys of all lists. Families also go by their titles.
    pub fn index(&self, root: Place, findings: &mut Findings) -> Index {
        let mut index = Index {
            listings: self.listings.keys("listing", root, |l| &l.key, findings),
            families: self.families.keys("family", root, |f| &f.key, findings),
            parts: self.parts.keys("part", root, |p| &p.key, findings),
            colours: self.colours.keys("colour", root, |c| &c.key, findings),
        };
        index.families.go_by(self.families.items.iter().enumerate().flat_map(|(i, f)| {
            let title = f.title.iter();
            title
                .flat_map(|t| t.forms.0.iter().map(|(_, form)| form).chain([&t.text]))
                .map(move |t| (i, t.as_str()))
        }));
        index
    }
}

/// A listing's key, and the title that it has or its key stands in for.
fn key_and_title(listing: &raw::Listing) -> (String, String) {
    let key = listing.key.clone().unwrap_or_default();
    let title = listing.title.as_ref().map_or_else(|| key.clone(), |t| t.text.clone());
    (key, title)
}

/// Are the colours and what is made of them in one table?
fn one_table(colours: &Option<raw::Rows<raw::Colour>>, made: &Option<raw::MadeIn>) -> bool {
    match (colours, made) {
        (Some(raw::Rows::Table(a)), Some(raw::MadeIn::Table(b))) => {
            a.file.is_some() && a.file == b.file && a.sheet == b.sheet
        }
        _ => false,
    }
}

/// A colour's key, and its other names in a table of what is made.
fn goes_by_colour(c: &raw::Colour) -> (&str, Vec<&str>) {
    let names = c.names.iter().flat_map(|n| &n.0).map(|(_, w)| w.text.as_str());
    let numbers = c.numbers.iter().flat_map(|n| &n.0).map(|(_, n)| n.as_str());
    (c.key.as_deref().unwrap_or(""), names.chain(numbers).collect())
}

/// A part's key, and its other names.
fn goes_by_part(p: &raw::Part) -> (&str, Vec<&str>) {
    let numbers = p.numbers.iter().flat_map(|n| &n.0).map(|(_, n)| n.as_str());
    (p.key.as_deref().unwrap_or(""), numbers.collect())
}
