//! Names of one listing that are easily taken for each other.

use std::collections::BTreeMap;

use crate::diag::{Diagnostic, Findings};
use crate::range::{Colour, ColourRange, ListingId};

/// Shorter names differ by one letter all the time: tern and fern.
const LEAST_LETTERS: usize = 6;
/// Longer ones are no names that are taken for each other; every letter costs as much as the whole name.
const MOST_LETTERS: usize = 60;

/// Names that differ by one letter (a hint), and names or numbers that differ
/// only by case, blanks or hyphens (a warning).
pub fn near(range: &ColourRange) -> Findings {
    let mut findings = Findings::default();
    for l in 0..range.listings().len() {
        let name = |c: &Colour| c.names()[l].as_ref().map(|w| w.text.clone());
        let number = |c: &Colour| c.numbers()[l].value.clone();
        let listing = ListingId(l);
        let names = Compared { listing, code: "near-name", what: "names", text: &name };
        alike(range, &names, &mut findings);
        let numbers = Compared { listing, code: "near-number", what: "numbers", text: &number };
        alike(range, &numbers, &mut findings);
        one_letter(range, listing, &mut findings);
    }
    findings
}

/// A text without what is easily overlooked.
fn skeleton(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// What of a listing is compared.
struct Compared<'a> {
    listing: ListingId,
    /// Of the finding.
    code: &'static str,
    what: &'a str,
    text: &'a dyn Fn(&Colour) -> Option<String>,
}

fn alike(range: &ColourRange, compared: &Compared<'_>, findings: &mut Findings) {
    let Compared { listing, code, what, text } = *compared;
    let mut seen: BTreeMap<String, (String, usize)> = BTreeMap::new();
    for (i, colour) in range.colours().iter().enumerate() {
        let Some(own) = text(colour) else { continue };
        let bones = skeleton(&own);
        if bones.is_empty() {
            continue;
        }
        match seen.get(&bones) {
            // Equal but for case is a double name, which reading has noted.
            Some((other, _)) if other.to_lowercase() == own.to_lowercase() => {}
            Some((other, first)) => findings.push(
                Diagnostic::warning(
                    code,
                    format!(
                        "the {what} '{other}' and '{own}' of '{}' and '{}' differ only in spaces or punctuation",
                        range.colours()[*first].key(),
                        colour.key()
                    ),
                )
                .at(colour.names()[listing.0].span.clone())
                .help("if they are different colours, make the names more distinct; if one is misspelt, correct it"),
            ),
            None => {
                seen.insert(bones, (own, i));
            }
        }
    }
}

/// Every name, and every name less one letter, leads to the colours that have
/// it: two names that differ by one letter meet at one of these.
fn one_letter(range: &ColourRange, listing: ListingId, findings: &mut Findings) {
    let mut met: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let names: Vec<Option<String>> = range
        .colours()
        .iter()
        .map(|c| c.names()[listing.0].as_ref().map(|w| w.text.to_lowercase()))
        .collect();
    for (i, name) in names.iter().enumerate() {
        let fits = |n: &&String| (LEAST_LETTERS..=MOST_LETTERS).contains(&n.chars().count());
        let Some(name) = name.as_ref().filter(fits) else {
            continue;
        };
        let letters: Vec<char> = name.chars().collect();
        let mut forms = vec![name.clone()];
        forms.extend((0..letters.len()).map(|skip| {
            letters.iter().enumerate().filter(|(k, _)| *k != skip).map(|(_, c)| *c).collect()
        }));
        forms.sort_unstable();
        forms.dedup();
        for form in forms {
            met.entry(form).or_default().push(i);
        }
    }
    let mut pairs: Vec<(usize, usize)> = met
        .values()
        .filter(|list| list.len() > 1 && list.len() < 50)
        .flat_map(|list| {
            list.iter().enumerate().flat_map(move |(k, a)| list[..k].iter().map(move |b| (*b, *a)))
        })
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    for (a, b) in pairs {
        let (Some(x), Some(y)) = (&names[a], &names[b]) else { continue };
        if strsim::damerau_levenshtein(x, y) != 1 || skeleton(x) == skeleton(y) || numbered(x, y) {
            continue;
        }
        let colours = range.colours();
        findings.push(
            Diagnostic::hint(
                "one-letter",
                format!(
                    "'{}' and '{}' differ by one letter",
                    colours[a].names()[listing.0].as_ref().map_or("", |w| &w.text),
                    colours[b].names()[listing.0].as_ref().map_or("", |w| &w.text),
                ),
            )
            .at(colours[b].names()[listing.0].span.clone())
            .help("if they are different colours, make the names more distinct; if one is misspelt, correct it"),
        );
    }
}

/// Do two names differ in a figure only: Tide 1, Tide 2?
fn numbered(a: &str, b: &str) -> bool {
    let words = |s: &str| -> String { s.chars().filter(|c| !c.is_numeric()).collect() };
    words(a) == words(b)
}
