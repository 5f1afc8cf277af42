//! The finishes that occur: a part in each, its name, what to look for.

use super::super::paragraph::balance;
use super::sketch::Sketch;
use crate::range::{ColourId, Finish, PartId};

/// Most columns of the list.
const MOST_COLUMNS: usize = 3;
/// Least width of a line of explanation, em.
const LEAST_LINE: f64 = 8.5;

/// One finish: words in every spelling.
struct Entry {
    name: Vec<String>,
    words: Vec<String>,
    parts: Vec<PartId>,
    colour: ColourId,
}

/// A colour with the parts it is made in.
type Row = (ColourId, u128);

impl Sketch<'_, '_, '_> {
    /// Are there finishes to tell apart?
    pub(super) fn has_finishes(&self) -> bool {
        self.finishes().len() > 1
    }

    /// Finishes in the order in which they stand on the sheet, each with its rows.
    fn finishes(&self) -> Vec<(Finish, Vec<Row>)> {
        let mut out: Vec<(Finish, Vec<Row>)> = Vec::new();
        for row in self.facts.families.iter().flat_map(|f| &f.rows) {
            let finish = self.facts.range.colour(row.colour).finish();
            let own = (row.colour, row.made);
            match out.iter_mut().find(|(f, _)| *f == finish) {
                Some((_, rows)) => rows.push(own),
                None => out.push((finish, vec![own])),
            }
        }
        out
    }

    fn entries(&self) -> Vec<Entry> {
        let finishes = self.finishes();
        let masks: Vec<u128> =
            finishes.iter().map(|(_, rows)| rows.iter().fold(0, |m, r| m | r.1)).collect();
        let entry = |(i, (finish, rows)): (usize, &(Finish, Vec<Row>))| {
            let wanted = self.parts_for(&masks, i);
            let colour = self.show_colour(rows, &wanted, i);
            let made = rows.iter().find(|r| r.0 == colour).map_or(0, |r| r.1);
            let mut parts = wanted;
            parts.retain(|p| made >> p.0 & 1 == 1);
            let [name, words] = self.finish_words(*finish);
            Entry { name, words, parts, colour }
        };
        finishes.iter().enumerate().map(entry).collect()
    }

    /// The parts that show a finish: those that the sheet names, else one of middle
    /// size, the same for as many finishes as are made in it.
    fn parts_for(&self, masks: &[u128], finish: usize) -> Vec<PartId> {
        let made = |p: &PartId| masks[finish] >> p.0 & 1 == 1;
        let named = self.facts.sheet.legend_parts().iter().copied();
        let named: Vec<PartId> = named.filter(|p| p.0 < 128).filter(made).collect();
        if !named.is_empty() {
            return named;
        }
        let all = (0..self.facts.parts.len().min(128)).map(PartId);
        let able: Vec<PartId> = all.filter(made).collect();
        let area = |p: PartId| self.facts.part(p).width * self.facts.part(p).height;
        let mut areas: Vec<f64> = able.iter().map(|p| area(*p)).collect();
        areas.sort_by(f64::total_cmp);
        let Some(&middle) = areas.get(areas.len() / 2) else { return Vec::new() };
        let others = |p: PartId| masks.iter().filter(|m| **m >> p.0 & 1 == 1).count();
        let off = |p: PartId| (area(p) / middle.max(1e-6)).ln().abs();
        let best = able.into_iter().min_by(|a, b| {
            others(*b).cmp(&others(*a)).then(off(*a).total_cmp(&off(*b))).then(a.cmp(b))
        });
        best.into_iter().collect()
    }

    /// The colour that shows a finish: a strong one of those made in most of the parts.
    fn show_colour(&self, rows: &[Row], parts: &[PartId], finish: usize) -> ColourId {
        let chroma = |c: ColourId| {
            // As they are, so that a sheet and its proof show the same ones.
            let lab = crate::range::lab(self.facts.range.colour(c).own_rgb());
            lab.a.hypot(lab.b)
        };
        let made = |mask: u128| parts.iter().filter(|p| mask >> p.0 & 1 == 1).count();
        let most = rows.iter().map(|r| made(r.1)).max().unwrap_or(0);
        let able: Vec<ColourId> =
            rows.iter().filter(|r| made(r.1) == most).map(|r| r.0).collect();
        let strongest = able.iter().map(|c| chroma(*c)).fold(0.0, f64::max);
        // Finishes take turns round the circle, so that the legend is not all one hue.
        let strong: Vec<ColourId> =
            able.iter().copied().filter(|c| chroma(*c) >= strongest * 0.6).collect();
        let turn = [1, 5, 3, 2, 4, 0][finish % 6];
        strong.get(strong.len() * turn / 6).or(able.first()).copied().unwrap_or(ColourId(0))
    }

    /// Name and explanation of a finish in every spelling. A family that has it alone lends its
    /// title, and its own explanation where it gives one.
    fn finish_words(&self, finish: Finish) -> [Vec<String>; 2] {
        let families = self.facts.families.iter().map(|f| {
            self.facts.range.family(self.facts.sheet.families()[f.index].family())
        });
        let rows = self.facts.families.iter().map(|f| &f.rows);
        let has = rows.map(|rows| {
            rows.iter().any(|r| self.facts.range.colour(r.colour).finish() == finish)
        });
        let own: Vec<_> = families.zip(has).filter(|(_, has)| *has).map(|(f, _)| f).collect();
        let key = finish.word();
        let alone = own.len() == 1 && own[0].finish() == finish;
        let name = self.in_each(|s| match own.first().filter(|_| alone) {
            Some(family) => s.apply(family.title()),
            None => s.phrase(&format!("finish_{key}"), &[]),
        });
        let given = own.first().filter(|f| alone && !f.legend().text.is_empty());
        let words = self.in_each(|s| match given {
            Some(family) => s.apply(family.legend()),
            None => s.phrase(&format!("finish_{key}_note"), &[]),
        });
        [name, words]
    }

    /// Width and height of an entry's parts at a scale, mm.
    fn drawn_size(&self, entry: &Entry, scale: f64) -> (f64, f64) {
        let look = &self.facts.look;
        let parts = || entry.parts.iter().map(|p| self.facts.part(*p));
        let gaps = entry.parts.len().saturating_sub(1) as f64 * look.part_gap * 1.2;
        let width: f64 = parts().map(|p| p.width).sum();
        (width * scale + gaps, parts().map(|p| p.height).fold(0.0, f64::max) * scale)
    }

    /// Draws an entry's parts from `x` on, their feet at `foot` or their middles at `middle`.
    fn draw_parts(&mut self, entry: &Entry, x: f64, scale: f64, stand: Stand) {
        let mut at = x;
        for &part in &entry.parts {
            let (w, h) = (self.facts.part(part).width * scale, self.facts.part(part).height * scale);
            let y = match stand {
                Stand::Foot(foot) => foot - h / 2.0,
                Stand::Middle(middle) => middle,
            };
            self.part(part, entry.colour, at + w / 2.0, y, scale);
            at += w + self.facts.look.part_gap * 1.2;
        }
    }

    /// Finishes side by side under a title, from `y` down; returns the height.
    pub(super) fn finish_cells(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let title = self.phrase("finishes_title");
        let down = look.voices.section.size * 1.45;
        self.say(x, y + down, &title, look.voices.section);
        let top = down + look.module * 1.2;
        top + self.cells(x, y + top, width)
    }

    fn cells(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let entries = self.entries();
        let count = entries.len().max(1);
        let scale = self.room_scale();
        let natural =
            entries.iter().map(|e| self.drawn_size(e, scale).0).fold(0.0, f64::max);
        let named = entries.iter().map(|e| self.widest(name, &e.name)).fold(0.0, f64::max);
        let least = natural.max(named) + look.part_gap * 1.5;
        let per_line = ((width / least).floor() as usize).clamp(1, count);
        let lines = count.div_ceil(per_line);
        let per_line = count.div_ceil(lines);
        let cell = width / per_line as f64;
        let fitted = scale * ((cell - look.part_gap * 1.5) / natural.max(1e-6)).min(1.0);
        let drawn = self.drawn_scale().min(fitted);
        let tall = entries.iter().map(|e| self.drawn_size(e, fitted).1).fold(0.0, f64::max);
        let lead = note.size * 1.22;
        let mut top = y;
        for line in entries.chunks(per_line) {
            let name_line = top + tall + name.cap + name.size * 0.62;
            let mut deepest = name_line;
            for (i, entry) in line.iter().enumerate() {
                let left = x + i as f64 * cell;
                self.draw_parts(entry, left, drawn, Stand::Foot(top + tall));
                self.say(left, name_line, &entry.name, name);
                let room = (cell - look.part_gap * 2.0) * 0.92;
                let lines = self.broken(balance, note, &entry.words, room);
                self.lines(left, name_line + lead, lead, &lines, note);
                deepest = deepest.max(name_line + lead * lines.count as f64);
            }
            top = deepest + look.module;
        }
        top - look.module - y
    }

    /// Width that the longest name in the list of finishes needs with its parts.
    pub(super) fn finish_list_width(&self) -> f64 {
        let look = &self.facts.look;
        let named = self.entries().iter().map(|e| self.widest(look.voices.legend, &e.name)).fold(0.0, f64::max);
        self.words_in() + named.max(look.voices.legend_note.size * LEAST_LINE)
    }

    /// How far the words of the list stand in from its parts' left edge, mm.
    fn words_in(&self) -> f64 {
        let scale = self.room_scale();
        let drawn = self.entries().iter().map(|e| self.drawn_size(e, scale).0).fold(0.0, f64::max);
        drawn + self.facts.look.part_gap * 2.0
    }

    /// Finishes in a list of as many columns as have room, at most `most`; returns the height.
    pub(super) fn finish_list(&mut self, x: f64, y: f64, width: f64, most: usize) -> f64 {
        let entries = self.entries();
        let gap = self.facts.look.gutter * 0.6;
        let need = self.finish_list_width() + gap;
        let fitting = ((width + gap) / need + 1e-6).floor() as usize;
        let columns = fitting.clamp(1, most.min(MOST_COLUMNS)).min(entries.len().max(1));
        let rows = entries.len().div_ceil(columns).max(1);
        let step = (width + gap) / columns as f64;
        let mut deepest = y;
        let mut tops = vec![y; columns];
        for line in 0..rows {
            let shown: Vec<(usize, &Entry)> =
                (0..columns).filter_map(|c| Some((c, entries.get(c * rows + line)?))).collect();
            // One height a line, so that entries of neighbouring columns stand level.
            let heights = shown.iter().map(|(_, e)| self.list_entry(e, step - gap));
            let height = heights.fold(0.0, f64::max);
            for (column, entry) in shown {
                let left = x + column as f64 * step;
                self.list_entry_drawn(entry, left, tops[column], step - gap, height);
                tops[column] += height;
                deepest = deepest.max(tops[column]);
            }
        }
        deepest - y
    }

    /// Height of an entry of the list, mm.
    fn list_entry(&self, entry: &Entry, width: f64) -> f64 {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let lead = note.size * 1.24;
        let lines = self.broken(balance, note, &entry.words, width - self.words_in());
        let tallest = name.cap + lead * lines.count as f64;
        let tall = self.drawn_size(entry, self.room_scale()).1;
        tall.max(tallest + lead * 0.45) + look.row_gap * 0.8
    }

    fn list_entry_drawn(&mut self, entry: &Entry, x: f64, y: f64, width: f64, height: f64) {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let lead = note.size * 1.24;
        let indent = self.words_in();
        let lines = self.broken(balance, note, &entry.words, width - indent);
        let block = name.cap + lead * lines.lines.len() as f64;
        let middle = y + height / 2.0;
        self.draw_parts(entry, x, self.drawn_scale(), Stand::Middle(middle));
        let base = middle - block / 2.0 + name.cap;
        self.say(x + indent, base, &entry.name, name);
        self.lines(x + indent, base + lead, lead, &lines, note);
    }
}

/// How parts of different heights stand beside each other.
#[derive(Clone, Copy)]
enum Stand {
    Foot(f64),
    Middle(f64),
}
