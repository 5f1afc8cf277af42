//! Symbols: parts drawn in a colour, small enough for a sheet of a hundred thousand.
//!
//! Parts that are drawn alike in several colours share their layers. These name the colours of a
//! symbol by number, and each symbol has its own list of palette entries for the numbers.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::Rect;

use super::item::{Layer, LayerOf, Paint};
use super::palette::PaletteIndex;
use crate::graphic;

/// A colour of a symbol, by its place in the symbol's list.
pub type Slot = u32;

/// Layers from the bottom up, without their colours.
type Drawn = [LayerOf<Slot>];

/// A part drawn in one colour and finish: layers from the bottom up, in
/// millimetres at true size, origin at the centre of the part's extent.
#[derive(Debug, Clone, PartialEq)]
pub struct Symbol {
    /// Unique on the sheet, of letters, digits and hyphens: safe as a name in any file.
    pub name: String,
    drawn: Arc<Drawn>,
    fills: Box<[PaletteIndex]>,
    /// Everything drawn, shadow included.
    pub bounds: Rect,
    /// The part without its shadow, pieces outside its body included: what is measured.
    pub extent: Rect,
}

impl Symbol {
    /// One that shares its layers with no other.
    pub fn new(name: String, layers: Vec<Layer>, bounds: Rect, extent: Rect) -> Symbol {
        let (drawn, fills) = apart(layers);
        Symbol { name, drawn: drawn.into(), fills: fills.into(), bounds, extent }
    }

    /// Its layers from the bottom up, in their colours.
    pub fn layers(&self) -> impl ExactSizeIterator<Item = Layer> + '_ {
        self.drawn.iter().map(|layer| layer.map(|slot| self.fills[slot as usize]))
    }

    /// The same without their colours, in the same order.
    pub fn drawn(&self) -> &[LayerOf<Slot>] {
        &self.drawn
    }

    /// What fills a layer, by its place; `None` where there is no such layer.
    pub fn paint(&self, layer: usize) -> Option<Paint> {
        let layer = self.drawn.get(layer)?;
        Some(layer.paint.map(|slot| self.fills[slot as usize]))
    }
}

/// Layers with numbers for their colours, and the colours in the order of the numbers.
fn apart(layers: Vec<Layer>) -> (Vec<LayerOf<Slot>>, Vec<PaletteIndex>) {
    let mut fills: Vec<PaletteIndex> = Vec::new();
    let mut slots: HashMap<PaletteIndex, Slot> = HashMap::new();
    let mut slot = |fill: PaletteIndex| {
        *slots.entry(fill).or_insert_with(|| {
            fills.push(fill);
            (fills.len() - 1) as Slot
        })
    };
    let drawn = layers.iter().map(|layer| layer.map(&mut slot)).collect();
    (drawn, fills)
}

/// Makes the symbols of a sheet: those that are drawn alike share their layers.
#[derive(Debug, Default)]
pub struct SymbolMaker {
    /// Layers that may be alike, by some of what makes them differ.
    known: HashMap<Likeness, Vec<Arc<Drawn>>>,
}

/// Outline and number of colours of each layer.
type Likeness = Vec<(usize, usize)>;

impl SymbolMaker {
    /// A symbol with these layers.
    pub fn symbol(
        &mut self,
        name: String,
        layers: Vec<Layer>,
        bounds: Rect,
        extent: Rect,
    ) -> Symbol {
        let (drawn, fills) = apart(layers);
        let alike = self.known.entry(drawn.iter().map(likeness).collect()).or_default();
        let drawn = match alike.iter().find(|known| ***known == *drawn) {
            Some(known) => Arc::clone(known),
            None => {
                let drawn: Arc<Drawn> = drawn.into();
                alike.push(Arc::clone(&drawn));
                drawn
            }
        };
        Symbol { name, drawn, fills: fills.into(), bounds, extent }
    }
}

fn likeness(layer: &LayerOf<Slot>) -> (usize, usize) {
    let colours = match &layer.paint {
        graphic::Paint::Solid(_) => 1,
        graphic::Paint::Gradient(gradient) => gradient.stops.len(),
    };
    (layer.outline.0, colours)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{FillRule, Gradient, OutlineId, Palette, Ramp, Rgb, Stop};

    fn layers(colours: [PaletteIndex; 2], opacity: f64) -> Vec<Layer> {
        let stop = |offset, colour| Stop { offset, colour };
        let gradient = Gradient {
            ramp: Ramp::Linear { x1: 0.0, y1: 0.0, x2: 1.0, y2: 0.0 },
            transform: kurbo::Affine::IDENTITY,
            stops: vec![stop(0.0, colours[1]), stop(1.0, colours[0])],
        };
        let layer = |n, paint| Layer {
            outline: OutlineId(n),
            rule: FillRule::NonZero,
            paint,
            opacity: if n == 0 { opacity } else { 1.0 },
        };
        vec![layer(0, Paint::Solid(colours[0])), layer(1, Paint::Gradient(gradient.into()))]
    }

    #[test]
    fn what_is_drawn_alike_is_kept_once_and_keeps_its_colours() {
        let mut palette = Palette::default();
        let [a, b, c] = [1, 2, 3].map(|v| palette.add_ink(Rgb(v, v, v)));
        let mut maker = SymbolMaker::default();
        let mut made = |layers: Vec<Layer>| {
            let symbol = maker.symbol("s".into(), layers.clone(), Rect::ZERO, Rect::ZERO);
            assert_eq!(symbol.layers().collect::<Vec<_>>(), layers);
            assert_eq!(symbol.paint(1).as_ref(), Some(&layers[1].paint));
            assert_eq!(symbol, Symbol::new("s".into(), layers, Rect::ZERO, Rect::ZERO));
            symbol
        };
        let first = made(layers([a, b], 1.0));
        let others = [[b, c], [c, a]].map(|colours| made(layers(colours, 1.0)));
        assert!(others.iter().all(|other| Arc::ptr_eq(&first.drawn, &other.drawn)));
        // Another opacity, or one colour in place of two, is another drawing.
        for other in [made(layers([a, b], 0.5)), made(layers([a, a], 1.0))] {
            assert!(!Arc::ptr_eq(&first.drawn, &other.drawn));
        }
    }
}
