//! The message for characters that a font lacks, wherever they are met.

use unicode_normalization::char::is_combining_mark;

use super::Diagnostic;

/// So many characters of a text are named.
const NAMED: usize = 5;

/// 'the title 'Wisła' has 'ł' (U+0142), which the style's font lacks'. `what` comes before the text, with
/// its blank. Texts that lack the same have one cause.
pub fn lacks(what: &str, text: &str, missing: &[char]) -> Diagnostic {
    if !missing.is_empty() && missing.iter().all(|c| is_combining_mark(*c)) {
        let on: Vec<String> = missing.iter().take(NAMED).map(|c| marked(text, *c)).collect();
        let message =
            format!("{what}'{text}' has {}, which the style's font cannot combine", on.join(", "));
        return Diagnostic::error("missing-character", message)
            .cause(missing.iter().collect::<String>());
    }
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

/// ''Ọ' with U+0300': a mark with the letter that it combines with.
fn marked(text: &str, mark: char) -> String {
    let before = text.split(mark).next().unwrap_or_default();
    let letter = before.chars().rev().find(|c| !is_combining_mark(*c)).unwrap_or(' ');
    format!("'{letter}' with the mark U+{:04X}", mark as u32)
}
