//! Where things stand in a RON text: a tolerant scan that knows fields, items
//! and values by their bytes, and nothing of what they mean.
//!
//! It runs before the decoder, so that nesting is capped and bracket, comma
//! and quote faults are all found at once.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Span};

/// How many faults of one file are noted.
const MAX_FAULTS: usize = 50;
/// Quotes that word processors and other formats use.
const WRONG_QUOTES: &str = "'`´‘’‚‛“”„‟«»‹›";
/// The deepest nesting that is read.
pub const MAX_DEPTH: usize = 64;

/// A value and what stands inside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// From the first to behind the last byte, a leading name included.
    pub span: Range<usize>,
    /// The name before a bracket: `Lab` in `Lab(1, 2, 3)`.
    pub name: Option<Range<usize>>,
    pub body: Body,
}

/// What a value is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Body {
    /// A number, a text, a word.
    Leaf,
    /// `[a, b]`
    List(Vec<Node>),
    /// `(a, b)`
    Tuple(Vec<Node>),
    /// `(key: a)` or `{"key": a}`
    Entries(Vec<Entry>),
}

/// One `key: value`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub key: Range<usize>,
    /// The key without quotes.
    pub text: String,
    pub value: Node,
}

impl Entry {
    /// From the key to the end of the value.
    pub fn span(&self) -> Range<usize> {
        self.key.start..self.value.span.end
    }
}

