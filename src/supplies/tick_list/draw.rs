//! Puts placed blocks, title and foot on the canvas.

use kurbo::{Point, Rect};

use super::super::count::{Count, Supplies};
use super::super::naming::Naming;
use super::blocks::{
    BOX, Block, Blocks, CHIP, CHIP_AT, GAP, LEAD, NUMBER_AT, PITCH, Voices, name_at,
};
use crate::plan::Voice;
use crate::range::{ColourId, PartId};
use crate::sheet::Role;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::list_page::{ListPage, PlacedBlock};
use crate::sheet::paragraph::fitting;
use crate::sheet::spine::chip;

/// The largest that a part is drawn in its heading, mm; true size where it is smaller.
const DRAWN: (f64, f64) = (13.0, 9.0);

pub struct Pen<'a> {
    pub canvas: Canvas<'a>,
    pub voices: &'a Voices,
    pub frame: &'a ListPage,
    pub naming: &'a Naming<'a>,
    pub number_width: f64,
}

impl Pen<'_> {
    /// Draws every page.
    pub fn pages(&mut self, blocks: &Blocks, placed: &[PlacedBlock], supplies: &Supplies) {
        let pages = placed.last().map_or(1, |p| p.page + 1);
        for (page, on_page) in placed.chunk_by(|a, b| a.page == b.page).enumerate() {
            if page > 0 {
                self.canvas.next_page();
                self.head();
            } else {
                self.title(supplies);
            }
            for p in on_page {
                self.block(&blocks.list[p.block], p);
            }
            self.foot(page, pages);
        }
    }

    /// A text that shrinks, then ends early, rather than run into its neighbour.
    fn fitted(&mut self, at: Point, text: &str, voice: Voice, room: f64) -> f64 {
        let (voice, shown) = fitting(self.canvas.look, voice, text, room, 0.6);
        self.canvas.text(Point::new(at.x, at.y), &shown, voice, Anchor::Left)
    }

    fn title(&mut self, supplies: &Supplies) {
        let (f, v) = (self.frame, self.voices);
        let (x, right) = (f.grid.side, f.grid.side + f.body());
        self.canvas.from(Some("title"));
        let y = f.grid.top + 2.6;
        let maker = self.naming.spelling.apply(self.naming.range.maker());
        self.fitted(Point::new(x, y), &maker, v.maker, f.body() * 0.6);
        let release = self.naming.spelling.apply(self.naming.range.release());
        let (voice, release) = fitting(self.canvas.look, v.lede, &release, f.body() * 0.36, 0.6);
        self.canvas.text(Point::new(right, y), &release, voice, Anchor::Right);
        let naming = self.naming;
        let title = naming.say("buy_title", &[("title", &naming.title())]);
        self.fitted(Point::new(x, y + 10.8), &title, v.title, f.body());
        let lede = naming.say(
            "buy_lede",
            &[
                ("colours", &naming.counted(supplies.colours.len() as u64, "colour")),
                ("parts", &naming.counted(supplies.per_part().len() as u64, "part")),
                ("listing", &naming.listing_title()),
            ],
        );
        self.fitted(Point::new(x, y + 17.4), &lede, v.lede, f.body());
        let cells = [
            ("buy_pieces", supplies.total().count),
            ("buy_blanks_sum", supplies.tiles),
            ("buy_sheets_sum", supplies.sheets.count),
        ];
        for (i, (key, count)) in cells.into_iter().enumerate() {
            self.cell(Point::new(x + f.step * i as f64, y + 23.5), &naming.say(key, &[]), count);
        }
        self.canvas.from(None);
    }

    /// One figure of the summary: how many to buy, and how that comes about.
    fn cell(&mut self, at: Point, name: &str, count: Count) {
        let Point { x, y } = at;
        let v = self.voices;
        let (heavy, ink) = (self.canvas.look.heavy, self.canvas.look.rule_ink);
        let column = self.frame.column;
        self.canvas.rule(Point::new(x, y), column, heavy, ink);
        let figure = count.to_buy.to_string();
        let taken = self.fitted(Point::new(x, y + 8.6), &figure, v.figure, column * 0.6);
        self.fitted(Point::new(x + taken + GAP, y + 8.6), name, v.part_title, column - taken - GAP);
        let say = |key: &str, n: u64| self.naming.say(key, &[("n", &n.to_string())]);
        let mut how = say("buy_needed", count.needed);
        if count.spares > 0 {
            how = format!("{how} + {}", say("buy_spare", count.spares));
        }
        if count.in_hand > 0 {
            how = format!("{how} − {}", say("buy_in_hand", count.in_hand));
        }
        self.fitted(Point::new(x, y + 13.6), &how, v.quiet, column);
    }

    /// The line over every page but the first.
    fn head(&mut self) {
        let (f, v) = (self.frame, self.voices);
        let title = self.naming.say("buy_title", &[("title", &self.naming.title())]);
        let listing = self.naming.listing_title();
        self.canvas.from(Some("title"));
        let right = f.grid.side + f.body();
        let (voice, listing) = fitting(self.canvas.look, v.foot, &listing, f.body() * 0.4, 0.8);
        let taken =
            self.canvas.text(Point::new(right, f.grid.top + 2.4), &listing, voice, Anchor::Right);
        self.fitted(
            Point::new(f.grid.side, f.grid.top + 2.4),
            &title,
            v.foot,
            f.body() - taken - 4.0,
        );
        self.canvas.from(None);
    }

    fn foot(&mut self, page: usize, pages: usize) {
        let (f, v) = (self.frame, self.voices);
        let y = f.height - 10.0;
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(f.grid.side, y - 4.2), f.body(), fine, ink);
        let spelled = |words| self.naming.spelling.apply(words);
        let left = [spelled(self.naming.range.maker()), spelled(self.naming.range.release())];
        let left = left.into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(" · ");
        let numbers = [("page", (page + 1).to_string()), ("pages", pages.to_string())];
        let fill = numbers.each_ref().map(|(k, n)| (*k, n.as_str()));
        let right = self.naming.say("page_of", &fill);
        let end = f.grid.side + f.body();
        let taken = self.canvas.text(Point::new(end, y), &right, v.foot, Anchor::Right);
        self.fitted(Point::new(f.grid.side, y), &left, v.foot, f.body() - taken - 4.0);
    }

    fn block(&mut self, block: &Block, p: &PlacedBlock) {
        let at = Point::new(p.x, p.y);
        match block {
            Block::Section { title, .. } if p.again => self.again(at, "", title),
            Block::Part { part, .. } if p.again => {
                let number = self.naming.part_number(*part).unwrap_or("");
                let title = match (number, self.naming.part_title(*part)) {
                    ("", title) if title.is_empty() => self.naming.range.part(*part).key().clone(),
                    (_, title) => title,
                };
                self.again(at, number, &title);
            }
            Block::Section { title, count } => self.section(at, title, *count),
            Block::Part { part, colour, count } => self.part(at, *part, *colour, *count),
            Block::Family { title, count } => {
                self.family(at, title, (!p.again).then_some(*count));
            }
            Block::Row { .. } => self.row(at, block),
            Block::Note(lines) => {
                for (i, line) in lines.iter().enumerate() {
                    let base = p.y + 3.6 + LEAD * i as f64;
                    self.canvas.text(Point::new(p.x, base), line, self.voices.quiet, Anchor::Left);
                }
            }
        }
    }

    fn section(&mut self, at: Point, title: &str, count: Option<u64>) {
        let Point { x, y } = at;
        let (v, column) = (self.voices, self.frame.column);
        let (heavy, ink) = (self.canvas.look.heavy, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(x, y), column, heavy, ink);
        let figure = count.map(|n| n.to_string()).unwrap_or_default();
        let taken =
            self.canvas.text(Point::new(x + column, y + 6.4), &figure, v.part, Anchor::Right);
        self.fitted(Point::new(x, y + 6.4), title, v.section, column - taken - GAP);
    }

    fn part(&mut self, at: Point, part: PartId, colour: ColourId, count: u64) {
        let Point { x, y } = at;
        let (v, column) = (self.voices, self.frame.column);
        let (heavy, ink) = (self.canvas.look.heavy, self.canvas.look.rule_ink);
        let range = self.naming.range;
        self.canvas.from(Some(range.part(part).key()));
        self.canvas.rule(Point::new(x, y), column, heavy, ink);
        let extent = range.part(part).shape().extent;
        let scale = (DRAWN.0 / extent.width()).min(DRAWN.1 / extent.height()).min(1.0);
        self.canvas.part(
            part,
            colour,
            Point::new(x + DRAWN.0 / 2.0, y + 2.0 + DRAWN.1 / 2.0),
            scale,
        );
        let text = x + DRAWN.0 + GAP;
        let figure = count.to_string();
        let taken =
            self.canvas.text(Point::new(x + column, y + 6.0), &figure, v.part, Anchor::Right);
        let number = self.naming.part_number(part).unwrap_or("—");
        self.fitted(Point::new(text, y + 6.0), number, v.part, x + column - taken - GAP - text);
        let size = self.naming.part_size(part);
        let room = (x + column - text) * 0.45;
        let (voice, size) = fitting(self.canvas.look, v.quiet, &size, room, 0.9);
        let size_width =
            self.canvas.text(Point::new(x + column, y + 10.4), &size, voice, Anchor::Right);
        let title = self.naming.part_title(part);
        let title = if title.is_empty() { range.part(part).key().clone() } else { title };
        let room = x + column - size_width - GAP - text;
        self.fitted(Point::new(text, y + 10.4), &title, v.part_title, room);
        self.canvas.from(None);
    }

    /// A heading where its group goes on.
    fn again(&mut self, at: Point, number: &str, title: &str) {
        let Point { x, y } = at;
        let (v, column) = (self.voices, self.frame.column);
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(x, y), column, fine, ink);
        let more = self.naming.say("continued", &[]);
        let base = y + 4.6;
        let right = self.canvas.text(Point::new(x + column, base), &more, v.family, Anchor::Right);
        let taken = self.canvas.text(Point::new(x, base), number, v.count, Anchor::Left);
        let start = if taken > 0.0 { taken + GAP } else { 0.0 };
        self.fitted(Point::new(x + start, base), title, v.name, column - start - right - GAP);
    }

    fn family(&mut self, at: Point, title: &str, count: Option<u64>) {
        let Point { x, y } = at;
        let (v, column) = (self.voices, self.frame.column);
        let (hair, ink) = (self.canvas.look.fine, self.canvas.look.hair_ink);
        let base = y + 4.9;
        let figure = count.map(|n| n.to_string()).unwrap_or_default();
        let taken =
            self.canvas.text(Point::new(x + column, base), &figure, v.number, Anchor::Right);
        self.fitted(Point::new(x, base), title, v.family, column - taken - GAP);
        self.canvas.rule(Point::new(x, base + 1.5), column, hair, ink);
    }

    fn row(&mut self, at: Point, block: &Block) {
        let Point { x, y } = at;
        let Block::Row { chip: sample, number, name, voice, count, key } = block else { return };
        let v = self.voices;
        self.canvas.from(Some(key));
        let middle = y + PITCH / 2.0;
        let rect = Rect::new(x, middle - BOX / 2.0, x + BOX, middle + BOX / 2.0);
        let (fine, ink) = (self.canvas.look.heavy * 0.8, self.canvas.look.rule_ink);
        self.canvas.frame(Role::Furniture, rect, fine, ink);
        let left = match sample {
            Some(sample) => {
                let (w, h) = CHIP;
                let at = x + CHIP_AT;
                let rect = Rect::new(at, middle - h / 2.0, at + w, middle + h / 2.0);
                chip(&mut self.canvas, *sample, rect);
                NUMBER_AT
            }
            None => CHIP_AT,
        };
        let base = middle + v.count.cap / 2.0;
        let own =
            self.fitted(Point::new(x + left, base), number, v.number, self.frame.column * 0.3);
        let wide = if sample.is_some() { self.number_width } else { own };
        let start = x + name_at(sample.is_some(), number.is_empty(), wide);
        for (i, line) in name.iter().enumerate() {
            self.canvas.text(Point::new(start, base + LEAD * i as f64), line, *voice, Anchor::Left);
        }
        let right = x + self.frame.column;
        self.canvas.text(Point::new(right, base), &count.to_string(), v.count, Anchor::Right);
        self.canvas.from(None);
    }
}
