//! What a press prints for every entry of a palette: the print values of the samples, the nearest
//! ink of light and shade, black alone for grey words and rules.

use std::collections::HashMap;

use super::paper::{Bytes, Paper};
use super::print::Print;
use super::tune::nearest_value;
use crate::colour::{Lab50, from_rgb, to_rgb};
use crate::graphic::{Cmyk, Rgb};
use crate::sheet::palette::PaletteEntry;
use crate::sheet::{Palette, PaletteMap};

/// Words and rules up to this chroma are grey, so black ink alone.
const GREY: f64 = 6.0;
/// Words and rules darker than this are black: thin strokes in a screen have ragged edges.
const BLACK: f64 = 30.0;

/// The inks of a palette. A shade is made from what the paper shows of its sample.
pub fn inks(paper: &Paper, print: &Print, palette: &Palette) -> PaletteMap<Cmyk> {
    let values = print.by_colour();
    let shown = palette.srgb(|sample| {
        let value = values.get(&sample.colour);
        value.map_or(sample.published, |value| to_rgb(paper.shows(*value)).0)
    });
    let mut nearest = Nearest { paper, known: HashMap::new() };
    shown.with(palette, |entry, rgb| {
        let [c, m, y, k] = match entry {
            PaletteEntry::Paper => paper.nothing(),
            PaletteEntry::Sample(sample) => {
                values.get(&sample.colour).copied().unwrap_or_else(|| nearest.ink(rgb))
            }
            PaletteEntry::Tone(..) | PaletteEntry::Fixed(_) => nearest.ink(rgb),
            PaletteEntry::Ink(_) => nearest.word(rgb),
            PaletteEntry::Value(value) => value,
        };
        Cmyk(c, m, y, k)
    })
}

/// The nearest ink of colours, each looked for once.
struct Nearest<'a> {
    paper: &'a Paper,
    known: HashMap<Rgb, Bytes>,
}

impl Nearest<'_> {
    fn ink(&mut self, rgb: Rgb) -> Bytes {
        let paper = self.paper;
        *self.known.entry(rgb).or_insert_with(|| {
            let aim = from_rgb(rgb);
            nearest_value(paper, aim, paper.plain(aim, rgb))
        })
    }

    /// Black alone for what is grey.
    fn word(&mut self, rgb: Rgb) -> Bytes {
        let lab = from_rgb(rgb);
        if lab.a.hypot(lab.b) > GREY { self.ink(rgb) } else { grey(self.paper, lab) }
    }
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
