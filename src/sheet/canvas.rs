//! The drawing board: puts text, rules and parts on a page in millimetres.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::item::*;
use super::palette::{Fill, Palette, PaletteBuilder, Sample};
use super::symbol::SymbolMaker;
use super::workshop::{Pictured, Workshop};
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

/// A drawing that is no part in a colour of the range.
pub struct NamedDrawing<'a> {
    /// Its symbol's: once on a sheet.
    pub name: String,
    pub drawing: &'a Drawing,
    /// The sample that its shades are of.
    pub sample: Sample,
}

/// How far the box of a text reaches beyond its baseline, mm.
struct Around {
    rise: f64,
    fall: f64,
    side: f64,
}

impl Around {
    fn of(voice: Voice) -> Around {
        Around { rise: voice.size * 1.05, fall: voice.size * 0.4, side: voice.size * 0.2 }
    }
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
    maker: SymbolMaker,
    symbol_ids: HashMap<(PartId, ColourId), SymbolId>,
    images: Vec<SheetImage>,
    /// What lies under each image, with it.
    image_ids: HashMap<(PartId, ColourId), (SymbolId, ImageId)>,
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
            maker: SymbolMaker::default(),
            symbol_ids: HashMap::new(),
            images: Vec::new(),
            image_ids: HashMap::new(),
            origin: None,
        }
    }

    /// Turns to a new page.
    pub fn next_page(&mut self) {
        self.trim();
        self.pages.push(Page::default());
    }

    /// Gives back the room that the items of a page do not need: a large sheet has a million.
    fn trim(&mut self) {
        if let Some(page) = self.pages.last_mut() {
            page.items.shrink_to_fit();
        }
    }

    /// Says which row or field the next items come from.
    pub fn from(&mut self, origin: Option<&str>) {
        self.origin = origin.map(Arc::from);
    }

    /// Puts down what `draw` draws as coming from another row or field, then goes on as before.
    pub fn within(&mut self, origin: &str, draw: impl FnOnce(&mut Self)) {
        let outer = self.origin.replace(Arc::from(origin));
        draw(self);
        self.origin = outer;
    }

    fn put(&mut self, role: Role, kind: ItemKind, bounds: Rect) {
        let item = Item { role, origin: self.origin.clone(), kind, bounds };
        if let Some(page) = self.pages.last_mut() {
            page.items.push(item);
        }
    }

    /// Text whose left end, middle or right end is at `at` on its baseline; returns its width.
    pub fn text(&mut self, at: Point, string: &str, voice: Voice, anchor: Anchor) -> f64 {
        let Some(text) = self.set(string, voice) else { return 0.0 };
        let advance = text.advance;
        let shift = match anchor {
            Anchor::Left => 0.0,
            Anchor::Middle => -advance / 2.0,
            Anchor::Right => -advance,
        };
        let (x, y) = (at.x + shift, at.y);
        let room = Around::of(voice);
        let bounds =
            Rect::new(x - room.side, y - room.rise, x + advance + room.side, y + room.fall);
        self.put(Role::Label, ItemKind::Text(Box::new(Text { x, y, ..text })), bounds);
        advance
    }

    /// Text that runs upwards from `at`; its baseline is vertical.
    pub fn text_up(&mut self, at: Point, string: &str, voice: Voice) -> f64 {
        let Some(text) = self.set(string, voice) else { return 0.0 };
        let advance = text.advance;
        let Point { x, y } = at;
        let room = Around::of(voice);
        let bounds =
            Rect::new(x - room.rise, y - advance - room.side, x + room.fall, y + room.side);
        self.put(
            Role::Label,
            ItemKind::Text(Box::new(Text { x, y, turn: Turn::Up, ..text })),
            bounds,
        );
        advance
    }

    /// A level text in glyphs, to be put in its place; none of an empty one.
    fn set(&mut self, string: &str, voice: Voice) -> Option<Text> {
        if string.is_empty() {
            return None;
        }
        let face = self.look.faces.of(voice.face, string);
        let (glyphs, advance) = self.look.faces[face].set(string, voice.size, voice.tracking);
        Some(Text {
            string: string.to_owned(),
            face,
            size: voice.size,
            x: 0.0,
            y: 0.0,
            turn: Turn::Level,
            fill: self.palette.fill(voice.ink.into()),
            glyphs,
            advance,
        })
    }

    /// A filled rectangle.
    pub fn rect(&mut self, role: Role, rect: Rect, fill: impl Into<Fill>) {
        self.area(role, rect.to_path(1e-3), FillRule::NonZero, fill);
    }

    /// A horizontal rule from `at`, which is the middle of its left end.
    pub fn rule(&mut self, at: Point, width: f64, thickness: f64, fill: impl Into<Fill>) {
        let half = thickness / 2.0;
        let rect = Rect::new(at.x, at.y - half, at.x + width, at.y + half);
        self.rect(Role::Furniture, rect, fill);
    }

    /// A vertical rule downwards from `at`, which is the middle of its upper end.
    pub fn upright(&mut self, at: Point, height: f64, thickness: f64, fill: impl Into<Fill>) {
        let half = thickness / 2.0;
        let rect = Rect::new(at.x - half, at.y, at.x + half, at.y + height);
        self.rect(Role::Furniture, rect, fill);
    }

    /// A dot.
    pub fn dot(&mut self, centre: Point, radius: f64, fill: impl Into<Fill>) {
        let path = Circle::new(centre, radius).to_path(1e-3);
        self.area(Role::Furniture, path, FillRule::NonZero, fill);
    }

    /// A filled path.
    pub fn fill(&mut self, role: Role, path: BezPath, fill: impl Into<Fill>) {
        self.area(role, path, FillRule::NonZero, fill);
    }

    /// A frame inside a rectangle.
    pub fn frame(&mut self, role: Role, rect: Rect, thickness: f64, fill: impl Into<Fill>) {
        self.area(role, frame(rect, thickness), FillRule::EvenOdd, fill);
    }

    /// A path filled by a rule.
    pub fn area(&mut self, role: Role, path: BezPath, rule: FillRule, fill: impl Into<Fill>) {
        let bounds = path.bounding_box();
        let mut elements = path.into_elements();
        elements.shrink_to_fit();
        let path = BezPath::from_vec(elements);
        let fill = self.palette.fill(fill.into());
        self.put(role, ItemKind::Area(Area { path, rule, fill }), bounds);
    }

    /// A part in a colour, the middle of its extent at `at`: drawn, or its picture over its shadow.
    pub fn part(&mut self, part: PartId, colour: ColourId, at: Point, scale: f64) {
        if let Some((shadow, image)) = self.image(part, colour) {
            if !self.symbols[shadow.0].drawn().is_empty() {
                self.put_symbol(shadow, at, scale);
            }
            let used = ImageUse { image, x: at.x, y: at.y, scale };
            let bounds = used.on_page(&self.images[image.0]);
            self.put(Role::Sample, ItemKind::Image(used), bounds);
            return;
        }
        let symbol = self.symbol(part, colour);
        self.put_symbol(symbol, at, scale);
    }

    fn put_symbol(&mut self, symbol: SymbolId, at: Point, scale: f64) {
        let Point { x, y } = at;
        let b = self.symbols[symbol.0].bounds;
        let bounds =
            Rect::new(x + b.x0 * scale, y + b.y0 * scale, x + b.x1 * scale, y + b.y1 * scale);
        self.put(Role::Sample, ItemKind::Use(Use { symbol, x, y, scale }), bounds);
    }

    /// The image of a part in a colour, and the symbol of the shadow under it.
    fn image(&mut self, part: PartId, colour: ColourId) -> Option<(SymbolId, ImageId)> {
        if let Some(known) = self.image_ids.get(&(part, colour)) {
            return Some(*known);
        }
        let Pictured { picture, shadow, sample } = self.workshop.picture(part, colour)?;
        let image = ImageId(self.images.len());
        self.images.push(SheetImage::new(picture, sample, &mut self.palette));
        let name = format!("p{}-c{}-shadow", part.0 + 1, colour.0 + 1);
        let shadow = self.symbol_of(name, &shadow, sample);
        self.image_ids.insert((part, colour), (shadow, image));
        Some((shadow, image))
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

    /// A drawing of its own, the middle of its extent at `at`.
    pub fn drawing(&mut self, drawn: NamedDrawing<'_>, at: Point, scale: f64) {
        let symbol = self.symbol_of(drawn.name, drawn.drawing, drawn.sample);
        self.put_symbol(symbol, at, scale);
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
        let symbol = self.maker.symbol(name, layers, drawing.bounds, drawing.extent);
        self.symbols.push(symbol);
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
    pub fn finish(mut self, width: f64, height: f64, bleed: f64, about: About) -> Sheet {
        self.trim();
        self.symbols.shrink_to_fit();
        Sheet {
            width,
            height,
            bleed,
            about,
            faces: Arc::clone(&self.look.faces),
            palette: self.palette.finish(),
            outlines: self.outlines,
            symbols: self.symbols,
            images: self.images,
            pages: self.pages,
        }
    }
}

/// The outline of a frame inside a rectangle, filled by the even-odd rule.
pub fn frame(rect: Rect, thickness: f64) -> BezPath {
    let mut path = rect.to_path(1e-3);
    path.extend(rect.inset(-thickness).to_path(1e-3));
    path
}
