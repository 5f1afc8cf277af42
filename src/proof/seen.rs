//! A sheet in the colours that a paper shows.

use std::collections::{BTreeMap, BTreeSet};

use crate::colour::to_rgb;
use crate::graphic::Rgb;
use crate::press::{Bytes, ColourMode, Paper, Print, inks};
use crate::sheet::Sheet;

/// `sheet`, which is drawn for the paper ([`Print::drawn`]), as a person sees
/// it there: the paper's white and all. Colours outside sRGB are clipped.
pub fn seen(sheet: Sheet, paper: &Paper, print: &Print) -> Sheet {
    let (drawn, words) = (sheet.colours(), sheet.words_colours());
    let (colours, words) = match paper.colour_mode() {
        ColourMode::Srgb => (as_it_is(&drawn), as_it_is(&words)),
        ColourMode::Cmyk => {
            let known = print.by_drawn(ColourMode::Cmyk);
            let bytes = |map: BTreeMap<Rgb, crate::graphic::Cmyk>| {
                map.into_iter().map(|(rgb, ink)| (rgb, [ink.0, ink.1, ink.2, ink.3])).collect()
            };
            (bytes(inks::of_colours(paper, &drawn, &known)), bytes(inks::of_words(paper, &words)))
        }
    };
    let look = |values: BTreeMap<Rgb, Bytes>| -> BTreeMap<Rgb, Rgb> {
        values.into_iter().map(|(rgb, value)| (rgb, on(paper, value))).collect()
    };
    let ground = on(paper, paper.nothing());
    sheet.recoloured(&look(colours), &look(words)).on_ground(ground)
}

/// What a person sees of a value.
pub fn on(paper: &Paper, value: Bytes) -> Rgb {
    to_rgb(paper.measured(paper.shows(value))).0
}

fn as_it_is(drawn: &BTreeSet<Rgb>) -> BTreeMap<Rgb, Bytes> {
    drawn.iter().map(|rgb| (*rgb, [rgb.0, rgb.1, rgb.2, 0])).collect()
}
