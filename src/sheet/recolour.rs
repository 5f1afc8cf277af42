//! The same sheet in other colours, on another ground, or beside another.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::{Affine, Rect, Shape, Vec2};

use super::item::*;

impl Sheet {
    /// With other colours: `colours` for parts and swatches ([`Sheet::colours`]),
    /// `words` for the rest ([`Sheet::words_colours`]). What they lack stays.
    pub fn recoloured(mut self, colours: &BTreeMap<Rgb, Rgb>, words: &BTreeMap<Rgb, Rgb>) -> Sheet {
        let of = |map: &BTreeMap<Rgb, Rgb>, rgb: Rgb| map.get(&rgb).copied().unwrap_or(rgb);
        for layer in self.symbols.iter_mut().flat_map(|s| &mut s.layers) {
            match &mut layer.paint {
                Paint::Solid(rgb) => *rgb = of(colours, *rgb),
                Paint::Gradient(gradient) => {
                    let mut own = Gradient::clone(gradient);
                    own.stops.iter_mut().for_each(|s| s.colour = of(colours, s.colour));
                    *gradient = Arc::new(own);
                }
            }
        }
        for item in self.pages.iter_mut().flat_map(|p| &mut p.items) {
            let map = if item.shows_colour() { colours } else { words };
            match &mut item.kind {
                Kind::Area(area) => area.fill = of(map, area.fill),
                Kind::Text(text) => text.fill = of(map, text.fill),
                Kind::Use(_) => {}
            }
        }
        self
    }

    /// On paper of this colour, bleed included.
    pub fn on_ground(mut self, ground: Rgb) -> Sheet {
        let whole = Rect::new(0.0, 0.0, self.width, self.height).inflate(self.bleed, self.bleed);
        for page in &mut self.pages {
            page.items.insert(0, plain_area(whole, ground));
        }
        self
    }

    /// This sheet, which is taken as it is, and another at its right, page by
    /// page, `gap` mm between them. No bleed; one size of pages each.
    pub fn beside(mut self, right: Sheet, gap: f64) -> Sheet {
        let dx = self.width + gap;
        let (outlines, symbols) = (self.outlines.len(), self.symbols.len());
        self.outlines.extend(right.outlines);
        self.symbols.extend(right.symbols.into_iter().map(|mut symbol| {
            symbol.name = format!("r-{}", symbol.name);
            symbol.layers.iter_mut().for_each(|l| l.outline.0 += outlines);
            symbol
        }));
        for (n, page) in right.pages.into_iter().enumerate() {
            if n == self.pages.len() {
                self.pages.push(Page::default());
            }
            self.pages[n].items.extend(page.items.into_iter().map(|mut item| {
                if let Kind::Use(used) = &mut item.kind {
                    used.symbol.0 += symbols;
                }
                moved(item, Vec2::new(dx, 0.0))
            }));
        }
        self.width = dx + right.width;
        self.height = self.height.max(right.height);
        self.bleed = 0.0;
        self
    }

    /// Lower on its pages, which grow by as much.
    pub fn lowered(mut self, by: f64) -> Sheet {
        for page in &mut self.pages {
            let items = std::mem::take(&mut page.items);
            page.items = items.into_iter().map(|i| moved(i, Vec2::new(0.0, by))).collect();
        }
        self.height += by;
        self
    }
}

/// A rectangle of one colour.
pub fn plain_area(rect: Rect, fill: Rgb) -> Item {
    let area = Area { path: rect.to_path(1e-3), rule: FillRule::NonZero, fill };
    Item { role: Role::Furniture, origin: None, kind: Kind::Area(area), bounds: rect }
}

/// An item at another place.
pub fn moved(mut item: Item, by: Vec2) -> Item {
    match &mut item.kind {
        Kind::Area(area) => area.path.apply_affine(Affine::translate(by)),
        Kind::Use(used) => (used.x, used.y) = (used.x + by.x, used.y + by.y),
        Kind::Text(text) => (text.x, text.y) = (text.x + by.x, text.y + by.y),
    }
    item.bounds = item.bounds + by;
    item
}
