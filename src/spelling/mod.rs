//! Spellings: the fixed words of a sheet, and the words in names that are
//! spelled differently elsewhere.

mod fill;
mod number;
pub mod pairs;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{Arc, LazyLock};

pub(crate) use self::fill::fill_in;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::range::Words;
use crate::read::{inside, outside, raw, read_text, ron, tag};

/// Tags and texts of the spellings that come with the program.
pub const SHIPPED: [(&str, &str); 2] =
    [("en-GB", include_str!("en-GB.ron")), ("en-US", include_str!("en-US.ron"))];

/// The keys of every phrase, sorted.
pub fn keys() -> impl Iterator<Item = String> {
    let english = Spelling::shipped(SHIPPED[0].0);
    let keys: Option<Vec<String>> =
        english.map(|english| english.phrases.keys().cloned().collect());
    keys.unwrap_or_default().into_iter()
}

/// One spelling.
#[derive(Debug, Clone)]
pub struct Spelling {
    tag: String,
    name: String,
    /// Other form, in small letters, to ours.
    words: Arc<BTreeMap<String, String>>,
    phrases: Arc<BTreeMap<String, String>>,
    numbers: raw::Numbers,
    /// Names that stay as they are, the longest first.
    proper_names: Vec<String>,
}

impl Spelling {
    /// The spelling of a tag: `spelling/TAG.ron` in `folder` where it is, else the shipped one.
    ///
    /// A file in the folder need not hold everything: what it lacks comes
    /// from the shipped spelling of the tag, else from `en-GB`.
    ///
    /// The file's text is kept in `sources`, so that a message can quote its line.
    ///
    /// # Errors
    /// No tag, an unknown spelling, or everything that is wrong with its file.
    pub fn load(
        language: &str,
        folder: &Path,
        sources: &mut Sources,
    ) -> Result<Spelling, Findings> {
        if !tag::well_formed(language) {
            return Err(Diagnostic::error(
                "bad-spelling",
                format!("'{}' is not a language code", language.escape_debug()),
            )
            .help("write a language and, where it matters, a region: en-GB, en-US, fr, pt-BR")
            .into());
        }
        let language = tag::usual_case(language);
        let shipped = Spelling::shipped(&language);
        let name = format!("spelling/{language}.ron");
        let file =
            inside(folder, &name, &sources.session.files).ok_or_else(|| outside(&name, None))?;
        if !sources.session.files.exists(&file) {
            return shipped.ok_or_else(|| {
                Diagnostic::error("unknown-spelling", format!("there is no spelling '{language}'"))
                    .help(format!(
                        "use en-GB or en-US, or write '{}' following their pattern",
                        file.display()
                    ))
                    .into()
            });
        }
        let text = read_text(&file, None, &sources.session)?;
        sources.add(&file, text.clone());
        let raw = decode(&file, &text)?;
        let base = shipped.or_else(|| Spelling::shipped("en-GB"));
        Ok(Spelling::over(base, language, raw))
    }

    /// A spelling that comes with the program.
    pub fn shipped(language: &str) -> Option<Spelling> {
        static READ: LazyLock<Vec<Spelling>> = LazyLock::new(|| {
            SHIPPED.iter().filter_map(|(tag, text)| read_shipped(tag, text)).collect()
        });
        READ.iter().find(|spelling| spelling.tag == language).cloned()
    }

    fn over(base: Option<Spelling>, tag: String, raw: raw::Spelling) -> Spelling {
        // Words to change belong to one language alone; fixed phrases may be lent.
        let same = base.as_ref().is_some_and(|b| b.tag == tag);
        let (mut words, mut phrases, numbers) = match base {
            Some(b) => (if same { b.words } else { Arc::default() }, b.phrases, b.numbers),
            None => (Arc::default(), Arc::default(), raw::Numbers::default()),
        };
        for (other, ours) in raw.words.unwrap_or_default().0 {
            Arc::make_mut(&mut words).insert(other.to_lowercase(), ours);
        }
        Arc::make_mut(&mut phrases).extend(raw.phrases.unwrap_or_default().0);
        let numbers = raw.numbers.unwrap_or(numbers);
        let name = raw.name.unwrap_or_else(|| tag.clone());
        Spelling { name, tag, words, phrases, numbers, proper_names: Vec::new() }
    }

