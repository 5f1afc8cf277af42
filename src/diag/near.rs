//! 'Did you mean': the known word that is nearest to one which is not known.

/// A longer word is not a misspelt name.
const LONGEST: usize = 100;

/// The name nearest to `word` among `known`, if it is near enough to be meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let length = lower.chars().count();
    if length > LONGEST {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for k in known {
        let other = k.to_lowercase();
        let count = other.chars().count();
        let most = (count.max(length) / 3).max(1);
        // Lengths that differ by more need more changes than are allowed.
        let most = best.map_or(most, |(d, _)| most.min(d.saturating_sub(1)));
        if count.abs_diff(length) > most || count > LONGEST * 2 {
            continue;
        }
        let distance = strsim::damerau_levenshtein(&lower, &other);
        // Words that have nothing in common are not near, however short.
        if distance <= most && distance < count.max(length) {
            best = Some((distance, k));
        }
        if distance == 0 {
            break;
        }
    }
    best.map(|(_, k)| k)
}

/// Suggestions while there is work left for them: looking for one among thousands takes milliseconds, and
/// thousands of them are read by nobody.
#[derive(Debug)]
pub struct Suggestions {
    /// Comparisons that are left.
    left: usize,
}

impl Default for Suggestions {
    fn default() -> Suggestions {
        Suggestions { left: 1_000_000 }
    }
}

impl Suggestions {
    /// As [`nearest`]; none once a million words have been compared.
    pub fn nearest<'a>(&mut self, word: &str, known: &[&'a str]) -> Option<&'a str> {
        self.left = self.left.checked_sub(known.len())?;
        nearest(word, known.iter().copied())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_is_found_and_the_first_of_equals() {
        assert_eq!(nearest("perl", ["gloss", "pearl", "pearls"]), Some("pearl"));
        assert_eq!(nearest("PEARL", ["pearls", "pearl"]), Some("pearl"));
        assert_eq!(nearest("tern", ["fern", "kern"]), Some("fern"));
        assert_eq!(nearest("tern", ["gannet"]), None);
        assert_eq!(nearest("1", ["c"]), None);
        assert_eq!(nearest(&"x".repeat(30_000), [&*"x".repeat(30_000)]), None);
    }

    #[test]
    fn suggestions_come_to_an_end() {
        let known = vec!["pearl"; 400_000];
        let mut suggestions = Suggestions::default();
        let found: Vec<bool> =
            (0..3).map(|_| suggestions.nearest("pear", &known).is_some()).collect();
        assert_eq!(found, [true, true, false]);
    }
}
