//! The parts as they are drawn, once for all colours that look alike but for their tones.

use std::collections::{BTreeMap, HashMap};
use std::fmt::Write as _;
use std::sync::Arc;

use kurbo::{Affine, BezPath, PathEl, Point};
use serde_json::{Map, Value, json};

use super::shown::Shown;
use crate::finish::tone::{Base, Shade};
use crate::finish::{Drawing, DrawnLayer};
use crate::graphic::{FillRule, Gradient, Paint, Ramp, Rgb};
use crate::paint::svg::path_data;
use crate::range::{ColourId, ColourRange, PartId, Value as Given};
use crate::sheet::Workshop;

/// The drawings of a page.
#[derive(Debug, Default)]
pub struct Drawings {
    /// By look, then by part: `box` in millimetres and `svg`, in which `{n}` is the n-th tone of a colour.
    pub bodies: Map<String, Value>,
    /// Path data: `{pn}` in a drawing is the n-th of them.
    pub outlines: Vec<String>,
    /// The look of each colour, and its tones in one text of six digits each.
    pub of: BTreeMap<ColourId, (String, String)>,
}

/// Draws every part once for each family, and again for colours that are drawn otherwise: very light ones have an edge.
pub fn drawings(shown: &Shown, range: &ColourRange, workshop: &Workshop) -> Drawings {
    let mut out = Drawings::default();
    // By family: the looks that were met.
    let mut looks: BTreeMap<usize, Vec<Look>> = BTreeMap::new();
    for colour in &shown.colours {
        if *range.colour(*colour).value() == Given::Unknown {
            continue;
        }
        let (family, _) = shown.of[colour];
        let drawn: Vec<_> = shown.parts.iter().map(|p| workshop.plainly(*p, *colour)).collect();
        let known = looks.entry(family).or_default();
        let place = known.iter().position(|look| look.is_of(&drawn)).unwrap_or_else(|| {
            known.push(Look::new(drawn));
            known.len() - 1
        });
        let name = look_name(range.family(shown.families[family]).key(), place);
        let base = Base::new(range.colour(*colour).rgb());
        let mut tones = String::new();
        for shade in &known[place].tones {
            let Rgb(r, g, b) = base.shade(*shade);
            let _ = write!(tones, "{r:02x}{g:02x}{b:02x}");
        }
        out.of.insert(*colour, (name, tones));
    }
    let mut outlines = Outlines::default();
    for (family, looks) in looks {
        let key = range.family(shown.families[family]).key();
        for (place, look) in looks.iter().enumerate() {
            out.bodies.insert(look_name(key, place), look.body(&shown.parts, range, &mut outlines));
        }
    }
    out.outlines = outlines.list;
    out
}

/// The first look of a family has its key.
fn look_name(family: &str, place: usize) -> String {
    if place == 0 { family.to_owned() } else { format!("{family}.{place}") }
}

/// Outlines, each once.
#[derive(Default)]
struct Outlines {
    known: HashMap<String, usize>,
    list: Vec<String>,
}

impl Outlines {
    /// The place of an outline, to a hundredth of a millimetre.
    fn place(&mut self, outline: &BezPath) -> usize {
        let data = path_data(&BezPath::from_vec(outline.iter().map(rounded).collect()));
        let next = self.list.len();
        let place = *self.known.entry(data.clone()).or_insert(next);
        if place == next {
            self.list.push(data);
        }
        place
    }
}

