//! Where things are in a RON text: a tolerant scan that knows fields, items
//! and values by their bytes, and nothing of what they mean.
//!
//! It runs before the decoder, so that nesting is capped and bracket, comma
//! and quote faults are all found at once.

mod brackets;
mod tree;

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

pub use tree::{Body, Entry, Node};

use crate::diag::{Diagnostic, Span};

/// How many faults of one file are noted.
const MAX_FAULTS: usize = 50;
/// Quotes that word processors and other formats use.
const WRONG_QUOTES: &str = "'`´‘’‚‛“”„‟«»‹›";
/// The deepest nesting that is read.
pub const MAX_DEPTH: usize = 64;

/// Scans a text.
///
/// # Errors
/// Everything that is wrong with its brackets, commas and quotes, and nesting beyond [`MAX_DEPTH`].
pub fn scan(file: &Path, text: &str) -> Result<Node, Vec<Diagnostic>> {
    let mut s =
        Scanner { text, at: 0, file: file.into(), faults: Vec::new(), nameless: None, askew: None };
    let node = s.document();
    match node {
        Some(node) if s.faults.is_empty() => Ok(node),
        _ => Err(s.faults),
    }
}

struct Scanner<'a> {
    text: &'a str,
    at: usize,
    file: Arc<Path>,
    faults: Vec<Diagnostic>,
    /// Where the last fault is, if it is a value without a name.
    nameless: Option<usize>,
    /// The first pair of brackets whose lines are indented differently: where one is probably missing.
    askew: Option<(usize, usize)>,
}

/// No way to go on: the fault is noted already.
struct Lost;

