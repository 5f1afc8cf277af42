//! The specimen row in millimetres: things side by side, callouts over and under them.

use kurbo::{BezPath, Point};

use super::super::canvas::Anchor;
use super::super::item::Role;
use super::super::place::Scene;
use super::super::{rows, spine};
use super::callouts::{Named, Tier, spread};
use super::shown::Shown;
use super::sketch::Sketch;
use super::specimen::{Kind, Specimen, Thing};
use crate::plan::Plan;
use crate::plan::facts::{NameFit, SpineChoice};
use crate::plan::measure::text_height;
use crate::plan::style::SIZE_LEAD;
use crate::range::{CentreLine, ColourId, PartId, Words};

/// Most of the width that one part takes.
const MOST_WIDE: f64 = 0.13;
/// Parts of a side at most, but for those with marks.
const A_SIDE: usize = 2;
/// Most white between things, em of the callouts.
const MOST_GAP: f64 = 3.0;
/// A part drawn under this share of its size on the sheet no longer looks like it.
const LEAST_SHRINK: f64 = 0.5;

/// Sizes of the strip, mm: the same whatever is planned.
struct Sizes {
    over: Tier,
    under: Tier,
    /// Width of the spine.
    spine: f64,
    /// Widest and tallest that a part may be drawn.
    most: (f64, f64),
    /// Height of the parts with what stands under them.
    row: f64,
    /// Height of number and size over a part, with the white under them.
    head: f64,
    /// From a thing to the callout: white, the slanting part of the line, white.
    lead_in: f64,
}

