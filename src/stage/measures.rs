//! Measures that the layout, the marks and the drawing of a page share.

/// From the page's edge to what is between the dots, mm.
pub const MARGIN: f64 = 12.0;
/// The square code's edges, and the height of all that stands beside it, mm.
pub const CODE: f64 = 18.0;
/// Round the patches of a chart: the card that carries them, mm.
pub const CARD: f64 = 8.0;
/// Under a place: its label, mm.
pub const LABEL: f64 = 3.6;

/// To a ten thousandth of a millimetre: what is written in the file is exactly what is drawn.
pub fn rounded(v: f64) -> f64 {
    (v * 1e4).round() / 1e4
}
