//! Rows of parts: in columns, or loose with a number under each part.

use kurbo::Rect;

use super::canvas::{Anchor, Canvas};
use super::item::Role;
use super::place::{Frame, Scene, columns};
use super::spine;
use crate::plan::columns::stand_ins;
use crate::plan::menu::{loose_gap, loose_lines, loose_slot};
use crate::plan::style::GapMark;
use crate::range::{PartId, Side};

/// One row of a family in columns; `y` is its top.
pub fn grid(
    canvas: &mut Canvas<'_>,
    scene: &Scene<'_>,
    frame: &Frame,
    planned: usize,
    row: usize,
    y: f64,
    height: f64,
) {
    let facts = scene.facts;
    let (look, scale) = (&facts.look, scene.plan.scale);
    let row = &facts.families[scene.plan.families[planned].index].rows[row];
    canvas.from(Some(facts.range.colour(row.colour).key()));
    row_rule(canvas, scene, frame, y);
    let middle = y + height / 2.0;
    let columns = columns(scene, frame, planned);
    let parts: Vec<PartId> = columns.iter().map(|c| c.0).collect();
    let replaced = stand_ins(facts, row.made, &parts);
    for &(part, x) in &columns {
        if row.made >> part.0 & 1 == 1 {
            canvas.part(part, row.colour, x, middle, scale);
        } else if let Some((_, with)) = replaced.iter().find(|(column, _)| *column == part) {
            let voice = look.voices.under;
            let tall = facts.part(*with).height * scale;
            let block = tall + look.under_gap + voice.cap;
            let top = middle - block / 2.0;
            canvas.part(*with, row.colour, x, top + tall / 2.0, scale);
            canvas.text(x, top + block, &facts.part(*with).label, voice, Anchor::Middle);
        } else {
            gap(canvas, x, middle);
        }
    }
    spine::draw(canvas, scene, row, frame.spine_x, middle);
    canvas.from(None);
}

/// One loose row: parts run outwards from the spine, each with its number.
pub fn loose(
    canvas: &mut Canvas<'_>,
    scene: &Scene<'_>,
    frame: &Frame,
    planned: usize,
    row: usize,
    y: f64,
    height: f64,
) {
    let facts = scene.facts;
    let (look, scale) = (&facts.look, scene.plan.scale);
    let family = &scene.plan.families[planned];
    let row = &facts.families[family.index].rows[row];
    canvas.from(Some(facts.range.colour(row.colour).key()));
    row_rule(canvas, scene, frame, y);
    let limits = scene.plan.loose_limits;
    let left = loose_lines(facts, row.made, Side::Left, scale, limits.0);
    let right = loose_lines(facts, row.made, Side::Right, scale, limits.1);
    let lines = left.len().max(right.len()).max(1);
    let line_height = height / lines as f64;
    let tall = family.choice.tallest_numbered * scale;
    let voice = look.voices.under;
    let block = tall + look.under_gap + voice.cap;
    let right_x = frame.spine_x + frame.spine_width + frame.side_gap;
    let sides =
        [(&left, frame.spine_x - frame.side_gap, -1.0, limits.0), (&right, right_x, 1.0, limits.1)];
    for (side, start, way, limit) in sides {
        for (i, line) in side.iter().enumerate() {
            let top = y + i as f64 * line_height + (line_height - block) / 2.0;
            let gap = loose_gap(facts, line, scale, limit);
            let mut x = start;
            for &part in line {
                let slot = loose_slot(facts, part, scale);
                let centre = x + way * slot / 2.0;
                canvas.part(part, row.colour, centre, top + tall / 2.0, scale);
                canvas.text(centre, top + block, &facts.part(part).label, voice, Anchor::Middle);
                x += way * (slot + gap);
            }
        }
    }
    let middle = y + (line_height - block) / 2.0 + tall / 2.0;
    spine::draw(canvas, scene, row, frame.spine_x, middle);
    canvas.from(None);
}

fn row_rule(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, y: f64) {
    let look = &scene.facts.look;
    if look.row_rule {
        canvas.rule(frame.spine_x, y, frame.spine_width, look.hair, look.hair_ink);
    }
}

/// The mark of a part that is not made: the eye keeps the column.
pub fn gap(canvas: &mut Canvas<'_>, x: f64, y: f64) {
    let look = canvas.look;
    match look.mark {
        GapMark::Dot(radius) => {
            canvas.dot(x, y, radius.at(look.t) * look.growth.sqrt(), look.mark_ink)
        }
        GapMark::Dash(length) => {
            let (half, thick) = (length.at(look.t) / 2.0, look.hair * 0.7);
            let rect = Rect::new(x - half, y - thick, x + half, y + thick);
            canvas.rect(Role::Furniture, rect, look.mark_ink);
        }
    }
}
