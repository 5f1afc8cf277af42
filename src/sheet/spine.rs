//! The spine: chip, names and numbers of one colour.

use kurbo::{Point, Rect, Size};

use super::canvas::{Anchor, Canvas};
use super::fragment::Fragment;
use super::item::{Rgb, Role};
use super::mark;
use super::palette::Sample;
use super::paragraph::shrink;
use crate::plan::Facts;
use crate::plan::facts::{LEAST_SHRINK, NameFit, RowFacts, SpineChoice, break_name};
use crate::plan::style::{Look, SpineForm};
use crate::range::lab;

/// One printed line: its name, its number, and whether it is of the first listing.
struct SpineLine<'a> {
    name: &'a str,
    number: &'a str,
    first: bool,
}

/// The spine of a row, its corner at the left end of the row's axis, so that chip and mark stand alike
/// however many lines there are: as much of it is above the axis as below.
pub fn fragment(facts: &Facts<'_>, spine: &SpineChoice, row: &RowFacts) -> Fragment {
    let look = &facts.look;
    let chip = Size::from(look.chip);
    let lines = printed(look, spine, row);
    // The lines' optical middle, from the top of the first line's capitals to
    // the last baseline, is the row's middle.
    let block = look.voices.name.cap + look.lead * (lines.len().max(1) - 1) as f64;
    let mut out = Fragment::of_width(spine.width);
    out.height = chip.height.max(block) / 2.0;
    let sample = Sample::of(facts.range, row.colour);
    let rect = Rect::from_origin_size(Point::new(0.0, -chip.height / 2.0), chip);
    chip_in(&mut out, look, sample, rect);
    if facts.sheet.is_marked_new(row.colour) {
        let path = mark::before(look, Point::ORIGIN);
        out.fill(Role::Furniture, path, mark::ink(look));
    }
    let mut base = look.voices.name.cap - block / 2.0;
    for line in &lines {
        line.put_into(&mut out, look, spine, base);
        base += look.lead;
    }
    out
}

impl SpineLine<'_> {
    /// Puts the line on its baseline, name and number in the order of the spine.
    fn put_into(&self, out: &mut Fragment, look: &Look, spine: &SpineChoice, base: f64) {
        let voices = &look.voices;
        let (name, number) = match self.first {
            true => (voices.name, voices.number),
            false => (voices.other_name, voices.other_number),
        };
        let name = spine.name(look, name);
        let left = look.chip.0 + look.chip_gap;
        let right = spine.width;
        let (taken, number_at, anchor) = match spine.form {
            SpineForm::NamesThenNumbers => (look.width(number, self.number), right, Anchor::Right),
            SpineForm::NumbersThenNames => (spine.numbers, left + spine.numbers, Anchor::Right),
            SpineForm::RunOn => (look.width(number, self.number), left, Anchor::Left),
        };
        out.text(Point::new(number_at, base), self.number, number, anchor);
        let gap = if taken > 0.0 { look.between_number_and_name(spine.form) } else { 0.0 };
        let voice = shrink(look, name, self.name, right - left - taken - gap, LEAST_SHRINK);
        let start = match spine.form {
            SpineForm::NamesThenNumbers => left,
            SpineForm::NumbersThenNames | SpineForm::RunOn => left + taken + gap,
        };
        out.text(Point::new(start, base), self.name, voice, Anchor::Left);
    }
}

/// The lines of a row, a long name broken in two where the plan says so.
fn printed<'a>(look: &Look, spine: &SpineChoice, row: &'a RowFacts) -> Vec<SpineLine<'a>> {
    let mut out = Vec::new();
    for (i, line) in row.lines.iter().enumerate() {
        let first = i == 0;
        let voice = if first { look.voices.name } else { look.voices.other_name };
        let too_long = spine.is_too_long(look, line.name_width, line.number_width);
        let pair = (spine.fit == NameFit::Broken && too_long)
            .then(|| break_name(&line.name, |t| look.width(voice, t)))
            .flatten();
        match pair {
            Some((a, b)) => {
                out.push(SpineLine { name: a, number: &line.number, first });
                out.push(SpineLine { name: b, number: "", first });
            }
            None => out.push(SpineLine { name: &line.name, number: &line.number, first }),
        }
    }
    out
}

/// A flat chip in exactly the colour's value; light ones get an edge inside.
pub fn chip(canvas: &mut Canvas<'_>, sample: Sample, rect: Rect) {
    let mut out = Fragment::default();
    chip_in(&mut out, canvas.look, sample, rect);
    out.place(canvas, Point::ORIGIN);
}

fn chip_in(out: &mut Fragment, look: &Look, sample: Sample, rect: Rect) {
    out.rect(Role::Swatch, rect, sample);
    if needs_edge(sample.published) {
        out.frame(Role::Swatch, rect, look.hair, look.edge_ink);
    }
}

/// Would a colour of this published value be lost on white paper?
pub fn needs_edge(rgb: Rgb) -> bool {
    let lab = lab(rgb);
    lab.l > 86.0 && lab.a.hypot(lab.b) < 24.0
}
