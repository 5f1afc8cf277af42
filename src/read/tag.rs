//! Language tags: the part of RFC 5646 that spellings need.

/// Is this `language[-Script][-REGION]`, such as `en-GB`, `sr-Latn` or `es-419`?
///
/// Source: RFC 5646 section 2.1, without extensions, variants and private use.
pub fn well_formed(tag: &str) -> bool {
    let mut parts = tag.split('-').peekable();
    let alpha = |s: &str| s.bytes().all(|b| b.is_ascii_alphabetic());
    let Some(language) = parts.next() else { return false };
    if !(2..=3).contains(&language.len()) || !alpha(language) {
        return false;
    }
    if parts.peek().is_some_and(|s| s.len() == 4 && alpha(s)) {
        parts.next();
    }
    if parts.peek().is_some_and(|s| {
        (s.len() == 2 && alpha(s)) || (s.len() == 3 && s.bytes().all(|b| b.is_ascii_digit()))
    }) {
        parts.next();
    }
    parts.next().is_none()
}

/// The tag in its usual letter case: `en-GB`, `sr-Latn`.
pub fn usual_case(tag: &str) -> String {
    tag.split('-')
        .enumerate()
        .map(|(i, s)| match (i, s.len()) {
            (0, _) => s.to_ascii_lowercase(),
            (_, 4) => s[..1].to_ascii_uppercase() + &s[1..].to_ascii_lowercase(),
            _ => s.to_ascii_uppercase(),
        })
        .collect::<Vec<_>>()
        .join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags() {
        for good in ["en", "en-GB", "sr-Latn", "zh-Hant-TW", "es-419", "gsw"] {
            assert!(well_formed(good), "{good}");
        }
        for bad in ["", "e", "english", "en_GB", "en-", "en-GB-x", "en-G", "e1", "en-GB-GB", "é-GB"]
        {
            assert!(!well_formed(bad), "{bad}");
        }
        assert_eq!(usual_case("EN-gb"), "en-GB");
        assert_eq!(usual_case("ZH-HANT-tw"), "zh-Hant-TW");
    }
}
