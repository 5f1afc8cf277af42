//! Plain drawings of parts, for lists that come without any: an outline and its holes.

use std::fmt::Write;

/// The form that a part's name suggests; each word in English and German.
const FORMS: [(Form, &[&str]); 4] = [
    (Form::Bead, &["bead", "perle", "ring", "round"]),
    (Form::Toggle, &["toggle", "knebel", "bar", "stick", "stab"]),
    (Form::Tile, &["tile", "square", "chip", "fliese", "plättchen", "quadrat", "stein"]),
    (Form::Button, &["button", "knopf", "knöpfe", "disc", "scheibe"]),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Button,
    Toggle,
    Bead,
    Tile,
}

/// Usual sizes in mm: a shirt button of 18 lignes, a duffel toggle, a bead (common practice, no source).
fn usual(form: Form) -> (f64, f64) {
    match form {
        Form::Button => (11.5, 11.5),
        Form::Toggle => (30.0, 10.0),
        Form::Bead => (8.0, 8.0),
        Form::Tile => (10.0, 10.0),
    }
}

/// An SVG drawing in millimetres for a part of this title, in its size or a usual one.
pub fn drawing(title: &str, size: Option<(f64, f64)>) -> String {
    let lower = title.to_lowercase();
    let named = FORMS.iter().find(|(_, words)| words.iter().any(|w| lower.contains(w)));
    let round = size.is_none_or(|(w, h)| w == h);
    let form = match named.map(|n| n.0) {
        Some(form) if round || matches!(form, Form::Toggle | Form::Tile) => form,
        None if round => Form::Button,
        _ => Form::Toggle,
    };
    let (w, h) = match size {
        Some((d, same)) if form == Form::Toggle && d == same => (d, d / 3.0),
        Some(size) => size,
        None => usual(form),
    };
    let (w, h) = (w.max(0.5), h.max(0.5));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n  <!-- A plain outline; replace it with your own drawing, in millimetres. -->\n"
    );
    // Writing into a text cannot fail.
    let _ = match form {
        Form::Button | Form::Bead => writeln!(
            out,
            "  <ellipse class=\"body\" cx=\"{0}\" cy=\"{1}\" rx=\"{0}\" ry=\"{1}\" fill=\"#777777\"/>",
            w / 2.0,
            h / 2.0
        ),
        Form::Toggle => writeln!(
            out,
            "  <rect class=\"body\" width=\"{w}\" height=\"{h}\" rx=\"{0}\" fill=\"#777777\"/>",
            w.min(h) / 2.0
        ),
        Form::Tile => writeln!(
            out,
            "  <rect class=\"body\" width=\"{w}\" height=\"{h}\" rx=\"{0}\" fill=\"#777777\"/>",
            w.min(h) / 12.0
        ),
    };
    let hole = |out: &mut String, x: f64, radius: f64| {
        let _ = writeln!(
            out,
            "  <circle class=\"hole\" cx=\"{x}\" cy=\"{}\" r=\"{radius}\" fill=\"#ffffff\"/>",
            h / 2.0
        );
    };
    match form {
        Form::Button => [0.36, 0.64].iter().for_each(|x| hole(&mut out, w * x, w.min(h) * 0.07)),
        Form::Toggle if w >= h => {
            [0.4, 0.6].iter().for_each(|x| hole(&mut out, w * x, h * 0.12));
        }
        Form::Bead => hole(&mut out, w / 2.0, w * 0.12),
        Form::Tile | Form::Toggle => {}
    }
    out + "</svg>\n"
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::read::shapes::read_shape;
    use crate::session::Session;

    #[test]
    fn every_plain_drawing_is_read_in_its_size() {
        for (title, size, want) in [
            ("Button", Some((15.0, 15.0)), (15.0, 15.0)),
            ("Knebel", Some((40.0, 40.0)), (40.0, 40.0 / 3.0)),
            ("Round bead", None, (8.0, 8.0)),
            ("Tile", Some((20.0, 10.0)), (20.0, 10.0)),
            ("10", Some((18.0, 6.0)), (18.0, 6.0)),
            ("tiny", Some((0.5, 0.5)), (0.5, 0.5)),
            ("11", None, (11.5, 11.5)),
        ] {
            let (text, session) = (drawing(title, size), Session::default());
            let shape = read_shape(Path::new("p.svg"), &text, &session).expect(title);
            assert!((shape.bounds.width() - want.0).abs() < 1e-3, "{title} {:?}", shape.bounds);
            assert!((shape.bounds.height() - want.1).abs() < 1e-3, "{title} {:?}", shape.bounds);
        }
    }
}