/// Scans a text.
///
/// # Errors
/// Everything that is wrong with its brackets, commas and quotes, and nesting beyond [`MAX_DEPTH`].
pub fn scan(file: &Path, text: &str) -> Result<Node, Vec<Diagnostic>> {
    let mut s = Scanner { text, at: 0, file: file.into(), faults: Vec::new(), askew: None };
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

    fn bracket(
        &mut self,
        depth: usize,
        start: usize,
        name: Option<Range<usize>>,
    ) -> Result<Node, Lost> {
        let open_at = self.at;
        let open = self.bump().unwrap_or('(');
        let close = match open {
            '(' => ')',
            '[' => ']',
            _ => '}',
        };
        let mut items: Vec<Node> = Vec::new();
        let mut entries: Vec<Entry> = Vec::new();
        loop {
            self.blanks()?;
            match self.peek() {
                None => {
                    self.unclosed(open_at, open);
                    return Err(Lost);
                }
                Some(c) if c == close => {
                    self.note_indent(open_at);
                    self.bump();
                    break;
                }
                Some(c) if ")]}".contains(c) => {
                    if self.missed_before(open_at) {
                        return Err(Lost);
                    }
                    let line = self.text[..open_at].matches('\n').count() + 1;
                    self.fault(
                        "wrong-bracket",
                        self.at..self.at + 1,
                        format!(
                            "'{c}' is found where '{close}' is expected, to close the '{open}' of line {line}"
                        ),
                        "a bracket before it is missing or of the wrong kind",
                    );
                    return Err(Lost);
                }
                Some(_) => {}
            }
            let first = self.value(depth + 1)?;
            self.blanks()?;
            if self.peek() == Some('=') {
                let at = self.at;
                self.fault(
                    "wrong-sign",
                    at..at + 1,
                    "'=' is found where ':' is expected".into(),
                    "write name: value",
                );
                self.bump();
                self.value(depth + 1)?;
            } else if self.peek() == Some(':') {
                if open == '(' && self.text[first.span.clone()].starts_with('"') {
                    self.fault(
                        "quoted-name",
                        first.span.clone(),
                        "this field name is in quotes".into(),
                        "remove the quotes: only texts, and the keys between { and }, need them",
                    );
                }
                self.bump();
                let value = self.value(depth + 1)?;
                let text = unquoted(&self.text[first.span.clone()]);
                entries.push(Entry { key: first.span, text, value });
            } else {
                let named = name.as_ref().is_some_and(|n| &self.text[n.clone()] == "Table");
                if !entries.is_empty() && !named && !first.span.is_empty() {
                    self.without_name(first.span.clone());
                }
                items.push(first);
            }
            self.blanks()?;
            self.separator(close)?;
        }
        let body = match open {
            _ if !entries.is_empty() => Body::Entries(entries),
            '[' => Body::List(items),
            '(' => Body::Tuple(items),
            _ => Body::Entries(entries),
        };
        Ok(Node { span: start..self.at, name, body })
    }

    /// Was a bracket told to be missing inside the one that opens here?
    fn missed_before(&self, open_at: usize) -> bool {
        let inside = |d: &Diagnostic| d.span.as_ref().is_some_and(|s| s.range.start > open_at);
        self.faults.last().is_some_and(|d| d.code == "missing-name" && inside(d))
    }

    /// A value among `name: value` that has no name; often what follows a decimal comma.
    fn without_name(&mut self, value: Range<usize>) {
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let before = self.text[..value.start].strip_suffix(',');
        let comma = digit(self.text[value.clone()].chars().next())
            && before.is_some_and(|b| digit(b.chars().next_back()));
        let bracket = self.text[value.clone()].starts_with(['(', '[', '{']);
        let (message, help) = match (comma, bracket) {
            (true, _) => ("a comma splits this number in two", "use a decimal point: 62.5"),
            (_, true) => (
                "a closing bracket or a field name is missing before this",
                "add the bracket where its content ends, or write name: before this",
            ),
            _ => ("this value has no field name", "write name: value, or remove it"),
        };
        let code = if comma { "decimal-comma" } else { "missing-name" };
        let start = if comma { value.start - 1 } else { value.start };
        self.fault(code, start..value.end, message.into(), help);
    }

    fn unclosed(&mut self, open_at: usize, open: char) {
        let (at, message) = match self.askew {
            Some((at, closed)) => {
                let line = self.text[..closed].matches('\n').count() + 1;
                let sign = self.text[at..].chars().next().unwrap_or(open);
                (
                    at,
                    format!(
                        "this '{sign}' is not closed until line {line}: a closing bracket is missing before that"
                    ),
                )
            }
            None => (open_at, format!("this '{open}' is never closed")),
        };
        self.fault(
            "unclosed-bracket",
            at..at + 1,
            message,
            "add the missing closing bracket where its content ends",
        );
    }

    /// A closing bracket that starts its line is usually indented like the line of its opening one.
    fn note_indent(&mut self, open_at: usize) {
        // Looking back further would take a file of one endless line for ever.
        let line = |at: usize| {
            let bytes = &self.text.as_bytes()[at.saturating_sub(4096)..at];
            let back = bytes.iter().rev().take_while(|b| **b != b'\n').count();
            &self.text[at - back..]
        };
        if !self.text.is_char_boundary(open_at.saturating_sub(4096))
            || !self.text.is_char_boundary(self.at.saturating_sub(4096))
        {
            return;
        }
        let indent = |l: &str| l.len() - l.trim_start_matches([' ', '\t']).len();
        let (opened, closed) = (line(open_at), line(self.at));
        let starts = closed.trim_start_matches([' ', '\t']).len() == self.text.len() - self.at;
        if self.askew.is_none() && starts && indent(opened) != indent(closed) {
            self.askew = Some((open_at, self.at));
        }
    }

    /// A comma, or the closing bracket; else a comma is missing here.
    fn separator(&mut self, close: char) -> Result<(), Lost> {
        match self.peek() {
            Some(',') => {
                self.bump();
            }
            Some(c) if c != close && !")]}".contains(c) => {
                if self.faults.len() >= MAX_FAULTS {
                    return Err(Lost);
                }
                let before = self.text[..self.at].trim_end().len();
                // A text over several lines right before is nearly always a lost quote.
                let line_start = self.text[..before].rfind('\n').map_or(0, |i| i + 1);
                let line = self.text[line_start..].split('\n').next().unwrap_or("");
                let quotes = line.matches('"').count() - line.matches("\\\"").count();
                if quotes % 2 == 1 {
                    self.fault(
                        "unclosed-text",
                        self.at..self.at + c.len_utf8(),
                        "a quote is missing in this line or an earlier one".into(),
                        "make sure that every text starts and ends with \" on the same line",
                    );
                    return Err(Lost);
                }
                if like_a_comma(self.rest()) {
                    let message = format!("'{c}' is found where ',' is expected");
                    self.fault("wrong-sign", self.at..self.at + 1, message, "write a comma");
                    self.bump();
                    return Ok(());
                }
                self.fault(
                    "missing-comma",
                    self.at..self.at + c.len_utf8(),
                    "a comma is missing before this".into(),
                    "put a comma between the two values; a text needs quotes around it",
                );
                if c == ':' {
                    self.bump();
                }
            }
            _ => {}
        }
        Ok(())
    }
}

