//! Findings of one cause, reported together.

use std::collections::HashMap;
use std::path::Path;

use super::{Diagnostic, Severity, Span};

/// Findings that have one cause, as one message.
#[derive(Debug, Clone)]
pub struct CauseGroup<'a> {
    /// The finding whose message is shown.
    pub first: &'a Diagnostic,
    /// Where the others are, in the order of the findings; the first one's place is not among them.
    pub others: Vec<&'a Span>,
    /// How many findings there are, those without a place among them.
    pub count: usize,
}

/// Puts findings of one severity, code, file and cause together, in the order of the first of each.
pub fn by_cause(findings: &[Diagnostic]) -> Vec<CauseGroup<'_>> {
    type Key<'a> = (Severity, &'static str, Option<&'a Path>, &'a str);
    let mut places: HashMap<Key<'_>, usize> = HashMap::new();
    let mut out: Vec<CauseGroup<'_>> = Vec::new();
    for d in findings {
        let file = d.span.as_ref().map(|s| &*s.file);
        let key = (d.severity, d.code, file, d.cause.as_deref().unwrap_or(&d.message));
        let at = *places.entry(key).or_insert(out.len());
        match out.get_mut(at) {
            Some(reported) => {
                reported.count += 1;
                reported.others.extend(&d.span);
            }
            None => out.push(CauseGroup { first: d, others: Vec::new(), count: 1 }),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(file: &str, start: usize) -> Option<Span> {
        Some(Span { file: Path::new(file).into(), range: start..start + 1 })
    }

    #[test]
    fn one_cause_is_one_message() {
        let family = |place| Diagnostic::error("unknown-family", "no family 'perl'").at(place);
        let value = |colour: &str, place| {
            let message = format!("the colour '{colour}' has no value");
            Diagnostic::error("missing-field", message).cause("value").at(place)
        };
        let list = [
            family(at("a.csv", 1)),
            value("a", at("a.csv", 3)),
            family(at("a.csv", 5)),
            family(at("b.csv", 5)),
            value("b", at("a.csv", 9)),
            Diagnostic::warning("unknown-family", "no family 'perl'").at(at("a.csv", 1)),
            Diagnostic::error("unknown-family", "no family 'peal'").at(at("a.csv", 7)),
        ];
        let reported = by_cause(&list);
        let counts: Vec<(usize, &str)> =
            reported.iter().map(|t| (t.count, t.first.message.as_str())).collect();
        assert_eq!(
            counts,
            [
                (2, "no family 'perl'"),
                (2, "the colour 'a' has no value"),
                (1, "no family 'perl'"),
                (1, "no family 'perl'"),
                (1, "no family 'peal'"),
            ]
        );
        assert_eq!(reported[0].others[0].range.start, 5);
    }
}
