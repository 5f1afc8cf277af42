//! Texts that were saved in one encoding and read in another.

use std::collections::BTreeSet;

use super::texts::texts;
use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourRange, SheetSpec};

/// What a text was before another program read its UTF-8 as Windows-1252: 'CloisonnÃ©' was 'Cloisonné'.
///
/// Letters that stand for the bytes of UTF-8 do not occur together at random: each letter that was one takes a
/// capital with a mark and one or two signs (Encoding Standard, windows-1252; RFC 3629).
pub fn meant(text: &str) -> Option<String> {
    if text.is_ascii() {
        return None;
    }
    let (bytes, _, lost) = encoding_rs::WINDOWS_1252.encode(text);
    let meant = std::str::from_utf8(&bytes).ok().filter(|_| !lost)?;
    (!meant.is_ascii() && !meant.contains(char::is_control)).then(|| meant.to_owned())
}

/// Warns of every such text that is printed, once a text.
pub fn garbled(range: &ColourRange, sheet: &SheetSpec) -> Findings {
    let mut findings = Findings::default();
    let mut reported = BTreeSet::new();
    for text in texts(range, sheet) {
        let Some(meant) = meant(&text.words.text).filter(|_| reported.insert(&text.words.text))
        else {
            continue;
        };
        let message = format!(
            "the {} '{}' was saved as UTF-8 and read as another encoding",
            text.what, text.words.text
        );
        findings.push(Diagnostic::warning("garbled", message).at(text.span.clone()).help(format!(
            "did you mean '{meant}'? Correct it here, or open the list it came from as UTF-8 and save it again"
        )));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::meant;

    #[test]
    fn what_was_meant() {
        assert_eq!(meant("CloisonnÃ©").as_deref(), Some("Cloisonné"));
        assert_eq!(meant("Thorâ€™s Thunder").as_deref(), Some("Thor’s Thunder"));
        assert_eq!(meant("GrÃ¼n und WeiÃŸ").as_deref(), Some("Grün und Weiß"));
        for right in [
            "Cloisonné",
            "Thor’s Thunder",
            "Grün und Weiß",
            "Ã",
            "Äpfel",
            "Ärger",
            "ÉTÉ",
            "№ 5",
            "plain",
        ] {
            assert_eq!(meant(right), None, "{right}");
        }
    }
}
