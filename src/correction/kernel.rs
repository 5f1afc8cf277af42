//! How alike corrections at two places are.

use super::reading::Spot;

/// A place in units of the length scales: CIELAB, then the value.
pub(crate) type Place = [f64; 7];

/// A spot as a place: length scales in CIELAB, and in 8-bit value.
pub(crate) fn place(spot: &Spot, lengths: [f64; 2]) -> Place {
    let [l, a, b] = spot.lab.map(|v| v / lengths[0]);
    let [r, g, h, k] = spot.value.map(|v| v / lengths[1]);
    [l, a, b, r, g, h, k]
}

/// 1 for the same place, to 0 far away: the squared exponential.
pub(crate) fn alike(a: &Place, b: &Place) -> f64 {
    let square: f64 = a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum();
    (-0.5 * square).exp()
}
