//! The specimen row drawn: things side by side, callouts with fine lines over and under them.

use kurbo::{BezPath, Point, Vec2};

use super::super::canvas::Anchor;
use super::super::fragment::Fragment;
use super::super::item::Role;
use super::super::scene::Scene;
use super::super::{rows, spine};
use super::builder::Builder;
use super::callouts::{Callout, Named, Said, spread};
use super::specimen::{Specimen, Thing, ThingKind};
use super::strip::{HEAD_WHITE, LEAD, Places, Sizes};
use crate::plan::facts::{NameFit, SpineChoice};
use crate::plan::style::SIZE_LEAD;

/// Parts of a side at most, but for those with marks.
const A_SIDE: usize = 2;

/// On which side of the row callouts are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Over,
    Under,
}

/// Where the line of a callout ends.
struct Target {
    named: Named,
    at: Point,
}

/// A specimen row as it is put together.
struct Strip<'b, 'a> {
    builder: &'b Builder<'a>,
    sizes: Sizes,
    out: &'b mut Fragment,
    targets: Vec<Target>,
}

impl Builder<'_> {
    /// Puts the row that shows most into the specimen's fragment.
    pub(super) fn draw_specimen(&self, out: &mut Fragment, scene: &Scene<'_>, sizes: Sizes) {
        let shown = self.shown();
        let Some(mut specimen) = self.choose(scene.plan, &shown, A_SIDE) else { return };
        let sizes = Sizes { spine: self.spine_width(specimen.row.colour), ..sizes };
        let places = self.places(&mut specimen, &sizes, out.width);
        let mut strip = Strip { builder: self, sizes, out, targets: Vec::new() };
        let left = specimen.left.iter().zip(&places.left);
        let right = specimen.right.iter().zip(&places.right);
        let others = specimen.others.iter().zip(&places.others);
        left.chain(right).chain(others).for_each(|(thing, x)| strip.thing(thing, *x));
        strip.number_over(&specimen, &places);
        strip.spine(scene, &specimen, places.spine);
        let [over, under] = self.callout_words(&shown);
        strip.callouts(over, Side::Over);
        strip.callouts(under, Side::Under);
    }
}

impl Strip<'_, '_> {
    /// The row's axis.
    fn middle(&self) -> f64 {
        self.sizes.row_top() + self.sizes.row / 2.0
    }

    /// White between a thing and the line that leads to it.
    fn white(&self) -> f64 {
        self.builder.facts.look.voices.legend_note.size * 0.3
    }

    /// Notes where the line of a callout ends: at the first thing of its kind.
    fn target(&mut self, named: Named, at: Point) {
        if self.targets.iter().all(|t| t.named != named) {
            self.targets.push(Target { named, at });
        }
    }

    /// A thing with its middle at `x`, and where its callout leads.
    fn thing(&mut self, thing: &Thing, x: f64) {
        let facts = self.builder.facts;
        let look = &facts.look;
        let (middle, scale) = (self.middle(), self.builder.scale);
        match thing.kind {
            ThingKind::Gap => {
                self.target(Named::Gap, Point::new(x, middle + self.white()));
                let mark = rows::gap(look, Point::new(x, middle), rows::smallest(facts, scale));
                self.out.fill(Role::Furniture, mark, look.mark_ink);
            }
            ThingKind::Part(part) => {
                let scale = self.builder.shrunk(part, scale, self.sizes.most);
                self.out.part(part, thing.colour, Point::new(x, middle), scale);
            }
            ThingKind::Numbered(part, named) => {
                let voice = look.voices.under;
                let scale = self.builder.shrunk(part, scale, self.sizes.most);
                let tall = facts.part(part).height * scale;
                let block = tall + look.under_gap + voice.cap;
                let top = middle - block / 2.0;
                self.target(named, Point::new(x, top + block + self.white()));
                self.out.part(part, thing.colour, Point::new(x, top + tall / 2.0), scale);
                let label = &facts.part(part).label;
                self.out.text(Point::new(x, top + block), label, voice, Anchor::Middle);
            }
        }
    }

    /// The number over a part, with its size where the headings give it.
    fn number_over(&mut self, specimen: &Specimen<'_>, places: &Places) {
        let builder = self.builder;
        let (facts, voices) = (builder.facts, &builder.facts.look.voices);
        let (heading, size) = (voices.heading, voices.size);
        let things = specimen.left.iter().zip(&places.left);
        let things = things.chain(specimen.right.iter().zip(&places.right));
        let mut at = things.filter(|(t, _)| specimen.numbered.map(ThingKind::Part) == Some(t.kind));
        let (Some(part), Some((_, &x))) = (specimen.numbered, at.next_back()) else { return };
        let low = self.sizes.row_top() - voices.under.size * HEAD_WHITE;
        let sized = builder.says_sizes(&builder.shown());
        let base = if sized { low - SIZE_LEAD * size.size } else { low };
        let label = &facts.part(part).label;
        self.out.text(Point::new(x, base), label, heading, Anchor::Middle);
        if sized {
            let words = builder.in_each(|s| s.apply(facts.range.part(part).size()));
            self.out.text(Point::new(x, low), &words[builder.own], size, Anchor::Middle);
        }
        self.target(Named::Number, Point::new(x, base - heading.cap - self.white()));
    }

