//! The finishes on the page: side by side, or in a list.

use kurbo::{Point, Size};

use super::super::fragment::Fragment;
use super::super::paragraph::Breaker;
use super::builder::Builder;
use super::finishes::Entry;
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

impl Builder<'_> {
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
    fn drawn_size(&self, entry: &Entry, scale: f64) -> Size {
        let look = &self.facts.look;
        let scale = self.entry_scale(entry, scale);
        let parts = || entry.parts.iter().map(|p| self.facts.part(*p));
        let gaps = entry.parts.len().saturating_sub(1) as f64 * look.part_gap * 1.2;
        let width: f64 = parts().map(|p| p.width).sum();
        let height = parts().map(|p| p.height).fold(0.0, f64::max);
        Size::new(width * scale + gaps, height * scale)
    }

    /// An entry's parts side by side, as high as the tallest.
    fn parts_beside(&self, entry: &Entry, scale: f64, align: Align) -> Fragment {
        let Size { width, height } = self.drawn_size(entry, scale);
        let scale = self.entry_scale(entry, scale);
        let mut out = Fragment::of_width(width);
        out.height = height;
        let mut x = 0.0;
        for &part in &entry.parts {
            let facts = self.facts.part(part);
            let (w, h) = (facts.width * scale, facts.height * scale);
            let y = match align {
                Align::Foot => height - h / 2.0,
                Align::Middle => height / 2.0,
            };
            out.part(part, entry.colour, Point::new(x + w / 2.0, y), scale);
            x += w + self.facts.look.part_gap * 1.2;
        }
        out
    }

    /// Finishes side by side under a title.
    pub(super) fn finish_cells(&self, width: f64) -> Fragment {
        let look = &self.facts.look;
        let mut out = Fragment::of_width(width);
        let title = self.phrase("finishes_title");
        let down = look.voices.section.size * 1.45;
        self.say(&mut out, Point::new(0.0, down), &title, look.voices.section);
        let entries = self.entries();
        let cells = match self.cell_widths(&entries, width) {
            Some(widths) => self.cells_in_line(&entries, &widths, width),
            None => self.cells_in_lines(&entries, width),
        };
        out.put(Point::new(0.0, down + look.module * 1.2), cells);
        out
    }

    /// Widths of cells that are in one line, their words in as few lines as that allows.
    fn cell_widths(&self, entries: &[Entry], width: f64) -> Option<Vec<f64>> {
        let look = &self.facts.look;
        let gap = look.voices.legend_note.size * 1.3;
        let least = |e: &Entry| {
            let drawn = self.drawn_size(e, self.room_scale()).width;
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

    fn cells_in_line(&self, entries: &[Entry], widths: &[f64], width: f64) -> Fragment {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let scale = self.room_scale();
        let tall = entries.iter().map(|e| self.drawn_size(e, scale).height).fold(0.0, f64::max);
        let lead = note.size * 1.22;
        let base = tall + name.cap + name.size * 0.62;
        let mut out = Fragment::of_width(width);
        let mut most = 0;
        let mut left = 0.0;
        for (entry, width) in entries.iter().zip(widths) {
            let parts = self.parts_beside(entry, self.drawn_scale(), Align::Foot);
            out.put(Point::new(left, tall - parts.height), parts);
            self.say(&mut out, Point::new(left, base), &entry.name, name);
            let room = width - note.size * 1.3 + 1e-6;
            let lines = self.broken(Breaker::Even, note, &entry.words, room);
            lines.put_into(&mut out, Point::new(left, base + lead), lead);
            most = most.max(lines.count);
            left += width;
        }
        out.height = base + lead * most as f64;
        out
    }

    /// Cells of one width, in as many lines as it takes.
    fn cells_in_lines(&self, entries: &[Entry], width: f64) -> Fragment {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let count = entries.len().max(1);
        let scale = self.room_scale();
        let natural = entries.iter().map(|e| self.drawn_size(e, scale).width).fold(0.0, f64::max);
        let named = entries.iter().map(|e| self.widest(name, &e.name)).fold(0.0, f64::max);
        let apart = (look.part_gap * 1.5).max(note.size);
        let least = natural.max(named).max(note.size * LEAST_CELL) + apart;
        let per_line = ((width / least).floor() as usize).clamp(1, count);
        let lines = count.div_ceil(per_line);
        let per_line = count.div_ceil(lines);
        let cell = width / per_line as f64;
        let fitted = scale * ((cell - apart) / natural.max(1e-6)).min(1.0);
        let drawn = self.drawn_scale().min(fitted);
        let tall = entries.iter().map(|e| self.drawn_size(e, fitted).height).fold(0.0, f64::max);
        let lead = note.size * 1.22;
        let mut out = Fragment::of_width(width);
        let mut top = 0.0;
        for line in entries.chunks(per_line) {
            let name_line = top + tall + name.cap + name.size * 0.62;
            let mut deepest = name_line;
            for (i, entry) in line.iter().enumerate() {
                let left = i as f64 * cell;
                let parts = self.parts_beside(entry, drawn, Align::Foot);
                out.put(Point::new(left, top + tall - parts.height), parts);
                self.say(&mut out, Point::new(left, name_line), &entry.name, name);
                let room = (cell - look.part_gap * 2.0) * 0.92;
                let lines = self.broken(Breaker::Even, note, &entry.words, room);
                lines.put_into(&mut out, Point::new(left, name_line + lead), lead);
                deepest = deepest.max(name_line + lead * lines.count as f64);
            }
            top = deepest + look.module;
        }
        out.height = top - look.module;
        out
    }

    /// Width that the longest name in the list of finishes needs with its parts.
    pub(super) fn finish_list_width(&self, entries: &[Entry]) -> f64 {
        let look = &self.facts.look;
        let named = entries.iter().map(|e| self.widest(look.voices.legend, &e.name));
        let longest = named.fold(0.0, f64::max);
        self.words_in(entries) + longest.max(look.voices.legend_note.size * LEAST_LINE)
    }

    /// How far the words of the list stand in from its parts' left edge, mm.
    fn words_in(&self, entries: &[Entry]) -> f64 {
        let scale = self.room_scale();
        let drawn = entries.iter().map(|e| self.drawn_size(e, scale).width).fold(0.0, f64::max);
        drawn + self.facts.look.part_gap * 2.0
    }

    /// Finishes in a list of as many columns as have room, at most `most`.
    pub(super) fn finish_list(&self, entries: &[Entry], width: f64, most: usize) -> Fragment {
        let gap = self.facts.look.gutter * 0.6;
        let need = self.finish_list_width(entries) + gap;
        let indent = self.words_in(entries);
        let fitting = ((width + gap) / need + 1e-6).floor() as usize;
        let columns = fitting.clamp(1, most.clamp(1, MOST_COLUMNS)).min(entries.len().max(1));
        let rows = entries.len().div_ceil(columns).max(1);
        let step = (width + gap) / columns as f64;
        let mut out = Fragment::of_width(width);
        let mut top = 0.0;
        for line in 0..rows {
            let shown = (0..columns).filter_map(|c| Some((c, entries.get(c * rows + line)?)));
            let made = shown.map(|(c, e)| (c, self.list_entry(e, indent, step - gap)));
            let made: Vec<(usize, Fragment)> = made.collect();
            // One height a line, so that entries of neighbouring columns are level.
            let height = made.iter().map(|(_, e)| e.height).fold(0.0, f64::max);
            for (column, entry) in made {
                let down = (height - entry.height) / 2.0;
                out.put(Point::new(column as f64 * step, top + down), entry);
            }
            top += height;
        }
        out.height = top;
        out
    }

    /// An entry of the list, its words `indent` from the left edge of its parts; both level with its middle.
    fn list_entry(&self, entry: &Entry, indent: f64, width: f64) -> Fragment {
        let look = &self.facts.look;
        let (name, note) = (look.voices.legend, look.voices.legend_note);
        let lead = note.size * 1.24;
        let lines = self.broken(Breaker::Even, note, &entry.words, width - indent);
        let tallest = name.cap + lead * lines.count as f64;
        let tall = self.drawn_size(entry, self.room_scale()).height;
        let height = tall.max(tallest + lead * 0.45) + look.row_gap * 0.8;
        let mut out = Fragment::of_width(width);
        let parts = self.parts_beside(entry, self.drawn_scale(), Align::Middle);
        let middle = height / 2.0;
        out.put(Point::new(0.0, middle - parts.height / 2.0), parts);
        let block = name.cap + lead * lines.own_count() as f64;
        let base = middle - block / 2.0 + name.cap;
        self.say(&mut out, Point::new(indent, base), &entry.name, name);
        lines.put_into(&mut out, Point::new(indent, base + lead), lead);
        out.height = height;
        out
    }
}

/// How parts of different heights are beside each other.
#[derive(Clone, Copy)]
enum Align {
    Foot,
    Middle,
}
