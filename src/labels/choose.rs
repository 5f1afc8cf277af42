//! Which colours get a label, in the sheet's order.

use std::collections::BTreeSet;

use crate::compare::again::{Labels, labels};
use crate::diag::{Diagnostic, Findings, nearest};
use crate::range::{CentreLine, ColourId, ColourRange, Described, FamilyId, ListingId, SheetSpec};

/// What is asked for; without any of it every colour of the sheet gets one.
#[derive(Debug, Clone, Default)]
pub struct Choice {
    /// Only these families.
    pub families: Vec<FamilyId>,
    /// Only colours of these keys.
    pub only: Vec<String>,
}

/// The colours of the sheet that are asked for.
///
/// # Errors
/// Keys of colours that the sheet does not show.
pub fn colours(
    range: &ColourRange,
    sheet: &SheetSpec,
    choice: &Choice,
) -> Result<Vec<ColourId>, Findings> {
    let all: Vec<(ColourId, FamilyId)> = sheet
        .families()
        .iter()
        .flat_map(|f| f.rows().iter().map(move |c| (*c, f.family())))
        .collect();
    let mut findings = Findings::default();
    let mut keys = BTreeSet::new();
    for key in &choice.only {
        let found = all.iter().find(|(c, _)| range.colour(*c).key() == key);
        match found {
            Some((_, family)) if in_families(choice, *family) => drop(keys.insert(key)),
            Some(_) => findings.push(
                Diagnostic::error(
                    "not-in-family",
                    format!("the colour '{key}' is not in any of the chosen families"),
                )
                .help("remove --family, or name its family too"),
            ),
            None => findings.push(unknown(range, &all, key)),
        }
    }
    if findings.failed() {
        return Err(findings);
    }
    let wanted = |(c, f): &(ColourId, FamilyId)| {
        in_families(choice, *f) && (choice.only.is_empty() || keys.contains(range.colour(*c).key()))
    };
    Ok(all.into_iter().filter(wanted).map(|(c, _)| c).collect())
}

fn in_families(choice: &Choice, family: FamilyId) -> bool {
    choice.families.is_empty() || choice.families.contains(&family)
}

fn unknown(range: &ColourRange, shown: &[(ColourId, FamilyId)], key: &str) -> Diagnostic {
    if range.colours().iter().any(|c| c.key() == key) {
        return Diagnostic::error(
            "not-on-sheet",
            format!("the sheet does not show the colour '{key}'"),
        )
        .help("use a sheet that shows it");
    }
    let keys = shown.iter().map(|(c, _)| range.colour(*c).key().as_str());
    let d = Diagnostic::error("unknown-colour", format!("there is no colour '{key}'"));
    match nearest(key, keys) {
        Some(near) => d.help(format!("did you mean '{near}'?")),
        None => d.help("write keys of the range file, separated by commas without spaces"),
    }
}

/// Of `colours` those whose label is another than it was: new, renamed,
/// renumbered or of another value. An old sheet's labels showed what it
/// shows, or the listings asked for; an old range's those of the new ones.
pub fn due(old: &Described, new: &Labels<'_>, asked: bool, colours: &[ColourId]) -> Vec<ColourId> {
    let own = || lines_of(&new.lines, new.range, &old.range);
    let old = match &old.sheet {
        Some(sheet) if !asked => Labels::of_sheet(&old.range, sheet),
        Some(sheet) => Labels { lines: own(), ..Labels::of_sheet(&old.range, sheet) },
        None => Labels { lines: own(), ..Labels::of_range(&old.range) },
    };
    let due: BTreeSet<ColourId> = labels(&old, new).into_iter().collect();
    colours.iter().copied().filter(|c| due.contains(c)).collect()
}

/// The same listings, by key, in another range.
fn lines_of(lines: &[CentreLine], range: &ColourRange, other: &ColourRange) -> Vec<CentreLine> {
    let same = |line: &CentreLine| {
        let key = range.listings()[line.listing.0].key();
        let at = other.listings().iter().position(|l| l.key() == key)?;
        Some(CentreLine { listing: ListingId(at), ..*line })
    };
    lines.iter().filter_map(same).collect()
}
