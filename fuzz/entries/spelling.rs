//! Words: a spelling's file, texts in both spellings, and names broken and fitted to their room.

use shadecard::diag::Sources;
use shadecard::graphic::Rgb;
use shadecard::labels::Recipe;
use shadecard::labels::fit::{Voices, fit_all};
use shadecard::labels::words::{Entry, Said};
use shadecard::plan::{Look, Style};
use shadecard::range::{ColourId, ListingId};
use shadecard::sheet::paragraph::{balance, shrink, wrap};
use shadecard::spelling::Spelling;

use super::desk::{self, plain};
use super::told::{errors, one};

/// Rounding of widths, mm.
const ROUND: f64 = 1e-6;
/// Of long texts the first words and lines say enough.
const MOST: usize = 400;

pub fn entry(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let short: String = text.chars().take(MOST).collect();
    let mut out = desk::with(&[("spelling/xx.ron", bytes)], |desk| {
        let out = plain(&of_file(&desk.file("")), desk);
        std::fs::remove_file(desk.file("spelling/xx.ron")).expect("there");
        out
    });
    for tag in ["en-GB", "en-US"] {
        out += &spelled(&Spelling::shipped(tag).expect("shipped"), &text);
    }
    for style in ["plate", "catalogue"] {
        let style = Style::shipped(style).expect("shipped");
        broken(&Look::new(&style, 210.0, 297.0, 1.764).expect("a look"), &short);
        out += &fitted(&style, &short);
    }
    out
}

fn of_file(folder: &std::path::Path) -> String {
    let mut sources = Sources::default();
    match Spelling::load_noting("xx", folder, &mut sources) {
        Ok(spelling) => {
            let list: Vec<String> = (0..4).map(|n| spelling.number_words(n * 37)).collect();
            format!("{:?} {}", spelling.list(&list), spelled(&spelling, "Grey colour, GREY"))
        }
        Err(first) => {
            one(&first, &sources);
            errors(Spelling::faults("xx", folder, &mut sources), &sources)
        }
    }
}

/// Letters may change, nothing between them.
fn spelled(spelling: &Spelling, text: &str) -> String {
    let between = |text: &str| text.chars().filter(|c| !c.is_alphabetic()).collect::<String>();
    let once = spelling.text(text);
    if ["en-GB", "en-US"].contains(&spelling.tag()) {
        assert_eq!(between(&once), between(text), "more than letters has changed");
        assert_eq!(spelling.text(&once), once, "spelled twice it is another text");
    }
    once
}

/// Lines hold every word, and are no wider than they may be.
fn broken(look: &Look, text: &str) {
    let words: Vec<&str> = text.split_whitespace().collect();
    for voice in [look.voices.name, look.voices.body, look.voices.title] {
        for width in [4.0, 30.0, 180.0] {
            let lines = wrap(look, voice, text, width);
            let even = balance(look, voice, text, width);
            for lines in [&lines, &even] {
                let back: Vec<&str> = lines.iter().flat_map(|l| l.split_whitespace()).collect();
                assert_eq!(back, words, "words are lost at {width} mm");
                let wide = |l: &&String| look.width(voice, l) > width + ROUND && l.contains(' ');
                assert_eq!(lines.iter().find(wide), None, "wider than {width} mm");
            }
            assert!(even.len() <= lines.len(), "{} lines, not {}", even.len(), lines.len());
        }
        let small = shrink(look, voice, text, 30.0, 0.6);
        assert!(small.size <= voice.size + ROUND, "grown to {} mm", small.size);
        assert!(small.size >= look.floor.min(voice.size) - ROUND, "shrunk to {} mm", small.size);
    }
}

/// A label of two listings from the text's first lines: all that is set lies on it.
fn fitted(style: &Style, text: &str) -> String {
    let mut sources = Sources::default();
    let recipe = Recipe::find("a4", std::path::Path::new(""), &mut sources).expect("shipped");
    let voices = Voices::new(style, &recipe).expect("voices");
    let mut lines = text.lines().map(|l| l.split_whitespace().collect::<Vec<_>>().join(" "));
    let mut next = || lines.next().unwrap_or_default();
    let entries: Vec<Entry> = (0..2)
        .map(|listing| Entry {
            listing: ListingId(listing),
            name: next(),
            number: next(),
            tag: next(),
        })
        .filter(|e| !e.name.is_empty() || !e.number.is_empty())
        .collect();
    if entries.is_empty() {
        return String::new();
    }
    let said = Said { colour: ColourId(0), key: "key".into(), rgb: Rgb(1, 2, 3), entries };
    let (width, height) = (50.0, 30.0);
    let mut out = String::new();
    for count in 1..=4 {
        let fitted = fit_all(std::slice::from_ref(&said), count, &voices, 6.0, (width, height));
        let Some(fitted) = fitted.into_iter().next().flatten() else { continue };
        out += &format!(" {:.3}", fitted.size);
        assert!(fitted.size >= recipe.type_floor() - ROUND, "set at {} mm", fitted.size);
        for run in &fitted.runs {
            let wide = voices.look.width(run.voice, &run.text);
            let left = if run.right { run.x - wide } else { run.x };
            let inside = left >= -ROUND && left + wide <= width + ROUND;
            assert!(inside, "'{}' from {left} to {}", run.text, left + wide);
            assert!(run.y.abs() <= height / 2.0 + ROUND, "'{}' at {}", run.text, run.y);
        }
    }
    out
}
