//! The spine: chip, names and numbers of one colour.

use kurbo::Rect;

use super::canvas::{Anchor, Canvas};
use super::item::{Rgb, Role};
use super::mark;
use super::palette::Sample;
use super::paragraph::shrink;
use super::place::Scene;
use crate::plan::facts::{LEAST_SHRINK, NameFit, RowFacts, break_name};
use crate::plan::style::SpineForm;
use crate::range::lab;

/// One printed line: its name, its number, and whether it is of the first listing.
struct Line<'a> {
    name: &'a str,
    number: &'a str,
    first: bool,
}

/// Draws the spine of a row centred on `y`, from `x`.
pub fn draw(canvas: &mut Canvas<'_>, scene: &Scene<'_>, row: &RowFacts, x: f64, y: f64) {
    let look = &scene.facts.look;
    let (width, height) = look.chip;
    let sample = Sample::of(scene.facts.range, row.colour);
    chip(canvas, sample, Rect::new(x, y - height / 2.0, x + width, y + height / 2.0));
    if scene.facts.sheet.is_marked_new(row.colour) {
        mark::before(canvas, x, y);
    }
    let left = x + width + look.chip_gap;
    let right = x + scene.plan.spine.width;
    let lines = printed(scene, row);
    let first_cap = look.voices.name.cap;
    let lead = look.lead;
    // The lines' optical middle, from the top of the first line's capitals to
    // the last baseline, is the row's middle.
    let block = first_cap + lead * (lines.len().max(1) - 1) as f64;
    let mut baseline = y - block / 2.0 + first_cap;
    let number_column = scene.plan.spine.numbers;
    for line in &lines {
        let (name, number) = if line.first {
            (look.voices.name, look.voices.number)
        } else {
            (look.voices.other_name, look.voices.other_number)
        };
        let name = scene.plan.spine.name(look, name);
        let between = look.between_number_and_name(scene.plan.spine.form);
        match scene.plan.spine.form {
            SpineForm::NamesThenNumbers => {
                let taken = canvas.text(right, baseline, line.number, number, Anchor::Right);
                let gap = if taken > 0.0 { between } else { 0.0 };
                let voice = shrink(look, name, line.name, right - left - taken - gap, LEAST_SHRINK);
                canvas.text(left, baseline, line.name, voice, Anchor::Left);
            }
            SpineForm::NumbersThenNames => {
                canvas.text(left + number_column, baseline, line.number, number, Anchor::Right);
                let gap = if number_column > 0.0 { between } else { 0.0 };
                let start = left + number_column + gap;
                let voice = shrink(look, name, line.name, right - start, LEAST_SHRINK);
                canvas.text(start, baseline, line.name, voice, Anchor::Left);
            }
            SpineForm::RunOn => {
                let taken = canvas.text(left, baseline, line.number, number, Anchor::Left);
                let gap = if taken > 0.0 { between } else { 0.0 };
                let voice = shrink(look, name, line.name, right - left - taken - gap, LEAST_SHRINK);
                canvas.text(left + taken + gap, baseline, line.name, voice, Anchor::Left);
            }
        }
        baseline += lead;
    }
}

/// The lines of a row, a long name broken in two where the plan says so.
fn printed<'a>(scene: &Scene<'_>, row: &'a RowFacts) -> Vec<Line<'a>> {
    let look = &scene.facts.look;
    let mut out = Vec::new();
    for (i, line) in row.lines.iter().enumerate() {
        let first = i == 0;
        let voice = if first { look.voices.name } else { look.voices.other_name };
        let too_long = scene.plan.spine.is_too_long(look, line.name_width, line.number_width);
        let pair = (scene.plan.spine.fit == NameFit::Broken && too_long)
            .then(|| break_name(&line.name, |t| look.width(voice, t)))
            .flatten();
        match pair {
            Some((a, b)) => {
                out.push(Line { name: a, number: &line.number, first });
                out.push(Line { name: b, number: "", first });
            }
            None => out.push(Line { name: &line.name, number: &line.number, first }),
        }
    }
    out
}

/// A flat chip in exactly the colour's value; light ones get an edge inside.
pub fn chip(canvas: &mut Canvas<'_>, sample: Sample, rect: Rect) {
    canvas.rect(Role::Swatch, rect, sample);
    if needs_edge(sample.published) {
        let (hair, ink) = (canvas.look.hair, canvas.look.edge_ink);
        canvas.frame(Role::Swatch, rect, hair, ink);
    }
}

/// Would a colour of this published value be lost on white paper?
pub fn needs_edge(rgb: Rgb) -> bool {
    let lab = lab(rgb);
    lab.l > 86.0 && lab.a.hypot(lab.b) < 24.0
}