    /// The same spelling, which leaves these names as they are.
    #[must_use]
    pub fn keeping(mut self, names: &[String]) -> Spelling {
        self.proper_names = names.to_vec();
        self.proper_names.sort_by_key(|name| std::cmp::Reverse(name.len()));
        self
    }

    /// The BCP 47 tag in its usual letter case.
    pub fn tag(&self) -> &str {
        &self.tag
    }

    /// The name for people: 'British'.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Words in this spelling: their own form where they have one; a name as it is, all else word by word.
    pub fn apply(&self, words: &Words) -> String {
        match words.forms.get(&self.tag) {
            Some(form) => form.clone(),
            None if words.is_name => words.text.clone(),
            None => self.text(&words.text),
        }
    }

    /// A text word by word; letter case is kept. Proper names stay as they are, and so do blanks
    /// to be filled in, such as `{colours}`.
    pub fn text(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        let mut rest = text;
        let mut before = None;
        while let Some((start, end)) = self.kept(rest, before) {
            self.words_of(&rest[..start], &mut out);
            out.push_str(&rest[start..end]);
            before = rest[..end].chars().next_back();
            rest = &rest[end..];
        }
        self.words_of(rest, &mut out);
        out
    }

    /// The first stretch of a text that stays as it is; `before` is the letter before the text.
    fn kept(&self, text: &str, before: Option<char>) -> Option<(usize, usize)> {
        let blank = text.find('{').and_then(|open| {
            let close = open + text[open..].find('}')?;
            Some((open, close + 1))
        });
        let is_letter = |c: Option<char>| c.is_some_and(char::is_alphabetic);
        let names = self.proper_names.iter().filter_map(|name| {
            let found = |(start, _): &(usize, &str)| {
                let left = text[..*start].chars().next_back().or(before);
                let right = text[start + name.len()..].chars().next();
                !is_letter(left) && !is_letter(right)
            };
            let (start, _) = text.match_indices(name.as_str()).find(found)?;
            Some((start, start + name.len()))
        });
        names.chain(blank).min_by_key(|(start, end)| (*start, std::cmp::Reverse(*end)))
    }

    fn words_of(&self, text: &str, out: &mut String) {
        let mut word = String::new();
        for c in text.chars().map(Some).chain([None]) {
            match c.filter(|c| c.is_alphabetic()) {
                Some(c) => word.push(c),
                None => {
                    out.push_str(&self.word(&word));
                    word.clear();
                    out.extend(c);
                }
            }
        }
    }

    fn word(&self, word: &str) -> String {
        self.ours(word).unwrap_or_else(|| word.to_owned())
    }

    /// Our form of a word of the other spelling, in its letter case; none where it is no such word.
    pub fn ours(&self, word: &str) -> Option<String> {
        let ours = self.words.get(&word.to_lowercase())?;
        let mut letters = word.chars();
        let first = letters.next().is_some_and(char::is_uppercase);
        let second = letters.next().is_some_and(char::is_uppercase);
        Some(match (first, second) {
            (true, true) => ours.to_uppercase(),
            (true, false) => {
                let mut c = ours.chars();
                c.next().map(|f| f.to_uppercase().chain(c).collect()).unwrap_or_default()
            }
            _ => ours.clone(),
        })
    }

    /// A fixed text of a sheet, its {places} filled in; the key in brackets where there is none.
    pub fn phrase(&self, key: &str, fill: &[(&str, &str)]) -> String {
        match self.phrases.get(key) {
            Some(template) => fill_in(template, fill),
            None => format!("[{key}]"),
        }
    }

