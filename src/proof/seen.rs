//! A sheet in the colours that a paper shows.

use crate::colour::to_rgb;
use crate::graphic::{Cmyk, Rgb};
use crate::press::inks::inks;
use crate::press::{Bytes, ColourMode, Paper, Print};
use crate::sheet::palette::PaletteEntry;
use crate::sheet::{Palette, PaletteMap};

/// What a person sees of every entry of a palette that is printed on the paper, the paper's own
/// white in it. Colours outside sRGB are clipped.
pub fn seen(paper: &Paper, print: &Print, palette: &Palette) -> PaletteMap<Rgb> {
    match paper.colour_mode() {
        ColourMode::Srgb => {
            palette.printed(&print.srgb()).with(palette, |entry, Rgb(r, g, b)| match entry {
                PaletteEntry::Paper => on(paper, paper.nothing()),
                _ => on(paper, [r, g, b, 0]),
            })
        }
        ColourMode::Cmyk => {
            inks(paper, print, palette).map(|Cmyk(c, m, y, k)| on(paper, [c, m, y, k]))
        }
    }
}

/// What a person sees of a value.
pub fn on(paper: &Paper, value: Bytes) -> Rgb {
    to_rgb(paper.measured(paper.shows(value))).0
}
