//! What was seen by eye, as the file of readings has it.

use std::fmt::Write as _;

use serde::Deserialize;

use super::paper::{Bytes, ColourMode, Paper};
use super::seen::{PATCHES, Seen};
use super::values::{Value, value, value_bytes};
use crate::colour::Lab50;
use crate::diag::{Diagnostic, Findings};
use crate::read::ron::{Place, Source, Spanned};

/// Its line in the file.
pub(super) fn write(seen: &Seen, out: &mut String, mode: ColourMode) {
    let Lab50 { l, a, b, .. } = seen.aim;
    let values = seen.values.map(|v| value(v, mode)).join(", ");
    let named: Vec<String> = seen.nearest.iter().map(usize::to_string).collect();
    let _ = writeln!(
        out,
        "            (aim: ({l:.2}, {:.2}, {:.2}), values: [{values}], nearest: [{}], like: {}),",
        a + 0.0,
        b + 0.0,
        named.join(", "),
        seen.like
    );
}

/// As written.
#[derive(Debug, Default, Deserialize)]
pub(super) struct RawSeen {
    aim: Option<Spanned<[f64; 3]>>,
    values: Option<Spanned<Vec<Value>>>,
    nearest: Option<Spanned<Vec<usize>>>,
    like: Option<bool>,
}

/// An answer of the file.
pub(super) fn one(
    raw: RawSeen,
    (source, at): (&Source, Place<'_>),
    paper: &Paper,
    findings: &mut Findings,
) -> Option<Seen> {
    let fields = [
        ("aim", raw.aim.is_some()),
        ("values", raw.values.is_some()),
        ("nearest", raw.nearest.is_some()),
        ("like", raw.like.is_some()),
    ];
    for (name, is_there) in fields {
        if !is_there && !at.faulted(name) {
            let message = format!("this answer has no '{name}'");
            let help = "write it as the other lines, or remove the line";
            findings.push(Diagnostic::error("missing-field", message).at(at.head()).help(help));
        }
    }
    let (aim, values, nearest, like) = (raw.aim?, raw.values?, raw.nearest?, raw.like?);
    let aim = colour(&aim, source, findings)?;
    if values.len() != PATCHES {
        let message = format!("{} values instead of {PATCHES}", values.len());
        let help = "the middle's first, then those of the patches 1 to 8";
        findings.push(Diagnostic::error("bad-value", message).at(source.of(&values)).help(help));
        return None;
    }
    let twice = nearest.len() == 2 && nearest[0] == nearest[1];
    if nearest.len() > 2
        || twice
        || nearest.iter().any(|n| *n >= PATCHES)
        || (nearest.is_empty() && like)
    {
        let message = "'nearest' must be the number of a patch, two numbers, or none where nothing is like the part";
        let help = "write nearest: [3], nearest: [3, 4], or nearest: [] with like: false";
        findings.push(Diagnostic::error("bad-value", message).at(source.of(&nearest)).help(help));
        return None;
    }
    let place = at.field("values");
    let each = values.value.iter().enumerate();
    let read: Vec<Bytes> =
        each.filter_map(|(i, v)| value_bytes(v, paper, place.item(i), findings)).collect();
    let values = read.try_into().ok()?;
    Some(Seen { aim, values, nearest: nearest.value, like })
}

/// A colour as it is written.
pub(super) fn colour(
    lab: &Spanned<[f64; 3]>,
    source: &Source,
    findings: &mut Findings,
) -> Option<Lab50> {
    let [l, a, b] = **lab;
    if (0.0..=110.0).contains(&l) && [a, b].iter().all(|v| (-160.0..=160.0).contains(v)) {
        return Some(Lab50::new(l, a, b));
    }
    let message = format!("({l}, {a}, {b}) is not a colour");
    let help = "L must be from 0 to 100, a and b from -160 to 160";
    findings.push(Diagnostic::error("bad-value", message).at(source.of(lab)).help(help));
    None
}
