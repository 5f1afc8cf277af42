//! Terms of what is learnt by eye: a polynomial in CIELAB, and one in the value. A printer differs from its model mostly
//! in how tones gain (ISO 12647-1), which terms of the value follow, and its stock in light and cast, which CIELAB does.

use super::reading::{Form, Spot};

/// Groups of terms, and how large each usually is, CIELAB: one for all, CIELAB, the value, its squares and products,
/// those of CIELAB, and its third degree.
pub(crate) const USUAL: [f64; 6] = [3.75, 3.0, 3.0, 1.8, 1.8, 1.05];
/// CIELAB that is one unit.
const UNIT: f64 = 40.0;

/// How many groups a form has.
pub(crate) fn groups(form: Form) -> usize {
    match form {
        Form::None => 0,
        Form::Shift => 1,
        Form::Affine => 2,
        Form::Tones => 4,
        Form::Quadratic => 5,
        Form::Cubic | Form::Process => 6,
    }
}

/// The terms of a spot in their groups; `channels` of a value are used.
pub(crate) fn terms(spot: &Spot, channels: usize) -> [Vec<f64>; 6] {
    let lab = [(spot.lab[0] - 50.0) / UNIT, spot.lab[1] / UNIT, spot.lab[2] / UNIT];
    let value: Vec<f64> = spot.value.iter().take(channels).map(|v| v / 127.5 - 1.0).collect();
    let second = products(&lab, &lab);
    let [l, a, b] = lab;
    let third = second.iter().map(|v| l * v).chain([a * a * a, a * a * b, a * b * b, b * b * b]);
    let third = third.collect();
    [vec![1.0], lab.to_vec(), value.clone(), products(&value, &value), second, third]
}

/// Each with itself and with those after it.
fn products(a: &[f64], b: &[f64]) -> Vec<f64> {
    let row = |i: usize| b[i..].iter().map(move |v| a[i] * v);
    (0..a.len()).flat_map(row).collect()
}

/// The terms of a form in a row, each times the scale of its group.
pub(crate) fn scaled(terms: &[Vec<f64>; 6], form: Form, scales: &[f64; 6]) -> Vec<f64> {
    let each = terms.iter().zip(scales).take(groups(form));
    each.flat_map(|(group, scale)| group.iter().map(move |v| scale * v)).collect()
}
