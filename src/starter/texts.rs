//! Texts that can be printed: no hidden characters, no letters that every font lacks, of sensible length.

use std::collections::BTreeSet;

use crate::diag::{Diagnostic, Findings};

/// The longest name, title or number, and the longest note, in characters.
pub const NAME: usize = 60;
pub const NUMBER: usize = 24;
pub const NOTE: usize = 400;

/// Cleans texts and remembers what it did.
pub struct Texts<'a> {
    /// Can the sheet's fonts write it?
    written: &'a dyn Fn(char) -> bool,
    letters: Done,
    hidden: Done,
    long: Done,
}

/// Which texts, and the first: as it was and as it is.
#[derive(Default)]
struct Done {
    texts: BTreeSet<String>,
    first: Option<(String, String)>,
}

impl Done {
    fn add(&mut self, was: &str, is: &str) {
        self.texts.insert(was.to_owned());
        if self.first.is_none() {
            self.first = Some((short(was), short(is)));
        }
    }

    fn tell(&self, code: &'static str, what: &str, help: &str, out: &mut Findings) {
        let Some((was, is)) = &self.first else { return };
        let texts = if self.texts.len() == 1 {
            "one text".into()
        } else {
            format!("{} texts", self.texts.len())
        };
        let first = if self.texts.len() == 1 { "" } else { ", for one" };
        out.push(
            Diagnostic::warning(code, format!("{texts} {what}: '{was}' became '{is}'{first}"))
                .help(help),
        );
    }
}

/// For a message: hidden characters by their code, and not too much.
fn short(text: &str) -> String {
    let cut: String = text.chars().take(40).collect();
    let tail = if cut.len() < text.len() { "..." } else { "" };
    cut.chars()
        .map(|c| if is_hidden(c) { format!("[U+{:04X}]", c as u32) } else { c.to_string() })
        .collect::<String>()
        + tail
}

/// Control characters, marks that turn the direction of text, and characters that show nothing.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}' | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

impl<'a> Texts<'a> {
    /// With what the fonts can write.
    pub fn new(written: &'a dyn Fn(char) -> bool) -> Texts<'a> {
        Texts { written, letters: Done::default(), hidden: Done::default(), long: Done::default() }
    }

    /// How many texts had letters replaced.
    pub fn replaced(&self) -> usize {
        self.letters.texts.len()
    }

    /// A text as it can be printed.
    pub fn clean(&mut self, text: &str, most: usize) -> String {
        // Line ends and tabs of a cell part words.
        let spaced: String = text
            .chars()
            .map(|c| if c.is_whitespace() && c != '\u{a0}' { ' ' } else { c })
            .collect();
        let shown: String = spaced.chars().filter(|c| !is_hidden(*c)).collect();
        if shown != spaced {
            self.hidden.add(text, &shown);
        }
        let joined = shown.split(' ').filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ");
        let joined = joined.trim().to_owned();
        let mut out = if joined.chars().all(self.written) {
            joined
        } else {
            let latin = self.latin(&joined);
            self.letters.add(&joined, &latin);
            latin
        };
        if out.chars().count() > most {
            let cut: String = out.chars().take(most - 1).collect();
            let cut = match cut.rsplit_once(' ') {
                Some((front, _)) if 2 * front.len() > cut.len() => front,
                _ => &cut,
            };
            let cut = format!("{}…", cut.trim_end());
            self.long.add(&out, &cut);
            out = cut;
        }
        out
    }

    /// Letters that no font has, in Latin ones.
    fn latin(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        for c in text.chars() {
            if (self.written)(c) {
                out.push(c);
            } else {
                let plain = deunicode::deunicode_char(c).unwrap_or("");
                out.extend(plain.chars().filter(|c| (self.written)(*c)));
            }
        }
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// What was done to the texts.
    pub fn tell(&self, out: &mut Findings) {
        self.hidden.tell(
            "hidden-characters",
            "had hidden characters, which are left out",
            "check them in the new tables; hidden characters often come with copied text",
            out,
        );
        self.letters.tell(
            "other-letters",
            "had letters that the sheet's fonts lack, which are replaced by Latin ones",
            "check them in the new tables, and write them as buyers know them",
            out,
        );
        self.long.tell(
            "long-texts",
            "were too long for a sheet",
            "shorten them in the new tables",
            out,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_printed_is_replaced_and_told() {
        let latin = |c: char| (' '..='ÿ').contains(&c) || c == '…';
        let mut texts = Texts::new(&latin);
        assert_eq!(texts.clean("Tern\u{200b} \u{202e}White", NAME), "Tern White");
        assert_eq!(texts.clean(" Two\nlines ", NAME), "Two lines");
        assert_eq!(texts.clean("青 Blue", NAME), "Qing Blue");
        assert_eq!(texts.clean(&"word ".repeat(30), NAME).chars().count(), 55);
        let mut reported = Findings::default();
        texts.tell(&mut reported);
        let reported: Vec<String> = reported.sorted().into_iter().map(|d| d.message).collect();
        assert_eq!(reported.len(), 3);
        assert!(
            reported[0].contains("'Tern[U+200B] [U+202E]White' became 'Tern White'"),
            "{reported:?}"
        );
    }
}
