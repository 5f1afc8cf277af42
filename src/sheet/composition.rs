//! How a sheet's pages are used: what a reader sees before reading a word.

use kurbo::Rect;

use super::item::{Page, Role, Sheet};
use super::place::{Standing, StoodFurniture, place};
use super::scene::Scene;
use super::workshop::Workshop;
use crate::plan::PageColumn;
use crate::plan::measure::QUARTERS;
use crate::plan::report::Composition;

/// Cells along the longer edge of the type area when empty room is looked for.
const CELLS: f64 = 400.0;

/// Measures a sheet as it would be placed.
pub fn composition(scene: &Scene<'_>) -> Composition {
    let sheet = place(scene, &Workshop::boxes(scene.facts.range));
    let area = scene.plan.type_area;
    let mut out = Composition::default();
    let mut covered = 0.0;
    let quarter = scene.plan.pitch / f64::from(QUARTERS);
    out.usual_gap_mm = f64::from(scene.plan.head) * quarter - scene.plan.head_height;
    for (columns, page) in scene.plan.pages.iter().zip(&sheet.pages) {
        let used = used(scene, columns);
        covered += used.covered;
        out.feet_mm = out.feet_mm.max(used.feet);
        out.largest_gap_mm = out.largest_gap_mm.max(used.gap);
        let empty = largest_empty(&obstacles(&sheet, page), area);
        if empty.area() > out.largest_empty_mm[0] * out.largest_empty_mm[1] {
            out.largest_empty_mm = [empty.width(), empty.height()];
        }
    }
    out.covered = covered / (area.area().max(1.0) * scene.plan.pages.len().max(1) as f64);
    out.rounded()
}

/// How one page is used.
struct Used {
    /// mm2.
    covered: f64,
    /// Between the highest and the lowest foot of a column, mm.
    feet: f64,
    /// The largest white between blocks of a column, mm.
    gap: f64,
}

fn used(scene: &Scene<'_>, columns: &[PageColumn]) -> Used {
    let stand = Standing::new(scene, columns);
    let width = scene.plan.body.width;
    let mut out =
        Used { covered: stand.across.map_or(0.0, |f| f.height * width), feet: 0.0, gap: 0.0 };
    let mut feet: Option<(f64, f64)> = None;
    for column in &stand.columns {
        let (width, blocks) = (column.frame.width, &column.blocks);
        let furniture = column.furniture.as_ref();
        out.covered += furniture.map_or(0.0, |f| f.fragment.height * width);
        out.covered += blocks.iter().map(|b| (b.foot - b.head) * width).sum::<f64>();
        let heads = blocks.iter().skip(1).map(|b| b.head);
        let below = furniture.map(|f| f.top);
        for (above, next) in blocks.iter().zip(heads.chain(below)) {
            out.gap = out.gap.max(next - above.foot);
        }
        let end = furniture.map(StoodFurniture::foot);
        let Some(foot) = end.or(blocks.last().map(|b| b.foot)) else { continue };
        feet = Some(feet.map_or((foot, foot), |(a, b)| (a.min(foot), b.max(foot))));
    }
    out.feet = feet.map_or(0.0, |(high, low)| low - high);
    out
}

/// Boxes of all that is drawn on a page, words without the room around them.
fn obstacles(sheet: &Sheet, page: &Page) -> Vec<Rect> {
    let whole = sheet.width * sheet.height;
    let items = page.items.iter().filter(|i| i.role != Role::Cut);
    items.map(|i| i.bounds).filter(|b| b.area() < 0.9 * whole).collect()
}

/// The largest rectangle in `area` that touches none of the boxes.
///
/// Rows of a grid are gone through with, for each of its columns, the number of empty cells above;
/// the largest rectangle under such a histogram is found with a stack of rising steps.
fn largest_empty(boxes: &[Rect], area: Rect) -> Rect {
    let cell = area.width().max(area.height()) / CELLS;
    if cell <= 0.0 {
        return Rect::ZERO;
    }
    let (across, down) = ((area.width() / cell) as usize, (area.height() / cell) as usize);
    if across == 0 || down == 0 {
        return Rect::ZERO;
    }
    let mut taken = vec![false; across * down];
    let index = |v: f64, most: usize| ((v / cell).floor().max(0.0) as usize).min(most);
    for b in boxes.iter().filter(|b| b.overlaps(area)) {
        let (x0, x1) = (index(b.x0 - area.x0, across - 1), index(b.x1 - area.x0, across - 1));
        for y in index(b.y0 - area.y0, down - 1)..=index(b.y1 - area.y0, down - 1) {
            taken[y * across + x0..=y * across + x1].fill(true);
        }
    }
    let mut above = vec![0usize; across + 1];
    // Largest area in cells: its size, and its right and lower edge.
    let mut best = (0, [0, 0], [0, 0]);
    for y in 0..down {
        for x in 0..across {
            above[x] = if taken[y * across + x] { 0 } else { above[x] + 1 };
        }
        let mut steps: Vec<(usize, usize)> = Vec::new();
        for (x, &height) in above.iter().enumerate() {
            let mut from = x;
            while let Some(&(start, tall)) = steps.last().filter(|s| s.1 > height) {
                steps.pop();
                from = start;
                if tall * (x - start) > best.0 {
                    best = (tall * (x - start), [x - start, tall], [x, y + 1]);
                }
            }
            steps.push((from, height));
        }
    }
    let (_, [wide, tall], [right, low]) = best;
    let corner = (area.x0 + right as f64 * cell, area.y0 + low as f64 * cell);
    Rect::new(corner.0 - wide as f64 * cell, corner.1 - tall as f64 * cell, corner.0, corner.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_empty_room_is_found() {
        let area = Rect::new(10.0, 10.0, 410.0, 210.0);
        assert_eq!(largest_empty(&[], area), area);
        let left = Rect::new(0.0, 0.0, 110.0, 300.0);
        let bar = Rect::new(300.5, 100.5, 420.0, 101.0);
        let found = largest_empty(&[left, bar], area);
        assert_eq!(found, Rect::new(111.0, 10.0, 300.0, 210.0));
        // All taken.
        assert_eq!(largest_empty(&[Rect::new(0.0, 0.0, 500.0, 500.0)], area).area(), 0.0);
    }
}
