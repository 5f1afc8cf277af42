//! Listings and families.

use std::collections::BTreeMap;

use super::keys::words;
use crate::diag::{Diagnostic, Findings, Located};
use crate::range::{Colour, Family, Finish, Listing, Words};
use crate::read::raw;
use crate::read::ron::Place;

/// Checks the listings at a place.
pub fn listings(raw: Vec<raw::Listing>, at: Place, findings: &mut Findings) -> Vec<Listing> {
    let one = |(i, l): (usize, raw::Listing)| {
        let place = at.item(i);
        let key = l.key.unwrap_or_default();
        let title = l.title.map(|t| words(t, place.field("title"), findings));
        Listing { title: title.unwrap_or_else(|| Words::plain(&key)), key }
    };
    raw.into_iter().enumerate().map(one).collect()
}

/// Checks the families at a place.
pub fn check(raw: Vec<raw::Family>, at: Place, findings: &mut Findings) -> Vec<Family> {
    raw.into_iter().enumerate().map(|(i, f)| one(f, at.item(i), findings)).collect()
}

fn one(raw: raw::Family, place: Place, findings: &mut Findings) -> Family {
    let key = raw.key.unwrap_or_default();
    let title = raw.title.map(|t| words(t, place.field("title"), findings));
    let note = raw.note.map(|t| words(t, place.field("note"), findings)).unwrap_or_default();
    let legend = raw.legend.map(|t| words(t, place.field("legend"), findings));
    let note = Located::new(note, place.or_head("note"));
    let legend = legend.map(|legend| Located::new(legend, place.or_head("legend")));
    let title = title.unwrap_or_else(|| Words::plain(&key));
    Family {
        title: Located::new(title, place.or_head("title")),
        legend: legend.unwrap_or_else(|| note.clone()),
        note,
        finish: raw.finish.unwrap_or(Finish::Opaque),
        key,
    }
}

/// Families that no colour is in.
pub fn unused(
    families: &[Family],
    families_at: Place,
    colours: &[Colour],
    colours_at: Place,
    findings: &mut Findings,
) {
    if colours_at.damaged() || colours.is_empty() {
        return;
    }
    let mut used = BTreeMap::new();
    colours.iter().for_each(|c| *used.entry(c.family.0).or_insert(0) += 1);
    for (i, f) in families.iter().enumerate().filter(|(i, _)| !used.contains_key(i)) {
        findings.push(
            Diagnostic::warning("empty-family", format!("the family '{}' has no colours", f.key))
                .at(families_at.item(i).field("key").span())
                .help("assign colours to this family, or remove it"),
        );
    }
}
