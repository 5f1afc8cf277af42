//! The editions of a sheet.

use super::lists::ids;
use crate::diag::{Diagnostic, Findings, Located};
use crate::range::check::index::Known;
use crate::range::check::keys::{check_key, check_tag, text};
use crate::range::{EditionSpec, FamilyId, Format, SheetFamily};
use crate::read::raw;
use crate::read::ron::Place;
use crate::read::tag::usual_case;

/// More editions than anybody prints.
const MAX_EDITIONS: usize = 200;

/// What the editions of a sheet have from it.
pub(super) struct Editions<'a> {
    known: Known<'a>,
    /// The families that the sheet shows.
    shown: &'a [SheetFamily],
    spellings: Located<Vec<String>>,
    has_pictures: bool,
}

impl<'a> Editions<'a> {
    /// Takes the editions out of a sheet that shows these families: A4 alone where it has none.
    pub(super) fn check(
        raw: &mut raw::Sheet,
        shown: &'a [SheetFamily],
        root: Place,
        known: Known<'a>,
        findings: &mut Findings,
    ) -> Vec<EditionSpec> {
        let spellings = spellings(raw.spellings.take(), root, findings);
        let spellings_span =
            if root.has("spellings") { root.field("spellings").span() } else { root.head() };
        let sheet = Editions {
            known,
            shown,
            spellings: Located::new(
                spellings.unwrap_or_else(|| vec!["en-GB".to_owned()]),
                spellings_span,
            ),
            has_pictures: root.has("pictures"),
        };
        match raw.editions.take() {
            Some(list) => sheet.each(list, root.field("editions"), findings),
            None => vec![EditionSpec {
                name: Located::new("a4".to_owned(), root.head()),
                layout: Located::new("a4".to_owned(), root.head()),
                spellings: sheet.spellings,
                formats: all_formats(),
                families: Vec::new(),
                only: None,
            }],
        }
    }

    fn each(
        &self,
        list: Vec<raw::Edition>,
        place: Place,
        findings: &mut Findings,
    ) -> Vec<EditionSpec> {
        if list.is_empty() && place.damaged() {
            return Vec::new();
        }
        if list.is_empty() || list.len() > MAX_EDITIONS {
            findings.push(
                Diagnostic::error(
                    "edition-count",
                    format!("the sheet has {} editions", list.len()),
                )
                .at(place.key_span())
                .help(format!("give from 1 to {MAX_EDITIONS}, or remove the field for A4 only")),
            );
            return Vec::new();
        }
        let mut out: Vec<EditionSpec> = Vec::new();
        for (i, edition) in list.into_iter().enumerate() {
            let one = self.one(edition, place.item(i), &out, findings);
            out.extend(one);
        }
        out
    }

    /// One edition, after those `before` it.
    fn one(
        &self,
        raw: raw::Edition,
        at: Place,
        before: &[EditionSpec],
        findings: &mut Findings,
    ) -> Option<EditionSpec> {
        let Some(layout) = raw.layout else {
            if !at.faulted("layout") {
                findings.push(
                    Diagnostic::error("missing-field", "this edition has no layout")
                        .at(at.head())
                        .help("add a page layout, for example layout: \"a4\""),
                );
            }
            return None;
        };
        text(&layout, at.field("layout"), findings);
        let name = match raw.name {
            Some(n) => {
                check_key("edition", &n, at.field("name"), findings);
                n
            }
            None => stem(&layout),
        };
        if before.iter().any(|o| o.name.eq_ignore_ascii_case(&name)) {
            let span = if at.has("name") { at.field("name") } else { at.field("layout") };
            findings.push(
                Diagnostic::error("double-key", format!("two editions are named '{name}'"))
                    .at(span.span())
                    .help(
                        "give one of them a different name: their files would overwrite each other",
                    ),
            );
        }
        let formats = formats(raw.formats, at, findings);
        let families_at = at.field("families");
        let families =
            edition_families(raw.families, families_at, self.shown, self.known, findings);
        let own_at = at.has("spellings").then(|| at.field("spellings").span());
        let span = own_at.unwrap_or_else(|| self.spellings.span.clone());
        let spellings = spellings(raw.spellings, at, findings);
        let spellings = spellings.unwrap_or_else(|| self.spellings.value.clone());
        let only = raw.only.filter(|_| self.only(at, findings));
        Some(EditionSpec {
            name: Located::new(name, at.head()),
            layout: Located::new(layout, at.field("layout").span()),
            spellings: Located::new(spellings, span),
            formats,
            families,
            only,
        })
    }

    /// Is there something that an edition of drawings alone leaves out?
    fn only(&self, at: Place, findings: &mut Findings) -> bool {
        if !self.has_pictures {
            let message = "'only' has no effect in a sheet without pictures";
            findings.push(
                Diagnostic::error("only-without-pictures", message)
                    .at(at.field("only").span())
                    .help("remove 'only', or name the folder of the pictures in the sheet: pictures: \"pictures\""),
            );
        }
        self.has_pictures
    }
}

fn all_formats() -> Vec<Format> {
    vec![Format::Svg, Format::Pdf, Format::Png]
}

/// The formats of an edition, each once: all where it names none.
fn formats(raw: Option<Vec<Format>>, at: Place, findings: &mut Findings) -> Vec<Format> {
    let Some(mut list) = raw else { return all_formats() };
    if list.is_empty() {
        findings.push(
            Diagnostic::error("empty-list", "this edition has no output formats")
                .at(at.field("formats").span())
                .help("name one or more of svg, pdf and png, or remove the field"),
        );
    }
    list.sort_unstable();
    list.dedup();
    list
}

fn spellings(
    raw: Option<Vec<String>>,
    owner: Place,
    findings: &mut Findings,
) -> Option<Vec<String>> {
    let list = raw?;
    let place = owner.field("spellings");
    let mut out: Vec<String> = Vec::new();
    for (i, tag) in list.iter().enumerate() {
        let span = place.item(i).span();
        if !check_tag(tag, span.clone(), findings) {
            continue;
        }
        let tag = usual_case(tag);
        if out.contains(&tag) {
            findings.push(
                Diagnostic::error("double-key", format!("the spelling '{tag}' is given twice"))
                    .at(span)
                    .help("keep one of them"),
            );
            continue;
        }
        out.push(tag);
    }
    if list.is_empty() {
        findings.push(
            Diagnostic::error("empty-list", "no spelling is given")
                .at(place.span())
                .help("name one, for example \"en-GB\", or remove the field"),
        );
    }
    Some(out)
}

/// A layout's name, or its file's name without folder and ending.
fn stem(layout: &str) -> String {
    let last = layout.rsplit('/').next().unwrap_or(layout);
    last.strip_suffix(".ron").unwrap_or(last).to_owned()
}

fn edition_families(
    raw: Option<Vec<String>>,
    place: Place,
    shown: &[SheetFamily],
    known: Known<'_>,
    findings: &mut Findings,
) -> Vec<FamilyId> {
    let Known { range, index, .. } = known;
    let wanted = ids(raw, place, &index.families, findings);
    for id in &wanted {
        if !shown.iter().any(|f| f.family.0 == *id) && !findings.failed() {
            findings.push(
                Diagnostic::error(
                    "family-not-shown",
                    format!("the sheet does not show the family '{}'", range.families[*id].key),
                )
                .at(place.span())
                .help("add it to the sheet's families, or remove it here"),
            );
        }
    }
    shown.iter().map(|f| f.family).filter(|f| wanted.contains(&f.0)).collect()
}
