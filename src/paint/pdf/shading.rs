//! Gradients as shading patterns (ISO 32000-1, 8.7.4.5.3 and 8.7.4.5.4).

use kurbo::Affine;

use super::inks::{Ink, Inks};
use super::object::Ref;
use super::operators::Unit;
use crate::paint::number::{FACTOR, push};
use crate::sheet::{Gradient, Ramp, Stop};

/// Decimals of offsets.
const SHARE: usize = 4;
/// Decimals of a matrix's shifts, which are in form units.
const SHIFT: usize = 3;

/// Appends an array of numbers.
fn array(out: &mut String, values: impl IntoIterator<Item = (f64, usize)>) {
    out.push('[');
    for (i, (value, decimals)) in values.into_iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        push(out, value, decimals);
    }
    out.push(']');
}

/// A pattern that paints `gradient` in a form, its colours being those of
/// `function`, in `space`.
pub fn pattern(gradient: &Gradient, function: Ref, space: &str) -> String {
    let steps = Unit::FORM.per_mm();
    let (kind, coords) = match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => (2, vec![x1, y1, x2, y2]),
        // Two circles: the focus, and the whole circle.
        Ramp::Radial { cx, cy, r, fx, fy } => (3, vec![fx, fy, 0.0, cx, cy, r]),
    };
    let mut out =
        format!("<</PatternType 2/Shading<</ShadingType {kind}/ColorSpace/{space}/Coords");
    array(&mut out, coords.into_iter().map(|v| (v * steps, Unit::FORM_DECIMALS)));
    out.push_str(&format!("/Function {function}/Extend[true true]>>"));
    if gradient.transform != Affine::IDENTITY {
        let [a, b, c, d, e, f] = gradient.transform.as_coeffs();
        let shifts = [e, f].map(|v| (v * steps, SHIFT));
        out.push_str("/Matrix");
        array(&mut out, [a, b, c, d].map(|v| (v, FACTOR)).into_iter().chain(shifts));
    }
    out.push_str(">>");
    out
}

/// The colour from 0 to 1 (ISO 32000-1, 7.10.3 and 7.10.4): pieces between
/// stops, flat before the first and after the last. Stops at one place make a
/// hard edge, which no piece fills.
pub fn function(stops: &[Stop], inks: Inks<'_>) -> String {
    let mut knots: Vec<(f64, Ink)> = Vec::with_capacity(stops.len() + 2);
    knots.extend(stops.first().map(|s| (0.0, inks.of(s.colour))));
    knots.extend(stops.iter().map(|s| (s.offset, inks.of(s.colour))));
    knots.extend(stops.last().map(|s| (1.0, inks.of(s.colour))));
    let mut pieces = String::new();
    let mut ends = Vec::new();
    for pair in knots.windows(2) {
        let ((start, from), (end, to)) = (pair[0], pair[1]);
        if end - start > 1e-4 {
            piece(&mut pieces, from, to);
            ends.push(end);
        }
    }
    if ends.len() == 1 {
        return pieces;
    }
    let mut out = String::from("<</FunctionType 3/Domain[0 1]/Bounds");
    array(&mut out, ends.iter().take(ends.len().saturating_sub(1)).map(|&v| (v, SHARE)));
    out.push_str("/Encode");
    array(&mut out, ends.iter().flat_map(|_| [(0.0, 0), (1.0, 0)]));
    out.push_str("/Functions[");
    out.push_str(&pieces);
    out.push_str("]>>");
    out
}

fn piece(out: &mut String, from: Ink, to: Ink) {
    let channels = |ink: Ink| ink.channels().into_iter().map(move |v| (v, ink.decimals()));
    out.push_str("<</FunctionType 2/Domain[0 1]/C0");
    array(out, channels(from));
    out.push_str("/C1");
    array(out, channels(to));
    out.push_str("/N 1>>");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Palette, Rgb};

    #[test]
    fn a_hard_edge_has_no_piece() {
        let mut palette = Palette::default();
        let [black, white] = [0, 255].map(|v| palette.add_ink(Rgb(v, v, v)));
        let colours = palette.published();
        let stop = |offset, colour| Stop { offset, colour };
        let piece =
            |a, b| format!("<</FunctionType 2/Domain[0 1]/C0[{a} {a} {a}]/C1[{b} {b} {b}]/N 1>>");
        assert_eq!(
            function(&[stop(0.0, black), stop(1.0, white)], Inks::Screen(&colours)),
            piece(0, 1)
        );
        assert_eq!(
            function(
                &[stop(0.25, black), stop(0.25, white), stop(1.0, black)],
                Inks::Screen(&colours)
            ),
            format!(
                "<</FunctionType 3/Domain[0 1]/Bounds[0.25]/Encode[0 1 0 1]/Functions[{}{}]>>",
                piece(0, 0),
                piece(1, 0)
            )
        );
    }
}
