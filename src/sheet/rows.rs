//! Rows of parts: in columns, or loose with a number under each part.

use kurbo::Rect;

use super::canvas::{Anchor, Canvas};
use super::item::Role;
use super::place::{Frame, Scene, columns};
use super::spine;
use crate::plan::Facts;
use crate::plan::columns::stand_ins;
use crate::plan::measure::CLEAR;
use crate::plan::menu::{loose_gap, loose_indent, loose_lines, loose_slot};
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
    let smallest = smallest(facts, scale);
    for &(part, x) in &columns {
        if row.made >> part.0 & 1 == 1 {
            canvas.part(part, row.colour, x, middle, scale);
        } else if let Some((_, with)) = replaced.iter().find(|(column, _)| *column == part) {
            let voice = look.voices.under;
            let tall = facts.part(*with).height * scale;
            let next = facts.part(part).height.max(facts.part(*with).height) * scale;
            let label = look.under_gap + voice.cap;
            // On the row's axis, or as near to it as the number has room before the next row.
            let lacks = (tall + next) / 2.0 + label + look.row_gap * CLEAR - height;
            let axis = middle - lacks.clamp(0.0, label / 2.0);
            canvas.part(*with, row.colour, x, axis, scale);
            let base = axis + tall / 2.0 + label;
            canvas.text(x, base, &facts.part(*with).label, voice, Anchor::Middle);
        } else {
            gap(canvas, x, middle, smallest);
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
    let block = tall + look.under_gap + look.voices.under.cap;
    // The first line stands as in a row of one; further ones close up to it.
    let axis = y + (line_height - block) / 2.0 + tall / 2.0;
    let lead = line_height - if lines > 1 { look.row_gap * CLOSE_UP } else { 0.0 };
    let right_x = frame.spine_x + frame.spine_width + frame.side_gap;
    let sides =
        [(&left, frame.spine_x - frame.side_gap, -1.0, limits.0), (&right, right_x, 1.0, limits.1)];
    for (side, start, way, limit) in sides {
        for (i, line) in side.iter().enumerate() {
            let indent = if i > 0 { loose_indent(facts) } else { 0.0 };
            let gap = loose_gap(facts, line, scale, limit - indent);
            let mut x = start + way * indent;
            let below = number_lines(scene, line);
            for (&part, below) in line.iter().zip(below) {
                let slot = loose_slot(facts, part, scale);
                let (centre, middle) = (x + way * slot / 2.0, axis + lead * i as f64);
                canvas.part(part, row.colour, centre, middle, scale);
                let label = &facts.part(part).label;
                canvas.text(centre, middle + below, label, look.voices.under, Anchor::Middle);
                x += way * (slot + gap);
            }
        }
    }
    spine::draw(canvas, scene, row, frame.spine_x, axis);
    canvas.from(None);
}

/// How much of the white between rows the lines of one row give up: they belong together.
const CLOSE_UP: f64 = 0.6;
/// Parts of a line whose heights differ by less than this share are alike.
const ALIKE: f64 = 0.25;

/// How far below the middle of its part each number of a loose line stands: under its own part, and
/// all on one line where the parts are alike in height.
fn number_lines(scene: &Scene<'_>, line: &[PartId]) -> Vec<f64> {
    let (facts, look) = (scene.facts, &scene.facts.look);
    let heights: Vec<f64> = line.iter().map(|p| facts.part(*p).height * scene.plan.scale).collect();
    let most = heights.iter().copied().fold(0.0, f64::max);
    let alike = heights.iter().all(|h| *h >= most * (1.0 - ALIKE));
    let reach = |own: f64| if alike { most } else { own } / 2.0;
    heights.iter().map(|h| reach(*h) + look.under_gap + look.voices.under.cap).collect()
}

fn row_rule(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, y: f64) {
    let look = &scene.facts.look;
    if look.row_rule {
        canvas.rule(frame.spine_x, y, frame.spine_width, look.hair, look.hair_ink);
    }
}

/// The smallest part of the sheet as drawn, mm.
pub fn smallest(facts: &Facts<'_>, scale: f64) -> f64 {
    let sizes = facts.parts.iter().map(|p| p.width.max(p.height));
    sizes.fold(f64::INFINITY, f64::min) * scale
}

/// How many times as wide as the dot of a gap a part must be not to be taken for one.
const UNLIKE_A_DOT: f64 = 8.0;

/// The mark of a part that is not made: the eye keeps the column. A dot becomes a dash where a part,
/// of which the smallest is `smallest` mm wide, could be taken for it.
pub fn gap(canvas: &mut Canvas<'_>, x: f64, y: f64, smallest: f64) {
    let look = canvas.look;
    match look.mark {
        GapMark::Dot(radius) => {
            let radius = radius.at(look.t) * look.growth.sqrt();
            if smallest < UNLIKE_A_DOT * 2.0 * radius {
                let rect = Rect::new(x, y, x, y).inflate(radius * 2.2, radius * 0.3);
                canvas.rect(Role::Furniture, rect, look.mark_ink);
            } else {
                canvas.dot(x, y, radius, look.mark_ink);
            }
        }
        GapMark::Dash(length) => {
            let (half, thick) = (length.at(look.t) / 2.0, look.hair * 0.7);
            let rect = Rect::new(x - half, y - thick, x + half, y + thick);
            canvas.rect(Role::Furniture, rect, look.mark_ink);
        }
    }
}
