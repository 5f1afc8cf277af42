//! A symbol as a form: its content, its box and what it needs to paint.
//!
//! An outline that several layers fill is a form of its own that holds the
//! bare path and its filling: a form begins with the colour, pattern and
//! opacity in force where it is called (ISO 32000-1, 8.10.1). Between the
//! calls no matrix changes, so a pattern lies the same whichever of the two
//! forms a reader takes it to belong to. This makes a poster of a thousand
//! parts a sixth of its size.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use kurbo::{BezPath, PathEl, Point, Rect};
use sha2::{Digest, Sha256};

use super::file::{PdfFile, Ref};
use super::inks::{Ink, Inks};
use super::shading;
use crate::paint::gradient;
use crate::paint::number::{self, push};
use crate::sheet::{FillRule, Gradient, Layer, OutlineId, Paint, Sheet, SymbolId};

/// Form units in a millimetre: tenths of them are micrometres and short to
/// write. In smaller units at least one reader takes the matrix of a pattern
/// for singular where it draws a page as a small picture.
const STEPS: f64 = 100.0;
/// Decimals of a coordinate: micrometres.
pub(super) const DECIMALS: usize = 1;

/// An outline, and whether it is filled by the even-odd rule.
type Shape = (OutlineId, bool);

/// What a text is known by: a hash that no two texts share (SHA-256).
type Name = [u8; 32];

fn shape(layer: &Layer) -> Shape {
    (layer.outline, layer.rule == FillRule::EvenOdd)
}

/// Writes the forms of these symbols, and of the outlines that they share.
/// Returns what the pages call them by.
pub fn write(
    sheet: &Sheet,
    symbols: &BTreeSet<SymbolId>,
    inks: Inks<'_>,
    file: &mut PdfFile,
) -> BTreeMap<String, Ref> {
    let mut uses: BTreeMap<Shape, usize> = BTreeMap::new();
    for id in symbols {
        for layer in sheet.symbols[id.0].layers.iter().filter(|l| is_plain(l)) {
            *uses.entry(shape(layer)).or_default() += 1;
        }
    }
    let around = sheet.outlines.iter().map(|o| around(o)).collect();
    let (outlines, fills, known) = (BTreeMap::new(), HashMap::new(), HashMap::new());
    let mut forms = Forms { file, inks, outlines, around, fills, known };
    for shape in uses.into_iter().filter(|&(_, count)| count > 1).map(|(shape, _)| shape) {
        forms.outline(sheet, shape);
    }
    symbols.iter().map(|&id| (symbol_name(id), forms.symbol(sheet, id))).collect()
}

/// Is the layer of one colour? Only such layers call a shared outline: at
/// least one reader draws a gradient wrong that a called form inherits from a
/// form with a matrix of its own.
fn is_plain(layer: &Layer) -> bool {
    match &layer.paint {
        Paint::Solid(_) => true,
        Paint::Gradient(gradient) => gradient::flat(gradient).is_some(),
    }
}

/// The name of a symbol's form.
pub fn symbol_name(id: SymbolId) -> String {
    format!("S{}", id.0)
}

fn outline_name((outline, even_odd): Shape) -> String {
    format!("{}{}", if even_odd { 'E' } else { 'N' }, outline.0)
}

/// The forms of a document on their way into the file.
struct Forms<'a> {
    file: &'a mut PdfFile,
    inks: Inks<'a>,
    /// The shared outlines.
    outlines: BTreeMap<Shape, Ref>,
    /// The room that each outline of the sheet takes.
    around: Vec<Rect>,
    /// The others that gradients fill, as written: every colour has them again.
    fills: HashMap<Shape, String>,
    /// Small objects by a hash of their text: as long as it is written the
    /// same, it is the same, and the texts of a book would fill the memory.
    /// Patterns are objects for one more reason: at least one reader compares
    /// those without an object number with all before.
    known: HashMap<Name, Ref>,
}

impl Forms<'_> {
    fn once(&mut self, text: String) -> Ref {
        let (name, file) = (Sha256::digest(&text).into(), &mut *self.file);
        *self.known.entry(name).or_insert_with(|| file.add(&text))
    }

    fn pattern(&mut self, gradient: &Gradient) -> Ref {
        let function = self.once(shading::function(&gradient::stops(gradient), self.inks));
        self.once(shading::pattern(gradient, STEPS, function, self.inks.space()))
    }

    fn outline(&mut self, sheet: &Sheet, shape: Shape) {
        let Some(outline) = sheet.outlines.get(shape.0.0) else { return };
        let mut content = String::new();
        fill(&mut content, outline, shape.1);
        let around = self.around[shape.0.0];
        let form = self.form(around, 1.0, String::from("<<>>"), content);
        self.outlines.insert(shape, form);
    }

    fn symbol(&mut self, sheet: &Sheet, id: SymbolId) -> Ref {
        let symbol = &sheet.symbols[id.0];
        let mut content = String::new();
        let mut state = State::default();
        let mut bounds: Option<Rect> = None;
        for layer in &symbol.layers {
            let Some(outline) = sheet.outlines.get(layer.outline.0) else { continue };
            let shape = shape(layer);
            state.paint(&mut content, layer, self);
            if !is_plain(layer) {
                content.push_str(self.fills.entry(shape).or_insert_with(|| {
                    let mut text = String::new();
                    fill(&mut text, outline, shape.1);
                    text
                }));
            } else if let Some(&called) = self.outlines.get(&shape) {
                let name = outline_name(shape);
                content.push('/');
                content.push_str(&name);
                content.push_str(" Do\n");
                state.calls.insert(name, called);
            } else {
                fill(&mut content, outline, shape.1);
            }
            let around = self.around[layer.outline.0];
            bounds = Some(bounds.map_or(around, |b| b.union(around)));
        }
        self.form(bounds.unwrap_or(symbol.bounds), 1.0 / STEPS, state.resources(), content)
    }

    /// Writes a form (ISO 32000-1, 8.10.2). `unit` is units of the caller in
    /// one of the form: a page is in millimetres, a symbol that calls an
    /// outline in steps already.
    fn form(&mut self, bounds: Rect, unit: f64, resources: String, content: String) -> Ref {
        let [left, top, right, bottom] = [bounds.x0, bounds.y0, bounds.x1, bounds.y1]
            .map(|v| number::number(v * STEPS, DECIMALS));
        let scale = number::factor(unit);
        let resources = self.once(resources);
        let entries = format!(
            "/Type/XObject/Subtype/Form/BBox[{left} {top} {right} {bottom}]\
             /Matrix[{scale} 0 0 {scale} 0 0]/Resources {resources}"
        );
        self.file.add_stream(&entries, content)
    }
}

