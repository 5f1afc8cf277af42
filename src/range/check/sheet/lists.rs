//! Lists of a sheet that name things of the range.

use crate::diag::{Diagnostic, Findings};
use crate::range::check::index::Known;
use crate::range::check::keys::Keys;
use crate::range::{CentreLine, ListingId, PartId};
use crate::read::raw;
use crate::read::ron::Place;

/// The numbers of keys in a list, each once.
pub(super) fn ids(
    raw: Option<Vec<String>>,
    place: Place,
    keys: &Keys,
    findings: &mut Findings,
) -> Vec<usize> {
    let mut out = Vec::new();
    for (i, key) in raw.unwrap_or_default().iter().enumerate() {
        let at = place.item(i);
        match keys.find(key, at, findings) {
            Some(n) if out.contains(&n) => findings.push(
                Diagnostic::error("double-key", format!("'{key}' is in this list twice"))
                    .at(at.span())
                    .help("keep one of them"),
            ),
            Some(n) => out.push(n),
            None => {}
        }
    }
    out
}

/// The parts of a list, each once.
pub(super) fn parts(
    raw: Option<Vec<String>>,
    place: Place,
    keys: &Keys,
    findings: &mut Findings,
) -> Vec<PartId> {
    ids(raw, place, keys, findings).into_iter().map(PartId).collect()
}

/// What the centre column shows: all listings where nothing is said.
pub(super) fn centre(
    raw: Option<Vec<raw::CentreLine>>,
    place: Place,
    known: Known<'_>,
    findings: &mut Findings,
) -> Vec<CentreLine> {
    let Known { range, index, .. } = known;
    let Some(raw) = raw else {
        return (0..range.listings.len())
            .map(|i| CentreLine { listing: ListingId(i), name: true, number: true })
            .collect();
    };
    let mut out: Vec<CentreLine> = Vec::new();
    for (i, line) in raw.into_iter().enumerate() {
        let at = place.item(i);
        let Some(key) = line.listing else {
            if !at.faulted("listing") {
                findings.push(
                    Diagnostic::error("missing-field", "this centre line does not name a listing")
                        .at(at.head())
                        .help("add listing: \"...\""),
                );
            }
            continue;
        };
        let Some(id) = index.listings.find(&key, at.field("listing"), findings) else { continue };
        if out.iter().any(|l| l.listing.0 == id) {
            findings.push(
                Diagnostic::error(
                    "double-key",
                    format!("the listing '{key}' appears twice in the centre"),
                )
                .at(at.field("listing").span())
                .help("keep one of them"),
            );
        }
        let (name, number) = (line.name.unwrap_or(true), line.number.unwrap_or(true));
        if !name && !number {
            findings.push(
                Diagnostic::warning("empty-line", "this centre line shows neither name nor number")
                    .at(at.head())
                    .help("remove the line, or set one of them to true"),
            );
        }
        out.push(CentreLine { listing: ListingId(id), name, number });
    }
    out
}
