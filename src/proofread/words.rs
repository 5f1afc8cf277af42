//! Words of the printed texts: those left in the other spelling, and those that no dictionary knows.

use std::collections::{BTreeMap, BTreeSet};

use super::Dictionaries;
use super::garbled::meant;
use super::texts::{PrintedText, texts};
use crate::diag::{Diagnostic, Findings, Span};
use crate::range::{ColourRange, SheetSpec};
use crate::spelling::Spelling;

/// So many unknown words get a suggestion: looking for one takes milliseconds.
const MOST_SUGGESTIONS: usize = 50;

/// Signs of measures, which dictionaries lack.
const UNITS: [&str; 14] =
    ["mm", "cm", "dm", "km", "kg", "mg", "ml", "cl", "oz", "lb", "ft", "yd", "dpi", "pcs"];

/// Reads every word that an edition of this tag prints.
///
/// * `other-spelling`, a warning: a word of the other spelling is left, which happens in a form of its own. One that is
///   just the text again is deliberate: it keeps the word list off.
/// * `not-in-dictionary`, a hint: no dictionary knows the word; once a word, at its first place. Nothing where there are
///   no dictionaries.
///
/// The sheet's own words, its proper names and the words of the maker's name are right.
pub fn words(
    range: &ColourRange,
    sheet: &SheetSpec,
    tag: &str,
    spelling: &Spelling,
    dictionaries: &Dictionaries,
) -> Findings {
    let own = sheet.own_words();
    let mut findings = Findings::default();
    let maker = spelling.apply(range.maker());
    let right: BTreeSet<String> =
        own.iter().map(|w| w.to_lowercase()).chain(tokens(&maker).map(fold)).collect();
    let names = sheet.proper_names().iter().flat_map(|name| tokens(name)).map(fold);
    let right: BTreeSet<String> = right.into_iter().chain(names).collect();
    let mut unknown = Unknown::default();
    // What came through another encoding has a message of its own.
    for text in texts(range, sheet).filter(|t| meant(&t.words.text).is_none()) {
        let printed = spelling.apply(text.words);
        let kept = text.words.forms.get(tag) == Some(&text.words.text);
        for token in tokens(&printed).filter(|t| !right.contains(&fold(t))) {
            let other = parts(token)
                .find_map(|word| spelling.ours(word).map(|ours| Instead { word, ours }));
            if let Some(instead) = other {
                if !kept {
                    findings.push(other_spelling(tag, &text, &printed, instead));
                }
            } else if !dictionaries.is_empty() && !known(token, dictionaries, &right) {
                unknown.note(token, &text, &printed);
            }
        }
    }
    findings.extend(unknown.findings(tag, dictionaries, own));
    findings
}

/// The words of a text as a reader sees them: no blanks to fill in, addresses, numbers and measures; hyphens and
/// apostrophes inside a word belong to it.
fn tokens(text: &str) -> impl Iterator<Item = &str> {
    let chunks = text.split_whitespace().filter(|c| {
        let dotted = c.trim_end_matches('.').split('.').filter(|p| p.len() > 1).count() > 1;
        !c.contains(['@', '{', '}']) && !c.contains("://") && !dotted
    });
    let inside = |c: char| c.is_alphanumeric() || "'’-‐\u{ad}".contains(c) || is_mark(c);
    chunks
        .flat_map(move |c| c.split(move |c| !inside(c)))
        .map(|w| w.trim_matches(|c: char| !c.is_alphanumeric() && !is_mark(c)))
        .filter(|w| w.chars().any(char::is_alphabetic) && !w.chars().any(char::is_numeric))
}

/// Is it an accent typed as a character of its own?
fn is_mark(c: char) -> bool {
    unicode_normalization::char::is_combining_mark(c)
}

/// The halves of a compound, possessives taken off.
fn parts(word: &str) -> impl Iterator<Item = &str> {
    word.split(['-', '‐']).map(possessor).filter(|p| !p.is_empty())
}

/// "Mason" for "Mason's" and "Masons'".
fn possessor(word: &str) -> &str {
    let word = word.trim_end_matches(['\'', '’']);
    ["'s", "’s", "'S", "’S"].iter().find_map(|s| word.strip_suffix(s)).unwrap_or(word)
}

/// A word for comparing: no letter case, no possessive.
fn fold(word: &str) -> String {
    possessor(word).to_lowercase()
}

