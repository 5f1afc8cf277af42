//! The furniture that closes a column or the page: legend, look-alikes and notes.
//!
//! Measuring and drawing run the same code, once without a canvas.

mod panel;

use std::cell::RefCell;
use std::collections::HashMap;

use super::canvas::{Anchor, Canvas};
use super::foot;
use super::mark;
use super::paragraph::{Breaker, balance, within, wrap};
use super::place::Scene;
use super::words::{filled, left_out};
use crate::plan::style::{FurnitureForm, Voice};
use crate::plan::{Facts, Furniture};
use crate::range::{ColourId, PartId, Side, Words};
use crate::spelling::Spelling;

/// Height in mm for a width in mm, whichever of the spellings is drawn;
/// infinite where a word is wider than that.
pub fn height(
    facts: &Facts<'_>,
    spellings: &[&Spelling],
    width: f64,
    scale: f64,
    place: Furniture,
) -> f64 {
    let mut sketch = Sketch { facts, spellings, own: 0, scale, canvas: None, reach: 0.0 };
    let height = sketch.all(0.0, 0.0, width, place);
    sketch.if_within(width, height)
}

/// Heights asked for before: the solver asks for the same few again and again.
pub struct Heights<'a> {
    spellings: &'a [&'a Spelling],
    known: RefCell<HashMap<[u64; 6], f64>>,
}

impl<'a> Heights<'a> {
    /// Nothing known yet; all spellings of the edition.
    pub fn new(spellings: &'a [&'a Spelling]) -> Heights<'a> {
        Heights { spellings, known: RefCell::default() }
    }

    /// As [`height`] tells it.
    pub fn of(&self, facts: &Facts<'_>, width: f64, scale: f64, place: Furniture) -> f64 {
        // A note that tells the scale may wrap otherwise at every scale.
        let tells = |note: &Words| note.text.contains("{scale}") || !note.forms.is_empty();
        let scale = if facts.sheet.notes().iter().any(tells) { scale } else { reserved(scale) };
        let page =
            (facts.layout.width * 1e3) as u64 * 10_000_000 + (facts.layout.height * 1e3) as u64;
        let floor = facts.layout.type_floor.to_bits();
        let rows = facts.look.lead.to_bits();
        let band = u64::from(place == Furniture::Band);
        let key = [width.to_bits(), scale.to_bits(), floor, page, rows, band];
        if let Some(height) = self.known.borrow().get(&key) {
            return *height;
        }
        let height = height(facts, self.spellings, width, scale, place);
        self.known.borrow_mut().insert(key, height);
        height
    }
}

/// The scale that room is kept for: rounded up, so that the solver, which asks
/// at many scales, asks for few heights, and what is drawn is as tall as it was told.
fn reserved(scale: f64) -> f64 {
    (scale * 25.0 - 1e-9).ceil() / 25.0
}

/// Draws it with its top left corner at `x`, `y`.
pub fn draw(
    canvas: &mut Canvas<'_>,
    scene: &Scene<'_>,
    x: f64,
    y: f64,
    width: f64,
    place: Furniture,
) {
    canvas.from(Some("legend"));
    let (facts, spellings, scale) = (scene.facts, scene.spellings, scene.plan.scale);
    let own = spellings.iter().position(|s| std::ptr::eq(*s, scene.spelling)).unwrap_or(0);
    let mut sketch = Sketch { facts, spellings, own, scale, canvas: Some(canvas), reach: 0.0 };
    sketch.all(x, y, width, place);
}

/// A text, with its title where it has one, in each spelling of the edition.
#[derive(Debug, Clone)]
struct Titled {
    title: Option<Vec<String>>,
    texts: Vec<String>,
    /// The mark of new colours stands before it.
    marked: bool,
}

impl Titled {
    fn new(title: Option<Vec<String>>, texts: Vec<String>) -> Titled {
        Titled { title, texts, marked: false }
    }
}

/// A text broken into lines.
struct Broken {
    /// In the spelling that is drawn.
    lines: Vec<String>,
    /// Lines in the spelling that takes most of them.
    count: usize,
    /// Widest line in any spelling, mm.
    widest: f64,
}

/// Draws if there is a canvas; tells heights in any case.
///
/// Room is kept for the longest words of any spelling, so that all that is no
/// word stands in the same place in each.
struct Sketch<'a, 'c, 'd> {
    facts: &'a Facts<'a>,
    /// All spellings of the edition.
    spellings: &'a [&'a Spelling],
    /// Which of them is drawn.
    own: usize,
    scale: f64,
    canvas: Option<&'c mut Canvas<'d>>,
    /// How far right its words run when they are only measured, mm.
    reach: f64,
}

