//! Which colours of a range a camera can be judged by.

use crate::capture::page::StagePage;
use crate::range::{Colour, ColourRange, Value};

/// How the note of a value begins that was read from photographs.
pub const PHOTOGRAPH: &str = "photograph";

/// CIELAB (D50) of a colour whose value an instrument measured: CIELAB or a spectrum. What is given for
/// screens is no measurement, unless it is trusted like one; what was read from photographs is none ever:
/// a camera would be judged by itself.
pub fn known(colour: &Colour, trust_screen_values: bool) -> Option<[f64; 3]> {
    let aim = colour.aim();
    let note = colour.measured().as_ref().and_then(|m| m.note().as_deref());
    if note.is_some_and(|note| note.starts_with(PHOTOGRAPH)) {
        return None;
    }
    match colour.value() {
        Value::LabD50 { .. } | Value::Spectrum { .. } => Some([aim.l, aim.a, aim.b]),
        Value::Srgb(_) if trust_screen_values => Some([aim.l, aim.a, aim.b]),
        Value::Srgb(_) | Value::Unknown => None,
    }
}

/// Gives the places of a page the values that the range has now.
pub fn know(page: &mut StagePage, range: &ColourRange, trust_screen_values: bool) {
    for place in &mut page.places {
        let colour = range.colours().iter().find(|colour| *colour.key() == place.colour);
        place.known = colour.and_then(|colour| known(colour, trust_screen_values));
    }
}
