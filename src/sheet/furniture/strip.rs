//! The specimen row in millimetres: how large its pieces are and where they are.

use kurbo::{Point, Size};

use super::super::fragment::Fragment;
use super::builder::Builder;
use super::callouts::{Said, Tier};
use super::shown::Shown;
use super::specimen::{Specimen, Thing, ThingKind};
use crate::plan::measure::text_height;
use crate::plan::style::{SIZE_LEAD, SpineForm, Voice};
use crate::range::{CentreLine, ColourId, PartId, Words};

/// Most of the width that one part takes.
const MOST_WIDE: f64 = 0.13;
/// White between a number over a part and the row, em of the numbers under parts.
pub(super) const HEAD_WHITE: f64 = 0.55;
/// Line spacing of the callouts, em.
pub(super) const LEAD: f64 = 1.22;
/// Most lines of callouts that are beside the title.
const MOST_BESIDE: usize = 2;
/// Most white between things, em of the callouts.
const MOST_GAP: f64 = 3.0;
/// A part drawn under this share of its size on the sheet no longer looks like it.
const LEAST_SHRINK: f64 = 0.5;

/// The title over a specimen row.
pub(super) struct Title {
    pub words: Vec<String>,
    pub voice: Voice,
    /// Its baseline from the top, mm.
    pub down: f64,
    /// How far it hangs over the left edge, mm.
    pub hang: f64,
}

/// Where callouts over the row are, mm.
struct Over {
    /// From the top to the last baseline.
    end: f64,
    /// From the left edge to the first.
    inset: f64,
}

/// Sizes of the strip, mm: the same whatever is planned.
pub(super) struct Sizes {
    /// From the top to the last baseline of the callouts over the row.
    pub over_end: f64,
    /// Where these begin: beside the title.
    pub inset: f64,
    pub under: Tier,
    /// Width of the spine.
    pub spine: f64,
    /// Widest and tallest that a part may be drawn.
    pub most: Size,
    /// Height of the parts with what is under them.
    pub row: f64,
    /// Height of number and size over a part, with the white under them.
    pub head: f64,
    /// From a thing to the callout: white, the slanting part of the line, white.
    pub lead_in: f64,
}

impl Sizes {
    /// From the top of all to the top of the row.
    pub fn row_top(&self) -> f64 {
        self.over_end + self.lead_in + self.head
    }
}