/// A '#' that starts a comment in other formats, not a colour value that lacks its quotes.
fn hash_comment(rest: &str) -> bool {
    let Some(after) = rest.strip_prefix('#').filter(|a| !a.starts_with('!')) else { return false };
    let word = after.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("");
    word.len() < 3 || !word.bytes().all(|b| b.is_ascii_hexdigit())
}

/// Is it a sign that people mean as a comma?
fn like_a_comma(rest: &str) -> bool {
    let mut signs = rest.chars();
    match signs.next() {
        Some(';') => true,
        Some('.') => signs.next().is_none_or(char::is_whitespace),
        _ => false,
    }
}

fn unquoted(key: &str) -> String {
    key.strip_prefix('"').and_then(|k| k.strip_suffix('"')).unwrap_or(key).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faults(text: &str) -> Vec<(&'static str, usize)> {
        scan(Path::new("f"), text)
            .unwrap_err()
            .into_iter()
            .map(|d| (d.code, d.span.unwrap().range.start))
            .collect()
    }

    #[test]
    fn fields_and_items() {
        let text = "// c\nA(b: [1, \"x, )\"], /* ( /* */ */ d: {\"k\": L(2, 3)}, e: r#\"\"]\"#)";
        let node = scan(Path::new("f"), text).unwrap();
        assert_eq!(&text[node.name.clone().unwrap()], "A");
        let Body::Entries(e) = &node.body else { panic!() };
        assert_eq!(e.iter().map(|e| e.text.as_str()).collect::<Vec<_>>(), ["b", "d", "e"]);
        let Body::Entries(k) = &e[1].value.body else { panic!() };
        assert_eq!(k[0].text, "k");
        assert_eq!(&text[k[0].value.span.clone()], "L(2, 3)");
    }

    #[test]
    fn several_faults_at_once() {
        assert_eq!(faults("(a: 1 b: 2 c: 3)"), [("missing-comma", 6), ("missing-comma", 11)]);
        assert_eq!(faults("(a: [1)"), [("wrong-bracket", 6)]);
        assert_eq!(faults("(a: [1]"), [("unclosed-bracket", 0)]);
        assert_eq!(faults("(a: \"x)"), [("unclosed-text", 4)]);
        assert_eq!(faults("(a: )"), [("missing-value", 4)]);
        assert_eq!(faults("(a: 1) b"), [("text-after-end", 7)]);
        assert_eq!(faults("(a: 1 /* "), [("unclosed-comment", 6)]);
    }

    #[test]
    fn deep_nesting_is_a_message() {
        for open in ["(", "[", "{", "a(", "{1:"] {
            let text = open.repeat(100_000);
            assert_eq!(faults(&text)[0].0, "too-deep");
        }
    }

    #[test]
    fn never_loops_on_odd_signs() {
        for text in [
            "(,)", "(:)", "(::)", "(a::1)", "'", "(')", "#", "(#)", "r", "r#", "b", "(\\)", ",",
            ":", ")", "", "(a:,)",
        ] {
            let _ = scan(Path::new("f"), text);
        }
    }
}
