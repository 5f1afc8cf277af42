//! Colours of one sheet that are probably the same.

use palette::Lab;
use palette::color_difference::Ciede2000;
use palette::white_point::D65;

use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourId, Range, SheetSpec, lab};

/// Closer than this in CIEDE2000 nobody tells two samples apart (common practice, no source).
const SAME: f64 = 1.0;
/// CIEDE2000 divides a difference in lightness by at most 1.75 (at L* 0 or 100):
/// what lies further apart in L* is further apart than [`SAME`].
const REACH: f64 = 1.75 * SAME;

/// Pairs of shown colours of one finish closer than dE00 1.
pub fn twins(range: &Range, sheet: &SheetSpec) -> Findings {
    let mut findings = Findings::default();
    let mut shown: Vec<(ColourId, Lab<D65, f64>)> = sheet
        .families()
        .iter()
        .flat_map(|f| f.rows())
        .filter(|id| range.colour(**id).value().is_known())
        .map(|id| (*id, lab(range.colour(*id).rgb())))
        .collect();
    shown.sort_by(|a, b| a.1.l.total_cmp(&b.1.l).then(a.0.cmp(&b.0)));
    let mut pairs: Vec<(ColourId, ColourId, f64)> = Vec::new();
    for (i, (a, x)) in shown.iter().enumerate() {
        for (b, y) in shown[i + 1..].iter().take_while(|(_, y)| y.l - x.l <= REACH) {
            if range.colour(*a).finish() != range.colour(*b).finish() {
                continue;
            }
            let difference = x.difference(*y);
            if difference < SAME {
                pairs.push(((*a).min(*b), (*a).max(*b), difference));
            }
        }
    }
    pairs.sort_by_key(|p| (p.0, p.1));
    for (a, b, difference) in pairs {
        let (first, second) = (range.colour(a), range.colour(b));
        findings.push(
            Diagnostic::warning(
                "twin-values",
                format!(
                    "'{}' and '{}' are {difference:.2} dE00 apart: probably the same colour",
                    first.any_name(),
                    second.any_name()
                ),
            )
            .at(second.span().clone())
            .help("correct one value, or leave one of the two out of the sheet"),
        );
    }
    findings
}
