//! The ink of everything that is drawn besides the colours themselves: light
//! and shade, words and rules.

use std::collections::{BTreeMap, BTreeSet};

use super::paper::{Bytes, Paper};
use super::tune::nearest_value;
use crate::colour::{Lab50, from_rgb};
use crate::graphic::{Cmyk, Rgb};

/// Words and rules up to this chroma are grey, so black ink alone.
const GREY: f64 = 6.0;
/// Words and rules darker than this are black: thin strokes in a screen have ragged edges.
const BLACK: f64 = 30.0;

/// The ink of parts and swatches: `known` where the colour is one of the
/// range, else the nearest that the paper has.
pub fn of_colours(
    paper: &Paper,
    drawn: &BTreeSet<Rgb>,
    known: &BTreeMap<Rgb, Bytes>,
) -> BTreeMap<Rgb, Cmyk> {
    let ink = |rgb: &Rgb| known.get(rgb).copied().unwrap_or_else(|| nearest_ink(paper, *rgb));
    drawn.iter().map(|rgb| (*rgb, cmyk(ink(rgb)))).collect()
}

/// The ink of words, rules and marks: black alone where they are grey.
pub fn of_words(paper: &Paper, drawn: &BTreeSet<Rgb>) -> BTreeMap<Rgb, Cmyk> {
    let ink = |rgb: &Rgb| {
        let lab = from_rgb(*rgb);
        if lab.a.hypot(lab.b) > GREY { nearest_ink(paper, *rgb) } else { grey(paper, lab) }
    };
    drawn.iter().map(|rgb| (*rgb, cmyk(ink(rgb)))).collect()
}

fn nearest_ink(paper: &Paper, rgb: Rgb) -> Bytes {
    let aim = from_rgb(rgb);
    nearest_value(paper, aim, paper.plain(aim, rgb))
}

/// The black ink that is as light.
fn grey(paper: &Paper, lab: Lab50) -> Bytes {
    if lab.l < BLACK {
        return [0, 0, 0, 255];
    }
    let off = |k: u8| (paper.shows([0, 0, 0, k]).l - lab.l).abs();
    // Lightness falls with black, so the nearest is where the sign turns.
    let (mut low, mut high) = (0u8, 255u8);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if paper.shows([0, 0, 0, middle]).l > lab.l { low = middle } else { high = middle }
    }
    [0, 0, 0, if off(low) <= off(high) { low } else { high }]
}

fn cmyk([c, m, y, k]: Bytes) -> Cmyk {
    Cmyk(c, m, y, k)
}
