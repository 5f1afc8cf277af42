//! Which parts are laid on the pages, in which colours.

use crate::range::{ColourId, ColourRange, PartId};

/// A part in a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StageSample {
    pub part: PartId,
    pub colour: ColourId,
}

/// Some parts in some colours, as far as they are made, part by part as the range lists them: so a tray of
/// one part is laid out in one go. With `one_each`, each colour in one part alone: the largest of them.
pub fn samples(
    range: &ColourRange,
    colours: &[ColourId],
    parts: &[PartId],
    one_each: bool,
) -> Vec<StageSample> {
    let area = |part: &PartId| {
        let extent = range.part(*part).shape().extent;
        extent.width() * extent.height()
    };
    let largest = |colour: ColourId| {
        let made = parts.iter().copied().filter(|part| range.is_made(colour, *part));
        // Of equals the first one.
        made.rev().max_by(|a, b| area(a).total_cmp(&area(b)))
    };
    let of_part = |part: PartId| {
        let made = colours.iter().copied().filter(move |colour| range.is_made(*colour, part));
        let shown = made.filter(move |colour| !one_each || largest(*colour) == Some(part));
        shown.map(move |colour| StageSample { part, colour })
    };
    parts.iter().flat_map(|part| of_part(*part)).collect()
}
