//! Brackets, their contents, and the faults of both.

use std::ops::Range;

use super::{Body, Entry, Lost, MAX_FAULTS, Node, Scanner};

/// The contents of a bracket.
#[derive(Default)]
struct Found {
    items: Vec<Node>,
    entries: Vec<Entry>,
}

impl Found {
    /// Values among fields are fields without a name.
    fn body(mut self, open: char) -> Body {
        match open {
            '[' if self.entries.is_empty() => Body::List(self.items),
            '(' if self.entries.is_empty() => Body::Tuple(self.items),
            _ => {
                let nameless = |value: Node| {
                    let key = value.span.start..value.span.start;
                    Entry { key, text: String::new(), value }
                };
                self.entries.extend(self.items.into_iter().map(nameless));
                self.entries.sort_by_key(|e| e.key.start);
                Body::Entries(self.entries)
            }
        }
    }
}

impl Scanner<'_> {
    pub(super) fn bracket(
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
        let mut found = Found::default();
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
                    self.wrong_bracket((open_at, open), c, close);
                    return Err(Lost);
                }
                Some(_) => {}
            }
            self.element(depth, open, name.as_ref(), &mut found)?;
            self.blanks()?;
            self.separator(close)?;
        }
        Ok(Node { span: start..self.at, name, body: found.body(open) })
    }

    /// A value, or a key and its value.
    fn element(
        &mut self,
        depth: usize,
        open: char,
        name: Option<&Range<usize>>,
        found: &mut Found,
    ) -> Result<(), Lost> {
        let first = self.value(depth + 1)?;
        self.blanks()?;
        match self.peek() {
            Some('=') => {
                let at = self.at;
                self.fault(
                    "wrong-sign",
                    at..at + 1,
                    "'=' is found where ':' is expected".into(),
                    "write name: value",
                );
                self.bump();
                self.value(depth + 1)?;
            }
            Some(':') => {
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
                found.entries.push(Entry { key: first.span, text, value });
            }
            _ => {
                let named = name.is_some_and(|n| &self.text[n.clone()] == "Table");
                if !found.entries.is_empty() && !named && !first.span.is_empty() {
                    self.without_name(first.span.clone());
                }
                found.items.push(first);
            }
        }
        Ok(())
    }

    fn wrong_bracket(&mut self, (open_at, open): (usize, char), found: char, due: char) {
        if self.missed_before(open_at) {
            return;
        }
        let line = self.text[..open_at].matches('\n').count() + 1;
        self.fault(
            "wrong-bracket",
            self.at..self.at + 1,
            format!(
                "'{found}' is found where '{due}' is expected, to close the '{open}' of line {line}"
            ),
            "a bracket before it is missing or of the wrong kind",
        );
    }

    /// Was a bracket reported as missing inside the one that opens here?
    fn missed_before(&self, open_at: usize) -> bool {
        self.nameless.is_some_and(|at| at > open_at)
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
        self.nameless = (!comma).then_some(start);
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