impl Builder<'_> {
    /// Is there room for a specimen row under this title?
    pub(super) fn has_specimen(&self, width: f64, title: &Title) -> bool {
        self.strip_sizes(width, title).is_some()
    }

    /// The row with its title and callouts.
    pub(super) fn specimen(&self, width: f64, title: &Title) -> Fragment {
        let mut out = Fragment::of_width(width);
        let Some(sizes) = self.before_plan().strip_sizes(width, title) else { return out };
        self.say(&mut out, Point::new(-title.hang, title.down), &title.words, title.voice);
        let note = self.facts.look.voices.legend_note;
        let lead = note.size * LEAD;
        let under = note.cap + lead * sizes.under.lines.saturating_sub(1) as f64;
        let height = sizes.row_top() + sizes.row + sizes.lead_in + under + note.size * 0.25;
        if let Some(scene) = self.scene {
            self.draw_specimen(&mut out, scene, sizes);
        }
        out.height = height;
        out
    }

    fn strip_sizes(&self, width: f64, title: &Title) -> Option<Sizes> {
        let (facts, look) = (self.facts, &self.facts.look);
        let shown = Shown::possible(facts);
        let [over, under] = self.callout_words(&shown);
        let under = self.tier(&under, width)?;
        let over = self.over(&over, width, title)?;
        let rows = self.candidates();
        let rows = rows.iter().map(|(f, r)| facts.families[*f].rows[*r].colour);
        let spine = rows.map(|c| self.spine_width(c)).reduce(f64::max)?;
        let most = self.largest(&shown, width - spine - look.side_gap * 2.0)?;
        let scale = self.room_scale();
        let tall = |p: &PartId| facts.part(*p).height * self.shrunk(*p, scale, most);
        let tallest = shown.parts.iter().map(tall).fold(0.0, f64::max);
        let numbered = shown.stand_in || shown.loose;
        let label = if numbered { look.under_gap + look.voices.under.cap } else { 0.0 };
        let lines = facts.sheet.centre().len();
        Some(Sizes {
            over_end: over.end,
            inset: over.inset,
            under,
            spine,
            most,
            row: (tallest + label).max(text_height(facts, lines)),
            head: self.strip_head(&shown),
            lead_in: look.voices.legend_note.size * 1.5,
        })
    }

    /// Callouts over the row: beside the title where they have room in lines no more, else under it.
    fn over(&self, said: &[Said], width: f64, title: &Title) -> Option<Over> {
        let look = &self.facts.look;
        let note = look.voices.legend_note;
        let inset = self.widest(title.voice, &title.words) + note.size * 1.6;
        let beside = self.tier(said, width - inset).filter(|t| t.lines <= MOST_BESIDE);
        let (tier, inset, above) = match beside {
            Some(tier) => (tier, inset, 0.0),
            None => (self.tier(said, width)?, 0.0, title.down + look.module * 1.2),
        };
        let block = note.cap + note.size * LEAD * tier.lines.saturating_sub(1) as f64;
        Some(Over { end: (above + block).max(title.down), inset })
    }

    /// The largest that a part may be drawn where this much of the width is free; none where a usual
    /// one would no longer look like it.
    fn largest(&self, shown: &Shown, free: f64) -> Option<Size> {
        let (facts, scale) = (self.facts, self.room_scale());
        let middle = |mut sizes: Vec<f64>| {
            sizes.sort_by(f64::total_cmp);
            sizes.get(sizes.len() / 2).copied()
        };
        let parts = || shown.parts.iter().map(|p| facts.part(*p));
        let usual = middle(parts().map(|p| p.height).collect())? * scale;
        let most = Size::new(free * MOST_WIDE, (usual * 1.4).max(facts.look.chip.1 * 1.2));
        let wide = middle(parts().map(|p| p.width).collect())?;
        (most.width >= wide * scale * LEAST_SHRINK).then_some(most)
    }

    /// Height of number and size over a part, with the white under them.
    fn strip_head(&self, shown: &Shown) -> f64 {
        if !shown.grid {
            return 0.0;
        }
        let voices = &self.facts.look.voices;
        let sized = if self.says_sizes(shown) { SIZE_LEAD * voices.size.size } else { 0.0 };
        voices.heading.cap + sized + voices.under.size * HEAD_WHITE
    }

    /// The scale at which a part is drawn here: the sheet's, less where it would be too large.
    pub(super) fn shrunk(&self, part: PartId, scale: f64, most: Size) -> f64 {
        let part = self.facts.part(part);
        scale.min(most.width / part.width.max(1e-6)).min(most.height / part.height.max(1e-6))
    }

    /// Width of a colour's spine in whichever form and spelling it is widest, mm.
    pub(super) fn spine_width(&self, colour: ColourId) -> f64 {
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
        look.chip.0
            + look.chip_gap
            + widest
            + look.between_number_and_name(SpineForm::NumbersThenNames)
            + column
    }

    /// Where everything is from the left edge on; what only fills the row goes where it has no room.
    pub(super) fn places(&self, specimen: &mut Specimen<'_>, sizes: &Sizes, width: f64) -> Places {
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
            let filler =
                |t: &Thing| matches!(t.kind, ThingKind::Part(p) if specimen.numbered != Some(p));
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
            let gap = each.clamp(least, (look.voices.legend_note.size * MOST_GAP).max(least));
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
            ThingKind::Numbered(..) => drawn.max(facts.under_width),
            _ if numbered == Some(part) => drawn.max(facts.heading_width),
            _ => drawn,
        }
    }
}

/// Middles of the things, and the left edge of the spine, from the left edge of the row, mm.
pub(super) struct Places {
    pub left: Vec<f64>,
    pub spine: f64,
    pub right: Vec<f64>,
    pub others: Vec<f64>,
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
