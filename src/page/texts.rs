//! Texts in every spelling of a page.

use std::collections::BTreeSet;

use serde_json::{Map, Value, json};

use super::site;
use crate::edition::Planned;
use crate::range::{ColourRange, SheetSpec, Words};
use crate::sheet::words::filled_with;
use crate::spelling::Spelling;

/// What the page is filled with besides texts of the sheet, where a script can be typed or shown.
const ALWAYS: &str = "–—‘’“”…×·−é€£№";

/// The spellings of a page; the first is the one it opens in.
pub struct Texts<'a> {
    spellings: Vec<&'a Spelling>,
    range: &'a ColourRange,
    sheet: &'a SheetSpec,
}

impl<'a> Texts<'a> {
    pub fn new(spelled: &'a [Planned<'a>]) -> Texts<'a> {
        Texts {
            spellings: spelled.iter().map(|planned| planned.spelling).collect(),
            range: spelled[0].facts.range,
            sheet: spelled[0].facts.sheet,
        }
    }

    /// The spelling that the page opens in.
    pub fn first(&self) -> &'a Spelling {
        self.spellings[0]
    }

    /// One text where all spellings agree, else one for each.
    pub fn each(&self, said: impl Fn(&Spelling) -> String) -> Value {
        let all: Vec<String> = self.spellings.iter().map(|spelling| said(spelling)).collect();
        if all.windows(2).all(|two| two[0] == two[1]) { json!(all[0]) } else { json!(all) }
    }

    pub fn words(&self, words: &Words) -> Value {
        self.each(|spelling| spelling.apply(words))
    }

    /// Null where there are none.
    pub fn some(&self, words: &Words) -> Value {
        if words.text.is_empty() { Value::Null } else { self.words(words) }
    }

    /// A text of the sheet, its blanks filled in.
    pub fn filled(&self, words: &Words) -> Value {
        self.each(|spelling| self.filled_in(spelling, words))
    }

    /// The same in one spelling.
    pub fn filled_in(&self, spelling: &Spelling, words: &Words) -> String {
        let counts = [self.sheet.colour_count(), self.sheet.families().len()];
        filled_with(self.range, counts, spelling, 1.0, &without_scale(words))
    }

    /// The spellings with the page's words, those that differ from the first.
    pub fn spellings(&self) -> Value {
        let words = |spelling: &Spelling| -> Map<String, Value> {
            site::words().map(|key| (key.clone(), json!(spelling.phrase(&key, &[])))).collect()
        };
        let first = words(self.first());
        let one = |(i, spelling): (usize, &&Spelling)| {
            let mut own = words(spelling);
            if i > 0 {
                own.retain(|key, text| first.get(key) != Some(text));
            }
            json!({"tag": spelling.tag(), "name": spelling.phrase("spelling_name", &[]), "words": own})
        };
        self.spellings.iter().enumerate().map(one).collect()
    }

    /// Every character that the page can show.
    pub fn characters(&self, data: &Value) -> BTreeSet<char> {
        let typed = (' '..='~').chain(ALWAYS.chars());
        let mut all: BTreeSet<char> = typed.collect();
        add(data, &mut all);
        all
    }
}

/// A page has no scale: the blank for it goes, with what sets it apart.
fn without_scale(words: &Words) -> Words {
    let apart = |c: char| c.is_whitespace() || ",;:·–—|-".contains(c);
    let bare = |text: &String| match text.split_once("{scale}") {
        None => text.clone(),
        Some((before, after)) if before.trim_end_matches(apart).is_empty() => {
            after.trim_start_matches(apart).to_owned()
        }
        Some((before, after)) => before.trim_end_matches(apart).to_owned() + after,
    };
    let forms = words.forms.iter().map(|(tag, text)| (tag.clone(), bare(text))).collect();
    Words { text: bare(&words.text), forms, is_name: words.is_name }
}

fn add(value: &Value, all: &mut BTreeSet<char>) {
    match value {
        Value::String(text) => all.extend(text.chars().filter(|c| !c.is_control())),
        Value::Array(list) => list.iter().for_each(|value| add(value, all)),
        Value::Object(object) => {
            // Tones are no text.
            let texts = object.iter().filter(|(key, _)| key.as_str() != "tones");
            texts.for_each(|(_, value)| add(value, all));
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_blank_for_the_scale_goes_with_what_sets_it_apart() {
        let bare = |text: &str| {
            let forms = [("en-US".to_owned(), text.to_owned())].into_iter().collect();
            let words = without_scale(&Words { text: text.to_owned(), forms, is_name: false });
            assert_eq!(words.forms["en-US"], words.text);
            words.text
        };
        assert_eq!(bare("9 colours in 2 finishes, {scale}"), "9 colours in 2 finishes");
        assert_eq!(bare("{scale} · 9 colours"), "9 colours");
        assert_eq!(bare("9 colours - {scale} - of 2026"), "9 colours - of 2026");
        assert_eq!(bare("{scale}"), "");
        assert_eq!(bare("9 colours"), "9 colours");
    }
}
