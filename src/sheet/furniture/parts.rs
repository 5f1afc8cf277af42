//! The list of parts: number, title and size of every part that is drawn.

use kurbo::Point;

use super::super::fragment::Fragment;
use super::builder::Builder;
use crate::plan::style::Voice;
use crate::range::PartId;

/// Most columns of the list.
const MOST_COLUMNS: usize = 5;

/// One line of the list: the words in every spelling.
struct Entry {
    number: String,
    title: Vec<String>,
    size: Vec<String>,
}

impl Entry {
    /// Width of title and size, one after the other, mm.
    fn words(&self, builder: &Builder<'_>, voice: Voice, gap: f64) -> f64 {
        let size = builder.widest(voice, &self.size);
        let title = builder.widest(voice, &self.title);
        title + size + if title > 0.0 && size > 0.0 { gap } else { 0.0 }
    }
}

impl Builder<'_> {
    /// The list with its heading, in as many columns as have room.
    pub(super) fn part_list(&self, width: f64) -> Fragment {
        let look = &self.facts.look;
        let body = look.voices.body;
        let strong = look.voices.heading.sized(body.size);
        let quiet = body.inked(look.voices.legend_note.ink);
        let lead = look.body_lead;
        let mut out = Fragment::of_width(width);
        let head = self.part_list_head(&mut out, lead, strong, quiet);
        let entries = self.part_entries();
        let space = body.size * 0.5;
        let widest = |of: &dyn Fn(&Entry) -> f64| entries.iter().map(of).fold(0.0, f64::max);
        let number = widest(&|e| look.width(strong, &e.number)) + body.size * 0.6;
        let words = widest(&|e| e.words(self, body, space)).max(head - number);
        let gap = look.gutter * 0.5;
        let fitting = ((width + gap) / (number + words + gap) + 1e-6).floor() as usize;
        let most = fitting.clamp(1, MOST_COLUMNS);
        // The heading is the first line of the first column.
        let rows = (self.room_parts() + 1).div_ceil(most);
        let columns = (entries.len() + 1).div_ceil(rows);
        let step = (width + gap) / columns as f64;
        for (i, entry) in entries.iter().enumerate().map(|(i, e)| (i + 1, e)) {
            let at = Point::new((i / rows) as f64 * step, lead + (i % rows) as f64 * lead);
            self.text(&mut out, at, &entry.number, strong);
            let at = Point::new(at.x + number, at.y);
            self.say(&mut out, at, &entry.title, body);
            let title = self.widest(body, &entry.title);
            let after = at.x + if title > 0.0 { title + space } else { 0.0 };
            self.say(&mut out, Point::new(after, at.y), &entry.size, quiet);
        }
        out.height = lead + (rows - 1) as f64 * lead + body.size * 0.25;
        out
    }

    /// How many lines room is kept for: more parts may be made than are drawn.
    fn room_parts(&self) -> usize {
        let made = self.facts.families.iter().flat_map(|f| &f.rows).fold(0u128, |m, r| m | r.made);
        made.count_ones() as usize
    }

    /// 'Parts', and in which unit their sizes are; returns its width.
    fn part_list_head(&self, out: &mut Fragment, base: f64, strong: Voice, quiet: Voice) -> f64 {
        let title = self.phrase("parts_title");
        self.say(out, Point::new(0.0, base), &title, strong);
        let width = self.widest(strong, &title);
        if !self.sizes_in_mm() {
            return width;
        }
        let after = width + quiet.size * 0.6;
        let unit = self.phrase("sizes_in_mm");
        self.say(out, Point::new(after, base), &unit, quiet);
        after + self.widest(quiet, &unit)
    }

    /// Do the sizes leave out their unit, which is then millimetres?
    pub(super) fn sizes_in_mm(&self) -> bool {
        let bare =
            |p: &PartId| self.facts.range.part(*p).size().text.ends_with(|c: char| c.is_numeric());
        self.shown().parts.iter().any(bare)
    }

    fn part_entries(&self) -> Vec<Entry> {
        let entry = |p: PartId| {
            let part = self.facts.range.part(p);
            // A part without a title goes by its key in files; on paper its size tells it.
            let titled = part.title().text != *part.key();
            Entry {
                number: self.facts.part(p).label.clone(),
                title: self.in_each(|s| if titled { s.apply(part.title()) } else { String::new() }),
                size: self.in_each(|s| s.apply(part.size())),
            }
        };
        self.shown().parts.into_iter().map(entry).collect()
    }
}