/// Is the word right as a whole, or in each half?
fn known(word: &str, dictionaries: &Dictionaries, right: &BTreeSet<String>) -> bool {
    let one = |w: &str| {
        let straight = w.replace('’', "'").replace('\u{ad}', "");
        is_sign(&straight) || dictionaries.knows(&straight) || right.contains(&fold(w))
    };
    one(word) || parts(word).all(one)
}

/// A single letter, a measure, an abbreviation, a Roman number, a trade name with capitals inside, another script.
fn is_sign(word: &str) -> bool {
    let upper = word.chars().filter(|c| c.is_uppercase()).count();
    let count = word.chars().count();
    let first = word.chars().next().is_some_and(char::is_uppercase);
    let roman = word.chars().all(|c| "IVXLCDM".contains(c));
    count == 1
        || UNITS.contains(&word)
        || (upper == count && (count <= 4 || roman))
        || (upper < count && upper > usize::from(first))
        || word
            .chars()
            .any(|c| c.is_alphabetic() && c >= '\u{370}' && !('\u{1e00}'..'\u{1f00}').contains(&c))
}

/// A word, and how it is spelt here.
struct Instead<'a> {
    word: &'a str,
    ours: String,
}

fn other_spelling(
    tag: &str,
    text: &PrintedText,
    printed: &str,
    instead: Instead<'_>,
) -> Diagnostic {
    let Instead { word, ours } = instead;
    Diagnostic::warning(
        "other-spelling",
        format!("'{word}' is not {tag} spelling, in the {} '{printed}'", text.what),
    )
    .at(text.span.clone())
    .help(format!("write '{ours}' in the form for {tag}, or add \"{word}\" to words in the sheet"))
}

/// Words that no dictionary knows, each with its first place.
#[derive(Default)]
struct Unknown {
    by_fold: BTreeMap<String, usize>,
    list: Vec<First>,
}

struct First {
    word: String,
    count: usize,
    place: String,
    span: Option<Span>,
}

impl Unknown {
    fn note(&mut self, token: &str, text: &PrintedText, printed: &str) {
        match self.by_fold.get(&fold(token)) {
            Some(&i) => self.list[i].count += 1,
            None => {
                self.by_fold.insert(fold(token), self.list.len());
                self.list.push(First {
                    word: possessor(token).to_owned(),
                    count: 1,
                    place: format!("the {} '{printed}'", text.what),
                    span: text.span.clone(),
                });
            }
        }
    }

    fn findings(self, tag: &str, dictionaries: &Dictionaries, own: &[String]) -> Findings {
        let mut findings = Findings::default();
        for (i, first) in self.list.into_iter().enumerate() {
            let First { word, count, place, span } = first;
            let times = match count {
                1 => String::new(),
                n => format!("{n} times, first "),
            };
            let near =
                own.iter().find(|o| Dictionaries::near(o, &word)).cloned().or_else(|| {
                    (i < MOST_SUGGESTIONS).then(|| dictionaries.suggest(&word)).flatten()
                });
            let own = format!("if it is right, add \"{word}\" to words in the sheet");
            findings.push(
                Diagnostic::hint(
                    "not-in-dictionary",
                    format!("no {tag} dictionary contains '{word}' ({times}in {place})"),
                )
                .at(span)
                .help(match near {
                    Some(near) => {
                        format!("did you mean '{near}'? {}{}", own[..1].to_uppercase(), &own[1..])
                    }
                    None => own,
                }),
            );
        }
        findings
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_as_a_reader_sees_them() {
        let of = |text| tokens(text).collect::<Vec<_>>();
        assert_eq!(
            of("{colours_words} Robin’s-egg (18 × 6mm), Masons' 3.7 mm B-09 “crème” & co.: a/b"),
            ["Robin’s-egg", "Masons", "mm", "crème", "co", "a", "b"]
        );
        assert_eq!(
            of("shop@tide.example https://tide.example www.tide.example end. e.g. so"),
            ["end", "e", "g", "so"]
        );
        assert_eq!(parts("Robin’s-egg").collect::<Vec<_>>(), ["Robin", "egg"]);
        assert_eq!((fold("MASONS'"), fold("Tide's")), ("masons".into(), "tide".into()));
    }

    #[test]
    fn signs_are_no_words() {
        for sign in ["x", "mm", "RGB", "XXVIII", "sRGB", "McAdam", "Ω", "白"] {
            assert!(is_sign(sign), "{sign}");
        }
        for word in ["Grey", "GREYISH", "grey", "Écru", "ẞß"] {
            assert!(!is_sign(word), "{word}");
        }
    }
}
