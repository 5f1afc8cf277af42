//! How one colour differs from another, in plain words.

use super::terms::Terms;
use crate::colour::{Lab50, difference};

/// How a colour differs from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Word {
    Same,
    Lighter,
    Darker,
    Redder,
    Greener,
    Yellower,
    Bluer,
    Stronger,
    Greyer,
}

impl Word {
    /// Every word there is.
    pub const ALL: [Word; 9] = [
        Word::Same,
        Word::Lighter,
        Word::Darker,
        Word::Redder,
        Word::Greener,
        Word::Yellower,
        Word::Bluer,
        Word::Stronger,
        Word::Greyer,
    ];

    /// In lower case: 'lighter', 'the same'.
    pub fn text(self) -> &'static str {
        match self {
            Word::Same => "the same",
            Word::Lighter => "lighter",
            Word::Darker => "darker",
            Word::Redder => "redder",
            Word::Greener => "greener",
            Word::Yellower => "yellower",
            Word::Bluer => "bluer",
            Word::Stronger => "stronger",
            Word::Greyer => "greyer",
        }
    }
}

/// Under this chroma (CIEDE2000's C') a colour has no hue to speak of.
const GREY: f64 = 5.0;
/// From this chroma on it has one that can be lost.
const COLOURED: f64 = 10.0;
/// A second word is given where its part is at least this share of the first one's.
const SECOND: f64 = 0.5;

/// How the second differs from the first: one word or two, the biggest part first.
///
/// The parts are the weighted ones of CIEDE2000, so that they can be compared:
///
/// * l: lighter or darker;
/// * c: stronger or greyer;
/// * h: the end of the a*, b* axes (redder +a, greener -a, yellower +b, bluer
///   -b) that the hue turns towards. In the quadrants' middles it turns from one
///   axis to another, and the other is named; on an axis it moves across it.
///
/// Where one of the two is grey there is no hue to turn: c and h are one part,
/// named by the direction of the step in a*, b*; only where a colour is lost
/// (from C' 10 to under 5) it is 'greyer'. The second largest part is given where
/// it is at least half the largest. What would be written as 0.00 is the same.
pub fn words(first: Lab50, second: Lab50) -> Vec<Word> {
    if difference(first, second) < 0.005 {
        return vec![Word::Same];
    }
    let parts = Terms::of(first, second);
    let signed = |part: f64, more: Word, less: Word| if part > 0.0 { more } else { less };
    let mut said = vec![(parts.l, signed(parts.l, Word::Lighter, Word::Darker))];
    let (h, [from, to]) = (parts.h(), parts.chromas);
    if from.min(to) >= GREY {
        said.push((parts.c, signed(parts.c, Word::Stronger, Word::Greyer)));
        let [more, less] = hue_words(parts.mean_hue());
        said.push((h, signed(h, more, less)));
    } else if to < GREY && from >= COLOURED {
        said.push((parts.c.hypot(h), Word::Greyer));
    } else {
        let [(a1, b1), (a2, b2)] = parts.points;
        said.push((parts.c.hypot(h), step_word(a2 - a1, b2 - b1)));
    }
    // Stable: where two are equally large, lightness comes before chroma and hue.
    said.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let largest = said.first().map_or(0.0, |s| s.0.abs());
    said.truncate(2);
    said.retain(|s| s.0.abs() >= largest * SECOND || !largest.is_finite());
    said.into_iter().map(|s| s.1).collect()
}

/// What a hue is called that turns to larger angles from here, and to smaller ones.
fn hue_words(hue: f64) -> [Word; 2] {
    use Word::{Bluer, Greener, Redder, Yellower};
    // Eighths of the circle with +a, between, +b, between, -a ... in their middles.
    let eighth = ((hue + 22.5) / 45.0).floor() as i64;
    match eighth.rem_euclid(8) {
        0 => [Yellower, Bluer],
        1 => [Yellower, Redder],
        2 => [Greener, Redder],
        3 => [Greener, Yellower],
        4 => [Bluer, Yellower],
        5 => [Bluer, Greener],
        6 => [Redder, Greener],
        _ => [Redder, Bluer],
    }
}

fn step_word(a: f64, b: f64) -> Word {
    match (a.abs() > b.abs(), a > 0.0, b > 0.0) {
        (true, true, _) => Word::Redder,
        (true, false, _) => Word::Greener,
        (false, _, true) => Word::Yellower,
        (false, _, false) => Word::Bluer,
    }
}
