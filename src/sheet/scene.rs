//! What drawing a sheet looks at, and the frame of a page column in millimetres.

use crate::plan::measure::side_width;
use crate::plan::menu::Slot;
use crate::plan::{Facts, Plan};
use crate::range::{Family, PartId};
use crate::spelling::Spelling;

/// Most that inner gaps grow before white goes beside the spine.
pub(super) const MOST_PART_GAP: f64 = 3.0;

/// All that drawing a sheet looks at.
pub struct Scene<'a> {
    pub facts: &'a Facts<'a>,
    pub plan: &'a Plan,
    /// The one that is drawn.
    pub spelling: &'a Spelling,
    /// All of the edition: room is kept for each, so that all are alike.
    pub spellings: &'a [&'a Spelling],
}

impl Scene<'_> {
    /// The family behind an index into the plan's families.
    pub fn family(&self, planned: usize) -> &Family {
        let index = self.facts.families[self.plan.families[planned].index].index;
        self.facts.range.family(self.facts.sheet.families()[index].family())
    }
}

/// A page column in millimetres.
pub struct Frame {
    /// Left edge and width of the block.
    pub x: f64,
    pub width: f64,
    /// Left edge and width of the spine.
    pub spine_x: f64,
    pub spine_width: f64,
    /// Room for parts left and right of the spine.
    pub left: f64,
    pub right: f64,
    pub side_gap: f64,
}

/// The centres of all columns of a family in a frame.
pub fn columns(scene: &Scene<'_>, frame: &Frame, planned: usize) -> Vec<(PartId, f64)> {
    let choice = &scene.plan.families[planned].choice;
    let right_x = frame.spine_x + frame.spine_width + frame.side_gap;
    let mut out = centres(scene, &choice.left, frame.x, frame.left, true);
    out.extend(centres(scene, &choice.right, right_x, frame.right, false));
    out
}

/// The centres of a side's columns, from left to right.
pub fn centres(
    scene: &Scene<'_>,
    slots: &[Slot],
    start: f64,
    width: f64,
    to_spine: bool,
) -> Vec<(PartId, f64)> {
    let look = &scene.facts.look;
    let scale = scene.plan.scale;
    let natural = side_width(slots, look.part_gap, scale);
    let gaps = slots.len().saturating_sub(1) as f64;
    // A group with fewer columns opens, but not without limit: what is left
    // over stays on the outer side, away from the spine.
    let most = look.part_gap * MOST_PART_GAP * 1.6;
    let gap = if gaps > 0.0 {
        (look.part_gap + (width - natural).max(0.0) / gaps).min(most.max(look.part_gap))
    } else {
        0.0
    };
    let used = natural + (gap - look.part_gap) * gaps;
    let mut x = if to_spine { start + width - used } else { start };
    slots
        .iter()
        .map(|slot| {
            let w = slot.width(scale);
            let centre = x + w / 2.0;
            x += w + gap;
            (slot.part, centre)
        })
        .collect()
}
