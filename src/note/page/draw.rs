//! Puts placed blocks, title and foot on the canvas.

use kurbo::{Point, Rect, Size};

use super::super::content::{Note, Picture};
use super::blocks::{Block, CHIP, DRAWN, DRAWN_SMALL, GAP, LEAD, Row, Voices, fitted};
use super::flow::{FIGURE, FIGURES};
use crate::plan::Voice;
use crate::range::ColourRange;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::list_page::{ListPage, PlacedBlock};
use crate::sheet::paragraph::shrink;
use crate::sheet::spine::chip;
use crate::spelling::Spelling;

pub struct Pen<'a> {
    pub canvas: Canvas<'a>,
    pub voices: &'a Voices,
    pub frame: &'a ListPage,
    pub range: &'a ColourRange,
}

impl Pen<'_> {
    /// Draws every page.
    pub fn pages(
        &mut self,
        note: &Note,
        spelling: &Spelling,
        list: &[Block],
        placed: &[PlacedBlock],
    ) {
        let pages = placed.last().map_or(1, |p| p.page + 1);
        let more = spelling.phrase("continued", &[]);
        for (page, on_page) in placed.chunk_by(|a, b| a.page == b.page).enumerate() {
            if page > 0 {
                self.canvas.next_page();
                self.head(note);
            } else {
                self.title(note);
            }
            for p in on_page {
                self.block(&list[p.block], p, &more);
            }
            let numbers = [("page", (page + 1).to_string()), ("pages", pages.to_string())];
            let numbers =
                spelling.phrase("page_of", &numbers.each_ref().map(|(k, n)| (*k, n.as_str())));
            self.foot(note, if pages > 1 { &numbers } else { "" });
        }
    }

    /// A text that shrinks rather than run into its neighbour.
    fn fitted(&mut self, at: Point, text: &str, voice: Voice, room: f64) -> f64 {
        let voice = shrink(self.canvas.look, voice, text, room, 0.5);
        self.canvas.text(Point::new(at.x, at.y), text, voice, Anchor::Left)
    }

    fn title(&mut self, note: &Note) {
        let (f, v) = (self.frame, self.voices);
        self.canvas.from(Some("title"));
        let y = f.grid.top + 2.8;
        self.fitted(Point::new(f.grid.side, y), &note.maker, v.maker, f.body());
        self.fitted(Point::new(f.grid.side - 0.4, y + 13.4), &note.title, v.title, f.body());
        self.fitted(Point::new(f.grid.side, y + 20.6), &note.releases, v.lede, f.body());
        let (across, rows) = FIGURES;
        let gap = 5.0;
        let width = (f.body() - gap * (across - 1) as f64) / across as f64;
        for (i, section) in note.sections.iter().take(across * rows).enumerate() {
            let x = f.grid.side + (width + gap) * (i % across) as f64;
            let top = y + 26.6 + FIGURE * (i / across) as f64;
            self.figure(Point::new(x, top), width, section.count(), &section.title);
        }
        self.canvas.from(None);
    }

    /// How many entries a section has.
    fn figure(&mut self, at: Point, width: f64, count: usize, title: &str) {
        let (Point { x, y }, v) = (at, self.voices);
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(x, y), width, fine, ink);
        let taken =
            self.canvas.text(Point::new(x, y + 7.4), &count.to_string(), v.figure, Anchor::Left);
        // A title of two lines beside the figure.
        let room = width - taken - GAP;
        let lines = crate::sheet::paragraph::balance(self.canvas.look, v.label, title, room);
        let first = y + 7.4 - 3.8 * (lines.len().min(2) - 1) as f64;
        for (i, line) in lines.iter().take(2).enumerate() {
            self.fitted(Point::new(x + taken + GAP, first + 3.8 * i as f64), line, v.label, room);
        }
    }

    /// The line over every page but the first.
    fn head(&mut self, note: &Note) {
        let (f, v) = (self.frame, self.voices);
        self.canvas.from(Some("title"));
        let right = f.grid.side + f.body();
        let taken = self.canvas.text(
            Point::new(right, f.grid.top + 2.4),
            &note.releases,
            v.foot,
            Anchor::Right,
        );
        self.fitted(
            Point::new(f.grid.side, f.grid.top + 2.4),
            &note.title,
            v.foot,
            f.body() - taken - 4.0,
        );
        self.canvas.from(None);
    }

    fn foot(&mut self, note: &Note, page: &str) {
        let (f, v) = (self.frame, self.voices);
        let y = f.height - 11.0;
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(f.grid.side, y - 4.4), f.body(), fine, ink);
        let taken =
            self.canvas.text(Point::new(f.grid.side + f.body(), y), page, v.foot, Anchor::Right);
        let about = [note.maker.as_str(), &note.releases].into_iter().filter(|t| !t.is_empty());
        let about = about.collect::<Vec<_>>().join(" · ");
        self.fitted(Point::new(f.grid.side, y), &about, v.foot, f.body() - taken - 4.0);
    }

    fn block(&mut self, block: &Block, p: &PlacedBlock, more: &str) {
        match block {
            Block::Section { title, .. } if p.again => self.again(p, title, more),
            Block::Section { title, note, count } => self.section(p, title, note, *count),
            Block::Group { title, picture } => self.group(p, title, *picture),
            Block::Row(row) => self.row(p, row),
            Block::Remark(lines) => {
                for (i, line) in lines.iter().enumerate() {
                    let base = p.y + 3.4 + LEAD * i as f64;
                    self.canvas.text(Point::new(p.x, base), line, self.voices.line, Anchor::Left);
                }
            }
        }
    }

    fn section(&mut self, p: &PlacedBlock, title: &str, note: &str, count: usize) {
        let (v, column) = (self.voices, self.frame.column);
        let (heavy, ink) = (self.canvas.look.heavy * 1.4, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(p.x, p.y), column, heavy, ink);
        let taken = self.canvas.text(
            Point::new(p.x + column, p.y + 7.0),
            &count.to_string(),
            v.number,
            Anchor::Right,
        );
        self.fitted(Point::new(p.x, p.y + 7.0), title, v.section, column - taken - GAP);
        self.fitted(Point::new(p.x, p.y + 11.6), note, v.line, column);
    }

    /// A section's heading where it goes on.
    fn again(&mut self, p: &PlacedBlock, title: &str, more: &str) {
        let (v, column) = (self.voices, self.frame.column);
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(p.x, p.y), column, fine, ink);
        let taken =
            self.canvas.text(Point::new(p.x + column, p.y + 4.8), more, v.line, Anchor::Right);
        self.fitted(Point::new(p.x, p.y + 4.8), title, v.group, column - taken - GAP);
    }

    fn group(&mut self, p: &PlacedBlock, title: &str, picture: Option<Picture>) {
        let (v, column) = (self.voices, self.frame.column);
        let (hair, ink) = (self.canvas.look.fine, self.canvas.look.hair_ink);
        match picture {
            Some(picture) => {
                let Size { width: w, height: h } = DRAWN_SMALL;
                self.part(picture, Point::new(p.x + w / 2.0, p.y + h / 2.0 + 0.8), DRAWN_SMALL);
                let base = p.y + h / 2.0 + 0.8 + v.part.cap / 2.0;
                self.fitted(Point::new(p.x + 16.5, base), title, v.part, column - 16.5);
                self.canvas.rule(Point::new(p.x, p.y + h + 1.6), column, hair, ink);
            }
            None => {
                self.fitted(Point::new(p.x, p.y + 4.6), title, v.group, column);
                self.canvas.rule(Point::new(p.x, p.y + 6.2), column, hair, ink);
            }
        }
    }

    fn part(&mut self, picture: Picture, middle: Point, most: Size) {
        let (_, scale) = fitted(self.range, picture, most);
        self.canvas.part(picture.part, picture.colour, Point::new(middle.x, middle.y), scale);
    }

    fn row(&mut self, p: &PlacedBlock, row: &Row) {
        let v = self.voices;
        let words = row.name.len() + row.lines.len();
        let height = if row.chips.is_empty() { row.drawn.height } else { CHIP.height };
        let each = CHIP.width / row.chips.len().max(1) as f64;
        for (i, sample) in row.chips.iter().enumerate() {
            let x = p.x + each * i as f64;
            chip(&mut self.canvas, *sample, Rect::new(x, p.y, x + each, p.y + CHIP.height));
        }
        if let Some(picture) = row.picture {
            let middle = Point::new(p.x + DRAWN.width / 2.0, p.y + row.drawn.height / 2.0);
            self.part(picture, middle, DRAWN);
        }
        // Few lines are centred on what is shown, many begin at its top.
        let block = LEAD * (words.max(1) - 1) as f64 + v.name.cap;
        let first = p.y + v.name.cap + ((height - block) / 2.0).max(0.0);
        let x = p.x + row.words_at();
        let room = row.number_width;
        if !row.number.is_empty() {
            self.fitted(Point::new(x, first), &row.number, v.number, room);
        }
        let x = x + if room > 0.0 { room + GAP } else { 0.0 };
        for (i, line) in row.name.iter().enumerate() {
            self.canvas.text(Point::new(x, first + LEAD * i as f64), line, row.voice, Anchor::Left);
        }
        for (i, line) in row.lines.iter().enumerate() {
            let base = first + LEAD * (row.name.len() + i) as f64;
            self.canvas.text(Point::new(x, base), line, v.line, Anchor::Left);
        }
    }
}