impl Scanner<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn bump(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.at += c.len_utf8();
        Some(c)
    }

    fn fault(&mut self, code: &'static str, range: Range<usize>, message: String, help: &str) {
        // One real fault seldom has more than a few echoes; a hundred lines help nobody.
        if self.faults.len() < MAX_FAULTS {
            let span = Some(Span { file: self.file.clone(), range });
            self.faults.push(Diagnostic::error(code, message).at(span).help(help));
            self.nameless = None;
        }
    }

    fn document(&mut self) -> Option<Node> {
        self.blanks().ok()?;
        while self.rest().starts_with("#!") {
            let skip = self.rest().find(']').map_or(self.rest().len(), |i| i + 1);
            self.at += skip;
            self.blanks().ok()?;
        }
        let node = self.value(0).ok()?;
        self.blanks().ok()?;
        if self.at < self.text.len() {
            let start = self.at;
            let end = start + self.rest().find('\n').unwrap_or(self.rest().len());
            self.fault(
                "text-after-end",
                start..end,
                "the file continues after its last closing bracket".into(),
                "remove what follows, or look for a bracket that closes too early",
            );
        }
        Some(node)
    }

    fn blanks(&mut self) -> Result<(), Lost> {
        loop {
            let rest = self.rest();
            if let Some(c) = rest.chars().next().filter(|c| c.is_whitespace()) {
                self.at += c.len_utf8();
            } else if rest.starts_with("//") {
                self.at += rest.find('\n').unwrap_or(rest.len());
            } else if rest.starts_with("/*") {
                self.block_comment()?;
            } else if hash_comment(rest) {
                let (start, end) = (self.at, self.at + rest.find('\n').unwrap_or(rest.len()));
                self.fault(
                    "wrong-comment",
                    start..end,
                    "a comment starts with two slashes, not with '#'".into(),
                    "write // instead of #",
                );
                self.at = end;
            } else {
                return Ok(());
            }
        }
    }

    fn block_comment(&mut self) -> Result<(), Lost> {
        let start = self.at;
        let mut depth = 0usize;
        loop {
            let rest = self.rest();
            if rest.starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if rest.starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return Ok(());
                }
            } else if self.bump().is_none() {
                self.fault(
                    "unclosed-comment",
                    start..start + 2,
                    "this comment is never closed".into(),
                    "close it with */",
                );
                return Err(Lost);
            }
        }
    }

    fn value(&mut self, depth: usize) -> Result<Node, Lost> {
        self.blanks()?;
        let start = self.at;
        if depth > MAX_DEPTH {
            self.fault(
                "too-deep",
                start..start + self.peek().map_or(0, char::len_utf8),
                format!("brackets are nested more than {MAX_DEPTH} levels deep here"),
                "no file needs more than eight levels; look for brackets that are never closed",
            );
            return Err(Lost);
        }
        match self.peek() {
            None => {
                self.fault(
                    "unexpected-end",
                    start..start,
                    "the file ends where a value is expected".into(),
                    "write the value",
                );
                Err(Lost)
            }
            Some('"') => self.quoted(),
            Some('r') if self.raw_text_hashes().is_some() => self.raw_text(),
            Some('b') if self.rest().starts_with("b\"") => {
                self.at += 1;
                let node = self.quoted()?;
                Ok(Node { span: start..node.span.end, ..node })
            }
            Some(c) if WRONG_QUOTES.contains(c) => self.wrong_quotes(),
            Some(c) if "([{".contains(c) => self.bracket(depth, start, None),
            Some(c) if c.is_alphabetic() || c == '_' => {
                while self.peek().is_some_and(|c| c.is_alphanumeric() || c == '_') {
                    self.bump();
                }
                let name = start..self.at;
                let after = self.at;
                self.blanks()?;
                if self.peek() == Some('(') {
                    return self.bracket(depth, start, Some(name));
                }
                self.at = after;
                self.token_tail();
                Ok(Node { span: start..self.at, name: None, body: Body::Leaf })
            }
            Some(_) => {
                self.token_tail();
                if self.at == start {
                    // A stray comma, colon or closing bracket: the caller sees it too.
                    let c = self.peek().unwrap_or(' ');
                    self.fault(
                        "missing-value",
                        start..start + c.len_utf8(),
                        format!("a value is missing before '{c}'"),
                        "write the value, or remove the extra character",
                    );
                    return Ok(Node { span: start..start, name: None, body: Body::Leaf });
                }
                Ok(Node { span: start..self.at, name: None, body: Body::Leaf })
            }
        }
    }

    /// The rest of a number or a stray word.
    fn token_tail(&mut self) {
        while self.peek().is_some_and(|c| !c.is_whitespace() && !",:;=()[]{}\"".contains(c)) {
            if self.rest().starts_with("//") || self.rest().starts_with("/*") {
                return;
            }
            self.bump();
        }
    }

    fn quoted(&mut self) -> Result<Node, Lost> {
        let start = self.at;
        self.bump();
        loop {
            match self.bump() {
                Some('"') => {
                    return Ok(Node { span: start..self.at, name: None, body: Body::Leaf });
                }
                Some('\\') => {
                    self.bump();
                }
                Some(_) => {}
                None => return self.unclosed_text(start),
            }
        }
    }

    fn unclosed_text(&mut self, start: usize) -> Result<Node, Lost> {
        let end = start + self.text[start..].find('\n').unwrap_or(self.text.len() - start);
        self.fault(
            "unclosed-text",
            start..end,
            "the text that starts here has no closing quote".into(),
            "add a \" at its end; if this text is complete, an earlier one lacks its closing quote",
        );
        Err(Lost)
    }

    fn raw_text_hashes(&self) -> Option<usize> {
        let tail = &self.rest()[1..];
        let hashes = tail.bytes().take_while(|b| *b == b'#').count();
        tail[hashes..].starts_with('"').then_some(hashes)
    }

    fn raw_text(&mut self) -> Result<Node, Lost> {
        let start = self.at;
        let hashes = self.raw_text_hashes().unwrap_or(0);
        let close = format!("\"{}", "#".repeat(hashes));
        let body = start + 2 + hashes;
        match self.text[body..].find(&close) {
            Some(i) => {
                self.at = body + i + close.len();
                Ok(Node { span: start..self.at, name: None, body: Body::Leaf })
            }
            None => self.unclosed_text(start),
        }
    }

    /// A text between quotes of another kind, to its end where that is on the line.
    fn wrong_quotes(&mut self) -> Result<Node, Lost> {
        let start = self.at;
        let quote = self.bump().unwrap_or('\'');
        let line = self.rest().split('\n').next().unwrap_or("");
        let closing = match quote {
            '\'' | '`' | '´' => "'`´",
            '‘' | '’' | '‚' | '‛' => "‘’",
            '«' | '»' | '‹' | '›' => "«»‹›",
            _ => "“”\"",
        };
        match line.find(|c| closing.contains(c)) {
            Some(i) => {
                self.at += i;
                self.bump();
            }
            None => self.token_tail(),
        }
        self.fault(
            "wrong-quotes",
            start..self.at,
            format!("the text starts with {quote}, not with \""),
            "write \"text\" with straight double quotes, or a word such as left without quotes; word processors change straight quotes, text editors do not",
        );
        Ok(Node { span: start..self.at, name: None, body: Body::Leaf })
    }
}

/// A '#' that starts a comment in other formats, not a colour value that lacks its quotes.
fn hash_comment(rest: &str) -> bool {
    let Some(after) = rest.strip_prefix('#').filter(|a| !a.starts_with('!')) else { return false };
    let word = after.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("");
    word.len() < 3 || !word.bytes().all(|b| b.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests;
