//! A symbol as a form: its content, its box and what it needs to paint.
//!
//! An outline that several layers fill is a form of its own that holds the
//! bare path and its filling: a form begins with the colour, pattern and
//! opacity in force where it is called (ISO 32000-1, 8.10.1). Between the
//! calls no matrix changes, so a pattern lies the same whichever of the two
//! forms a reader takes it to belong to. This makes a poster of a thousand
//! parts a sixth of its size.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::io;

use kurbo::{BezPath, Rect};
use printpdf::{DictItem, ExtendedGraphicsStateId, Op, PaintMode};
use sha2::{Digest, Sha256};

use super::file::PdfFile;
use super::inks::{Ink, Inks};
use super::object::Ref;
use super::operators::{self, Unit, again, content, other, polygon};
use super::shading;
use crate::graphic;
use crate::paint::gradient;
use crate::paint::number;
use crate::sheet::{
    FillRule, Gradient, ItemKind, Layer, LayerOf, OutlineId, Paint, Sheet, Symbol, SymbolId,
};

/// An outline, and whether it is filled by the even-odd rule.
type Shape = (OutlineId, bool);

/// What a text is known by: 128 bits of its SHA-256: no two have the same.
type Name = [u8; 16];

fn shape<C>(layer: &LayerOf<C>) -> Shape {
    (layer.outline, layer.rule == FillRule::EvenOdd)
}

/// The forms of the symbols on the pages of a sheet.
pub type SymbolForms = Vec<(SymbolId, Ref)>;

/// Writes the forms of the symbols on a sheet's pages, and of the outlines that they share.
///
/// # Errors
/// Those of the file.
pub fn write(sheet: &Sheet, inks: Inks<'_>, file: &mut PdfFile<'_>) -> io::Result<SymbolForms> {
    let symbols = used(sheet);
    let mut uses: BTreeMap<Shape, usize> = BTreeMap::new();
    for id in &symbols {
        for layer in sheet.symbols[id.0].drawn().iter().filter(|l| is_plain(l)) {
            *uses.entry(shape(layer)).or_default() += 1;
        }
    }
    let around = sheet.outlines.iter().map(|o| around(o)).collect();
    let (outlines, fills, known) = (BTreeMap::new(), HashMap::new(), HashMap::new());
    let mut forms = Forms { sheet, file, inks, outlines, around, fills, known };
    for shape in uses.into_iter().filter(|&(_, count)| count > 1).map(|(shape, _)| shape) {
        forms.outline(shape)?;
    }
    symbols.into_iter().map(|id| Ok((id, forms.symbol(&sheet.symbols[id.0])?))).collect()
}

/// Symbols that exist and are on some page, in the order of their ids.
fn used(sheet: &Sheet) -> BTreeSet<SymbolId> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let used = items.filter_map(|item| match &item.kind {
        ItemKind::Use(used) => Some(used.symbol),
        _ => None,
    });
    used.filter(|id| id.0 < sheet.symbols.len()).collect()
}