impl Sketch<'_, '_, '_> {
    /// Is there room for a specimen row?
    pub(super) fn has_specimen(&self, width: f64) -> bool {
        self.strip_sizes(width).is_some()
    }

    /// The row under its title; returns the height.
    pub(super) fn titled_specimen(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let title = self.phrase("how_title");
        let down = look.voices.section.size * 1.45;
        self.say(x, y + down, &title, look.voices.section);
        let top = down + look.module * 1.4;
        top + self.specimen(x, y + top, width)
    }

    /// The row with its callouts; returns the height.
    pub(super) fn specimen(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let Some(sizes) = self.strip_sizes(width) else { return 0.0 };
        let note = self.facts.look.voices.legend_note;
        let lead = note.size * 1.22;
        let block = |lines: usize| note.cap + lead * lines.saturating_sub(1) as f64;
        let row = block(sizes.over.lines) + sizes.lead_in + sizes.head;
        let height = row + sizes.row + sizes.lead_in + block(sizes.under.lines) + note.size * 0.25;
        if let Some(scene) = self.scene {
            self.drawn_specimen(scene, sizes, (x, y, width), row);
        }
        height
    }

    fn strip_sizes(&self, width: f64) -> Option<Sizes> {
        let (facts, look) = (self.facts, &self.facts.look);
        let shown = Shown::possible(facts);
        let [over, under] = self.callout_words(&shown).map(|words| self.tier(&words, width));
        let rows = self.candidates();
        let rows = rows.iter().map(|(f, r)| facts.families[*f].rows[*r].colour);
        let spine = rows.map(|c| self.spine_width(c)).reduce(f64::max)?;
        let free = width - spine - look.side_gap * 2.0;
        let mut heights: Vec<f64> = shown.parts.iter().map(|p| facts.part(*p).height).collect();
        heights.sort_by(f64::total_cmp);
        let scale = self.room_scale();
        let usual = heights.get(heights.len() / 2)? * scale;
        let most = (free * MOST_WIDE, (usual * 1.4).max(look.chip.1 * 1.2));
        let mut widths: Vec<f64> = shown.parts.iter().map(|p| facts.part(*p).width).collect();
        widths.sort_by(f64::total_cmp);
        if most.0 < widths.get(widths.len() / 2)? * scale * LEAST_SHRINK {
            return None;
        }
        let tall = |p: &PartId| facts.part(*p).height * self.shrunk(*p, scale, most);
        let tallest = shown.parts.iter().map(tall).fold(0.0, f64::max);
        let numbered = shown.stand_in || shown.loose;
        let label = if numbered { look.under_gap + look.voices.under.cap } else { 0.0 };
        let lines = facts.sheet.centre().len();
        let (heading, size) = (look.voices.heading, look.voices.size);
        let sized = if self.says_sizes(&shown) { SIZE_LEAD * size.size } else { 0.0 };
        let head = if shown.grid { heading.cap + sized + look.voices.under.size * 0.55 } else { 0.0 };
        Some(Sizes {
            over: over?,
            under: under?,
            spine,
            most,
            row: (tallest + label).max(text_height(facts, lines)),
            head,
            lead_in: look.voices.legend_note.size * 1.75,
        })
    }

    /// The scale at which a part is drawn here: the sheet's, less where it would be too large.
    fn shrunk(&self, part: PartId, scale: f64, most: (f64, f64)) -> f64 {
        let part = self.facts.part(part);
        scale.min(most.0 / part.width.max(1e-6)).min(most.1 / part.height.max(1e-6))
    }

    /// Width of a colour's spine in whichever form and spelling it is widest, mm.
    fn spine_width(&self, colour: ColourId) -> f64 {
        let (facts, look) = (self.facts, &self.facts.look);
        let numbers = facts.families.iter().flat_map(|f| &f.rows).flat_map(|r| &r.lines);
        let column = numbers.map(|l| l.number_width).fold(0.0, f64::max);
        let colour = facts.range.colour(colour);
        let name = |line: &CentreLine| {
            let words = colour.names()[line.listing.0].as_ref().filter(|_| line.name);
            // The first line that has words is set larger.
            let voices = [look.voices.name, look.voices.other_name];
            let width = |w: &Words| {
                let said = self.in_each(|s| s.apply(w));
                voices.iter().map(|v| self.widest(*v, &said)).fold(0.0, f64::max)
            };
            words.map_or(0.0, width)
        };
        let widest = facts.sheet.centre().iter().map(name).fold(0.0, f64::max);
        look.chip.0 + look.chip_gap + widest + look.number_gap + column
    }

    fn drawn_specimen(
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
        self.number_over(&specimen, &places, sizes, (x, y + row), &mut targets);
        self.spine(scene, &specimen, sizes, (x + places.spine, middle), &mut targets);
        let [over, under] = self.callout_words(&shown);
        let note = self.facts.look.voices.legend_note;
        let lead = note.size * 1.22;
        let ends = [
            y + note.cap + lead * sizes.over.lines.saturating_sub(1) as f64,
            y + row + sizes.row + sizes.lead_in + note.cap,
        ];
        for (words, (end, up)) in [over, under].iter().zip([(ends[0], true), (ends[1], false)]) {
            let there: Vec<_> =
                words.iter().filter(|w| targets.iter().any(|t| t.0 == w.0)).cloned().collect();
            if let Some(tier) = self.tier(&there, width) {
                self.callouts(&tier, &targets, sizes, (x, end, width), up);
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
        let (lead, ink) = (note.size * 1.22, look.mark_ink);
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
            let over = target.x.clamp(left + note.size * 0.4, left + callout.width - note.size * 0.4);
            let over = if callout.width < note.size { left + callout.width / 2.0 } else { over };
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
                self.text(left + (callout.width - wide) * share, end + down * lead, line, note, Anchor::Left);
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
                if let Some(canvas) = &mut self.canvas {
                    rows::gap(canvas, x, middle);
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
        sizes: &Sizes,
        (x, top): (f64, f64),
        targets: &mut Vec<(Named, Point)>,
    ) {
        let look = &self.facts.look;
        let (heading, size) = (look.voices.heading, look.voices.size);
        let things = specimen.left.iter().zip(&places.left);
        let things = things.chain(specimen.right.iter().zip(&places.right));
        let at = things.filter(|(t, _)| specimen.numbered.map(Kind::Part) == Some(t.kind));
        let (Some(part), Some((_, centre))) = (specimen.numbered, at.last()) else { return };
        let at = x + centre;
        let head = top - sizes.head;
        let label = &self.facts.part(part).label;
        self.text(at, head + heading.cap, label, heading, Anchor::Middle);
        if self.says_sizes(&self.shown()) {
            let words = self.in_each(|s| s.apply(self.facts.range.part(part).size()));
            let base = head + heading.cap + SIZE_LEAD * size.size;
            self.text(at, base, &words[self.own], size, Anchor::Middle);
        }
        let white = look.voices.legend_note.size * 0.3;
        targets.push((Named::Number, Point::new(at, head - white)));
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
        let spine = SpineChoice {
            fit: NameFit::Full,
            width: sizes.spine,
            ..scene.plan.spine
        };
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

    /// Where everything stands from the left edge on; what only fills the row goes where it has no room.
    fn places(&self, specimen: &mut Specimen<'_>, sizes: &Sizes, width: f64) -> Places {
        let look = &self.facts.look;
        loop {
            let widths = |things: &[Thing]| -> Vec<f64> {
                things.iter().map(|t| self.thing_width(t, specimen.numbered, sizes)).collect()
            };
            let sides = [&specimen.left, &specimen.right, &specimen.others].map(|t| widths(t));
            let count: usize = sides.iter().map(Vec::len).sum();
            let gaps = count + usize::from(!specimen.others.is_empty());
            let natural = sizes.spine + sides.iter().flatten().sum::<f64>();
            let least = look.part_gap;
            let filler = |t: &Thing| {
                matches!(t.kind, Kind::Part(p) if specimen.numbered != Some(p))
            };
            if natural + gaps as f64 * least > width {
                let (left, right) = (specimen.left.iter(), specimen.right.iter());
                if let Some(i) = left.clone().position(filler) {
                    specimen.left.remove(i);
                    continue;
                }
                if let Some(i) = right.clone().position(filler) {
                    specimen.right.remove(i);
                    continue;
                }
            }
            let each = (width - natural) / gaps.max(1) as f64;
            let gap = each.clamp(least, look.voices.legend_note.size * MOST_GAP);
            return Places::new(&sides, sizes.spine, gap);
        }
    }

    fn thing_width(&self, thing: &Thing, numbered: Option<PartId>, sizes: &Sizes) -> f64 {
        let Some(part) = thing.kind.part() else {
            return self.facts.look.voices.legend_note.size * 0.5;
        };
        let facts = self.facts.part(part);
        let drawn = facts.width * self.shrunk(part, self.room_scale(), sizes.most);
        match thing.kind {
            Kind::Numbered(..) => drawn.max(facts.under_width),
            _ if numbered == Some(part) => drawn.max(facts.heading_width),
            _ => drawn,
        }
    }
}

/// Middles of the things, and the left edge of the spine, from the left edge of the row, mm.
struct Places {
    left: Vec<f64>,
    spine: f64,
    right: Vec<f64>,
    others: Vec<f64>,
}

impl Places {
    fn new([left, right, others]: &[Vec<f64>; 3], spine: f64, gap: f64) -> Places {
        let mut x = 0.0;
        let group = |widths: &Vec<f64>, x: &mut f64| -> Vec<f64> {
            let mut middles = Vec::new();
            for width in widths {
                middles.push(*x + width / 2.0);
                *x += width + gap;
            }
            middles
        };
        let left = group(left, &mut x);
        let start = x;
        x += spine + gap;
        let right = group(right, &mut x);
        x += gap;
        let others = group(others, &mut x);
        Places { left, spine: start, right, others }
    }
}
