//! The light and the observer that colour values are for, in the words of files.

use crate::diag::{Diagnostic, Located, Span};

/// What a file says of light and observer; what it leaves out is as CGATS.17 and ISO 13655 have it, D50 and 2 degrees.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Conditions {
    /// As written: 'D65'.
    pub light: Option<String>,
    /// As written: '10_Degree'.
    pub observer: Option<String>,
}

impl Conditions {
    /// Takes the light and the observer from a text that may say more than that, such as
    /// `Illumination=D50 ObserverAngle=2degree WhiteBase=Abs`. What is known already stays.
    pub fn add_text(&mut self, text: &str) {
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '_');
        let mut words = words.filter(|word| !word.is_empty()).peekable();
        while let Some(word) = words.next() {
            let said = word.to_ascii_lowercase();
            if self.light.is_none() && is_light(word) {
                self.light = Some(word.to_owned());
            }
            if self.observer.is_none() && said.contains("observer") {
                self.observer = words.peek().filter(|w| digits(w).is_some()).and_then(|w| short(w));
            }
        }
    }

    /// Takes what is written in a place for the light.
    pub fn set_light(&mut self, text: &str) {
        self.light = short(text);
    }

    /// Takes what is written in a place for the observer.
    pub fn set_observer(&mut self, text: &str) {
        self.observer = short(text);
    }

    fn is_d50(&self) -> bool {
        let plain = |light: &String| light.replace(['_', '-', ' '], "").to_ascii_uppercase();
        self.light.as_ref().map(plain).is_none_or(|l| l == "D50" || l == "CIED50")
    }

    fn is_two_degrees(&self) -> bool {
        let Some(text) = &self.observer else { return true };
        matches!(digits(text), Some(2 | 1931)) || text.to_ascii_lowercase().starts_with("two")
    }
}

impl Located<Conditions> {
    /// As [`Conditions::set_light`]; the place is remembered where the light does not fit.
    pub(super) fn set_light_at(&mut self, text: &str, at: Option<Span>) {
        self.value.set_light(text);
        if !self.value.is_d50() || self.span.is_none() {
            self.span = at;
        }
    }

    /// As [`Conditions::set_observer`], likewise.
    pub(super) fn set_observer_at(&mut self, text: &str, at: Option<Span>) {
        self.value.set_observer(text);
        if self.value.is_d50() && !self.value.is_two_degrees() || self.span.is_none() {
            self.span = at;
        }
    }
}

/// The standard lights, as one word: 'D65', 'F11', 'TL84'.
fn is_light(word: &str) -> bool {
    let mut chars = word.chars();
    let first = chars.next().map(|c| c.to_ascii_uppercase());
    let rest = chars.as_str();
    let number = !rest.is_empty() && rest.len() <= 2 && rest.bytes().all(|b| b.is_ascii_digit());
    matches!(first, Some('D' | 'F')) && number || word.eq_ignore_ascii_case("TL84")
}

/// As much of a text as is worth telling; none where it is empty.
fn short(text: &str) -> Option<String> {
    Some(text.trim().chars().take(100).collect()).filter(|t: &String| !t.is_empty())
}

/// The first number of a text.
fn digits(text: &str) -> Option<u32> {
    let from = text.find(|c: char| c.is_ascii_digit())?;
    let number: String = text[from..].chars().take_while(char::is_ascii_digit).collect();
    number.parse().ok()
}

/// The fault of values that are for another light or observer.
pub fn unfit(viewed: &Located<Conditions>, what: &str) -> Option<Diagnostic> {
    let Conditions { light, observer } = &viewed.value;
    let (d50, two) = (viewed.is_d50(), viewed.is_two_degrees());
    let other = match (light, observer) {
        _ if d50 && two => return None,
        (Some(light), _) if two => format!("the light '{light}'"),
        (_, Some(observer)) if d50 => format!("the observer '{observer}'"),
        (light, observer) => format!(
            "the light '{}' and the observer '{}'",
            light.as_deref().unwrap_or_default(),
            observer.as_deref().unwrap_or_default()
        ),
    };
    let message = format!("these {what} values are for {other}, not for D50 and 2 degrees");
    let help = "export them for D50 and 2 degrees, or export spectra, of which any light can be worked out";
    Some(Diagnostic::error("other-light", message).at(viewed.span.clone()).help(help).cause(other))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fits(light: &str, observer: &str) -> bool {
        let mut conditions = Conditions::default();
        conditions.set_light(light);
        conditions.set_observer(observer);
        unfit(&Located::new(conditions, None), "Lab").is_none()
    }

    #[test]
    fn d50_and_two_degrees_are_known_in_many_words() {
        for (light, observer) in [
            ("D50", "2"),
            ("d50", "2_Degree"),
            ("", ""),
            ("CIE D50", "CIE 1931"),
            ("D50", "2°"),
            ("D50", "two degrees"),
        ] {
            assert!(fits(light, observer), "{light} {observer}");
        }
        for (light, observer) in [
            ("D65", "2"),
            ("D50", "10_Degree"),
            ("A", ""),
            ("D50M2", ""),
            ("", "1964"),
            ("F11", "10"),
        ] {
            assert!(!fits(light, observer), "{light} {observer}");
        }
    }

    #[test]
    fn a_line_of_words_is_looked_through() {
        for (text, light, observer) in [
            (
                "Illumination=D50 ObserverAngle=2degree WhiteBase=Abs Filter=No",
                Some("D50"),
                Some("2degree"),
            ),
            ("OBSERVER, 10 degree", None, Some("10")),
            ("ILLUMINANT, D65", Some("D65"), None),
            ("made by hand in room 50", None, None),
        ] {
            let mut got = Conditions::default();
            got.add_text(text);
            assert_eq!(
                (got.light.as_deref(), got.observer.as_deref()),
                (light, observer),
                "{text}"
            );
        }
    }
}
