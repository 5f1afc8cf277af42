//! The panel of look-alikes: the closest colours, large and flat, edge to edge.
//!
//! The colours of a cluster lie one over the other without a gap: the edge
//! that two share is where an eye compares. Their names are beside them,
//! each level with its own colour, and under each but the first how it
//! differs from the one above it.

use kurbo::{Point, Rect};

use super::builder::Builder;
use crate::colour::lookalike::Word;
use crate::plan::Facts;
use crate::plan::facts::{AlikeColour, ClusterFacts, name_and_number};
use crate::plan::style::{FurnitureForm, Voice};
use crate::sheet::canvas::Anchor;
use crate::sheet::fragment::Fragment;
use crate::sheet::paragraph::Breaker;
use crate::sheet::spine::needs_edge;
use crate::sheet::words::difference_words;
use crate::sheet::{Role, Sample};

/// Least width of a colour in shares of its height: it must read as a field, not as a chip.
const LEAST_WIDE: f64 = 1.7;
/// Most of it: more would only push the next cluster away.
const MOST_WIDE: f64 = 3.4;

/// How far the upper colour goes on under the lower one, mm: over a pixel of
/// a preview, so that no white shows in the pixels that the edge crosses.
const UNDER: f64 = 0.3;

/// The sizes of all clusters of a panel, mm.
struct Sizes {
    name: Voice,
    number: Voice,
    said: Voice,
    /// Height of one colour.
    height: f64,
    /// From a name to the line under it.
    lead: f64,
    /// White between colour and names.
    gap: f64,
    /// Between clusters, across and down.
    across: f64,
    down: f64,
    /// Width of the names with what is beside and under them.
    words: f64,
    /// Width of the column of numbers where they come first.
    numbers: f64,
}

/// Name and number of a colour, in every spelling.
struct Named {
    names: Vec<String>,
    numbers: Vec<String>,
}