fn rounded(element: PathEl) -> PathEl {
    let near = |v: f64| (v * 100.0).round() / 100.0;
    let at = |p: Point| Point::new(near(p.x), near(p.y));
    match element {
        PathEl::MoveTo(p) => PathEl::MoveTo(at(p)),
        PathEl::LineTo(p) => PathEl::LineTo(at(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(at(a), at(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(at(a), at(b), at(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    }
}

/// How the parts are drawn in some colours.
struct Look {
    drawn: Vec<Arc<Drawing>>,
    /// Every shade in them that depends on the colour.
    tones: Vec<Shade>,
}

impl Look {
    fn new(drawn: Vec<Arc<Drawing>>) -> Look {
        let mut tones = Vec::new();
        let mut take = |shade: &Shade| {
            if !matches!(shade, Shade::Fixed(_)) && !tones.contains(shade) {
                tones.push(*shade);
            }
        };
        for layer in drawn.iter().flat_map(|drawing| &drawing.layers) {
            match &layer.paint {
                Paint::Solid(shade) => take(shade),
                Paint::Gradient(gradient) => {
                    gradient.stops.iter().for_each(|stop| take(&stop.colour));
                }
            }
        }
        Look { drawn, tones }
    }

    /// Outlines are shared by what is drawn alike.
    fn is_of(&self, drawn: &[Arc<Drawing>]) -> bool {
        let alike = |a: &DrawnLayer, b: &DrawnLayer| {
            let outline = Arc::ptr_eq(&a.outline, &b.outline) || a.outline == b.outline;
            outline && a.rule == b.rule && a.opacity == b.opacity && a.paint == b.paint
        };
        self.drawn.iter().zip(drawn).all(|(a, b)| {
            a.layers.len() == b.layers.len()
                && a.layers.iter().zip(&b.layers).all(|(a, b)| alike(a, b))
        })
    }

    fn body(&self, parts: &[PartId], range: &ColourRange, outlines: &mut Outlines) -> Value {
        let each = parts.iter().zip(&self.drawn).map(|(part, drawing)| {
            let round = |v: f64| (v * 100.0).round() / 100.0;
            let b = drawing.bounds;
            let frame = [b.x0, b.y0, b.width(), b.height()].map(round);
            (
                range.part(*part).key().clone(),
                json!({"box": frame, "svg": self.svg(drawing, outlines)}),
            )
        });
        Value::Object(each.collect())
    }

    fn svg(&self, drawing: &Drawing, outlines: &mut Outlines) -> String {
        let (mut defs, mut body) = (String::new(), String::new());
        let mut count = 0;
        for layer in &drawing.layers {
            let fill = match &layer.paint {
                Paint::Solid(shade) => self.tone(shade),
                Paint::Gradient(gradient) => {
                    count += 1;
                    self.gradient(gradient, count, &mut defs);
                    format!("url(#{{id}}{count})")
                }
            };
            let _ = write!(body, "<path fill=\"{fill}\"");
            if layer.opacity < 1.0 {
                let _ = write!(body, " fill-opacity=\"{:.2}\"", layer.opacity.max(0.0));
            }
            if layer.rule == FillRule::EvenOdd {
                body += " fill-rule=\"evenodd\"";
            }
            let _ = write!(body, " d=\"{{p{}}}\"/>", outlines.place(&layer.outline));
        }
        if defs.is_empty() { body } else { format!("<defs>{defs}</defs>{body}") }
    }

    /// A blank for a tone, or the colour that it always has.
    fn tone(&self, shade: &Shade) -> String {
        match shade {
            Shade::Fixed(rgb) => rgb.hex(),
            shade => {
                let place = self.tones.iter().position(|tone| tone == shade).unwrap_or(0);
                format!("{{{place}}}")
            }
        }
    }

    fn gradient(&self, gradient: &Gradient<Shade>, number: usize, out: &mut String) {
        let (name, geometry) = match gradient.ramp {
            Ramp::Linear { x1, y1, x2, y2 } => (
                "linearGradient",
                format!("x1=\"{x1:.3}\" y1=\"{y1:.3}\" x2=\"{x2:.3}\" y2=\"{y2:.3}\""),
            ),
            Ramp::Radial { cx, cy, r, fx, fy } => (
                "radialGradient",
                format!("cx=\"{cx:.3}\" cy=\"{cy:.3}\" r=\"{r:.3}\" fx=\"{fx:.3}\" fy=\"{fy:.3}\""),
            ),
        };
        let _ = write!(
            out,
            "<{name} id=\"{{id}}{number}\" gradientUnits=\"userSpaceOnUse\" {geometry}"
        );
        let [a, b, c, d, e, f] = gradient.transform.as_coeffs();
        let identity = Affine::IDENTITY.as_coeffs();
        let moved = |(a, b): (f64, f64)| (a - b).abs() > 1e-4;
        if gradient.transform.as_coeffs().into_iter().zip(identity).any(moved) {
            let _ = write!(
                out,
                " gradientTransform=\"matrix({a:.4} {b:.4} {c:.4} {d:.4} {e:.3} {f:.3})\""
            );
        }
        *out += ">";
        for stop in &gradient.stops {
            let tone = self.tone(&stop.colour);
            let _ = write!(out, "<stop offset=\"{:.3}\" stop-color=\"{tone}\"/>", stop.offset);
        }
        let _ = write!(out, "</{name}>");
    }
}
