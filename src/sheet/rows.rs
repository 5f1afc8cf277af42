//! Rows of parts: in columns, or loose with a number under each part.

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::canvas::{Anchor, Canvas};
use super::item::Role;
use super::scene::{Frame, Scene, columns};
use super::spine;
use crate::plan::Facts;
use crate::plan::columns::stand_ins;
use crate::plan::facts::RowFacts;
use crate::plan::measure::CLEAR;
use crate::plan::menu::{loose_gap, loose_indent, loose_lines, loose_slot};
use crate::plan::style::{GapMark, Look};
use crate::range::{PartId, Side};

/// A row of the plan in its place.
pub struct PlacedRow {
    /// Index of its family into the plan's families, and its own among the family's rows.
    pub family: usize,
    pub index: usize,
    /// Its upper edge and its height, mm.
    pub top: f64,
    pub height: f64,
}

/// One row of a family in columns.
pub fn grid(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, placed: &PlacedRow) {
    let facts = scene.facts;
    let (look, scale) = (&facts.look, scene.plan.scale);
    let row = &facts.families[scene.plan.families[placed.family].index].rows[placed.index];
    canvas.from(Some(facts.range.colour(row.colour).key()));
    row_rule(canvas, scene, frame, placed.top);
    let middle = placed.top + placed.height / 2.0;
    let columns = columns(scene, frame, placed.family);
    let parts: Vec<PartId> = columns.iter().map(|c| c.0).collect();
    let replaced = stand_ins(facts, row.made, &parts);
    let smallest = smallest(facts, scale);
    for &(part, x) in &columns {
        if row.made >> part.0 & 1 == 1 {
            canvas.part(part, row.colour, Point::new(x, middle), scale);
        } else if let Some((_, with)) = replaced.iter().find(|(column, _)| *column == part) {
            let voice = look.voices.under;
            let tall = facts.part(*with).height * scale;
            let next = facts.part(part).height.max(facts.part(*with).height) * scale;
            let label = look.under_gap + voice.cap;
            // On the row's axis, or as near to it as the number has room before the next row.
            let lacks = (tall + next) / 2.0 + label + look.row_gap * CLEAR - placed.height;
            let axis = middle - lacks.clamp(0.0, label / 2.0);
            canvas.part(*with, row.colour, Point::new(x, axis), scale);
            let base = Point::new(x, axis + tall / 2.0 + label);
            canvas.text(base, &facts.part(*with).label, voice, Anchor::Middle);
        } else {
            let mark = gap(look, Point::new(x, middle), smallest);
            canvas.fill(Role::Furniture, mark, look.mark_ink);
        }
    }
    draw_spine(canvas, scene, row, Point::new(frame.spine_x, middle));
    canvas.from(None);
}

/// The spine of a row from `at`, which is on the row's axis.
fn draw_spine(canvas: &mut Canvas<'_>, scene: &Scene<'_>, row: &RowFacts, at: Point) {
    spine::fragment(scene.facts, &scene.plan.spine, row).place(canvas, at);
}

/// One loose row: parts run outwards from the spine, each with its number.
pub fn loose(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, placed: &PlacedRow) {
    let facts = scene.facts;
    let (look, scale) = (&facts.look, scene.plan.scale);
    let family = &scene.plan.families[placed.family];
    let row = &facts.families[family.index].rows[placed.index];
    canvas.from(Some(facts.range.colour(row.colour).key()));
    row_rule(canvas, scene, frame, placed.top);
    let limits = scene.plan.loose_limits;
    let left = loose_lines(facts, row.made, Side::Left, scale, limits.0);
    let right = loose_lines(facts, row.made, Side::Right, scale, limits.1);
    let lines = left.len().max(right.len()).max(1);
    let line_height = placed.height / lines as f64;
    let tall = family.choice.tallest_numbered * scale;
    let block = tall + look.under_gap + look.voices.under.cap;
    // The first line is as in a row of one; further ones close up to it.
    let axis = placed.top + (line_height - block) / 2.0 + tall / 2.0;
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
                canvas.part(part, row.colour, Point::new(centre, middle), scale);
                let label = &facts.part(part).label;
                canvas.text(
                    Point::new(centre, middle + below),
                    label,
                    look.voices.under,
                    Anchor::Middle,
                );
                x += way * (slot + gap);
            }
        }
    }
    draw_spine(canvas, scene, row, Point::new(frame.spine_x, axis));
    canvas.from(None);
}

/// How much of the white between rows the lines of one row give up: they belong together.
const CLOSE_UP: f64 = 0.6;
/// Parts of a line whose heights differ by less than this share are alike.
const ALIKE: f64 = 0.25;

/// How far below the middle of its part each number of a loose line is: under its own part, and
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
        let start = Point::new(frame.spine_x, y);
        canvas.rule(start, frame.spine_width, look.hair, look.hair_ink);
    }
}

/// The smallest part of the sheet as drawn, mm.
pub fn smallest(facts: &Facts<'_>, scale: f64) -> f64 {
    let sizes = facts.parts.iter().map(|p| p.width.max(p.height));
    sizes.fold(f64::INFINITY, f64::min) * scale
}

/// How many times as wide as the dot of a gap a part must be not to be taken for one.
const UNLIKE_A_DOT: f64 = 8.0;

/// The outline of the mark of a part that is not made, its middle at `at`: the eye keeps the column. A
/// dot becomes a dash where a part, of which the smallest is `smallest` mm wide, could be taken for it.
pub fn gap(look: &Look, at: Point, smallest: f64) -> BezPath {
    let dash = |half: f64, thick: f64| Rect::from_points(at, at).inflate(half, thick).to_path(1e-3);
    match look.mark {
        GapMark::Dot(radius) => {
            let radius = radius.at(look.t) * look.growth.sqrt();
            if smallest < UNLIKE_A_DOT * 2.0 * radius {
                dash(radius * 2.2, radius * 0.3)
            } else {
                Circle::new(at, radius).to_path(1e-3)
            }
        }
        GapMark::Dash(length) => dash(length.at(look.t) / 2.0, look.hair * 0.7),
    }
}
