//! The columns of a family.

use super::lists;
use crate::diag::{Diagnostic, Findings};
use crate::range::check::index::Known;
use crate::range::{ColourRange, Columns, PartId, Side};
use crate::read::raw;
use crate::read::ron::Place;

pub(super) fn columns(
    raw: Option<raw::Columns>,
    place: Place,
    known: Known<'_>,
    findings: &mut Findings,
) -> Columns {
    let mut parts = |list: Vec<String>, field: &str| -> Vec<PartId> {
        lists::parts(Some(list), place.field(field), &known.index.parts, findings)
    };
    match raw {
        None => Columns::Choose { from: None },
        Some(raw::Columns::Loose) => Columns::Loose,
        Some(raw::Columns::Choose { from }) => {
            Columns::Choose { from: from.map(|list| parts(list, "from")) }
        }
        Some(raw::Columns::Given { left, right }) => {
            let [left, right] = [(left, "left"), (right, "right")]
                .map(|(list, side)| parts(list.unwrap_or_default(), side));
            given(&left, &right, place, known.range, findings);
            Columns::Given { left, right }
        }
    }
}

/// Looks over columns as they are given for both sides.
fn given(
    left: &[PartId],
    right: &[PartId],
    place: Place,
    range: &ColourRange,
    findings: &mut Findings,
) {
    if left.is_empty() && right.is_empty() && !findings.failed() {
        findings.push(
            Diagnostic::error("no-columns", "neither side has any parts")
                .at(place.span())
                .help("name parts in left and right, or write Loose"),
        );
    }
    for (list, side, field, word) in
        [(left, Side::Left, "left", "right"), (right, Side::Right, "right", "left")]
    {
        for (i, id) in list.iter().enumerate() {
            let part = &range.parts[id.0];
            if part.side != side {
                findings.push(
                    Diagnostic::warning(
                        "other-side",
                        format!("the part '{}' belongs on the {word} side", part.key),
                    )
                    .at(place.field(field).item(i).span())
                    .help("move it to that side, or change its side in the range"),
                );
            }
        }
    }
    let twice = left.iter().find(|id| right.contains(id));
    if let Some(id) = twice {
        findings.push(
            Diagnostic::error(
                "double-key",
                format!("the part '{}' is on both sides", range.parts[id.0].key),
            )
            .at(place.field("right").span())
            .help("keep it on one side"),
        );
    }
}
