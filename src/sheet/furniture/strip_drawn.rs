//! The specimen row on the page: things side by side, callouts with fine lines over and under them.

use kurbo::{BezPath, Point};

use super::super::canvas::Anchor;
use super::super::item::Role;
use super::super::place::Scene;
use super::super::{rows, spine};
use super::callouts::{Named, Tier, spread};
use super::sketch::Sketch;
use super::specimen::{Kind, Specimen, Thing};
use super::strip::{HEAD_WHITE, LEAD, Places, Sizes};
use crate::plan::Plan;
use crate::plan::facts::{NameFit, SpineChoice};
use crate::plan::style::SIZE_LEAD;

/// Parts of a side at most, but for those with marks.
const A_SIDE: usize = 2;

impl Sketch<'_, '_, '_> {
    pub(super) fn drawn_specimen(
        &mut self,
        scene: &Scene<'_>,
        sizes: Sizes,
        (x, y, width): (f64, f64, f64),
        row: f64,
    ) {
        let shown = self.shown();
        let Some(mut specimen) = self.choose(scene.plan, &shown, A_SIDE) else { return };
        let sizes = &Sizes { spine: self.spine_width(specimen.row.colour), ..sizes };
        let middle = y + row + sizes.row / 2.0;
        let mut targets: Vec<(Named, Point)> = Vec::new();
        let places = self.places(&mut specimen, sizes, width);
        for (thing, centre) in specimen.left.iter().zip(&places.left) {
            self.thing(thing, sizes, (x + centre, middle), &mut targets);
        }
        for (thing, centre) in specimen.right.iter().zip(&places.right) {
            self.thing(thing, sizes, (x + centre, middle), &mut targets);
        }
        for (thing, centre) in specimen.others.iter().zip(&places.others) {
            self.thing(thing, sizes, (x + centre, middle), &mut targets);
        }
        self.number_over(&specimen, &places, (x, y + row), &mut targets);
        self.spine(scene, &specimen, sizes, (x + places.spine, middle), &mut targets);
        let [over, under] = self.callout_words(&shown);
        let note = self.facts.look.voices.legend_note;
        let low = y + row + sizes.row + sizes.lead_in + note.cap;
        let ends = [(y + sizes.over_end, sizes.inset, true), (low, 0.0, false)];
        for (words, (end, inset, up)) in [over, under].iter().zip(ends) {
            let there: Vec<_> =
                words.iter().filter(|w| targets.iter().any(|t| t.0 == w.0)).cloned().collect();
            if let Some(tier) = self.tier(&there, width - inset) {
                self.callouts(&tier, &targets, sizes, (x + inset, end, width - inset), up);
            }
        }
    }

    /// Draws callouts with their lines: `end` is the baseline nearest to the row.
    fn callouts(
        &mut self,
        tier: &Tier,
        targets: &[(Named, Point)],
        sizes: &Sizes,
        (x, end, width): (f64, f64, f64),
        up: bool,
    ) {
        let look = &self.facts.look;
        let note = look.voices.legend_note;
        let (lead, ink) = (note.size * LEAD, look.mark_ink);
        let target = |named: Named| targets.iter().find(|t| t.0 == named).map(|t| t.1);
        let mut set: Vec<_> =
            tier.callouts.iter().filter_map(|c| Some((c, target(c.named)?))).collect();
        set.sort_by(|a, b| a.1.x.total_cmp(&b.1.x));
        let at: Vec<f64> = set.iter().map(|(_, t)| t.x - x).collect();
        let widths: Vec<f64> = set.iter().map(|(c, _)| c.width).collect();
        let lefts = spread(&at, &widths, self.callout_gap(), width);
        for ((callout, target), left) in set.into_iter().zip(lefts) {
            let left = x + left;
            // The line ends over the words, plumb where it can.
            let (first, last) = (left + note.size * 0.4, left + callout.width - note.size * 0.4);
            let over = match callout.width < note.size {
                true => left + callout.width / 2.0,
                false => target.x.clamp(first, last),
            };
            let white = note.size * 0.35;
            let (near, far) = if up {
                (end + white + note.size * 0.22, end + sizes.lead_in - white)
            } else {
                (end - note.cap - white, end - note.cap - sizes.lead_in + white)
            };
            self.stroke(Point::new(over, near), Point::new(target.x, far), ink);
            self.stroke(Point::new(target.x, far), target, ink);
            let count = callout.lines.len();
            for (i, line) in callout.lines.iter().enumerate() {
                let down = if up { i as f64 - (count - 1) as f64 } else { i as f64 };
                let wide = look.width(note, line);
                // Words stand on the side to which the line leads.
                let share = ((over - left) / callout.width.max(1e-6)).clamp(0.0, 1.0);
                self.text(
                    left + (callout.width - wide) * share,
                    end + down * lead,
                    line,
                    note,
                    Anchor::Left,
                );
            }
        }
    }

    /// A fine line.
    fn stroke(&mut self, from: Point, to: Point, ink: crate::sheet::Rgb) {
        let along = to - from;
        if along.hypot() < 0.05 {
            return;
        }
        let half = along / along.hypot() * (self.facts.look.hair / 2.0);
        let side = kurbo::Vec2::new(-half.y, half.x);
        let mut path = BezPath::new();
        path.move_to(from + side);
        path.line_to(to + side);
        path.line_to(to - side);
        path.line_to(from - side);
        path.close_path();
        if let Some(canvas) = &mut self.canvas {
            canvas.fill(Role::Furniture, path, ink);
        }
    }

    /// Draws a thing with its middle at `at`, and notes where its callout leads.
    fn thing(
        &mut self,
        thing: &Thing,
        sizes: &Sizes,
        (x, middle): (f64, f64),
        targets: &mut Vec<(Named, Point)>,
    ) {
        let look = &self.facts.look;
        let white = look.voices.legend_note.size * 0.3;
        let mut note = |named: Named, y: f64| {
            if targets.iter().all(|t| t.0 != named) {
                targets.push((named, Point::new(x, y + white)));
            }
        };
        match thing.kind {
            Kind::Gap => {
                note(Named::Gap, middle);
                let smallest = rows::smallest(self.facts, self.scale);
                if let Some(canvas) = &mut self.canvas {
                    rows::gap(canvas, x, middle, smallest);
                }
            }
            Kind::Part(part) => {
                let scale = self.shrunk(part, self.scale, sizes.most);
                self.part(part, thing.colour, x, middle, scale);
            }
            Kind::Numbered(part, named) => {
                let voice = look.voices.under;
                let scale = self.shrunk(part, self.scale, sizes.most);
                let tall = self.facts.part(part).height * scale;
                let block = tall + look.under_gap + voice.cap;
                let top = middle - block / 2.0;
                note(named, top + block);
                self.part(part, thing.colour, x, top + tall / 2.0, scale);
                let label = &self.facts.part(part).label;
                self.text(x, top + block, label, voice, Anchor::Middle);
            }
        }
    }

    /// The number over a part, with its size where the headings give it.
    fn number_over(
        &mut self,
        specimen: &Specimen<'_>,
        places: &Places,
        (x, top): (f64, f64),
        targets: &mut Vec<(Named, Point)>,
    ) {
        let look = &self.facts.look;
        let (heading, size) = (look.voices.heading, look.voices.size);
        let things = specimen.left.iter().zip(&places.left);
        let things = things.chain(specimen.right.iter().zip(&places.right));
        let mut at = things.filter(|(t, _)| specimen.numbered.map(Kind::Part) == Some(t.kind));
        let (Some(part), Some((_, centre))) = (specimen.numbered, at.next_back()) else { return };
        let at = x + centre;
        let label = &self.facts.part(part).label;
        let low = top - look.voices.under.size * HEAD_WHITE;
        let sized = self.says_sizes(&self.shown());
        let base = if sized { low - SIZE_LEAD * size.size } else { low };
        self.text(at, base, label, heading, Anchor::Middle);
        if sized {
            let words = self.in_each(|s| s.apply(self.facts.range.part(part).size()));
            self.text(at, low, &words[self.own], size, Anchor::Middle);
        }
        let white = look.voices.legend_note.size * 0.3;
        targets.push((Named::Number, Point::new(at, base - heading.cap - white)));
    }

    /// The spine of the row, as on the sheet but as wide as its words need.
    fn spine(
        &mut self,
        scene: &Scene<'_>,
        specimen: &Specimen<'_>,
        sizes: &Sizes,
        (x, middle): (f64, f64),
        targets: &mut Vec<(Named, Point)>,
    ) {
        let look = &self.facts.look;
        let spine = SpineChoice { fit: NameFit::Full, width: sizes.spine, ..scene.plan.spine };
        let plan = Plan { spine, ..scene.plan.clone() };
        let scene = Scene { plan: &plan, ..*scene };
        let white = look.voices.legend_note.size * 0.3;
        targets.push((
            Named::Chip,
            Point::new(x + look.chip.0 / 2.0, middle + look.chip.1 / 2.0 + white),
        ));
        let lines = specimen.row.lines.len();
        let block = look.voices.name.cap + look.lead * lines.saturating_sub(1) as f64;
        let (first, last) = (middle - block / 2.0, middle + block / 2.0);
        let start = x + look.chip.0 + look.chip_gap;
        let end = x + sizes.spine;
        let mut brace = |sketch: &mut Self, named: Named, y: f64| {
            let (hair, ink) = (look.hair, look.mark_ink);
            sketch.rule(start, y, end - start, hair, ink);
            targets.push((named, Point::new((start + end) / 2.0, y)));
        };
        brace(self, Named::FirstLine, first - white);
        if lines > 1 {
            brace(self, Named::OtherLines, last + white + look.voices.other_name.size * 0.25);
        }
        if let Some(canvas) = &mut self.canvas {
            spine::draw(canvas, &scene, specimen.row, x, middle);
        }
    }
}
