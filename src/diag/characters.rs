//! The message for characters that a font lacks, wherever they are met.

use super::Diagnostic;

/// So many characters of a text are named.
const NAMED: usize = 5;

/// 'the title 'Wisła' has 'ł' (U+0142), which the style's font lacks'. `what` stands before the text, with
/// its blank. Texts that lack the same have one cause.
pub fn lacks(what: &str, text: &str, missing: &[char]) -> Diagnostic {
    let named: Vec<String> =
        missing.iter().take(NAMED).map(|c| format!("'{c}' (U+{:04X})", *c as u32)).collect();
    let more = match missing.len() - named.len() {
        0 => String::new(),
        n => format!(" and {n} more characters"),
    };
    let message =
        format!("{what}'{text}' has {}{more}, which the style's font lacks", named.join(", "));
    Diagnostic::error("missing-character", message).cause(missing.iter().collect::<String>())
}
