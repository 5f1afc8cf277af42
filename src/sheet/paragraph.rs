//! Running text broken into lines.

use crate::plan::style::{Look, Voice};

/// Breaks text at spaces into lines of at most `width` mm; a longer word has a line to itself.
pub fn wrap(look: &Look, voice: Voice, text: &str, width: f64) -> Vec<String> {
    let space = look.width(voice, " ") + 2.0 * voice.tracking;
    // A letter outside ASCII may change the font of its whole line.
    let sure = if text.is_ascii() { voice.size } else { f64::INFINITY };
    let mut lines: Vec<String> = Vec::new();
    // Width of the last line, as the sum of its words: what kerning at the spaces does to it stays well under an em.
    let mut reach = 0.0;
    for word in text.split_whitespace() {
        let own = look.width(voice, word);
        let sum = reach + space + own;
        let fits = |line: &str| {
            if (sum - width).abs() > sure {
                sum < width
            } else {
                look.width(voice, &format!("{line} {word}")) <= width
            }
        };
        match lines.last_mut() {
            Some(line) if fits(line) => {
                line.push(' ');
                line.push_str(word);
                reach = sum;
            }
            _ => {
                lines.push(word.to_owned());
                reach = own;
            }
        }
    }
    lines
}

/// The same with lines as even as possible, without taking a line more.
pub fn balance(look: &Look, voice: Voice, text: &str, width: f64) -> Vec<String> {
    let best = wrap(look, voice, text, width);
    if best.len() < 2 {
        return best;
    }
    let (mut low, mut high) = (width * 0.4, width);
    for _ in 0..14 {
        let middle = (low + high) / 2.0;
        let lines = wrap(look, voice, text, middle);
        let fits = lines.len() == best.len() && lines.iter().all(|l| look.width(voice, l) <= width);
        if fits { high = middle } else { low = middle }
    }
    let lines = wrap(look, voice, text, high);
    if lines.len() == best.len() { lines } else { best }
}

/// In at most `most` lines at the least width that allows so few.
pub fn narrowest(look: &Look, voice: Voice, text: &str, most: usize) -> Vec<String> {
    let full = look.width(voice, text);
    let (mut low, mut high) = (full / most as f64 * 0.9, full + 1e-6);
    for _ in 0..10 {
        let middle = (low + high) / 2.0;
        if wrap(look, voice, text, middle).len() <= most { high = middle } else { low = middle }
    }
    wrap(look, voice, text, high)
}

/// How a text is broken into lines of a width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Breaker {
    /// As [`wrap`] does.
    Full,
    /// As [`balance`] does.
    Even,
}

/// The same in one way or the other, but a word that is wider than `width` goes on in the next line.
pub fn within(by: Breaker, look: &Look, voice: Voice, text: &str, width: f64) -> Vec<String> {
    let by = match by {
        Breaker::Full => wrap,
        Breaker::Even => balance,
    };
    let lines = by(look, voice, text, width);
    if lines.iter().all(|line| look.width(voice, line) <= width) {
        return lines;
    }
    let pieces: Vec<String> =
        text.split_whitespace().flat_map(|word| pieces(look, voice, word, width)).collect();
    by(look, voice, &pieces.join(" "), width)
}

/// A word as the longest pieces that are no wider than `width`; a letter is never broken.
fn pieces(look: &Look, voice: Voice, word: &str, width: f64) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for letter in word.chars() {
        match out.last_mut() {
            Some(piece) if look.width(voice, &format!("{piece}{letter}")) <= width => {
                piece.push(letter);
            }
            _ => out.push(letter.into()),
        }
    }
    out
}

/// The voice shrunk until `text` fits `width` mm, never under the floor nor
/// under `least` of its size.
pub fn shrink(look: &Look, voice: Voice, text: &str, width: f64, least: f64) -> Voice {
    let natural = look.width(voice, text);
    if natural <= width || natural <= 0.0 {
        return voice;
    }
    let size =
        (voice.size * width / natural).max(voice.size * least).max(look.floor.min(voice.size));
    voice.sized(size)
}

/// The text shrunk as by [`shrink`]; where that is not enough its end is left off, so that it is
/// never wider than `width` mm.
pub fn fitting(look: &Look, voice: Voice, text: &str, width: f64, least: f64) -> (Voice, String) {
    let voice = shrink(look, voice, text, width, least);
    // A shrunk text is as wide as its room, but for rounding.
    let wide = |text: &str| look.width(voice, text) > width + 1e-9;
    if !wide(text) {
        return (voice, text.to_owned());
    }
    let letters: Vec<char> = text.chars().collect();
    let ended = |n: usize| letters[..n].iter().collect::<String>().trim_end().to_owned() + "…";
    // The longest beginning that fits with its mark.
    let (mut fits, mut too_long) = (0, letters.len());
    while too_long - fits > 1 {
        let middle = usize::midpoint(fits, too_long);
        if wide(&ended(middle)) { too_long = middle } else { fits = middle }
    }
    (voice, if fits == 0 { String::new() } else { ended(fits) })
}
