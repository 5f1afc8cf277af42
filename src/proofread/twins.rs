//! Colours of one sheet that are probably the same.

use std::collections::BTreeMap;

use crate::colour::{Lab50, lookalike};
use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourId, ColourRange, Finish, SheetSpec, lab};
use crate::work::Work;

/// Closer than this in CIEDE2000, two samples are indistinguishable (common practice, no source).
const SAME: f64 = 1.0;
/// So many pairs are looked at, the nearest.
const MOST_PAIRS: usize = 100_000;

/// Shown colours of one finish that are closer than dE00 1 to an earlier one, each with the nearest of these.
/// Those of one value have one cause.
pub fn twins(range: &ColourRange, sheet: &SheetSpec, work: &Work) -> Findings {
    let mut shown: Vec<ColourId> =
        sheet.families().iter().flat_map(|f| f.rows()).copied().collect();
    shown.retain(|id| range.colour(*id).value().is_known());
    shown.sort_unstable();
    let mut finishes: BTreeMap<Finish, Vec<ColourId>> = BTreeMap::new();
    for id in &shown {
        finishes.entry(range.colour(*id).finish()).or_default().push(*id);
    }
    let mut found: BTreeMap<ColourId, (ColourId, f64)> = BTreeMap::new();
    for colours in finishes.values() {
        nearest_before(range, colours, &mut found, work);
    }
    let mut findings = Findings::default();
    for (b, (a, difference)) in found {
        let (first, second) = (range.colour(a), range.colour(b));
        let message = format!(
            "'{}' and '{}' are {difference:.2} dE00 apart: probably the same colour",
            first.any_name(),
            second.any_name()
        );
        let d = Diagnostic::warning("twin-values", message)
            .at(second.span().clone())
            .help("correct one of the values, or omit one of the colours from the sheet");
        let same = first.rgb() == second.rgb();
        findings.push(if same {
            d.cause(format!("{} {}", first.rgb().hex(), first.finish().word()))
        } else {
            d
        });
    }
    findings
}

/// For each colour that has a twin before it, the nearest of these: of equal ones the first.
fn nearest_before(
    range: &ColourRange,
    colours: &[ColourId],
    found: &mut BTreeMap<ColourId, (ColourId, f64)>,
    work: &Work,
) {
    // Those of one value stand for each other.
    let mut values: BTreeMap<[u8; 3], ColourId> = BTreeMap::new();
    let mut each: Vec<ColourId> = Vec::new();
    for id in colours {
        let rgb = range.colour(*id).rgb();
        match values.get(&[rgb.0, rgb.1, rgb.2]) {
            Some(first) => {
                found.insert(*id, (*first, 0.0));
            }
            None => {
                values.insert([rgb.0, rgb.1, rgb.2], *id);
                each.push(*id);
            }
        }
    }
    // CIEDE2000 takes the numbers as they are, whatever white they are relative to.
    let labs: Vec<Lab50> = each
        .iter()
        .map(|id| lab(range.colour(*id).rgb()))
        .map(|lab| Lab50::new(lab.l, lab.a, lab.b))
        .collect();
    for pair in lookalike::nearest(&labs, SAME, MOST_PAIRS, work) {
        if pair.distance < SAME {
            found.entry(each[pair.second]).or_insert((each[pair.first], pair.distance));
        }
    }
}
