//! Keys and words: what may be written, and what a key refers to.

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};

use crate::diag::{Diagnostic, Findings, nearest};
use crate::range::Words;
use crate::read::ron::Place;
use crate::read::{raw, tag};

/// The longest key or text in characters.
const MAX_KEY: usize = 64;
const MAX_TEXT: usize = 2_000;
/// So many unknown keys get a suggestion: looking for one among thousands takes milliseconds.
const MOST_SUGGESTIONS: usize = 100;

impl Words {
    /// Words without forms of their own.
    pub(in crate::range) fn plain(text: &str) -> Words {
        Words { text: text.to_owned(), ..Words::default() }
    }
}

/// The keys of one kind of thing, each with its number in the list.
pub struct Keys {
    kind: &'static str,
    numbers: BTreeMap<String, usize>,
    /// Their other names in the cells of a table, in lower case; none for a name of two.
    also: BTreeMap<String, Option<usize>>,
    /// Some entry is faulty: look-ups that fail are not to be reported.
    doubtful: bool,
    /// How many look-ups have failed.
    missed: Cell<usize>,
}

impl Keys {
    /// Collects the keys of a list, with messages for missing, odd and double
    /// ones. `whole`: the list is there and was read.
    pub fn new<'a>(
        kind: &'static str,
        place: Place,
        whole: bool,
        keys: impl Iterator<Item = &'a Option<String>>,
        findings: &mut Findings,
    ) -> Keys {
        let mut numbers = BTreeMap::new();
        let mut doubtful = !whole || place.damaged();
        for (i, key) in keys.enumerate() {
            let item = place.item(i);
            let Some(key) = key else {
                doubtful = true;
                if !item.faulted("key") {
                    findings.push(
                        Diagnostic::error("missing-field", format!("this {kind} has no key"))
                            .at(item.head())
                            .help(fill(
                                item,
                                "key",
                                "add key: \"...\", a short name of letters, digits and hyphens",
                            )),
                    );
                }
                continue;
            };
            doubtful |= !check_key(kind, key, item.field("key"), findings);
            if numbers.insert(key.clone(), i).is_some() {
                doubtful = true;
                findings.push(
                    Diagnostic::error("double-key", format!("the {kind} '{key}' appears twice"))
                        .at(item.field("key").span())
                        .help("give one of them a different key"),
                );
            }
        }
        Keys { kind, numbers, also: BTreeMap::new(), doubtful, missed: Cell::new(0) }
    }

    /// Accepts their titles in tables, too, and either in any case.
    pub fn go_by<'a>(&mut self, titles: impl Iterator<Item = (usize, &'a str)>) {
        let keys: Vec<(String, usize)> =
            self.numbers.iter().map(|(k, n)| (k.to_lowercase(), *n)).collect();
        let titles = titles.map(|(n, t)| (t.trim().to_lowercase(), n));
        // A key takes precedence over a title.
        for (list, over) in [(titles.collect::<Vec<_>>(), false), (keys, true)] {
            let mut here: BTreeMap<String, Option<usize>> = BTreeMap::new();
            for (text, n) in list {
                let known = here.entry(text).or_insert(Some(n));
                *known = known.filter(|first| *first == n);
            }
            for (text, n) in here {
                if over || !self.also.contains_key(&text) {
                    self.also.insert(text, n);
                }
            }
        }
    }

    /// The number of a key; a message when there is none.
    pub fn find(&self, key: &str, place: Place, findings: &mut Findings) -> Option<usize> {
        if place.in_cells()
            && !self.numbers.contains_key(key)
            && let Some(Some(n)) = self.also.get(&key.to_lowercase())
        {
            return Some(*n);
        }
        self.find_at(key, place.span(), findings)
    }

    /// The same for a place that is known.
    pub fn find_at(
        &self,
        key: &str,
        span: Option<crate::diag::Span>,
        findings: &mut Findings,
    ) -> Option<usize> {
        let found = self.numbers.get(key).copied();
        self.missed.set(self.missed.get() + usize::from(found.is_none()));
        if found.is_none() && !self.doubtful {
            findings.push(
                Diagnostic::error(self.code(), format!("there is no {} '{key}'", self.kind))
                    .at(span)
                    .help(self.suggest(key)),
            );
        }
        found
    }

    /// All of them, in order.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        self.numbers.keys().map(String::as_str)
    }

    /// Is there such a key?
    pub fn holds(&self, key: &str) -> bool {
        self.numbers.contains_key(key)
    }

    fn code(&self) -> &'static str {
        match self.kind {
            "listing" => "unknown-listing",
            "family" => "unknown-family",
            "part" => "unknown-part",
            _ => "unknown-colour",
        }
    }

    fn suggest(&self, key: &str) -> String {
        let searched = self.missed.get() <= MOST_SUGGESTIONS;
        let keys = self.numbers.keys().map(String::as_str).filter(|_| searched);
        match nearest(key, keys) {
            _ if self.numbers.is_empty() => {
                format!("the range has no {}: add it to the range", self.several())
            }
            Some(n) => format!("did you mean '{n}'?"),
            None if self.numbers.len() <= 12 => {
                let list: Vec<&str> = self.numbers.keys().map(String::as_str).collect();
                format!("the keys are: {}", list.join(", "))
            }
            None => {
                format!("look up the keys of the range's {} {}", self.numbers.len(), self.several())
            }
        }
    }

    /// What several of them are called.
    fn several(&self) -> String {
        match self.kind {
            "family" => "families".to_owned(),
            kind => format!("{kind}s"),
        }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.numbers.len()
    }

    /// Has any look-up failed? Then 'not used' is not reported.
    pub fn missed(&self) -> bool {
        self.missed.get() > 0
    }

    /// Is the list not to be trusted because part of it could not be read?
    pub fn doubtful(&self) -> bool {
        self.doubtful
    }
}

