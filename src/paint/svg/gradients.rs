//! Gradients, each once: those that differ in colour alone share their
//! geometry, those that differ in geometry alone share their stops.

use std::collections::HashMap;

use kurbo::Affine;

use super::xml::{attribute, end};
use crate::paint::gradient;
use crate::paint::number::{FACTOR, LENGTH, push};
use crate::sheet::{Gradient, PaletteMap, Ramp, Rgb, Stop};

/// Gradients met so far, in the order of first use.
#[derive(Default)]
pub struct Gradients {
    /// The elements, each on a line of its own.
    out: String,
    /// By the gradients that carry the geometry and the stops.
    whole: HashMap<(usize, usize), usize>,
    /// The gradient that has this geometry, these stops, as written: equal
    /// means equal in the file.
    geometry: HashMap<String, usize>,
    stops: HashMap<String, usize>,
    shape: Geometry,
    colours: String,
}

/// Attributes in the order of their names, cut where others come between.
#[derive(Default)]
struct Geometry {
    name: &'static str,
    text: String,
    /// Where `id` and `xlink:href` go.
    cuts: [usize; 2],
}

impl Gradients {
    /// The number of the element that paints as `gradient` does.
    pub fn index(&mut self, gradient: &Gradient, colours: &PaletteMap<Rgb>) -> usize {
        self.shape.write(gradient);
        write_stops(&mut self.colours, &gradient::stops(gradient), colours);
        let geometry = self.geometry.get(&self.shape.text).copied();
        let stops = self.stops.get(&self.colours).copied();
        let next = self.whole.len();
        let key = (geometry.unwrap_or(next), stops.unwrap_or(next));
        if let Some(&index) = self.whole.get(&key) {
            return index;
        }
        self.element(next, geometry, stops);
        self.whole.insert(key, next);
        if geometry.is_none() {
            self.geometry.insert(self.shape.text.clone(), next);
        }
        if stops.is_none() {
            self.stops.insert(self.colours.clone(), next);
        }
        next
    }

    /// One reference only is possible: for the stops, which are longer, or for the geometry.
    fn element(&mut self, index: usize, geometry: Option<usize>, stops: Option<usize>) {
        let Geometry { name, text, cuts: [first, second] } = &self.shape;
        let out = &mut self.out;
        let own = stops.is_some() || geometry.is_none();
        let part = |range: std::ops::Range<usize>| if own { &text[range] } else { "" };
        out.push('<');
        out.push_str(name);
        out.push_str(part(0..*first));
        attribute(out, "id", format_args!("g{index}"));
        out.push_str(part(*first..*second));
        if let Some(shared) = stops.or(geometry) {
            attribute(out, "xlink:href", format_args!("#g{shared}"));
        }
        out.push_str(part(*second..text.len()));
        end(out, name, if stops.is_some() { "" } else { &self.colours });
    }

    /// The elements for `<defs>`.
    pub fn elements(&self) -> &str {
        &self.out
    }
}

impl Geometry {
    fn write(&mut self, gradient: &Gradient) {
        self.text.clear();
        match gradient.ramp {
            Ramp::Linear { x1, y1, x2, y2 } => {
                self.name = "linearGradient";
                self.space(gradient.transform);
                let first = self.text.len();
                self.lengths([("x1", x1), ("x2", x2)]);
                self.cuts = [first, self.text.len()];
                self.lengths([("y1", y1), ("y2", y2)]);
            }
            Ramp::Radial { cx, cy, r, fx, fy } => {
                self.name = "radialGradient";
                self.lengths([("cx", cx), ("cy", cy), ("fx", fx), ("fy", fy)]);
                self.space(gradient.transform);
                let first = self.text.len();
                self.lengths([("r", r)]);
                self.cuts = [first, self.text.len()];
            }
        }
    }

    fn lengths<const N: usize>(&mut self, values: [(&str, f64); N]) {
        for (name, value) in values {
            self.text.push(' ');
            self.text.push_str(name);
            self.text.push_str("=\"");
            push(&mut self.text, value, LENGTH);
            self.text.push('"');
        }
    }

    fn space(&mut self, transform: Affine) {
        // Always written: a reference would otherwise bring that of another gradient.
        self.text.push_str(" gradientTransform=\"");
        matrix(&mut self.text, transform);
        self.text.push_str("\" gradientUnits=\"userSpaceOnUse\"");
    }
}

fn matrix(out: &mut String, affine: Affine) {
    if affine == Affine::IDENTITY {
        out.push_str("scale(1)");
        return;
    }
    let [a, b, c, d, e, f] = affine.as_coeffs();
    out.push_str("matrix(");
    for value in [a, b, c, d] {
        push(out, value, FACTOR);
        out.push(' ');
    }
    push(out, e, LENGTH);
    out.push(' ');
    push(out, f, LENGTH);
    out.push(')');
}

fn write_stops(out: &mut String, stops: &[Stop], colours: &PaletteMap<Rgb>) {
    out.clear();
    for stop in stops {
        out.push_str("<stop offset=\"");
        push(out, stop.offset, 4);
        out.push_str("\" stop-color=\"");
        colours.of(stop.colour).push_hex(out);
        out.push_str("\"/>\n");
    }
}
