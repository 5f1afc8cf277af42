//! Where parts are laid, and the patches around them.

use kurbo::Vec2;

use super::request::TargetRequest;
use super::wanted::CellWanted;
use crate::capture::page::{Ground, PartPlace, PrintPatch, Rect};
use crate::stage::{Frame, PlacedPage, known, polygons, rounded};

/// Print of the colour's own value around its part, and a patch's side, mm.
const RING: f64 = 3.0;
pub const SIDE: f64 = 6.0;
/// The least side of what a part lies in, mm.
const LEAST: f64 = 15.0;
/// White between cells, and a cell's label under it, mm.
const GAP: f64 = 4.5;
const LABEL: f64 = 3.8;

/// Where the eight patches are: columns and rows of three, the middle left out; those that differ in one thing lie
/// opposite each other.
const SPOTS: [(usize, usize); 8] = [(1, 0), (1, 2), (0, 1), (2, 1), (0, 0), (2, 0), (0, 2), (2, 2)];

/// The pages of some cells.
pub fn pages(cells: &[CellWanted], request: &TargetRequest<'_>) -> Vec<PlacedPage> {
    let range = request.naming.range;
    let inner = |cell: &CellWanted| {
        let extent = range.part(cell.part).shape().extent;
        let side = |length: f64| rounded((length + 2.0 * RING).max(LEAST));
        (side(extent.width()), side(extent.height()))
    };
    // All cells alike, so that rows and columns are straight.
    let most = cells.iter().map(inner).fold((LEAST, LEAST), |m, i| (m.0.max(i.0), m.1.max(i.1)));
    let size = (most.0 + 2.0 * SIDE, most.1 + 2.0 * SIDE);
    let frame = Frame::new(request.size);
    let columns = (((frame.width() + GAP) / (size.0 + GAP)) as usize).max(1);
    let rows = (((frame.height() + GAP) / (size.1 + LABEL + GAP)) as usize).max(1);
    let gap = (frame.width() - size.0 * columns as f64) / (columns.max(2) - 1) as f64;
    let gap = gap.clamp(GAP, 3.0 * GAP);
    let spare = (frame.height() - (size.1 + LABEL) * rows as f64) / (rows.max(2) - 1) as f64;
    let down = size.1 + LABEL + spare.clamp(GAP, 2.0 * GAP);
    let mut out = Vec::new();
    for (n, of_page) in cells.chunks(columns * rows).enumerate() {
        let mut placed = frame.page();
        for (i, cell) in of_page.iter().enumerate() {
            let left = rounded(frame.left() + (size.0 + gap) * (i % columns) as f64);
            let top = rounded(frame.top() + down * (i / columns) as f64);
            let number = n * columns * rows + i + 1;
            place(&mut placed, (cell, number), ((left, top), most), request);
        }
        out.push(placed);
    }
    out
}

/// A part's place and its patches.
fn place(
    placed: &mut PlacedPage,
    (cell, number): (&CellWanted, usize),
    ((left, top), (wide, high)): ((f64, f64), (f64, f64)),
    request: &TargetRequest<'_>,
) {
    let naming = &request.naming;
    let (part, colour) = (naming.range.part(cell.part), naming.range.colour(cell.colour));
    let middle = Rect { left: left + SIDE, top: top + SIDE, width: wide, height: high };
    let (x, y) = middle.centre();
    let outline = polygons(&part.shape().outline, Vec2::new(x, y));
    let beside = placed.page.places.len();
    placed.page.places.push(PartPlace {
        part: part.key().clone(),
        colour: colour.key().clone(),
        number: number.to_string(),
        frame: middle,
        ground: Ground::Print,
        outline: outline.clone(),
        known: known(colour, false),
        boxed: false,
    });
    let mut around = corners(middle);
    around.extend(outline);
    let patch = |name: String, frame: Rect, outline, value| PrintPatch {
        name,
        value,
        beside: Some(beside),
        frame,
        outline,
    };
    let own = patch(format!("{number}.0"), middle, around, cell.value);
    placed.page.prints.push(own);
    let (columns, rows) = ([SIDE, wide, SIDE], [SIDE, high, SIDE]);
    for (i, ((column, row), value)) in SPOTS.into_iter().zip(cell.steps).enumerate() {
        let across: f64 = columns[..column].iter().sum();
        let down: f64 = rows[..row].iter().sum();
        let (width, height) = (columns[column], rows[row]);
        let frame = Rect { left: rounded(left + across), top: rounded(top + down), width, height };
        placed.page.prints.push(patch(format!("{number}.{}", i + 1), frame, corners(frame), value));
    }
}

/// A rectangle as a polygon.
pub fn corners(r: Rect) -> Vec<Vec<(f64, f64)>> {
    let (right, bottom) = (rounded(r.left + r.width), rounded(r.top + r.height));
    vec![vec![(r.left, r.top), (right, r.top), (right, bottom), (r.left, bottom)]]
}
