//! A name against its value: 'grey' on a strong blue is probably a mistake.
//!
//! The ranges of lightness, chroma and hue (CIE LCh of CIELAB, D65) are those
//! of the named colours of the colour survey of 2010 whose name ends with the
//! term, 556 in all: rgb.txt, CC0, as matplotlib 3.11.2 carries it
//! (`_color_data.py`). Black and white have too few there; theirs are from
//! memory.

use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourRange, lab};

/// A basic colour term and where its colours lie.
struct Term {
    word: &'static str,
    lightness: (f64, f64),
    chroma: (f64, f64),
    /// Degrees, from the first counter-clockwise to the second.
    hue: Option<(f64, f64)>,
}

const TERMS: [Term; 11] = [
    Term { word: "black", lightness: (0.0, 22.0), chroma: (0.0, 12.0), hue: None },
    Term { word: "white", lightness: (88.0, 100.0), chroma: (0.0, 14.0), hue: None },
    Term { word: "grey", lightness: (23.0, 99.0), chroma: (0.0, 25.0), hue: None },
    Term { word: "red", lightness: (25.0, 58.0), chroma: (50.0, 104.0), hue: Some((0.0, 46.0)) },
    Term { word: "orange", lightness: (47.0, 77.0), chroma: (58.0, 97.0), hue: Some((42.0, 78.0)) },
    Term {
        word: "yellow",
        lightness: (63.0, 98.0),
        chroma: (60.0, 99.0),
        hue: Some((76.0, 116.0)),
    },
    Term {
        word: "green",
        lightness: (15.0, 95.0),
        chroma: (24.0, 119.0),
        hue: Some((101.0, 182.0)),
    },
    Term { word: "blue", lightness: (2.0, 97.0), chroma: (13.0, 131.0), hue: Some((154.0, 309.0)) },
    Term { word: "purple", lightness: (7.0, 87.0), chroma: (20.0, 120.0), hue: Some((305.0, 6.0)) },
    Term { word: "pink", lightness: (44.0, 97.0), chroma: (4.0, 92.0), hue: Some((327.0, 39.0)) },
    Term { word: "brown", lightness: (3.0, 75.0), chroma: (11.0, 68.0), hue: Some((13.0, 99.0)) },
];

/// How far outside a value may lie: real samples are duller and paler than a
/// survey's screens (common practice, no source).
const EASE: (f64, f64, f64) = (12.0, 20.0, 15.0);

/// Names with a colour term whose value is far from it.
pub fn terms(range: &ColourRange) -> Findings {
    let mut findings = Findings::default();
    for colour in range.colours().iter().filter(|c| c.value().is_known()) {
        let at = lab(colour.rgb());
        let (chroma, hue) = (at.a.hypot(at.b), at.b.atan2(at.a).to_degrees().rem_euclid(360.0));
        for (l, name) in colour.names().iter().enumerate() {
            let Some(name) = &name.value else { continue };
            let named: Vec<&Term> = terms_of(&name.text);
            // 'Grey Blue' may be either.
            if named.is_empty() || named.iter().any(|t| t.holds(at.l, chroma, hue)) {
                continue;
            }
            let words: Vec<&str> = named.iter().map(|t| t.word).collect();
            findings.push(
                Diagnostic::hint(
                    "name-and-value",
                    format!(
                        "'{}' is named {}, but its value {} looks {}",
                        name.text,
                        words.join(" and "),
                        colour.rgb().hex(),
                        looks(at.l, chroma, hue)
                    ),
                )
                .at(colour.names()[l].span.clone())
                .help("check whether the value or the name belongs to another colour"),
            );
        }
    }
    findings
}

/// The terms that a name contains as whole words.
fn terms_of(name: &str) -> Vec<&'static Term> {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphabetic()).collect();
    TERMS
        .iter()
        .filter(|t| words.iter().any(|w| *w == t.word || (t.word == "grey" && *w == "gray")))
        .collect()
}

impl Term {
    fn holds(&self, lightness: f64, chroma: f64, hue: f64) -> bool {
        let (l, c, h) = EASE;
        let inside = |v: f64, (from, to): (f64, f64), ease: f64| v >= from - ease && v <= to + ease;
        inside(lightness, self.lightness, l)
            && inside(chroma, self.chroma, c)
            && self.hue.is_none_or(|(from, to)| {
                let span = (to - from).rem_euclid(360.0);
                // Nearly neutral: its hue is meaningless.
                chroma < 8.0 || (hue - from + h).rem_euclid(360.0) <= span + 2.0 * h
            })
    }
}

/// What a value looks like, by the nearest term that holds it.
fn looks(lightness: f64, chroma: f64, hue: f64) -> String {
    let strict = |t: &&Term| {
        let inside = |v: f64, (from, to): (f64, f64)| v >= from && v <= to;
        inside(lightness, t.lightness)
            && inside(chroma, t.chroma)
            && t.hue.is_none_or(|(from, to)| {
                (hue - from).rem_euclid(360.0) <= (to - from).rem_euclid(360.0)
            })
    };
    let words: Vec<&str> = TERMS.iter().filter(strict).map(|t| t.word).collect();
    if words.is_empty() { "otherwise".to_owned() } else { words.join(" or ") }
}
