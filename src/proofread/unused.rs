//! Parts that no colour uses.

use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourId, ColourRange, PartId};

/// Parts made in no colour of the range.
pub fn idle_parts(range: &ColourRange) -> Findings {
    let mut findings = Findings::default();
    for (p, part) in range.parts().iter().enumerate() {
        let used = (0..range.colours().len()).any(|c| range.is_made(ColourId(c), PartId(p)));
        if !used {
            findings.push(
                Diagnostic::warning(
                    "idle-part",
                    format!("the part '{}' is not made in any colour", part.key()),
                )
                .at(part.span().clone())
                .help("mark its colours in made, or remove the part"),
            );
        }
    }
    findings
}
