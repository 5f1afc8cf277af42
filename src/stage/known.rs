//! Which colours of a range a camera can be judged by.

use crate::range::{Colour, Value};

/// CIELAB (D50) of a colour whose value an instrument measured: CIELAB or a spectrum. What is given for
/// screens is no measurement, unless it is trusted like one.
pub fn known(colour: &Colour, trust_screen_values: bool) -> Option<[f64; 3]> {
    let aim = colour.aim();
    match colour.value() {
        Value::LabD50 { .. } | Value::Spectrum { .. } => Some([aim.l, aim.a, aim.b]),
        Value::Srgb(_) if trust_screen_values => Some([aim.l, aim.a, aim.b]),
        Value::Srgb(_) | Value::Unknown => None,
    }
}