impl Builder<'_> {
    /// Has the sheet a panel, and is there anything to show?
    pub(super) fn has_panel(&self) -> bool {
        !self.facts.alike.is_empty()
    }

    /// Title, a line that says what is seen, and the clusters.
    pub(super) fn panel(&self, width: f64) -> Fragment {
        let look = &self.facts.look;
        let mut out = Fragment::of_width(width).of_field("lookalikes");
        let section = look.voices.section;
        let title = self.phrase("lookalikes_title");
        let note = self.phrase("lookalikes_note");
        let said = look.voices.legend_note;
        let after = self.widest(section, &title) + look.gutter * 0.5;
        let mut base = section.size * 1.45;
        self.say(&mut out, Point::new(0.0, base), &title, section);
        // The line goes on after the title where it has room there, else under it.
        if after + self.widest(said, &note) <= width {
            self.say(&mut out, Point::new(after, base), &note, said);
        } else {
            base += section.size * 0.1;
            let lead = said.size * 1.22;
            let lines = self.broken(Breaker::Even, said, &note, width);
            lines.put_into(&mut out, Point::new(0.0, base + lead), lead);
            base += lead * lines.count as f64;
        }
        let top = base + look.module * 1.1 + section.size * 0.15;
        out.put(Point::new(0.0, top), self.clusters(width));
        out
    }

    /// The clusters in as many columns as have room, read along the lines.
    fn clusters(&self, width: f64) -> Fragment {
        let facts = self.facts;
        let sizes = self.sizes();
        let count = facts.alike.len().max(1);
        let least = sizes.height * LEAST_WIDE + sizes.gap + sizes.words;
        let fitting = ((width + sizes.across) / (least + sizes.across) + 1e-6).floor() as usize;
        let lines = count.div_ceil(fitting.clamp(1, count));
        let per_line = count.div_ceil(lines);
        let step = (width + sizes.across) / per_line as f64;
        let field = (step - sizes.across - sizes.gap - sizes.words)
            .clamp(sizes.height * LEAST_WIDE, sizes.height * MOST_WIDE);
        let mut out = Fragment::of_width(width);
        let mut top = 0.0;
        for line in facts.alike.chunks(per_line) {
            let mut tallest = 0;
            for (i, cluster) in line.iter().enumerate() {
                let at = Point::new(i as f64 * step, top);
                out.put(at, self.cluster(cluster, &sizes, field));
                tallest = tallest.max(cluster.colours.len());
            }
            top += sizes.height * tallest as f64 + sizes.down;
        }
        out.height = top - sizes.down;
        out
    }

    fn sizes(&self) -> Sizes {
        let look = &self.facts.look;
        let (name, said) = (look.voices.legend, look.voices.legend_note);
        let number = look.voices.number.sized(look.voices.number.size.min(name.size));
        let numbers_first = look.furniture_form == FurnitureForm::List;
        let lead = said.size * 1.22;
        let space = name.size * 0.45;
        let colours: Vec<Named> =
            self.facts.alike.iter().flat_map(|p| &p.colours).map(|c| self.named(c)).collect();
        let widest = |of: &dyn Fn(&str, &str) -> f64| {
            let each = colours.iter().flat_map(|c| c.names.iter().zip(&c.numbers));
            each.map(|(name, number)| of(name, number)).fold(0.0, f64::max)
        };
        let gap_if = |number: f64| if number > 0.0 { number + space } else { 0.0 };
        let numbers =
            if numbers_first { gap_if(widest(&|_, n| look.width(number, n))) } else { 0.0 };
        let named = widest(&|n, number_text| {
            let beside = if numbers_first { 0.0 } else { gap_if(look.width(number, number_text)) };
            numbers + look.width(name, n) + beside
        });
        let all = self.facts.alike.iter().flat_map(|c| &c.differs);
        let differs = all.map(|d| numbers + self.widest(said, &self.differs(d)));
        Sizes {
            name,
            number,
            said,
            // Two lines of words with their air.
            height: name.cap + lead + name.size * 0.75,
            lead,
            gap: look.chip_gap,
            across: look.gutter * 0.4,
            down: look.module * 1.9,
            words: differs.fold(named, f64::max),
            numbers,
        }
    }

    /// One cluster, its colours `field` wide.
    fn cluster(&self, cluster: &ClusterFacts, sizes: &Sizes, field: f64) -> Fragment {
        let mut out = Fragment::of_width(field + sizes.gap + sizes.words);
        self.fields(&mut out, cluster, sizes.height, field);
        let left = field + sizes.gap;
        // The first line of the first colour and the last of the last are equally far from the outer edges.
        let air = (sizes.height - sizes.name.cap - sizes.lead) / 2.0;
        for (i, colour) in cluster.colours.iter().enumerate() {
            let base = sizes.height * i as f64 + air + sizes.name.cap;
            let at = Point::new(left, base);
            let words = Point::new(left + sizes.numbers, base);
            let named = self.named(colour);
            if sizes.numbers > 0.0 {
                self.say(&mut out, at, &named.numbers, sizes.number);
                self.say(&mut out, words, &named.names, sizes.name);
            } else {
                self.say(&mut out, at, &named.names, sizes.name);
                self.numbers_after(&mut out, at, &named, sizes);
            }
            if let Some(differs) = i.checked_sub(1).and_then(|i| cluster.differs.get(i)) {
                let below = Point::new(words.x, base + sizes.lead);
                self.say(&mut out, below, &self.differs(differs), sizes.said);
            }
        }
        out.height = sizes.height * cluster.colours.len() as f64;
        out
    }

    /// The colours of a cluster, edge to edge.
    fn fields(&self, out: &mut Fragment, cluster: &ClusterFacts, height: f64, width: f64) {
        let look = &self.facts.look;
        let count = cluster.colours.len();
        let sample = |c: &AlikeColour| Sample::of(self.facts.range, c.colour);
        let samples: Vec<Sample> = cluster.colours.iter().map(sample).collect();
        let whole = Rect::new(0.0, 0.0, width, height * count as f64);
        for (i, &fill) in samples.iter().enumerate() {
            let top = height * i as f64;
            let under = if i + 1 < count { UNDER.min(height / 2.0) } else { 0.0 };
            let rect = Rect { y0: top, y1: top + height + under, ..whole };
            out.rect(Role::Swatch, rect, fill);
        }
        // One edge round all: a line between them would part what should touch.
        if samples.into_iter().any(|s| needs_edge(s.published)) {
            out.frame(Role::Swatch, whole, look.hair, look.edge_ink);
        }
    }

    /// Numbers right after the names that begin at `at`, in each spelling after its own.
    fn numbers_after(&self, out: &mut Fragment, at: Point, named: &Named, sizes: &Sizes) {
        let look = &self.facts.look;
        for (i, (name, number)) in named.names.iter().zip(&named.numbers).enumerate() {
            // A colour without a number has no room for one.
            if number.is_empty() {
                continue;
            }
            let after = at.x + (look.width(sizes.name, name) + sizes.name.size * 0.45);
            out.runs_to(after + look.width(sizes.number, number));
            if i == self.own {
                out.text(Point::new(after, at.y), number, sizes.number, Anchor::Left);
            }
        }
    }

    /// Name and number of a colour.
    fn named(&self, colour: &AlikeColour) -> Named {
        let Facts { range, sheet, .. } = *self.facts;
        let words = self
            .spellings
            .iter()
            .map(|s| name_and_number(range, sheet, colour.colour, &|words| s.apply(words)));
        let (names, numbers) = words.unzip();
        Named { names, numbers }
    }

    /// How a colour differs from the one above it, in every spelling.
    fn differs(&self, words: &[Word]) -> Vec<String> {
        self.in_each(|s| difference_words(s, words))
    }
}
