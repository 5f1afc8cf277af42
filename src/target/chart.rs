//! Where the patches of the chart are.

use super::cells::corners;
use super::wanted::PatchWanted;
use crate::capture::page::{PrintPatch, Rect};
use crate::stage::{Frame, PlacedPage, rounded};

/// A patch's side, and the white between patches, mm: room for an instrument's opening, and paper beside each for a
/// photograph.
const SIDE: f64 = 8.0;
const GAP: f64 = 3.7;
/// Patches in a row: as their names count.
const ACROSS: usize = 12;

/// The pages of some patches.
pub fn pages(patches: &[PatchWanted], size: (f64, f64)) -> Vec<PlacedPage> {
    let frame = Frame::new(size);
    // On a narrow page patches are smaller.
    let side = rounded(SIDE.min((frame.width() + GAP) / ACROSS as f64 - GAP).max(3.0));
    let pitch = (frame.width() - side) / (ACROSS - 1) as f64;
    let pitch = pitch.min(2.0 * (side + GAP));
    let rows = (((frame.height() + GAP) / (side + GAP)) as usize).max(1);
    let mut out = Vec::new();
    for of_page in patches.chunks(ACROSS * rows) {
        let mut placed = frame.page();
        for (i, patch) in of_page.iter().enumerate() {
            let left = rounded(frame.left() + pitch * (i % ACROSS) as f64);
            let top = rounded(frame.top() + (side + GAP) * (i / ACROSS) as f64);
            let rect = Rect { left, top, width: side, height: side };
            placed.page.prints.push(PrintPatch {
                name: patch.name.clone(),
                value: patch.value,
                beside: None,
                frame: rect,
                outline: corners(rect),
            });
        }
        out.push(placed);
    }
    out
}
