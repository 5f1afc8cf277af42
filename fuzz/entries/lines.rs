//! A text broken into lines, evenly or not, and shrunk to its room, in a style, a voice and a width.

use std::sync::LazyLock;

use shadecard::plan::style::Voice;
use shadecard::plan::{Look, Style};
use shadecard::sheet::paragraph::{balance, shrink, wrap};

use super::told::ways;

/// Rounding of widths, mm.
const ROUND: f64 = 1e-6;
/// Of long texts the first words say enough.
const MOST: usize = 200;

pub fn entry(bytes: &[u8]) -> String {
    static LOOKS: LazyLock<Vec<Look>> = LazyLock::new(|| {
        let look = |style| {
            let style = Style::shipped(style).expect("shipped");
            Look::new(&style, 210.0, 297.0, 1.764).expect("a look")
        };
        ["plate", "catalogue"].map(look).to_vec()
    });
    let (ways, bytes) = ways(bytes, 18);
    let text: String = String::from_utf8_lossy(bytes).chars().take(MOST).collect();
    for which in ways {
        let look = &LOOKS[which % 2];
        let voice = [look.voices.name, look.voices.body, look.voices.title][which / 2 % 3];
        broken(look, voice, &text, [4.0, 30.0, 180.0][which / 6]);
    }
    String::new()
}

/// Lines hold every word, and are no wider than they may be.
fn broken(look: &Look, voice: Voice, text: &str, width: f64) {
    let words: Vec<&str> = text.split_whitespace().collect();
    let lines = wrap(look, voice, text, width);
    let even = balance(look, voice, text, width);
    for lines in [&lines, &even] {
        let back: Vec<&str> = lines.iter().flat_map(|l| l.split_whitespace()).collect();
        assert_eq!(back, words, "words are lost at {width} mm");
        let wide = |l: &&String| look.width(voice, l) > width + ROUND && l.contains(' ');
        assert_eq!(lines.iter().find(wide), None, "wider than {width} mm");
    }
    assert!(even.len() <= lines.len(), "{} lines, not {}", even.len(), lines.len());
    let small = shrink(look, voice, text, 30.0, 0.6);
    assert!(small.size <= voice.size + ROUND, "grown to {} mm", small.size);
    assert!(small.size >= look.floor.min(voice.size) - ROUND, "shrunk to {} mm", small.size);
}
