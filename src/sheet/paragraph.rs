//! Running text broken into lines.

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;

use crate::plan::style::{Look, Voice};

/// A text in words, each measured once, and the widths of its lines as far as they were asked for.
struct Words<'a> {
    look: &'a Look,
    voice: Voice,
    words: Vec<(&'a str, f64)>,
    space: f64,
    /// What kerning at the spaces does to a line stays well under this, mm.
    sure: f64,
    lines: RefCell<HashMap<Range<usize>, f64>>,
}

impl<'a> Words<'a> {
    fn new(look: &'a Look, voice: Voice, text: &'a str) -> Words<'a> {
        let words = text.split_whitespace().map(|w| (w, look.width(voice, w))).collect();
        let space = look.width(voice, " ") + 2.0 * voice.tracking;
        // A letter outside ASCII may change the font of its whole line.
        let sure = if text.is_ascii() { voice.size } else { f64::INFINITY };
        Words { look, voice, words, space, sure, lines: RefCell::default() }
    }

    /// Lines of at most `width` mm, as ranges of words; a longer word has a line to itself.
    fn broken(&self, width: f64) -> Vec<Range<usize>> {
        let mut lines: Vec<Range<usize>> = Vec::new();
        // Width of the last line, as the sum of its words.
        let mut reach = 0.0;
        for (n, (_, own)) in self.words.iter().enumerate() {
            let sum = reach + self.space + own;
            let fits = |line: &Range<usize>| {
                if (sum - width).abs() > self.sure {
                    sum < width
                } else {
                    self.width(&(line.start..n + 1)) <= width
                }
            };
            match lines.last_mut() {
                Some(line) if fits(line) => {
                    line.end = n + 1;
                    reach = sum;
                }
                _ => {
                    lines.push(n..n + 1);
                    reach = *own;
                }
            }
        }
        lines
    }

    fn width(&self, line: &Range<usize>) -> f64 {
        if line.len() == 1 {
            return self.words[line.start].1;
        }
        if let Some(width) = self.lines.borrow().get(line) {
            return *width;
        }
        let width = self.look.width(self.voice, &self.text(line));
        self.lines.borrow_mut().insert(line.clone(), width);
        width
    }

    fn text(&self, line: &Range<usize>) -> String {
        self.words[line.clone()].iter().map(|w| w.0).collect::<Vec<_>>().join(" ")
    }

    fn texts(&self, lines: &[Range<usize>]) -> Vec<String> {
        lines.iter().map(|line| self.text(line)).collect()
    }
}

/// Breaks text at spaces into lines of at most `width` mm; a longer word has a line to itself.
pub fn wrap(look: &Look, voice: Voice, text: &str, width: f64) -> Vec<String> {
    let words = Words::new(look, voice, text);
    words.texts(&words.broken(width))
}

/// The same with lines as even as possible, without taking a line more.
pub fn balance(look: &Look, voice: Voice, text: &str, width: f64) -> Vec<String> {
    let words = Words::new(look, voice, text);
    let best = words.broken(width);
    if best.len() < 2 {
        return words.texts(&best);
    }
    let (mut low, mut high) = (width * 0.4, width);
    for _ in 0..14 {
        let middle = (low + high) / 2.0;
        let lines = words.broken(middle);
        let fits = lines.len() == best.len() && lines.iter().all(|l| words.width(l) <= width);
        if fits { high = middle } else { low = middle }
    }
    let lines = words.broken(high);
    words.texts(if lines.len() == best.len() { &lines } else { &best })
}

/// In at most `most` lines at the least width that allows so few.
pub fn narrowest(look: &Look, voice: Voice, text: &str, most: usize) -> Vec<String> {
    let words = Words::new(look, voice, text);
    let full = look.width(voice, text);
    let (mut low, mut high) = (full / most as f64 * 0.9, full + 1e-6);
    for _ in 0..10 {
        let middle = (low + high) / 2.0;
        if words.broken(middle).len() <= most { high = middle } else { low = middle }
    }
    words.texts(&words.broken(high))
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