/// One value per listing, in the listings' order, with its place.
pub fn per_listing<'a, V>(
    pairs: Vec<(String, V)>,
    place: Place<'a>,
    listings: &Keys,
    findings: &mut Findings,
) -> Vec<Option<(V, Place<'a>)>> {
    let mut out: Vec<Option<(V, Place<'a>)>> = (0..listings.len()).map(|_| None).collect();
    for (i, (listing, value)) in pairs.into_iter().enumerate() {
        let here = place.item(i);
        let Some(n) = listings.find_at(&listing, here.key_span(), findings) else { continue };
        let Some(slot) = out.get_mut(n) else { continue };
        if slot.replace((value, here)).is_some() {
            findings.push(
                Diagnostic::error(
                    "double-key",
                    format!("the listing '{listing}' is given twice here"),
                )
                .at(here.key_span())
                .help("keep one of them"),
            );
        }
    }
    out
}

/// How to give what is missing: in a table by its column.
pub fn fill(place: Place, column: &str, written: &str) -> String {
    if place.in_cells() {
        format!("write it in the column '{column}'; add that column if the table lacks it")
    } else {
        written.to_owned()
    }
}

/// Letters, digits and hyphens, and not too many: is it so?
pub fn check_key(kind: &str, key: &str, place: Place, findings: &mut Findings) -> bool {
    let message = match key.chars().find(|c| !c.is_ascii_alphanumeric() && *c != '-') {
        _ if key.is_empty() => format!("this {kind} has an empty key"),
        Some(c) => format!("the key '{}' contains {}", key.escape_debug(), sign(c)),
        None if key.len() > MAX_KEY => {
            format!("the key of this {kind} is longer than {MAX_KEY} characters")
        }
        None if key.starts_with('-') => format!("the key '{key}' starts with a hyphen"),
        None => return true,
    };
    findings.push(
        Diagnostic::error("bad-key", message)
            .at(place.span())
            .help("use letters a to z, digits and hyphens, for example 'winkle-cream'"),
    );
    false
}

/// A character for a message.
fn sign(c: char) -> String {
    match c {
        ' ' => "a space".into(),
        c if c.is_control() => format!("the control character U+{:04X}", c as u32),
        c => format!("'{c}'"),
    }
}

/// A text without control characters, of sensible length.
pub fn text(text: &str, place: Place, findings: &mut Findings) {
    let bad = text.chars().find(|c| {
        // Marks that turn the direction of text round can make it read as something else.
        c.is_control() || matches!(*c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
    });
    if let Some(c) = bad {
        findings.push(
            Diagnostic::error(
                "control-character",
                format!("this text contains a hidden character, U+{:04X}", c as u32),
            )
            .at(place.span())
            .help("type the text again; the character may have been copied with it"),
        );
    } else if text.chars().count() > MAX_TEXT {
        findings.push(
            Diagnostic::error(
                "long-text",
                format!("this text is longer than {MAX_TEXT} characters"),
            )
            .at(place.span())
            .help("shorten it"),
        );
    }
}

/// Checks words and their forms.
pub fn words(raw: raw::Words, place: Place, findings: &mut Findings) -> Words {
    text(&raw.text, place, findings);
    let mut forms = BTreeMap::new();
    for (i, (language, form)) in raw.forms.0.into_iter().enumerate() {
        let here = place.item(1).item(i);
        if !check_tag(&language, here.key_span(), findings) {
            continue;
        }
        text(&form, here, findings);
        if forms.insert(tag::usual_case(&language), form).is_some() {
            findings.push(
                Diagnostic::error(
                    "double-key",
                    format!("the form for '{language}' is given twice"),
                )
                .at(here.key_span())
                .help("keep one of them"),
            );
        }
    }
    Words { text: raw.text, forms, is_name: false }
}

/// Names that no spelling changes; each is given once.
pub fn proper_names(
    raw: Option<Vec<String>>,
    place: Place,
    findings: &mut Findings,
) -> Vec<String> {
    let mut seen = BTreeSet::new();
    texts(raw, place, findings, |name| {
        if !name.chars().any(char::is_alphabetic) || name.trim() != name {
            let d = Diagnostic::error("bad-proper-name", format!("'{name}' is not a name"));
            return Some(d.help("write the name, for example \"Grayling\""));
        }
        let twice = || Diagnostic::error("double-key", format!("the name '{name}' is given twice"));
        (!seen.insert(name.to_owned())).then(|| twice().help("keep one of them"))
    })
}

/// A list of texts; what `fault` finds in one is reported at its place.
pub(super) fn texts(
    raw: Option<Vec<String>>,
    place: Place,
    findings: &mut Findings,
    mut fault: impl FnMut(&str) -> Option<Diagnostic>,
) -> Vec<String> {
    let list = raw.unwrap_or_default();
    for (i, item) in list.iter().enumerate() {
        let at = place.item(i);
        text(item, at, findings);
        if let Some(fault) = fault(item) {
            findings.push(fault.at(at.span()));
        }
    }
    list
}

/// Is it a language tag?
pub fn check_tag(language: &str, span: Option<crate::diag::Span>, findings: &mut Findings) -> bool {
    let good = tag::well_formed(language);
    if !good {
        findings.push(
            Diagnostic::error(
                "bad-spelling",
                format!("'{}' is not a language code", language.escape_debug()),
            )
            .at(span)
            .help(
                "write a language and, where it matters, a region, for example en-GB, fr or pt-BR",
            ),
        );
    }
    good
}
