//! What a fixture has to tell, kept beside it word for word, and words that no reader should need to know.
#![allow(dead_code, reason = "each test file uses its part")]

use std::fmt::Write as _;
use std::path::Path;

/// Words of the program's inside and of its libraries.
const JARGON: [&str; 36] = [
    "struct",
    "enum",
    "variant",
    "deserial",
    "serde",
    "u16",
    "u32",
    "u64",
    "i64",
    "f64",
    "usize",
    "Option<",
    "Vec<",
    "raw::",
    "Some(",
    "identifier",
    "boolean",
    "sequence",
    "tuple",
    "token",
    "literal",
    "parse",
    "regex",
    "null",
    "EOF",
    "end of stream",
    "os error",
    "invalid digit",
    "subcommand",
    "argument",
    "expected one of",
    "Expected",
    "Unexpected",
    "well-formed",
    "panicked",
    "unwrap",
];

/// The words of [`JARGON`] in a message and its suggestion.
pub fn jargon(text: &str) -> Vec<&'static str> {
    JARGON.into_iter().filter(|word| text.contains(word)).collect()
}

/// Compares a text with what the fixture's file says, or writes it with `UPDATE_GOLDEN=1`; what differs.
pub fn kept(file: &Path, got: &str) -> String {
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(file, got).expect("written");
        return String::new();
    }
    let want = std::fs::read_to_string(file).unwrap_or_default().replace("\r\n", "\n");
    differ(&file.display().to_string(), &want, got)
}

/// The first line at which two texts part.
pub fn differ(name: &str, want: &str, got: &str) -> String {
    let mut out = String::new();
    if want != got {
        let first = want.lines().zip(got.lines()).position(|(a, b)| a != b);
        let n = first.unwrap_or(want.lines().count().min(got.lines().count()));
        let line = |text: &str| text.lines().nth(n).map(str::to_owned);
        let (was, is) = (line(want), line(got));
        let _ =
            writeln!(out, "{name}, line {} of what is told:\n  was {was:?}\n  is  {is:?}", n + 1);
    }
    out
}