    /// The spine of the row from `x`, as on the sheet but as wide as its words need.
    fn spine(&mut self, scene: &Scene<'_>, specimen: &Specimen<'_>, x: f64) {
        let facts = self.builder.facts;
        let look = &facts.look;
        let width = self.sizes.spine;
        let choice = SpineChoice { fit: NameFit::Full, width, ..scene.plan.spine };
        let (white, middle) = (self.white(), self.middle());
        let (chip_x, chip_y) = (x + look.chip.0 / 2.0, middle + look.chip.1 / 2.0);
        self.target(Named::Chip, Point::new(chip_x, chip_y + white));
        let lines = specimen.row.lines.len();
        let block = look.voices.name.cap + look.lead * lines.saturating_sub(1) as f64;
        let (first, last) = (middle - block / 2.0, middle + block / 2.0);
        self.brace(x, first - white, Named::FirstLine);
        if lines > 1 {
            let below = last + white + look.voices.other_name.size * 0.25;
            self.brace(x, below, Named::OtherLines);
        }
        let spine = spine::fragment(facts, &choice, specimen.row);
        self.out.put(Point::new(x, middle), spine);
    }

    /// A line over or under words of the spine that begins at `x`.
    fn brace(&mut self, x: f64, y: f64, named: Named) {
        let look = &self.builder.facts.look;
        let start = x + look.chip.0 + look.chip_gap;
        let end = x + self.sizes.spine;
        self.out.rule(Point::new(start, y), end - start, look.hair, look.mark_ink);
        self.target(named, Point::new((start + end) / 2.0, y));
    }

    /// Callouts with their lines, of what is in the row.
    fn callouts(&mut self, mut said: Vec<Said>, side: Side) {
        let sizes = &self.sizes;
        let note = self.builder.facts.look.voices.legend_note;
        let (end, inset) = match side {
            Side::Over => (sizes.over_end, sizes.inset),
            Side::Under => (sizes.row_top() + sizes.row + sizes.lead_in + note.cap, 0.0),
        };
        let width = self.out.width - inset;
        let target = |named: Named| self.targets.iter().find(|t| t.named == named).map(|t| t.at);
        said.retain(|said| target(said.named).is_some());
        let Some(tier) = self.builder.tier(&said, width) else { return };
        let set = tier.callouts.iter().filter_map(|c| Some((c, target(c.named)?)));
        let mut set: Vec<(&Callout, Point)> = set.collect();
        set.sort_by(|a, b| a.1.x.total_cmp(&b.1.x));
        let at: Vec<f64> = set.iter().map(|(_, t)| t.x - inset).collect();
        let widths: Vec<f64> = set.iter().map(|(c, _)| c.width).collect();
        let lefts = spread(&at, &widths, self.builder.callout_gap(), width);
        for ((callout, target), left) in set.into_iter().zip(lefts) {
            self.callout(callout, target, Point::new(inset + left, end), side);
        }
    }

    /// A callout that begins at `from` on the baseline nearest to the row.
    fn callout(&mut self, callout: &Callout, target: Point, from: Point, side: Side) {
        let look = &self.builder.facts.look;
        let note = look.voices.legend_note;
        let Point { x: left, y: end } = from;
        // The line ends over the words, plumb where it can.
        let (first, last) = (left + note.size * 0.4, left + callout.width - note.size * 0.4);
        let over = match callout.width < note.size {
            true => left + callout.width / 2.0,
            false => target.x.clamp(first, last),
        };
        let white = note.size * 0.35;
        let lead_in = self.sizes.lead_in;
        let (near, far) = match side {
            Side::Over => (end + white + note.size * 0.22, end + lead_in - white),
            Side::Under => (end - note.cap - white, end - note.cap - lead_in + white),
        };
        self.stroke(Point::new(over, near), Point::new(target.x, far));
        self.stroke(Point::new(target.x, far), target);
        let lines = &callout.lines.texts;
        for (i, line) in lines.iter().enumerate() {
            let down = match side {
                Side::Over => i as f64 - (lines.len() - 1) as f64,
                Side::Under => i as f64,
            };
            // Words are on the side to which the line leads.
            let share = ((over - left) / callout.width.max(1e-6)).clamp(0.0, 1.0);
            let start = left + (callout.width - look.width(note, line)) * share;
            let at = Point::new(start, end + down * (note.size * LEAD));
            self.builder.text(self.out, at, line, note);
        }
    }

    /// A fine line.
    fn stroke(&mut self, from: Point, to: Point) {
        let look = &self.builder.facts.look;
        let along = to - from;
        if along.hypot() < 0.05 {
            return;
        }
        let half = along / along.hypot() * (look.hair / 2.0);
        let side = Vec2::new(-half.y, half.x);
        let mut path = BezPath::new();
        path.move_to(from + side);
        path.line_to(to + side);
        path.line_to(to - side);
        path.line_to(from - side);
        path.close_path();
        self.out.fill(Role::Furniture, path, look.mark_ink);
    }
}