    /// 118 as 'one hundred and eighteen', up to 9,999; digits beyond, or where the spelling has no words.
    pub fn number_words(&self, n: usize) -> String {
        number::words(&self.numbers, n).unwrap_or_else(|| n.to_string())
    }

    /// Names as a list in running text: 'a, b and c'.
    pub fn list(&self, items: &[String]) -> String {
        match items {
            [] => String::new(),
            [one] => one.clone(),
            [a, b] => {
                // No comma between two, in any English.
                let two = self.phrase("list_and", &[("list", a), ("last", b)]);
                two.replacen(&format!("{a}, "), &format!("{a} "), 1)
            }
            [list @ .., last] => {
                self.phrase("list_and", &[("list", &list.join(", ")), ("last", last)])
            }
        }
    }
}

/// The files are compiled in; a test reads them all.
fn read_shipped(tag: &str, text: &str) -> Option<Spelling> {
    let raw = decode(Path::new(tag), text).ok()?;
    let mut spelling = Spelling::over(None, tag.to_owned(), raw);
    let mut words = pairs::words(tag);
    words.extend(Arc::unwrap_or_clone(spelling.words));
    spelling.words = Arc::new(words);
    Some(spelling)
}

/// Decodes a spelling file and checks for phrases that would be printed wrongly.
fn decode(file: &Path, text: &str) -> Result<raw::Spelling, Findings> {
    let mut findings = Findings::default();
    let doc = ron::decode::<raw::Spelling>(file, text, "Spelling", &mut findings);
    if let Some(doc) = &doc
        && !SHIPPED.iter().any(|(_, t)| *t == text)
    {
        check_phrases(doc, &mut findings);
    }
    match doc {
        Some(doc) if findings.is_empty() => Ok(doc.value),
        _ => Err(findings),
    }
}

/// A phrase of a further language may use the places of the English one, and only phrases that are known.
fn check_phrases(doc: &ron::Document<raw::Spelling>, findings: &mut Findings) {
    let english = Spelling::shipped(SHIPPED[0].0);
    let (Some(english), Some(phrases)) = (english, &doc.value.phrases) else { return };
    let model = english.phrases;
    let at = doc.source.root().field("phrases");
    for (i, (key, template)) in phrases.0.iter().enumerate() {
        let Some(pattern) = model.get(key) else {
            let near = crate::diag::nearest(key, model.keys().map(String::as_str));
            findings.push(
                Diagnostic::error("unknown-phrase", format!("there is no phrase '{key}'"))
                    .at(at.item(i).key_span())
                    .help(match near {
                        Some(n) => format!("did you mean '{n}'?"),
                        None => "see the phrases of a shipped spelling".into(),
                    }),
            );
            continue;
        };
        if let Some(odd) = places(template).difference(&places(pattern)).next() {
            let message = format!("'{{{odd}}}' is not filled in here");
            findings.push(
                Diagnostic::error("unknown-place", message)
                    .at(at.item(i).span())
                    .help(format!("the English phrase is \"{pattern}\"")),
            );
        }
    }
}

