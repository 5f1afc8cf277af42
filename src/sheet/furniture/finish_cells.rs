//! The finishes on the page: side by side, or in a list.

use super::super::paragraph::Breaker;
use super::finishes::Entry;
use super::sketch::Sketch;
use crate::range::PartId;

/// Most columns of the list.
const MOST_COLUMNS: usize = 3;
/// Most lines of an explanation under its part.
const MOST_LINES: usize = 4;
/// Least width of a line of explanation, em.
const LEAST_LINE: f64 = 8.5;

/// Largest sample of a finish, em of its name: a larger one would be a block of its own.
const MOST_WIDTH: f64 = 12.0;
const MOST_HEIGHT: f64 = 7.0;
/// Least width of the words under a part, em of the explanation: fewer are one word to a line.
const LEAST_CELL: f64 = 6.0;

impl Sketch<'_, '_, '_> {
    /// The scale at which an entry's parts are drawn where the others are drawn at `scale`.
    fn entry_scale(&self, entry: &Entry, scale: f64) -> f64 {
        let em = self.facts.look.voices.legend.size;
        let least = |scale: f64, p: &PartId| {
            let part = self.facts.part(*p);
            scale.min(MOST_WIDTH * em / part.width).min(MOST_HEIGHT * em / part.height)
        };
        entry.parts.iter().fold(scale, least)
    }

    /// Width and height of an entry's parts at a scale, mm.
    fn drawn_size(&self, entry: &Entry, scale: f64) -> (f64, f64) {
        let look = &self.facts.look;
        let scale = self.entry_scale(entry, scale);
        let parts = || entry.parts.iter().map(|p| self.facts.part(*p));
        let gaps = entry.parts.len().saturating_sub(1) as f64 * look.part_gap * 1.2;
        let width: f64 = parts().map(|p| p.width).sum();
        (width * scale + gaps, parts().map(|p| p.height).fold(0.0, f64::max) * scale)
    }

    /// Draws an entry's parts from `x` on, their feet at `foot` or their middles at `middle`.
    fn draw_parts(&mut self, entry: &Entry, x: f64, scale: f64, stand: Stand) {
        let scale = self.entry_scale(entry, scale);
        let mut at = x;
        for &part in &entry.parts {
            let (w, h) =
                (self.facts.part(part).width * scale, self.facts.part(part).height * scale);
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

    /// Widths of cells that stand in one line, their words in as few lines as that allows.
    fn cell_widths(&self, entries: &[Entry], width: f64) -> Option<Vec<f64>> {
        let look = &self.facts.look;
        let gap = look.voices.legend_note.size * 1.3;
        let least = |e: &Entry| {
            let drawn = self.drawn_size(e, self.room_scale()).0;
            drawn.max(self.widest(look.voices.legend, &e.name))
        };
        (1..=MOST_LINES).find_map(|most| {
            let words = |e: &Entry| self.narrow(&e.words, look.voices.legend_note, most).1;
            let own: Vec<f64> = entries.iter().map(|e| least(e).max(words(e)) + gap).collect();
            let spare = width + gap - own.iter().sum::<f64>();
            // What is left over widens all alike.
            let each = spare / entries.len().max(1) as f64;
            (spare >= 0.0).then(|| own.iter().map(|w| w + each).collect())
        })
    }

    fn cells(&mut self, x: f64, y: f64, width: f64) -> f64 {
        let entries = self.entries();
        match self.cell_widths(&entries, width) {
            Some(widths) => self.cells_in_line(&entries, x, y, &widths),
            None => self.cells_in_lines(&entries, x, y, width),
        }
    }

    fn cells_in_line(&mut self, entries: &[Entry], x: f64, y: f64, widths: &[f64]) -> f64 {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let scale = self.room_scale();
        let tall = entries.iter().map(|e| self.drawn_size(e, scale).1).fold(0.0, f64::max);
        let lead = note.size * 1.22;
        let base = y + tall + name.cap + name.size * 0.62;
        let mut most = 0;
        let mut left = x;
        for (entry, width) in entries.iter().zip(widths) {
            self.draw_parts(entry, left, self.drawn_scale(), Stand::Foot(y + tall));
            self.say(left, base, &entry.name, name);
            let room = width - note.size * 1.3 + 1e-6;
            let lines = self.broken(Breaker::Even, note, &entry.words, room);
            self.lines(left, base + lead, lead, &lines, note);
            most = most.max(lines.count);
            left += width;
        }
        base + lead * most as f64 - y
    }

    /// Cells of one width, in as many lines as it takes.
    fn cells_in_lines(&mut self, entries: &[Entry], x: f64, y: f64, width: f64) -> f64 {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let count = entries.len().max(1);
        let scale = self.room_scale();
        let natural = entries.iter().map(|e| self.drawn_size(e, scale).0).fold(0.0, f64::max);
        let named = entries.iter().map(|e| self.widest(name, &e.name)).fold(0.0, f64::max);
        let apart = (look.part_gap * 1.5).max(note.size);
        let least = natural.max(named).max(note.size * LEAST_CELL) + apart;
        let per_line = ((width / least).floor() as usize).clamp(1, count);
        let lines = count.div_ceil(per_line);
        let per_line = count.div_ceil(lines);
        let cell = width / per_line as f64;
        let fitted = scale * ((cell - apart) / natural.max(1e-6)).min(1.0);
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
                let lines = self.broken(Breaker::Even, note, &entry.words, room);
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
        let named = self
            .entries()
            .iter()
            .map(|e| self.widest(look.voices.legend, &e.name))
            .fold(0.0, f64::max);
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
        let columns = fitting.clamp(1, most.clamp(1, MOST_COLUMNS)).min(entries.len().max(1));
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
        let lines = self.broken(Breaker::Even, note, &entry.words, width - self.words_in());
        let tallest = name.cap + lead * lines.count as f64;
        let tall = self.drawn_size(entry, self.room_scale()).1;
        tall.max(tallest + lead * 0.45) + look.row_gap * 0.8
    }

    fn list_entry_drawn(&mut self, entry: &Entry, x: f64, y: f64, width: f64, height: f64) {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let lead = note.size * 1.24;
        let indent = self.words_in();
        let lines = self.broken(Breaker::Even, note, &entry.words, width - indent);
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
