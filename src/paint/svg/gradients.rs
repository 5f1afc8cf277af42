//! Gradients, each once: those that differ in colour alone share their
//! geometry, those that differ in geometry alone share their stops.

use std::collections::BTreeMap;

use ::svg::node::element::Element;
use kurbo::Affine;

use super::Put;
use crate::paint::gradient;
use crate::paint::number::{factor, length, number};
use crate::sheet::{Gradient, Ramp, Stop};

/// Gradients met so far, in the order of first use.
#[derive(Default)]
pub struct Gradients {
    elements: Vec<Element>,
    whole: BTreeMap<(Geometry, Colours), usize>,
    /// The gradient that carries this geometry, these stops, itself.
    geometry: BTreeMap<Geometry, usize>,
    stops: BTreeMap<Colours, usize>,
}

/// Attributes as written, so that equal means equal in the file.
type Geometry = (&'static str, Vec<(&'static str, String)>);
type Colours = Vec<(String, String)>;

impl Gradients {
    /// The value of a `fill` attribute that paints with `gradient`.
    pub fn fill(&mut self, gradient: &Gradient) -> String {
        let key = (geometry(gradient), colours(&gradient::stops(gradient)));
        let index = match self.whole.get(&key) {
            Some(&index) => index,
            None => {
                self.elements.push(self.element(&key));
                let index = self.elements.len() - 1;
                self.geometry.entry(key.0.clone()).or_insert(index);
                self.stops.entry(key.1.clone()).or_insert(index);
                self.whole.insert(key, index);
                index
            }
        };
        format!("url(#g{index})")
    }

    fn element(&self, (geometry, stops): &(Geometry, Colours)) -> Element {
        let (name, attributes) = geometry;
        let element = Element::new(*name).put("id", format!("g{}", self.elements.len()));
        let write_geometry = |element: Element| {
            attributes.iter().fold(element, |e, (name, value)| e.put(name, value.as_str()))
        };
        // One reference only is possible: for the stops, which are longer, or for the geometry.
        if let Some(index) = self.stops.get(stops) {
            return write_geometry(element).put("xlink:href", format!("#g{index}"));
        }
        let element = match self.geometry.get(geometry) {
            Some(index) => element.put("xlink:href", format!("#g{index}")),
            None => write_geometry(element),
        };
        stops.iter().fold(element, |element, (offset, colour)| {
            element.add(
                Element::new("stop")
                    .put("offset", offset.as_str())
                    .put("stop-color", colour.as_str()),
            )
        })
    }

    /// The elements for `<defs>`.
    pub fn take(&mut self) -> Vec<Element> {
        std::mem::take(&mut self.elements)
    }
}

fn geometry(gradient: &Gradient) -> Geometry {
    let mut attributes = vec![("gradientUnits", "userSpaceOnUse".to_owned())];
    // Always written: a reference would otherwise bring that of another gradient.
    attributes.push(("gradientTransform", matrix(gradient.transform)));
    let name = match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => {
            for (name, value) in [("x1", x1), ("y1", y1), ("x2", x2), ("y2", y2)] {
                attributes.push((name, length(value)));
            }
            "linearGradient"
        }
        Ramp::Radial { cx, cy, r, fx, fy } => {
            for (name, value) in [("cx", cx), ("cy", cy), ("r", r), ("fx", fx), ("fy", fy)] {
                attributes.push((name, length(value)));
            }
            "radialGradient"
        }
    };
    (name, attributes)
}

fn matrix(affine: Affine) -> String {
    if affine == Affine::IDENTITY {
        return "scale(1)".into();
    }
    let [a, b, c, d, e, f] = affine.as_coeffs();
    let linear = [a, b, c, d].map(factor).join(" ");
    format!("matrix({linear} {} {})", length(e), length(f))
}

fn colours(stops: &[Stop]) -> Colours {
    stops.iter().map(|s| (number(s.offset, 4), s.colour.hex())).collect()
}
