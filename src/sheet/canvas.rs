//! The drawing board: puts text, rules and parts on a page in millimetres.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::{BezPath, Circle, Rect, Shape as _};

use super::item::*;
use super::palette::{Fill, Palette, PaletteBuilder, Sample};
use super::workshop::Workshop;
use crate::finish::Drawing;
use crate::plan::style::{Look, Voice};
use crate::range::{ColourId, PartId};

/// Which end of a text is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    Left,
    Middle,
    Right,
}

/// What has been put on the pages so far.
pub struct Canvas<'a> {
    pub look: &'a Look,
    workshop: &'a Workshop,
    pages: Vec<Page>,
    palette: PaletteBuilder,
    outlines: Vec<Arc<BezPath>>,
    outline_ids: HashMap<*const BezPath, OutlineId>,
    symbols: Vec<Symbol>,
    symbol_ids: HashMap<(PartId, ColourId), SymbolId>,
    origin: Option<Origin>,
}

impl<'a> Canvas<'a> {
    /// A board with one empty page.
    pub fn new(look: &'a Look, workshop: &'a Workshop) -> Canvas<'a> {
        Canvas::over(look, workshop, Palette::default())
    }

    /// The same, for what is put on the pages of another sheet, whose palette goes on.
    pub fn over(look: &'a Look, workshop: &'a Workshop, palette: Palette) -> Canvas<'a> {
        Canvas {
            look,
            workshop,
            pages: vec![Page::default()],
            palette: PaletteBuilder::from(palette),
            outlines: Vec::new(),
            outline_ids: HashMap::new(),
            symbols: Vec::new(),
            symbol_ids: HashMap::new(),
            origin: None,
        }
    }

    /// Turns to a new page.
    pub fn next_page(&mut self) {
        self.pages.push(Page::default());
    }

    /// Says which row or field the next items come from.
    pub fn from(&mut self, origin: Option<&str>) {
        self.origin = origin.map(Arc::from);
    }

    fn put(&mut self, role: Role, kind: Kind, bounds: Rect) {
        let item = Item { role, origin: self.origin.clone(), kind, bounds };
        if let Some(page) = self.pages.last_mut() {
            page.items.push(item);
        }
    }

    /// Text whose left end, middle or right end is at `x` on the baseline `y`; returns its width.
    pub fn text(&mut self, x: f64, y: f64, string: &str, voice: Voice, anchor: Anchor) -> f64 {
        self.run(x, y, string, voice, anchor, Turn::Level)
    }

    /// Text that runs upwards from `y`; its baseline is the vertical line at `x`.
    pub fn text_up(&mut self, x: f64, y: f64, string: &str, voice: Voice) -> f64 {
        self.run(x, y, string, voice, Anchor::Left, Turn::Up)
    }

    fn run(
        &mut self,
        x: f64,
        y: f64,
        string: &str,
        voice: Voice,
        anchor: Anchor,
        turn: Turn,
    ) -> f64 {
        if string.is_empty() {
            return 0.0;
        }
        let face = self.look.faces.of(voice.face, string);
        let (glyphs, advance) = self.look.faces[face].set(string, voice.size, voice.tracking);
        let shift = match anchor {
            Anchor::Left => 0.0,
            Anchor::Middle => -advance / 2.0,
            Anchor::Right => -advance,
        };
        let (x, y) = match turn {
            Turn::Level => (x + shift, y),
            Turn::Up => (x, y - shift),
        };
        let (rise, fall, side) = (voice.size * 1.05, voice.size * 0.4, voice.size * 0.2);
        let bounds = match turn {
            Turn::Level => Rect::new(x - side, y - rise, x + advance + side, y + fall),
            Turn::Up => Rect::new(x - rise, y - advance - side, x + fall, y + side),
        };
        let text = Text {
            string: string.to_owned(),
            face,
            size: voice.size,
            x,
            y,
            turn,
            fill: self.palette.fill(voice.ink.into()),
            glyphs,
            advance,
        };
        self.put(Role::Label, Kind::Text(text), bounds);
        advance
    }

    /// A filled rectangle.
    pub fn rect(&mut self, role: Role, rect: Rect, fill: impl Into<Fill>) {
        self.area(role, rect.to_path(1e-3), FillRule::NonZero, fill);
    }

    /// A horizontal rule centred on `y`.
    pub fn rule(&mut self, x: f64, y: f64, width: f64, thickness: f64, fill: impl Into<Fill>) {
        let rect = Rect::new(x, y - thickness / 2.0, x + width, y + thickness / 2.0);
        self.rect(Role::Furniture, rect, fill);
    }

    /// A vertical rule centred on `x`, downwards from `y`.
    pub fn upright(&mut self, x: f64, y: f64, height: f64, thickness: f64, fill: impl Into<Fill>) {
        let rect = Rect::new(x - thickness / 2.0, y, x + thickness / 2.0, y + height);
        self.rect(Role::Furniture, rect, fill);
    }

    /// A dot.
    pub fn dot(&mut self, x: f64, y: f64, radius: f64, fill: impl Into<Fill>) {
        let path = Circle::new((x, y), radius).to_path(1e-3);
        self.area(Role::Furniture, path, FillRule::NonZero, fill);
    }

    /// A filled path.
    pub fn fill(&mut self, role: Role, path: BezPath, fill: impl Into<Fill>) {
        self.area(role, path, FillRule::NonZero, fill);
    }

    /// A frame inside a rectangle.
    pub fn frame(&mut self, role: Role, rect: Rect, thickness: f64, fill: impl Into<Fill>) {
        let mut path = rect.to_path(1e-3);
        path.extend(rect.inset(-thickness).to_path(1e-3));
        self.area(role, path, FillRule::EvenOdd, fill);
    }

    fn area(&mut self, role: Role, path: BezPath, rule: FillRule, fill: impl Into<Fill>) {
        let bounds = path.bounding_box();
        let fill = self.palette.fill(fill.into());
        self.put(role, Kind::Area(Area { path, rule, fill }), bounds);
    }

    /// A part in a colour, the middle of its extent at `x`, `y`.
    pub fn part(&mut self, part: PartId, colour: ColourId, x: f64, y: f64, scale: f64) {
        let symbol = self.symbol(part, colour);
        self.put_symbol(symbol, x, y, scale);
    }

    fn put_symbol(&mut self, symbol: SymbolId, x: f64, y: f64, scale: f64) {
        let b = self.symbols[symbol.0].bounds;
        let bounds =
            Rect::new(x + b.x0 * scale, y + b.y0 * scale, x + b.x1 * scale, y + b.y1 * scale);
        self.put(Role::Sample, Kind::Use(Use { symbol, x, y, scale }), bounds);
    }

    fn symbol(&mut self, part: PartId, colour: ColourId) -> SymbolId {
        if let Some(id) = self.symbol_ids.get(&(part, colour)) {
            return *id;
        }
        let (drawing, sample) = self.workshop.drawing(part, colour);
        let name = format!("p{}-c{}", part.0 + 1, colour.0 + 1);
        let id = self.symbol_of(name, &drawing, sample);
        self.symbol_ids.insert((part, colour), id);
        id
    }

    /// A drawing of its own in a sample, the middle of its extent at `at`. The name is a symbol's:
    /// once on a sheet.
    pub fn drawing(
        &mut self,
        name: String,
        (drawing, sample): (&Drawing, Sample),
        at: (f64, f64),
        scale: f64,
    ) {
        let symbol = self.symbol_of(name, drawing, sample);
        self.put_symbol(symbol, at.0, at.1, scale);
    }

    fn symbol_of(&mut self, name: String, drawing: &Drawing, sample: Sample) -> SymbolId {
        let layers = drawing
            .layers
            .iter()
            .map(|layer| Layer {
                outline: self.outline(&layer.outline),
                rule: layer.rule,
                paint: layer.paint.map(|shade| self.palette.shade(sample, shade)),
                opacity: layer.opacity,
            })
            .collect();
        let id = SymbolId(self.symbols.len());
        self.symbols.push(Symbol { name, layers, bounds: drawing.bounds, extent: drawing.extent });
        id
    }

    fn outline(&mut self, outline: &Arc<BezPath>) -> OutlineId {
        let next = OutlineId(self.outlines.len());
        let id = *self.outline_ids.entry(Arc::as_ptr(outline)).or_insert(next);
        if id == next {
            self.outlines.push(Arc::clone(outline));
        }
        id
    }

    /// The sheet with all that was put on it.
    pub fn finish(self, width: f64, height: f64, bleed: f64, about: About) -> Sheet {
        Sheet {
            width,
            height,
            bleed,
            about,
            faces: Arc::clone(&self.look.faces),
            palette: self.palette.finish(),
            outlines: self.outlines,
            symbols: self.symbols,
            pages: self.pages,
        }
    }
}
