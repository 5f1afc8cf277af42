//! Keys for rows of a table that has no column for them.

use std::collections::HashMap;

/// Keys are made of what else names a row, so that they stay when rows come, go or move: of the first text
/// that is there, a number before a name; where that one is taken, of it and the next.
#[derive(Default)]
pub struct Keys {
    /// Each key, and the number of the next one to distinguish from it.
    taken: HashMap<String, usize>,
}

/// The longest key that is made, in characters; a number may follow.
const LONGEST: usize = 50;

impl Keys {
    /// A key for a row with these texts, the best first; none where it has none.
    pub fn key(&mut self, texts: &[&str]) -> Option<String> {
        let words: Vec<String> =
            texts.iter().map(|t| plain(t)).filter(|word| !word.is_empty()).collect();
        let first = words.first()?;
        for count in 1..=words.len() {
            let key = cut(&words[..count].join("-"));
            if !self.taken.contains_key(&key) {
                self.taken.insert(key.clone(), 2);
                return Some(key);
            }
        }
        let stem = cut(first);
        loop {
            let next = self.taken.entry(stem.clone()).or_insert(2);
            let key = format!("{stem}-{next}");
            *next += 1;
            if !self.taken.contains_key(&key) {
                self.taken.insert(key.clone(), 2);
                return Some(key);
            }
        }
    }
}

/// Letters, digits and single hyphens: 'creme-3' of 'Crème (3)'.
fn plain(text: &str) -> String {
    let latin = deunicode::deunicode(&text.chars().take(LONGEST).collect::<String>());
    let mut out = String::new();
    for c in latin.chars() {
        match c {
            c if c.is_ascii_alphanumeric() => out.push(c.to_ascii_lowercase()),
            _ if out.is_empty() || out.ends_with('-') => {}
            _ => out.push('-'),
        }
    }
    out.trim_end_matches('-').to_owned()
}

fn cut(key: &str) -> String {
    key.chars().take(LONGEST).collect::<String>().trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_of_the_row_not_of_its_place() {
        let mut keys = Keys::default();
        let mut of = |texts: &[&str]| keys.key(texts);
        assert_eq!(of(&["101", "Gannet"]).as_deref(), Some("101"));
        assert_eq!(of(&["", "Crème (3)"]).as_deref(), Some("creme-3"));
        assert_eq!(of(&["101", "Dulse"]).as_deref(), Some("101-dulse"));
        assert_eq!(of(&["101", "Dulse"]).as_deref(), Some("101-2"));
        assert_eq!(of(&["101-2"]).as_deref(), Some("101-2-2"));
        assert_eq!(of(&["", "-"]), None);
        assert!(of(&["9".repeat(300).as_str()]).unwrap().len() <= LONGEST);
    }

    #[test]
    fn thousands_of_equal_rows_cost_little() {
        let mut keys = Keys::default();
        let all: std::collections::BTreeSet<String> =
            (0..50_000).filter_map(|_| keys.key(&["tern"])).collect();
        assert_eq!(all.len(), 50_000);
    }
}
