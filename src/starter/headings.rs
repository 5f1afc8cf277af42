//! What headings mean, recognised from a list that is kept as data.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::read::Finish;

/// What a column can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Meaning {
    Name,
    Number,
    Key,
    Value,
    L,
    A,
    B,
    Red,
    Green,
    Blue,
    Family,
    Finish,
    First,
    Last,
    Years,
    Note,
    Size,
    Width,
    Height,
    File,
    Side,
    Role,
}

impl Meaning {
    /// The heading that always means this, and what such a column holds.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Meaning::Name => ("name", "names"),
            Meaning::Number => ("number", "numbers"),
            Meaning::Key => ("key", "keys"),
            Meaning::Value => ("value", "colour values"),
            Meaning::L => ("L*", "L* of CIELAB"),
            Meaning::A => ("a*", "a* of CIELAB"),
            Meaning::B => ("b*", "b* of CIELAB"),
            Meaning::Red => ("red", "red, 0 to 255"),
            Meaning::Green => ("green", "green, 0 to 255"),
            Meaning::Blue => ("blue", "blue, 0 to 255"),
            Meaning::Family => ("family", "families"),
            Meaning::Finish => ("finish", "finishes"),
            Meaning::First => ("since", "first years"),
            Meaning::Last => ("until", "last years"),
            Meaning::Years => ("years", "years"),
            Meaning::Note => ("note", "notes"),
            Meaning::Size => ("size", "sizes"),
            Meaning::Width => ("width", "widths"),
            Meaning::Height => ("height", "heights"),
            Meaning::File => ("file", "files of drawings"),
            Meaning::Side => ("side", "sides"),
            Meaning::Role => ("role", "roles"),
        }
    }

    /// Does it belong to a listing, so that a sheet can have several of it?
    pub fn of_listing(self) -> bool {
        matches!(self, Meaning::Name | Meaning::Number)
    }

    /// Is it about parts only?
    pub fn of_parts(self) -> bool {
        use Meaning::{File, Height, Role, Side, Width};
        matches!(self, File | Width | Height | Side | Role)
    }
}

#[derive(Deserialize)]
struct Heading {
    means: Vec<Meaning>,
    words: Vec<String>,
}

/// The data file.
#[derive(Deserialize)]
#[serde(rename = "Words")]
struct Data {
    headings: Vec<Heading>,
    noise: Vec<String>,
    endings: Vec<(String, Meaning)>,
    finishes: Vec<(Finish, Vec<String>)>,
    parts: Vec<String>,
    made: Vec<String>,
    yes: Vec<String>,
    no: Vec<String>,
}

static DATA: LazyLock<Data> = LazyLock::new(|| {
    let mut data: Data = ron::from_str(include_str!("headings.ron")).expect("tested");
    for (_, words) in &mut data.finishes {
        words.iter_mut().for_each(|w| *w = plain(w));
    }
    data
});

/// A heading that was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recognised {
    /// What it can mean, the likeliest first.
    pub means: Vec<Meaning>,
    /// Whose names or numbers: 'Dealer' of 'Dealer name'; else nothing.
    pub whose: String,
}

/// Letters and digits in lower case, in words parted by one blank.
pub fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        out.extend(word.chars().flat_map(char::to_lowercase));
    }
    out
}

/// The words of the list, as written in lower case and plainly, with the heading that they are.
static WORDS: LazyLock<BTreeMap<String, usize>> = LazyLock::new(|| {
    let each =
        || DATA.headings.iter().enumerate().flat_map(|(i, h)| h.words.iter().map(move |w| (i, w)));
    let mut words: BTreeMap<String, usize> = each()
        .map(|(i, w)| (plain(w), i))
        .filter(|(w, _)| !w.is_empty())
        // Of 'l' and 'l*' the first is meant where signs do not count.
        .rev()
        .collect();
    words.extend(each().map(|(i, w)| (w.clone(), i)));
    words
});

/// Words of the longest of them.
static MOST_WORDS: LazyLock<usize> =
    LazyLock::new(|| WORDS.keys().map(|w| w.split_whitespace().count()).max().unwrap_or(0));

fn listed(text: &str) -> Option<&'static Vec<Meaning>> {
    let found = WORDS.get(&text.trim().to_lowercase()).or_else(|| WORDS.get(&plain(text)));
    found.map(|i| &DATA.headings[*i].means)
}

/// A heading longer than this is a sentence.
const LONGEST: usize = 80;