fn places(template: &str) -> BTreeSet<&str> {
    template.split('{').skip(1).filter_map(|t| t.split_once('}')).map(|(name, _)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both() -> (Spelling, Spelling) {
        let load = |t| Spelling::load(t, Path::new("/nowhere"), &mut Sources::default()).unwrap();
        (load("en-GB"), load("EN-us"))
    }

    #[test]
    fn both_files_hold_the_same_phrases_and_places() {
        let (gb, us) = both();
        assert_eq!(gb.phrases.keys().collect::<Vec<_>>(), us.phrases.keys().collect::<Vec<_>>());
        for (key, text) in gb.phrases.iter() {
            assert_eq!(places(text), places(&us.phrases[key]), "{key}");
        }
        assert!(gb.words.len() >= 300, "{}", gb.words.len());
    }

    #[test]
    fn the_lists_are_each_other_turned_round() {
        let (gb, us) = both();
        for p in pairs::pairs() {
            assert_eq!(us.ours(p.british).as_deref(), Some(p.american));
            let back = gb.ours(p.american);
            assert_eq!(back.as_deref(), p.back.then_some(p.british), "{p:?}");
        }
        for s in [&gb, &us] {
            for text in s.phrases.values() {
                assert_eq!(&s.text(text), text, "a phrase in the wrong spelling");
            }
        }
    }

    #[test]
    fn whole_words_with_their_case() {
        let (gb, us) = both();
        assert_eq!(
            us.text("Tideline Grey, grey-GREY greyhound Colour's"),
            "Tideline Gray, gray-GRAY greyhound Color's"
        );
        assert_eq!(gb.text("Harbor Fiber metallic"), "Harbour Fibre metallic");
        assert_eq!(us.text("Mole-grey"), "Mole-gray");
        // Other words in British than the pair's.
        assert_eq!(gb.text("Check the story, curb the meter"), "Check the story, curb the meter");
        assert_eq!(us.text("Cheque, kerb, licence"), "Check, curb, license");
    }

    #[test]
    fn own_forms_come_first() {
        let (gb, us) = both();
        let forms = [("en-US".to_owned(), "Boardwalk Gray".to_owned())].into();
        let words = Words { text: "Promenade Grey".into(), forms, is_name: false };
        assert_eq!(gb.apply(&words), "Promenade Grey");
        assert_eq!(us.apply(&words), "Boardwalk Gray");
    }

    #[test]
    fn names_and_blanks_stay_as_they_are() {
        let (gb, us) = both();
        let names = ["Grey & Daughters".to_owned(), "Colour".to_owned()];
        let us = us.keeping(&names);
        assert_eq!(
            us.text("Grey & Daughters’ grey, Colours in Colour; {colours} grey"),
            "Grey & Daughters’ gray, Colors in Colour; {colours} gray"
        );
        assert_eq!(us.text("Grey & Daughtersgrey"), "Gray & Daughtersgrey");
        let maker = Words { text: "Harbor Gray".into(), is_name: true, ..Words::default() };
        assert_eq!(gb.apply(&maker), "Harbor Gray");
        let forms = [("en-GB".to_owned(), "Harbour Grey".to_owned())].into();
        assert_eq!(gb.apply(&Words { forms, ..maker }), "Harbour Grey");
    }

    #[test]
    fn phrases_and_lists() {
        let (gb, us) = both();
        assert_eq!(gb.phrase("family_count", &[("n", "{n}52")]), "{n}52 colours");
        assert_eq!(us.phrase("nothing", &[]), "[nothing]");
        let names = ["a", "b", "c"].map(str::to_owned);
        assert_eq!((gb.list(&names), us.list(&names)), ("a, b and c".into(), "a, b, and c".into()));
        assert_eq!(us.list(&names[..2]), "a and b");
    }

    #[test]
    fn a_file_beside_the_sheet() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join("spelling")).unwrap();
        let write = |text: &str| {
            std::fs::write(folder.path().join("spelling/de.ron"), text).unwrap();
            Spelling::load("de", folder.path(), &mut Sources::default())
        };
        let code = |read: Result<Spelling, Findings>| read.unwrap_err().sorted()[0].code;
        let de =
            write(r#"Spelling(name: "Deutsch", phrases: {"family_count": "{n} Farben"})"#).unwrap();
        assert_eq!(de.phrase("family_count", &[("n", "3")]), "3 Farben");
        assert_eq!(de.phrase("continued", &[]), "continued");
        assert_eq!(de.text("Color Grey"), "Color Grey");
        assert_eq!(code(write(r#"Spelling(phrases: {"famly_count": ""})"#)), "unknown-phrase");
        assert_eq!(code(write(r#"Spelling(phrases: {"continued": "{n}"})"#)), "unknown-place");
        assert_eq!(code(write("Spelling(word: {})")), "unknown-field");
        let load = |tag| Spelling::load(tag, folder.path(), &mut Sources::default());
        assert_eq!(code(load("fr")), "unknown-spelling");
        assert_eq!(code(load("../x")), "bad-spelling");
    }
}