/// Is the layer of one colour? Only such layers call a shared outline: at
/// least one reader draws a gradient wrong that a called form inherits from a
/// form with a matrix of its own.
fn is_plain<C>(layer: &LayerOf<C>) -> bool {
    match &layer.paint {
        graphic::Paint::Solid(_) => true,
        graphic::Paint::Gradient(gradient) => gradient::is_flat(gradient),
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
struct Forms<'a, 'f> {
    sheet: &'a Sheet,
    file: &'a mut PdfFile<'f>,
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

impl Forms<'_, '_> {
    fn once(&mut self, text: &str) -> io::Result<Ref> {
        let mut name = Name::default();
        name.copy_from_slice(&Sha256::digest(text)[..16]);
        if let Some(known) = self.known.get(&name) {
            return Ok(*known);
        }
        let object = self.file.add(text)?;
        self.known.insert(name, object);
        Ok(object)
    }

    fn pattern(&mut self, gradient: &Gradient) -> io::Result<Ref> {
        let function = self.once(&shading::function(&gradient::stops(gradient), self.inks))?;
        self.once(&shading::pattern(gradient, function, self.inks.space()))
    }

    fn outline(&mut self, shape: Shape) -> io::Result<()> {
        let Some(outline) = self.sheet.outlines.get(shape.0.0) else { return Ok(()) };
        let form = Form {
            bounds: self.around[shape.0.0],
            unit: 1.0,
            resources: String::from("<<>>"),
            operations: vec![filled(outline, shape)],
        };
        let form = self.form(form)?;
        self.outlines.insert(shape, form);
        Ok(())
    }

    fn symbol(&mut self, symbol: &Symbol) -> io::Result<Ref> {
        let mut operations = Vec::new();
        let mut state = State::default();
        let mut bounds: Option<Rect> = None;
        let sheet = self.sheet;
        for layer in symbol.layers() {
            let Some(outline) = sheet.outlines.get(layer.outline.0) else { continue };
            let shape = shape(&layer);
            state.paint(&mut operations, &layer, self)?;
            if !is_plain(&layer) {
                let fills = self.fills.entry(shape);
                let written = fills.or_insert_with(|| written(filled(outline, shape)));
                operations.push(again(written));
            } else if let Some(&called) = self.outlines.get(&shape) {
                let name = outline_name(shape);
                operations.push(other("Do", vec![DictItem::Name(name.clone().into())]));
                state.calls.insert(name, called);
            } else {
                operations.push(filled(outline, shape));
            }
            let around = self.around[layer.outline.0];
            bounds = Some(bounds.map_or(around, |b| b.union(around)));
        }
        self.form(Form {
            bounds: bounds.unwrap_or(symbol.bounds),
            unit: 1.0 / Unit::FORM.per_mm(),
            resources: state.resources(),
            operations,
        })
    }

    /// Writes a form (ISO 32000-1, 8.10.2).
    fn form(&mut self, form: Form) -> io::Result<Ref> {
        let Form { bounds, unit, resources, operations } = form;
        let [left, top, right, bottom] = [bounds.x0, bounds.y0, bounds.x1, bounds.y1]
            .map(|v| number::number(v * Unit::FORM.per_mm(), Unit::FORM_DECIMALS));
        let scale = number::factor(unit);
        let resources = self.once(&resources)?;
        let entries = format!(
            "/Type/XObject/Subtype/Form/BBox[{left} {top} {right} {bottom}]\
             /Matrix[{scale} 0 0 {scale} 0 0]/Resources {resources}"
        );
        self.file.add_operators(&entries, operations)
    }
}

/// A form to be written.
struct Form {
    /// Everything it touches, mm.
    bounds: Rect,
    /// Units of the caller in one of the form: a page is in millimetres, a symbol that calls an
    /// outline in units of forms already.
    unit: f64,
    resources: String,
    operations: Vec<Op>,
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
    /// Adds what changes between the last layer and this one.
    fn paint(
        &mut self,
        out: &mut Vec<Op>,
        layer: &Layer,
        forms: &mut Forms<'_, '_>,
    ) -> io::Result<()> {
        let opacity = number::number(layer.opacity.clamp(0.0, 1.0), 3);
        if self.opacity.as_deref().unwrap_or("1") != opacity {
            let count = self.opacities.len();
            let name = self.opacities.entry(opacity.clone()).or_insert_with(|| format!("A{count}"));
            let gs = ExtendedGraphicsStateId(name.clone());
            out.push(Op::LoadGraphicsState { gs });
            self.opacity = Some(opacity);
        }
        let gradient = match &layer.paint {
            Paint::Solid(fill) => Err(*fill),
            Paint::Gradient(gradient) => gradient::flat(gradient).map_or(Ok(gradient), Err),
        };
        match gradient {
            Err(fill) => {
                let ink = forms.inks.of(fill);
                if self.fill != Some(ink) {
                    out.push(operators::fill(ink));
                    self.fill = Some(ink);
                }
                self.pattern_space = false;
            }
            Ok(gradient) => {
                let place = self.place(forms.pattern(gradient)?);
                if !self.pattern_space {
                    out.push(Op::SetColorSpaceFill { id: "Pattern".into() });
                }
                out.push(other("scn", vec![DictItem::Name(format!("P{place}").into())]));
                self.pattern_space = true;
                self.fill = None;
            }
        }
        Ok(())
    }

    fn place(&mut self, pattern: Ref) -> usize {
        let place = self.patterns.iter().position(|&p| p == pattern);
        place.unwrap_or_else(|| {
            self.patterns.push(pattern);
            self.patterns.len() - 1
        })
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

fn filled(outline: &BezPath, (_, even_odd): Shape) -> Op {
    let rule = if even_odd { FillRule::EvenOdd } else { FillRule::NonZero };
    polygon(outline, Unit::FORM, rule, PaintMode::Fill)
}

/// An operation as it is written in a content stream.
fn written(operation: Op) -> String {
    // Nothing but numbers and names.
    String::from_utf8_lossy(&content(vec![operation])).into_owned()
}
