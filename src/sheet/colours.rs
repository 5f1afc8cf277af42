//! Which colours stand on the pages, and what for: a press may print a colour
//! of the range with other inks than the same colour in a rule.

use std::collections::BTreeSet;

use super::item::{Item, Kind, Paint, Rgb, Role, Sheet, Symbol};

impl Item {
    /// Does it show a colour of the range: a part, or the flat chip of a
    /// colour? Else it is words, a rule or a mark.
    pub fn shows_colour(&self) -> bool {
        match self.kind {
            Kind::Use(_) => true,
            Kind::Area(_) => self.role == Role::Swatch,
            Kind::Text(_) => false,
        }
    }
}

impl Sheet {
    /// Every colour in parts and swatches, gradients included.
    pub fn colours(&self) -> BTreeSet<Rgb> {
        self.colours_of(true)
    }

    /// Every colour of words, rules and marks.
    pub fn words_colours(&self) -> BTreeSet<Rgb> {
        self.colours_of(false)
    }

    fn colours_of(&self, shown: bool) -> BTreeSet<Rgb> {
        let mut out = BTreeSet::new();
        let mut symbols = BTreeSet::new();
        for item in self.pages.iter().flat_map(|p| &p.items) {
            if item.shows_colour() != shown {
                continue;
            }
            match &item.kind {
                Kind::Use(used) => drop(symbols.insert(used.symbol)),
                Kind::Area(area) => drop(out.insert(area.fill)),
                Kind::Text(text) => drop(out.insert(text.fill)),
            }
        }
        let drawn = symbols.into_iter().filter_map(|id| self.symbols.get(id.0));
        drawn.for_each(|symbol| of_symbol(symbol, &mut out));
        out
    }
}

fn of_symbol(symbol: &Symbol, out: &mut BTreeSet<Rgb>) {
    for layer in &symbol.layers {
        match &layer.paint {
            Paint::Solid(rgb) => drop(out.insert(*rgb)),
            // Painters take a gradient without stops as white.
            Paint::Gradient(g) if g.stops.is_empty() => drop(out.insert(Rgb::WHITE)),
            Paint::Gradient(g) => out.extend(g.stops.iter().map(|s| s.colour)),
        }
    }
}
