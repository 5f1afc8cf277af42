//! Measured values against typed ones, and colours that have neither.

use crate::colour::difference;
use crate::diag::{Diagnostic, Findings};
use crate::range::ColourRange;

/// From here on one of two values is not that of the part: a difference that nobody takes for the same colour.
const FAR: f64 = 5.0;

/// Colours whose typed value is far from the measured one, and, where anything was measured, those without a value.
pub fn measured(range: &ColourRange) -> Findings {
    let mut findings = Findings::default();
    let any = range.colours().iter().any(|c| c.measured().is_some());
    for colour in range.colours() {
        let name = colour.any_name();
        let Some(of) = colour.measured() else {
            if any && !colour.value().is_known() {
                let message = format!("'{name}' has neither a typed nor a measured value");
                findings.push(
                    Diagnostic::hint("not-measured", message)
                        .at(colour.span().clone())
                        .help("measure it, or type its value; until then it is drawn as an outline")
                        .cause("neither"),
                );
            }
            continue;
        };
        let Some(typed) = of.typed().as_ref().filter(|t| t.is_known()) else { continue };
        let far = difference(typed.aim(), colour.value().aim());
        if far <= FAR {
            continue;
        }
        let message = format!(
            "'{name}' is typed as {} and measured as {}, {far:.1} dE00 apart",
            typed.brief(),
            colour.value().brief()
        );
        let help = format!(
            "the measured value is used; correct or remove the typed one, or measure the part again ({})",
            of.source().value
        );
        findings.push(
            Diagnostic::warning("measured-otherwise", message).at(colour.span().clone()).help(help),
        );
    }
    findings
}
