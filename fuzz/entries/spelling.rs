//! A spelling's file, and texts in both spellings.

use shadecard::diag::Sources;
use shadecard::spelling::Spelling;

use super::desk;
use super::told::errors;

pub fn entry(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let mut out = of_file(&mut desk::sources(&[("spelling/xx.ron", bytes)]));
    for tag in ["en-GB", "en-US"] {
        out += &spelled(&Spelling::shipped(tag).expect("shipped"), &text);
    }
    out
}

fn of_file(sources: &mut Sources) -> String {
    let folder = desk::file("");
    match Spelling::load("xx", &folder, sources) {
        Ok(spelling) => {
            let list: Vec<String> = (0..4).map(|n| spelling.number_words(n * 37)).collect();
            format!("{:?} {}", spelling.list(&list), spelled(&spelling, "Grey colour, GREY"))
        }
        Err(faults) => errors(faults, sources),
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
