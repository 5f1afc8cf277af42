//! What a panel shows of the sheet.

use kurbo::{Rect, Shape as _};

use super::grid::{Grid, Panel};
use crate::sheet::montage::moved;
use crate::sheet::{Area, FillRule, Item, ItemKind, Page, PaletteIndex, Role, Sheet};

/// The items that touch the panel's window, moved to their place on the
/// paper, and white over all that they reach beyond it. Symbols and outlines
/// stay the sheet's.
pub fn below(sheet: &Sheet, number: usize, grid: &Grid, panel: &Panel) -> Page {
    let items = sheet.pages.get(number).map_or(&[][..], |page| &page.items);
    let mut items: Vec<Item> = items
        .iter()
        .filter(|item| touch(item.bounds, panel.window))
        .map(|item| moved(item.clone(), panel.shift))
        .collect();
    items.push(frame(grid, panel.window + panel.shift));
    Page { items }
}

/// Have they a point in common?
pub fn touch(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && a.x1 >= b.x0 && a.y0 <= b.y1 && a.y1 >= b.y0
}

/// White from the window to the edges of the paper.
pub fn frame(grid: &Grid, window: Rect) -> Item {
    let (width, height) = grid.page();
    let page = Rect::new(0.0, 0.0, width, height);
    let mut path = page.to_path(1e-3);
    path.extend(window.to_path(1e-3));
    let area = Area { path, rule: FillRule::EvenOdd, fill: PaletteIndex::PAPER };
    Item { role: Role::Furniture, origin: None, kind: ItemKind::Area(area), bounds: page }
}
