//! Sheets in their colours on a ground, lower on their pages, or beside one another.

use kurbo::{Affine, Rect, Shape, Vec2};

use super::coloured::Coloured;
use super::item::*;
use super::palette::{PaletteIndex, PaletteMap};
use super::symbol::SymbolMaker;

/// A sheet of its own in one mapping of its palette.
#[derive(Debug, Clone)]
pub struct Montage {
    pub sheet: Sheet,
    pub colours: PaletteMap<Rgb>,
}

impl Montage {
    /// For a painter.
    pub fn coloured(&self) -> Coloured<'_, Rgb> {
        self.sheet.coloured(&self.colours)
    }

    /// On the bare paper that its colours show, bleed included.
    pub fn on_paper(self) -> Montage {
        self.on(PaletteIndex::PAPER)
    }

    /// On a ground of this colour, bleed included.
    pub fn on_ground(mut self, ground: Rgb) -> Montage {
        let fill = self.sheet.palette.add_ink(ground);
        self.colours.push(ground);
        self.on(fill)
    }

    fn on(mut self, fill: PaletteIndex) -> Montage {
        let Sheet { width, height, bleed, .. } = self.sheet;
        let whole = Rect::new(0.0, 0.0, width, height).inflate(bleed, bleed);
        for page in &mut self.sheet.pages {
            page.items.insert(0, plain_area(whole, fill));
        }
        self
    }

    /// This sheet, which is taken as it is, and another at its right, page by
    /// page, `gap` mm between them. No bleed; one size of pages each.
    pub fn beside(mut self, right: Montage, gap: f64) -> Montage {
        let dx = self.sheet.width + gap;
        let (width, height) = (right.sheet.width, right.sheet.height);
        for (n, page) in self.append(right).into_iter().enumerate() {
            if n == self.sheet.pages.len() {
                self.sheet.pages.push(Page::default());
            }
            let items = page.items.into_iter().map(|item| moved(item, Vec2::new(dx, 0.0)));
            self.sheet.pages[n].items.extend(items);
        }
        self.sheet.width = dx + width;
        self.sheet.height = self.sheet.height.max(height);
        self.sheet.bleed = 0.0;
        self
    }

    /// The pages of another after these.
    pub fn followed_by(mut self, other: Montage) -> Montage {
        let pages = self.append(other);
        self.sheet.pages.extend(pages);
        self
    }

    /// Adds what another one's pages are drawn with; returns these pages, which go by it.
    pub fn append(&mut self, other: Montage) -> Vec<Page> {
        let Montage { sheet: other, colours } = other;
        let sheet = &mut self.sheet;
        let (outlines, symbols) = (sheet.outlines.len(), sheet.symbols.len());
        let shift = sheet.palette.append(other.palette);
        self.colours.append(colours);
        sheet.outlines.extend(other.outlines);
        let mut maker = SymbolMaker::default();
        sheet.symbols.extend(other.symbols.iter().map(|symbol| {
            let layers = symbol.layers().map(|layer| {
                let layer = layer.map(|fill| shift.of(fill));
                Layer { outline: OutlineId(layer.outline.0 + outlines), ..layer }
            });
            let name = format!("r-{}", symbol.name);
            maker.symbol(name, layers.collect(), symbol.bounds, symbol.extent)
        }));
        let images = sheet.images.len();
        sheet.images.extend(other.images.into_iter().map(|mut image| {
            image.shift(shift);
            image
        }));
        let mut pages = other.pages;
        for item in pages.iter_mut().flat_map(|page| &mut page.items) {
            match &mut item.kind {
                ItemKind::Area(area) => area.fill = shift.of(area.fill),
                ItemKind::Text(text) => text.fill = shift.of(text.fill),
                ItemKind::Use(used) => used.symbol.0 += symbols,
                ItemKind::Image(used) => used.image.0 += images,
            }
        }
        pages
    }

    /// Lower on its pages, which grow by as much.
    pub fn lowered(mut self, by: f64) -> Montage {
        for page in &mut self.sheet.pages {
            let items = std::mem::take(&mut page.items);
            page.items = items.into_iter().map(|i| moved(i, Vec2::new(0.0, by))).collect();
        }
        self.sheet.height += by;
        self
    }
}

/// A rectangle of one colour.
pub fn plain_area(rect: Rect, fill: PaletteIndex) -> Item {
    let area = Area { path: rect.to_path(1e-3), rule: FillRule::NonZero, fill };
    Item { role: Role::Furniture, origin: None, kind: ItemKind::Area(area), bounds: rect }
}

/// An item at another place.
pub fn moved(mut item: Item, by: Vec2) -> Item {
    match &mut item.kind {
        ItemKind::Area(area) => area.path.apply_affine(Affine::translate(by)),
        ItemKind::Use(used) => (used.x, used.y) = (used.x + by.x, used.y + by.y),
        ItemKind::Image(used) => (used.x, used.y) = (used.x + by.x, used.y + by.y),
        ItemKind::Text(text) => (text.x, text.y) = (text.x + by.x, text.y + by.y),
    }
    item.bounds = item.bounds + by;
    item
}
