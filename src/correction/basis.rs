//! Polynomials in CIELAB, and how large their terms usually are.

use super::reading::Form;

/// Terms of the third degree.
pub(crate) const TERMS: usize = 20;
/// CIELAB that is one unit of a polynomial.
const UNIT: f64 = 40.0;
/// Usual size of a term of each degree, CIELAB: keeps what readings do not settle small.
const USUAL: [f64; 4] = [2.5, 2.0, 1.2, 0.7];

/// How many terms a form has.
pub(crate) fn count(form: Form) -> usize {
    match form {
        Form::None => 0,
        Form::Shift => 1,
        Form::Affine | Form::Process => 4,
        Form::Quadratic => 10,
        Form::Cubic => TERMS,
    }
}

/// All terms, each times its usual size: a factor of each is then about 1.
pub(crate) fn terms(lab: [f64; 3]) -> [f64; TERMS] {
    let [l, a, b] = [(lab[0] - 50.0) / UNIT, lab[1] / UNIT, lab[2] / UNIT];
    let first = [l, a, b];
    let second = [l * l, l * a, l * b, a * a, a * b, b * b];
    let mut out = [0.0; TERMS];
    out[0] = USUAL[0];
    for (out, v) in out[1..4].iter_mut().zip(first) {
        *out = USUAL[1] * v;
    }
    for (out, v) in out[4..10].iter_mut().zip(second) {
        *out = USUAL[2] * v;
    }
    let third =
        second.map(|v| l * v).into_iter().chain([a * a * a, a * a * b, a * b * b, b * b * b]);
    for (out, v) in out[10..].iter_mut().zip(third) {
        *out = USUAL[3] * v;
    }
    out
}