/// What the graphics state holds while layers are written, and what the form
/// has called so far.
#[derive(Default)]
struct State {
    /// The place makes the name.
    patterns: Vec<Ref>,
    opacities: BTreeMap<String, String>,
    calls: BTreeMap<String, Ref>,
    fill: Option<Ink>,
    opacity: Option<String>,
    pattern_space: bool,
}

impl State {
    /// Writes what changes between the last layer and this one.
    fn paint(&mut self, out: &mut String, layer: &Layer, forms: &mut Forms<'_>) {
        let opacity = number::number(layer.opacity.clamp(0.0, 1.0), 3);
        if self.opacity.as_deref().unwrap_or("1") != opacity {
            let count = self.opacities.len();
            let name = self.opacities.entry(opacity.clone()).or_insert_with(|| format!("A{count}"));
            out.push_str(&format!("/{name} gs\n"));
            self.opacity = Some(opacity);
        }
        let solid = match &layer.paint {
            Paint::Solid(fill) => Some(*fill),
            Paint::Gradient(gradient) => gradient::flat(gradient),
        };
        match (&layer.paint, solid) {
            (_, Some(fill)) => {
                let ink = forms.inks.of(fill);
                if self.fill != Some(ink) {
                    for v in ink.channels() {
                        push(out, v, ink.decimals());
                        out.push(' ');
                    }
                    out.push_str(ink.operator());
                    out.push('\n');
                    self.fill = Some(ink);
                }
                self.pattern_space = false;
            }
            (Paint::Gradient(gradient), None) => {
                let pattern = forms.pattern(gradient);
                let place = self.patterns.iter().position(|&p| p == pattern);
                let place = place.unwrap_or_else(|| {
                    self.patterns.push(pattern);
                    self.patterns.len() - 1
                });
                if !self.pattern_space {
                    out.push_str("/Pattern cs\n");
                }
                out.push_str(&format!("/P{place} scn\n"));
                self.pattern_space = true;
                self.fill = None;
            }
            (Paint::Solid(_), None) => {}
        }
    }

    /// The resource dictionary (ISO 32000-1, 7.8.3).
    fn resources(&self) -> String {
        let state = |(opacity, name): (&String, &String)| format!("/{name}<</ca {opacity}>>");
        let pattern = |(i, p): (usize, &Ref)| format!("/P{i} {p}");
        let call = |(name, form): (&String, &Ref)| format!("/{name} {form}");
        let mut out = String::from("<<");
        for (kind, named) in [
            ("ExtGState", self.opacities.iter().map(state).collect::<String>()),
            ("Pattern", self.patterns.iter().enumerate().map(pattern).collect()),
            ("XObject", self.calls.iter().map(call).collect()),
        ] {
            if !named.is_empty() {
                out.push_str(&format!("/{kind}<<{named}>>"));
            }
        }
        out.push_str(">>");
        out
    }
}

/// Room for everything a path may touch: control points bound a curve, and a
/// form is clipped to its box.
fn around(outline: &BezPath) -> Rect {
    outline.control_box().inflate(0.1, 0.1)
}

fn fill(out: &mut String, outline: &BezPath, even_odd: bool) {
    path(out, outline);
    out.push_str(if even_odd { "f*\n" } else { "f\n" });
}

/// Path operators in whole steps; quadratics are raised to cubics.
fn path(out: &mut String, path: &BezPath) {
    let mut pen = Point::ZERO;
    let mut write = |points: &[Point], operator: &str| {
        for p in points {
            push(out, p.x * STEPS, DECIMALS);
            out.push(' ');
            push(out, p.y * STEPS, DECIMALS);
            out.push(' ');
        }
        out.push_str(operator);
        out.push('\n');
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => write(&[p], "m"),
            PathEl::LineTo(p) => write(&[p], "l"),
            PathEl::QuadTo(c, p) => {
                let third = |a: Point| a + (c - a) * (2.0 / 3.0);
                write(&[third(pen), third(p), p], "c");
            }
            PathEl::CurveTo(a, b, p) => write(&[a, b, p], "c"),
            // A fill closes every ring by itself; h only sets the pen back.
            PathEl::ClosePath => write(&[], "h"),
        }
        pen = element.end_point().unwrap_or(pen);
    }
}