impl Sketch<'_, '_, '_> {
    fn text(&mut self, x: f64, y: f64, string: &str, voice: Voice, anchor: Anchor) {
        if let Some(canvas) = &mut self.canvas {
            canvas.text(x, y, string, voice, anchor);
        } else if anchor == Anchor::Left {
            self.reach = self.reach.max(x + self.facts.look.width(voice, string));
        }
    }

    /// Text in the spelling that is drawn; measured in all of them.
    fn say(&mut self, x: f64, y: f64, words: &[String], voice: Voice) {
        if self.canvas.is_some() {
            self.text(x, y, &words[self.own], voice, Anchor::Left);
        } else {
            words.iter().for_each(|text| self.text(x, y, text, voice, Anchor::Left));
        }
    }

    /// Words in every spelling.
    fn in_each(&self, words: impl Fn(&Spelling) -> String) -> Vec<String> {
        self.spellings.iter().map(|s| words(s)).collect()
    }

    /// A fixed text in every spelling.
    fn phrase(&self, key: &str) -> Vec<String> {
        self.in_each(|s| s.phrase(key, &[]))
    }

    /// Width of the longest of the spellings' words, mm.
    fn widest(&self, voice: Voice, words: &[String]) -> f64 {
        words.iter().map(|text| self.facts.look.width(voice, text)).fold(0.0, f64::max)
    }

    /// Breaks words into lines, in every spelling.
    fn broken(&self, by: Breaker, voice: Voice, words: &[String], width: f64) -> Broken {
        let look = &self.facts.look;
        let lines = within(by, look, voice, &words[self.own], width);
        let measured = |lines: &[String]| {
            // Only who measures needs to know how wide they are.
            let widths = lines.iter().map(|l| look.width(voice, l));
            if self.canvas.is_none() { widths.fold(0.0, f64::max) } else { 0.0 }
        };
        let mut out = Broken { count: lines.len(), widest: measured(&lines), lines };
        for (i, other) in words.iter().enumerate() {
            if i != self.own && *other != words[self.own] {
                let lines = within(by, look, voice, other, width);
                out.count = out.count.max(lines.len());
                out.widest = out.widest.max(measured(&lines));
            }
        }
        out
    }

    /// Draws broken lines downwards, the first on the baseline `base`.
    fn lines(&mut self, x: f64, base: f64, lead: f64, broken: &Broken, voice: Voice) {
        self.reach = self.reach.max(x + broken.widest);
        if self.canvas.is_some() {
            for (i, line) in broken.lines.iter().enumerate() {
                self.text(x, base + lead * i as f64, line, voice, Anchor::Left);
            }
        }
    }

    /// A height that holds if no word ran past the width.
    fn if_within(&self, width: f64, height: f64) -> f64 {
        if self.reach > width + 1e-6 { f64::INFINITY } else { height }
    }

    fn rule(&mut self, x: f64, y: f64, width: f64, thick: f64, ink: crate::sheet::Rgb) {
        if let Some(canvas) = &mut self.canvas {
            canvas.rule(x, y, width, thick, ink);
        }
    }

    /// The mark of new colours before a line of body text, where it has one; tells how far the text moves in.
    fn mark(&mut self, marked: bool, x: f64, base: f64) -> f64 {
        let look = &self.facts.look;
        if !marked {
            return 0.0;
        }
        if let Some(canvas) = &mut self.canvas {
            mark::at(canvas, x, base - look.voices.body.cap / 2.0);
        }
        mark::width(look) + look.voices.body.size * 0.35
    }

    fn part(&mut self, part: PartId, colour: ColourId, x: f64, y: f64, scale: f64) {
        if let Some(canvas) = &mut self.canvas {
            canvas.part(part, colour, x, y, scale);
        }
    }

    /// Everything; returns the height.
    fn all(&mut self, x: f64, y: f64, width: f64, place: Furniture) -> f64 {
        let look = &self.facts.look;
        self.rule(x, y, width, look.heavy, look.rule_ink);
        match (look.furniture_form, place) {
            (FurnitureForm::Cells, Furniture::Column) => {
                let title = self.phrase("finishes_title");
                let down = look.voices.section.size * 1.45;
                self.say(x, y + down, &title, look.voices.section);
                let cells = self.cells(x, y + down + look.module * 1.2, width);
                let mut rule = y + down + look.module * 1.2 + cells + look.module * 1.4;
                if self.has_panel() {
                    self.rule(x, rule, width, look.hair, look.hair_ink);
                    rule += self.panel(x, rule, width) + look.module * 1.4;
                }
                self.rule(x, rule, width, look.hair, look.hair_ink);
                rule - y + self.texts(x, rule, width)
            }
            (FurnitureForm::Cells, Furniture::Band) => {
                let title = self.phrase("finishes_title");
                let down = look.voices.section.size * 1.45;
                self.say(x, y + down, &title, look.voices.section);
                let half = (width - look.gutter) / 2.0;
                let cells =
                    down + look.module * 1.2 + self.cells(x, y + down + look.module * 1.2, half);
                let height = cells.max(self.texts(x + half + look.gutter, y, half));
                if !self.has_panel() {
                    return height;
                }
                let rule = y + height + look.module * 1.4;
                self.rule(x, rule, width, look.hair, look.hair_ink);
                rule - y + self.panel(x, rule, width)
            }
            (FurnitureForm::List, place) => self.list(x, y, width, place),
        }
    }

    /// Scale of the legend's parts: never so small that their finish is lost.
    fn drawn_scale(&self) -> f64 {
        self.scale.max(self.facts.look.legend_part.min(1.0))
    }

    /// Scale that the legend keeps room for.
    fn room_scale(&self) -> f64 {
        reserved(self.scale).max(self.facts.look.legend_part.min(1.0))
    }

    /// The colour that shows a family in the legend: the first strong one.
    fn show_colour(&self, family: usize) -> ColourId {
        let rows = &self.facts.families[family].rows;
        let chroma = |c: ColourId| {
            // As they are, so that a sheet and its proof show the same ones.
            let lab = crate::range::lab(self.facts.range.colour(c).own_rgb());
            lab.a.hypot(lab.b)
        };
        let made = |mask: u128| self.legend_parts().iter().filter(|p| mask >> p.0 & 1 == 1).count();
        let most = rows.iter().map(|r| made(r.made)).max().unwrap_or(0);
        let able: Vec<ColourId> =
            rows.iter().filter(|r| made(r.made) == most).map(|r| r.colour).collect();
        let strongest = able.iter().map(|c| chroma(*c)).fold(0.0, f64::max);
        // Families take turns round the circle, so that the legend is not all one hue.
        let strong: Vec<ColourId> =
            able.iter().copied().filter(|c| chroma(*c) >= strongest * 0.6).collect();
        let turn = [1, 5, 3, 2, 4, 0][family % 6];
        strong
            .get(strong.len() * turn / 6)
            .or(rows.first().map(|r| &r.colour))
            .copied()
            .unwrap_or(ColourId(0))
    }

    /// Title and legend of a family in every spelling.
    fn family_words(&self, family: usize) -> [Vec<String>; 2] {
        let index = self.facts.families[family].index;
        let family = self.facts.range.family(self.facts.sheet.families()[index].family());
        [family.title(), family.legend()].map(|words| self.in_each(|s| s.apply(words)))
    }

    /// Parts drawn in the legend: as the sheet says, else one of each side.
    fn legend_parts(&self) -> Vec<PartId> {
        if !self.facts.sheet.legend_parts().is_empty() {
            return self.facts.sheet.legend_parts().clone();
        }
        let first = |side| self.facts.parts.iter().position(|p| p.side == side).map(PartId);
        [Side::Left, Side::Right].into_iter().filter_map(first).collect()
    }

    /// One cell a family: its parts, its name, a line about its finish.
    fn cells(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let count = self.facts.families.len();
        let parts = self.legend_parts();
        let words: Vec<[Vec<String>; 2]> = (0..count).map(|f| self.family_words(f)).collect();
        let natural: f64 = parts.iter().map(|p| self.facts.part(*p).width).sum();
        let scale = self.room_scale();
        let least = (natural * scale + look.part_gap * 2.0)
            .max(words.iter().map(|[title, _]| self.widest(name, title)).fold(0.0, f64::max))
            + look.part_gap * 1.5;
        let per_line = ((width / least).floor() as usize).clamp(1, count.max(1));
        let lines = count.max(1).div_ceil(per_line);
        let per_line = count.max(1).div_ceil(lines);
        let cell = width / per_line as f64;
        let scale = scale.min((cell - look.part_gap * 3.0) / natural.max(1.0));
        let drawn = self.drawn_scale().min(scale);
        let tall = parts.iter().map(|p| self.facts.part(*p).height).fold(0.0, f64::max) * scale;
        let lead = note.size * 1.22;
        let mut top = y;
        for line in 0..lines {
            let range = line * per_line..((line + 1) * per_line).min(count);
            let name_line = top + tall + name.cap + name.size * 0.62;
            let mut deepest = name_line;
            for (i, family) in range.enumerate() {
                let left = x + i as f64 * cell;
                let colour = self.show_colour(family);
                let mut at = left;
                for &part in &parts {
                    let w = self.facts.part(part).width * drawn;
                    let h = self.facts.part(part).height * drawn;
                    self.part(part, colour, at + w / 2.0, top + tall - h / 2.0, drawn);
                    at += w + look.part_gap * 1.2;
                }
                let [title, legend] = &words[family];
                self.say(left, name_line, title, name);
                let room = (cell - look.part_gap * 2.0) * 0.92;
                let lines = self.broken(balance, note, legend, room);
                self.lines(left, name_line + lead, lead, &lines, note);
                deepest = deepest.max(name_line + lead * lines.count as f64);
            }
            top = deepest + look.module;
        }
        top - look.module - y
    }

    /// 'How to read', the sheet's notes, what is left out, in two columns whose
    /// widths make them equally long.
    fn texts(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let gap = self.facts.look.gutter * 0.8;
        let sides = split_in_two(&self.sections());
        let room = width - gap;
        let lonely = sides[1].is_empty();
        let shares: &[f64] =
            if lonely { &[1.0] } else { &[0.5, 0.46, 0.54, 0.42, 0.58, 0.38, 0.62, 0.35, 0.65] };
        let heights = |sketch: &Self, share: f64| {
            let left = sketch.text_height(&sides[0], room * share);
            left.max(sketch.text_height(&sides[1], room * (1.0 - share)))
        };
        let share = shares
            .iter()
            .copied()
            .min_by(|a, b| heights(self, *a).total_cmp(&heights(self, *b)))
            .unwrap_or(0.5);
        let widths = if lonely { [width, 0.0] } else { [room * share, room * (1.0 - share)] };
        let left = self.text_column(x, y, widths[0], &sides[0]);
        let right = self.text_column(x + widths[0] + gap, y, widths[1], &sides[1]);
        left.max(right)
    }

    fn text_height(&self, texts: &[Titled], width: f64) -> f64 {
        let Sketch { facts, spellings, own, scale, .. } = *self;
        let mut sketch = Sketch { facts, spellings, own, scale, canvas: None, reach: 0.0 };
        let height = sketch.text_column(0.0, 0.0, width, texts);
        sketch.if_within(width, height)
    }

    fn text_column(&mut self, x: f64, y: f64, width: f64, texts: &[Titled]) -> f64 {
        if texts.is_empty() {
            return 0.0;
        }
        let look = &self.facts.look;
        let (section, body) = (look.voices.section, look.voices.body);
        let mut base = y + section.size * 1.45;
        for (i, Titled { title, texts, marked }) in texts.iter().enumerate() {
            if let Some(title) = title {
                if i > 0 {
                    base += look.body_lead * 0.9;
                }
                self.say(x, base, title, section);
                base += look.body_lead * 1.15;
            } else {
                base += look.body_lead * 0.25;
            }
            let indent = self.mark(*marked, x, base);
            let lines = self.broken(wrap, body, texts, width - indent);
            self.lines(x + indent, base, look.body_lead, &lines, body);
            base += look.body_lead * lines.count as f64;
        }
        base - look.body_lead - y + body.size * 0.25
    }

    /// Titled texts: how to read, notes, left out.
    fn sections(&self) -> Vec<Titled> {
        let (gaps, stand_ins, loose) = self.uses();
        let how = self.in_each(|s| {
            let notes = [(gaps, "gap_note"), (stand_ins, "stand_in_note"), (loose, "loose_note")];
            let used = notes.iter().filter(|(used, _)| *used).map(|(_, key)| *key);
            let all: Vec<String> =
                std::iter::once("how_text").chain(used).map(|key| s.phrase(key, &[])).collect();
            all.join(" ")
        });
        let mut out = vec![Titled::new(Some(self.phrase("how_title")), how)];
        out.extend(self.new_note());
        for note in self.facts.sheet.notes() {
            let texts = self.in_each(|s| filled(self.facts, s, self.scale, note));
            out.push(Titled::new(None, texts));
        }
        let told = foot::tells_left_out(self.facts, self.spellings);
        let left: Vec<Option<String>> =
            self.spellings.iter().map(|s| left_out(self.facts, s)).collect();
        if !told && left.iter().any(Option::is_some) {
            let texts: Vec<String> = left.into_iter().map(Option::unwrap_or_default).collect();
            // A list has no titles over its texts.
            out.push(match self.facts.look.furniture_form {
                FurnitureForm::Cells => Titled::new(Some(self.phrase("left_out_title")), texts),
                FurnitureForm::List => {
                    let line = |(s, text): (&&Spelling, &String)| {
                        s.phrase("left_out_line", &[("text", text)])
                    };
                    Titled::new(None, self.spellings.iter().zip(&texts).map(line).collect())
                }
            });
        }
        out
    }

    /// What the mark of new colours means, where any is marked here.
    fn new_note(&self) -> Option<Titled> {
        let marked = self.facts.sheet.marked_new().as_ref()?;
        let mut rows = self.facts.families.iter().flat_map(|f| &f.rows);
        if !rows.any(|row| marked.colours.contains(&row.colour)) {
            return None;
        }
        let texts = self.in_each(|s| match s.apply(&marked.since).as_str() {
            "" => s.phrase("new_note", &[]),
            since => s.phrase("new_since_note", &[("release", since)]),
        });
        Some(Titled { title: None, texts, marked: true })
    }

    /// Which marks can occur on this sheet: gaps, stand-ins, loose rows.
    fn uses(&self) -> (bool, bool, bool) {
        let rows = || self.facts.families.iter().flat_map(|f| &f.rows);
        let all = rows().fold(0u128, |m, r| m | r.made);
        let gaps = rows().any(|r| r.made != all);
        let mut roles: Vec<(&str, Side)> =
            self.facts.parts.iter().map(|p| (p.role.as_str(), p.side)).collect();
        roles.sort_unstable();
        let stand_ins = gaps && roles.windows(2).any(|w| w[0] == w[1]);
        let loose = self.facts.families.iter().any(|f| f.columns == crate::range::Columns::Loose);
        (gaps, stand_ins, loose)
    }

    /// A list of finishes at the left; texts and the list of parts at the right.
    fn list(&mut self, x: f64, y: f64, width: f64, place: Furniture) -> f64 {
        let look = &self.facts.look;
        let head = look.head_name.max(look.voices.family.size);
        let title = self.phrase("key_title");
        let hang = look.voices.family.size * 0.045;
        self.say(x - hang, y + head, &title, look.voices.family);
        let top = y + head + look.module * 1.6;
        let gap = look.gutter;
        let share = if place == Furniture::Column { 0.42 } else { 0.34 };
        let needed = self.finish_list_width();
        let beside = needed <= (width - gap) * 0.58;
        let left = if beside { ((width - gap) * share).max(needed) } else { width };
        let finishes = self.finish_list(x, top, left);
        let end = if beside {
            finishes.max(self.note_list(x + left + gap, top, width - left - gap))
        } else {
            let below = finishes + look.body_lead * 0.6;
            below + self.note_list(x, top + below, width)
        };
        let mut list = top + end + look.body_lead * 0.8;
        self.rule(x, list, width, look.hair, look.hair_ink);
        if self.has_panel() {
            list += self.panel(x, list, width) + look.body_lead * 0.8;
            self.rule(x, list, width, look.hair, look.hair_ink);
        }
        let first = list + look.body_lead;
        first - y + self.part_list(x, first, width)
    }

    /// Width that the names in the list of finishes need.
    fn finish_list_width(&self) -> f64 {
        let look = &self.facts.look;
        let scale = self.room_scale();
        let drawn: f64 = self
            .legend_parts()
            .iter()
            .map(|p| self.facts.part(*p).width * scale + look.part_gap)
            .sum();
        let names = (0..self.facts.families.len())
            .map(|f| self.widest(look.voices.legend, &self.family_words(f)[0]))
            .fold(0.0, f64::max);
        drawn + look.part_gap + names
    }

    fn finish_list(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let parts = self.legend_parts();
        let scale = self.room_scale();
        let drawn: f64 =
            parts.iter().map(|p| self.facts.part(*p).width * scale + look.part_gap).sum();
        let tall = parts.iter().map(|p| self.facts.part(*p).height).fold(0.0, f64::max) * scale;
        let lead = note.size * 1.24;
        let words_x = x + drawn + look.part_gap;
        let mut top = y;
        for family in 0..self.facts.families.len() {
            let [title, legend] = self.family_words(family);
            let lines = self.broken(balance, note, &legend, width - drawn - look.part_gap);
            let block = name.cap + lead * lines.lines.len() as f64;
            let tallest = name.cap + lead * lines.count as f64;
            let row = tall.max(tallest + lead * 0.45) + look.row_gap * 0.8;
            let middle = top + row / 2.0;
            let colour = self.show_colour(family);
            let mut at = x;
            for &part in &parts {
                let w = self.facts.part(part).width * self.drawn_scale();
                self.part(part, colour, at + w / 2.0, middle, self.drawn_scale());
                at += w + look.part_gap;
            }
            let base = middle - block / 2.0 + name.cap;
            self.say(words_x, base, &title, name);
            self.lines(words_x, base + lead, lead, &lines, note);
            top += row;
        }
        top - y
    }

    fn note_list(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let body = look.voices.body;
        let mut base = y + body.cap;
        for Titled { texts, marked, .. } in self.sections() {
            let indent = self.mark(marked, x, base);
            let lines = self.broken(balance, body, &texts, width - indent);
            self.lines(x + indent, base, look.body_lead, &lines, body);
            base += look.body_lead * (lines.count as f64 + 0.35);
        }
        base - look.body_lead * 1.35 - y + body.size * 0.25
    }

    /// Every part with its number and size, in as many columns as have room; the height from the first line on.
    fn part_list(&mut self, x: f64, first: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let body = look.voices.body;
        let strong = look.voices.heading.sized(body.size);
        let used = self.facts.families.iter().flat_map(|f| &f.rows).fold(0u128, |m, r| m | r.made);
        let parts: Vec<usize> =
            (0..self.facts.parts.len().min(128)).filter(|p| used >> p & 1 == 1).collect();
        let title = |p: usize| self.in_each(|s| s.apply(self.facts.range.part(PartId(p)).title()));
        let size = |p: usize| self.in_each(|s| s.apply(self.facts.range.part(PartId(p)).size()));
        let widest = |of: &dyn Fn(usize) -> f64| parts.iter().map(|&p| of(p)).fold(0.0, f64::max);
        let number = widest(&|p| look.width(strong, &self.facts.parts[p].label)) + body.size * 0.6;
        let titles = widest(&|p| self.widest(body, &title(p)));
        let sizes = widest(&|p| self.widest(body, &size(p))) + body.size * 0.6;
        let gap = look.gutter * 0.6;
        let fitting = |need: f64| ((width + gap) / (need + gap)).floor() as usize;
        let with_sizes = fitting(number + titles + sizes);
        let columns = fitting(number + titles).clamp(1, 4).min(parts.len().max(1));
        let show_sizes = with_sizes >= columns;
        let rows = parts.len().div_ceil(columns).max(1);
        let column = (width + gap) / columns as f64;
        let entries: Vec<(String, Vec<String>, Vec<String>)> =
            parts.iter().map(|&p| (self.facts.parts[p].label.clone(), title(p), size(p))).collect();
        for (i, (label, title, size)) in entries.iter().enumerate() {
            let left = x + (i / rows) as f64 * column;
            let base = first + (i % rows) as f64 * look.body_lead;
            self.text(left, base, label, strong, Anchor::Left);
            self.say(left + number, base, title, body);
            if show_sizes {
                let voice = body.inked(look.voices.legend_note.ink);
                self.text(left + column - gap, base, &size[self.own], voice, Anchor::Right);
            }
        }
        (rows - 1) as f64 * look.body_lead + body.size * 0.25
    }
}

/// Splits titled texts into two columns of about equal length; a text without
/// a title stays with the one before it.
fn split_in_two(texts: &[Titled]) -> [Vec<Titled>; 2] {
    // The longest of the spellings, so that all split alike.
    let length = |t: &Titled| t.texts.iter().map(String::len).max().unwrap_or(0);
    let total: usize = texts.iter().map(length).sum();
    let mut best = (usize::MAX, texts.len());
    let mut left = 0;
    for i in 1..=texts.len() {
        left += length(&texts[i - 1]);
        let splits_here = i == texts.len() || texts[i].title.is_some();
        let uneven = left.abs_diff(total - left);
        if splits_here && uneven < best.0 {
            best = (uneven, i);
        }
    }
    [texts[..best.1].to_vec(), texts[best.1..].to_vec()]
}
