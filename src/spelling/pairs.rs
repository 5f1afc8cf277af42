//! British and American forms of the same word: the list that comes with the program.

use std::collections::BTreeMap;

/// Selected from a published list, see its head and `examples/spelling_pairs.rs`.
const LIST: &str = include_str!("pairs.txt");

/// One word in two spellings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    pub british: &'static str,
    pub american: &'static str,
    /// The American form means nothing else in British, so it can be turned back.
    pub back: bool,
}

/// Every pair, by its British form.
pub fn pairs() -> impl Iterator<Item = Pair> {
    LIST.lines().filter(|l| !l.starts_with('#')).filter_map(|line| {
        let (british, american) = line.split_once(' ')?;
        Some(match american.strip_prefix("> ") {
            Some(american) => Pair { british, american, back: false },
            None => Pair { british, american, back: true },
        })
    })
}

/// The words to change in the spelling of a tag: other form to ours.
pub(super) fn words(tag: &str) -> BTreeMap<String, String> {
    let turn = |p: Pair| match tag {
        "en-US" => Some((p.british.to_owned(), p.american.to_owned())),
        "en-GB" if p.back => Some((p.american.to_owned(), p.british.to_owned())),
        _ => None,
    };
    pairs().filter_map(turn).collect()
}
