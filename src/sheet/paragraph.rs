//! Running text broken into lines.

use crate::plan::style::{Look, Voice};

/// Breaks text at spaces into lines of at most `width` mm; a longer word has a line to itself.
pub fn wrap(look: &Look, voice: Voice, text: &str, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if look.width(voice, &format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
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