/// What a heading means; none if it is not understood.
pub fn recognise(heading: &str) -> Option<Recognised> {
    let own = |means: &[Meaning], whose: &str| {
        Some(Recognised { means: means.to_vec(), whose: whose.trim().to_owned() })
    };
    if heading.len() > LONGEST {
        return None;
    }
    if let Some(means) = listed(heading) {
        return own(means, "");
    }
    let words: Vec<&str> = heading
        .split(|c: char| !c.is_alphanumeric() && c != '*')
        .filter(|w| !w.is_empty())
        .collect();
    let said: Vec<&str> = words.iter().copied().filter(|w| !is_noise(w)).collect();
    if !said.is_empty()
        && said.len() < words.len()
        && let Some(means) = listed(&said.join(" "))
    {
        return own(means, "");
    }
    // 'Dealer colour name', 'name (dealer)': the longest words that are listed.
    for n in (1..words.len().min(*MOST_WORDS + 1)).rev() {
        for (rest, head, behind) in [
            (&words[..words.len() - n], &words[words.len() - n..], true),
            (&words[n..], &words[..n], false),
        ] {
            // 'Colour range 2026' is a title.
            if let Some(means) = listed(&head.join(" "))
                && means.iter().any(|m| m.of_listing())
                && (behind || means.len() == 1)
            {
                let rest: Vec<&str> = rest.iter().copied().filter(|w| !is_noise(w)).collect();
                let means: Vec<Meaning> =
                    means.iter().copied().filter(|m| m.of_listing()).collect();
                return own(&means, &rest.join(" "));
            }
        }
    }
    if let [word] = words.as_slice() {
        let lower = word.to_lowercase();
        for (ending, meaning) in &DATA.endings {
            if let Some(front) = lower.strip_suffix(ending.as_str())
                && front.chars().count() >= 3
            {
                let front: String = word.chars().take(front.chars().count()).collect();
                // 'Werksnummer': the s only joins.
                let whose = if is_noise(&front) { "" } else { front.trim_end_matches('s') };
                return own(&[*meaning], whose);
            }
        }
    }
    None
}

fn is_noise(word: &str) -> bool {
    let word = plain(word);
    DATA.noise.contains(&word)
}

/// Is it a usual name of a workbook's sheet of parts?
pub fn names_parts(sheet: &str) -> bool {
    DATA.parts.contains(&plain(sheet))
}

/// Is it a usual name of a workbook's sheet of what is made?
pub fn names_made(sheet: &str) -> bool {
    DATA.made.contains(&plain(sheet))
}

/// Yes or no, in words that a range table does not accept.
pub fn yes_or_no(text: &str) -> Option<bool> {
    let lower = text.trim().to_lowercase();
    let yes = DATA.yes.contains(&lower);
    (yes || DATA.no.contains(&lower)).then_some(yes)
}

/// The finish that a text names, by its own word or by another.
pub fn finish(text: &str) -> Option<Finish> {
    let text = plain(text);
    if let Some(finish) = Finish::parse(&text) {
        return Some(finish);
    }
    let padded = format!(" {text} ");
    let of = |all: &dyn Fn(&str) -> bool| {
        DATA.finishes.iter().find(|(_, words)| words.iter().any(|w| all(w))).map(|f| f.0)
    };
    // The whole text first: 'satin metal' is named by neither word alone.
    of(&|w| w == text).or_else(|| of(&|w| padded.contains(&format!(" {w} "))))
}

#[cfg(test)]
mod tests {
    use super::Meaning::*;
    use super::*;

    #[test]
    fn headings_in_english_and_german() {
        for (heading, first, whose) in [
            ("Name", Name, ""),
            ("Colour name", Name, ""),
            ("No.", Number, ""),
            ("Art. no.", Number, ""),
            ("Art.-Nr.", Number, ""),
            ("Code", Number, ""),
            ("RGB", Value, ""),
            ("Hex", Value, ""),
            ("Group", Family, ""),
            ("Line", Family, ""),
            ("#", Number, ""),
            ("L*", L, ""),
            ("L* (D50)", L, ""),
            ("b*", B, ""),
            ("Width (mm)", Width, ""),
            ("Farbbezeichnung", Name, ""),
            ("Größe [mm]", Size, ""),
            ("lieferbar seit", First, ""),
            ("Dealer name", Name, "Dealer"),
            ("Name (dealer)", Name, "dealer"),
            ("Shop no.", Number, "Shop"),
            ("No. in shop list", Number, "shop list"),
            ("Händlername", Name, "Händler"),
            ("Werksnummer", Number, "Werk"),
            ("Händler-Nr.", Number, "Händler"),
        ] {
            let found = recognise(heading).unwrap_or_else(|| panic!("{heading}"));
            assert_eq!((found.means[0], found.whose.as_str()), (first, whose), "{heading}");
        }
        for other in ["Price", "Lagerplatz", "10", "x", "", "Supplier"] {
            assert_eq!(recognise(other), None, "{other}");
        }
    }

    /// Every word occurs once, so that the order of the list has no effect.
    #[test]
    fn no_heading_is_listed_twice() {
        let mut all: Vec<String> = DATA
            .headings
            .iter()
            .flat_map(|h| &h.words)
            .filter_map(|w| Some(plain(w)).filter(|p| !p.is_empty() && !w.ends_with('*')))
            .collect();
        let count = all.len();
        all.sort();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    /// Messages name these headings: each must have its own meaning.
    #[test]
    fn the_word_for_a_meaning_means_it() {
        for meaning in [
            Name, Number, Key, Value, L, A, B, Red, Green, Blue, Family, Finish, First, Last,
            Years, Note, Size, Width, Height, File, Side, Role,
        ] {
            let found = recognise(meaning.words().0).expect("listed");
            assert_eq!(found.means[0], meaning, "{meaning:?}");
        }
    }

    #[test]
    fn finishes_by_other_words() {
        use crate::read::Finish;
        assert_eq!(finish("Clear"), Some(Finish::Clear));
        assert_eq!(finish("glossy"), Some(Finish::Opaque));
        assert_eq!(finish("Seidenmatt"), Some(Finish::Satin));
        assert_eq!(finish("mother-of-pearl"), Some(Finish::Pearl));
        assert_eq!(finish("Transparent colours"), Some(Finish::Clear));
        assert_eq!(finish("Herbst"), None);
    }
}
