//! Texts without characters that steer a terminal.

/// A text without characters that steer a terminal, and not endless.
pub(super) fn tame(text: &str) -> String {
    const LONGEST: usize = 600;
    let mut out: String = text.chars().take(LONGEST).map(tame_char).collect();
    if text.chars().nth(LONGEST).is_some() {
        out.push_str(" ...");
    }
    out
}

/// A character that steers a terminal is shown as a question mark.
pub(super) fn tame_char(c: char) -> char {
    if c.is_control() { '?' } else { c }
}
