//! Puts placed blocks, title and foot on the canvas.

use kurbo::{Point, Rect};

use super::blocks::{Block, CAPTION, FIRST, LEAD, PAIR_GAP, WORDS_LEAD};
use super::flow::{BlockPart, PlacedPart};
use super::shapes::DrawnParts;
use super::voices::Voices;
use crate::panels::foot::fitted;
use crate::plan::Voice;
use crate::range::ColourId;
use crate::sheet::Sample;
use crate::sheet::canvas::{Anchor, Canvas, NamedDrawing};
use crate::sheet::list_page::ListPage;
use crate::sheet::paragraph::shrink;
use crate::sheet::ruler::{self, Length};
use crate::sheet::spine::chip;
use crate::supplies::Naming;
use crate::units::MM_PER_INCH;

/// Between words on a line, mm.
const GAP: f64 = 2.0;
/// A colour's chip in the title, mm.
const CHIP: (f64, f64) = (9.0, 4.6);
/// Height of the ruler's ticks, and of its line over the page's lower edge, mm.
const TICK: f64 = 2.6;
const RULER: f64 = 11.0;

pub struct Pen<'a> {
    pub canvas: Canvas<'a>,
    pub voices: &'a Voices,
    pub frame: &'a ListPage,
    pub naming: &'a Naming<'a>,
    pub shown: &'a DrawnParts,
}

impl Pen<'_> {
    /// Draws every page.
    pub fn pages(&mut self, blocks: &[Block], placed: &[PlacedPart]) {
        let pages = placed.last().map_or(1, |p| p.page + 1);
        self.title();
        for page in 0..pages {
            if page > 0 {
                self.canvas.next_page();
                self.head();
            }
            for p in placed.iter().filter(|p| p.page == page) {
                let block = &blocks[p.block];
                let key = self.naming.range.part(self.shown.entries[block.entry].part).key();
                self.canvas.from(Some(key));
                match p.what {
                    BlockPart::Words => self.words(block, p.y),
                    BlockPart::Again => self.again(block, p.y),
                    BlockPart::Line(line) => self.line(block, line, p.y),
                }
                self.canvas.from(None);
            }
            self.foot(page, pages);
        }
    }

    /// A text that shrinks, then ends early, rather than run into its neighbour.
    fn fitted(&mut self, at: (f64, f64), text: &str, voice: Voice, room: f64) {
        fitted(&mut self.canvas, at, text, voice, room);
    }

    fn title(&mut self) {
        let (f, v) = (self.frame, self.voices);
        let (x, right, y) = (f.grid.side, f.grid.side + f.body(), f.grid.top + 2.6);
        self.canvas.from(Some("title"));
        let maker = self.naming.spelling.apply(self.naming.range.maker());
        self.fitted((x, y), &maker, v.maker, f.body() * 0.6);
        let release = self.naming.spelling.apply(self.naming.range.release());
        let voice = shrink(self.canvas.look, v.lede, &release, f.body() * 0.35, 0.5);
        self.canvas.text(Point::new(right, y), &release, voice, Anchor::Right);
        let title = self.naming.say("shapes_title", &[("title", &self.naming.title())]);
        self.fitted((x, y + 10.8), &title, v.title, f.body());
        let parts = self.naming.counted(self.shown.entries.len() as u64, "part");
        let lede = self.naming.say("shapes_lede", &[("parts", &parts)]);
        self.fitted((x, y + 17.4), &lede, v.lede, f.body());
        let half = f.body() / 2.0;
        let words = [("shapes_left", self.shown.pair.pale), ("shapes_right", self.shown.pair.dark)];
        for (i, (which, colour)) in words.into_iter().enumerate() {
            if let Some(colour) = colour {
                self.colour((x + half * i as f64, y + 22.0), which, colour, half - GAP);
            }
        }
        self.canvas.from(None);
    }

    /// One of the two colours: its place in each pair, its chip, number and name.
    fn colour(&mut self, at: (f64, f64), which: &str, colour: ColourId, room: f64) {
        let v = self.voices;
        let (x, y) = at;
        let base = y + CHIP.1 / 2.0 + v.colour.cap / 2.0;
        let which = self.naming.say(which, &[]);
        let taken = self.canvas.text(Point::new(x, base), &which, v.foot, Anchor::Left) + GAP;
        let rect = Rect::new(x + taken, y, x + taken + CHIP.0, y + CHIP.1);
        chip(&mut self.canvas, Sample::of(self.naming.range, colour), rect);
        let start = rect.x1 + GAP;
        let name = self.naming.colour(colour);
        self.fitted((start, base), &name, v.colour, x + room - start);
    }

    /// The line over every page but the first.
    fn head(&mut self) {
        let (f, v) = (self.frame, self.voices);
        let title = self.naming.say("shapes_title", &[("title", &self.naming.title())]);
        self.canvas.from(Some("title"));
        self.fitted((f.grid.side, f.grid.top + 2.4), &title, v.foot, f.body());
        self.canvas.from(None);
    }

    fn foot(&mut self, page: usize, pages: usize) {
        let (f, v) = (self.frame, self.voices);
        let line = f.height - RULER;
        self.canvas.from(Some("ruler"));
        ruler::draw(&mut self.canvas, v.ruler, Point::new(f.grid.side, line), TICK, Length::Whole);
        self.canvas.from(Some("foot"));
        let end = f.grid.side + f.body();
        let numbers = [("page", (page + 1).to_string()), ("pages", pages.to_string())];
        let fill = numbers.each_ref().map(|(k, n)| (*k, n.as_str()));
        let at = self.naming.say("page_of", &fill);
        let base = line + v.foot.cap / 2.0;
        let taken = self.canvas.text(Point::new(end, base), &at, v.foot, Anchor::Right);
        let start = f.grid.side + 4.0 * MM_PER_INCH + 3.0 * GAP;
        let note = self.naming.spelling.phrase("ruler_note", &[("length", Length::Whole.text())]);
        self.fitted((start, base), &note, v.foot, end - taken - 2.0 * GAP - start);
        self.canvas.from(None);
    }

    /// Rule, number, title, size and what was understood.
    fn words(&mut self, block: &Block, y: f64) {
        let (f, v) = (self.frame, self.voices);
        let (heavy, ink) = (self.canvas.look.heavy, self.canvas.look.rule_ink);
        let x = f.grid.side;
        self.canvas.rule(Point::new(x, y), f.body(), heavy, ink);
        let mut base = y + FIRST;
        let width = if block.beside { block.right() - GAP } else { f.body() };
        if block.beside {
            self.fitted((x, base), &block.number, v.number, width);
            base += LEAD;
            self.fitted((x, base), &block.title, v.part_title, width);
            base += LEAD;
            self.fitted((x, base), &block.size, v.size, width);
        } else {
            let size =
                self.canvas.text(Point::new(x + width, base), &block.size, v.size, Anchor::Right);
            let number = shrink(self.canvas.look, v.number, &block.number, width * 0.3, 0.4);
            let taken = self.canvas.text(Point::new(x, base), &block.number, number, Anchor::Left);
            let start = if taken > 0.0 { taken + 1.5 * GAP } else { 0.0 };
            let room = width - start - size - GAP;
            self.fitted((x + start, base), &block.title, v.part_title, room);
        }
        base += LEAD;
        for (i, line) in block.facts.iter().enumerate() {
            self.fitted((x, base + WORDS_LEAD * i as f64), line, v.quiet, width);
        }
    }

    /// A part that goes on from the page before.
    fn again(&mut self, block: &Block, y: f64) {
        let (f, v) = (self.frame, self.voices);
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.rule(Point::new(f.grid.side, y), f.body(), fine, ink);
        let more = self.naming.say("continued", &[]);
        let end = f.grid.side + f.body();
        let taken = self.canvas.text(Point::new(end, y + 5.0), &more, v.again, Anchor::Right);
        let title = format!("{} {}", block.number, block.title);
        let room = f.body() - taken - GAP;
        self.fitted((f.grid.side, y + 5.0), title.trim(), v.part_title, room);
    }

    /// One line of drawings with their captions.
    fn line(&mut self, block: &Block, line: usize, y: f64) {
        let cells = block.cells.iter().skip(line * block.per_line).take(block.per_line);
        let (w, h) = block.drawn;
        let entry = &self.shown.entries[block.entry];
        let pair = self.shown.pair.colours();
        let samples: Vec<Sample> = pair.map(|c| Sample::of(self.naming.range, c)).collect();
        for (i, cell) in cells.enumerate() {
            let x = self.frame.grid.side + block.right() + i as f64 * block.step;
            for (n, &colour) in cell.colours.iter().enumerate() {
                let drawing = &entry.drawings[cell.finish][colour];
                let which = ["pale", "dark"][colour.min(1)];
                let finish = self.shown.finishes[cell.finish].word();
                let name = format!("p{}-{finish}-{which}", entry.part.0 + 1);
                let at = Point::new(x + w / 2.0 + n as f64 * (w + PAIR_GAP), y + h / 2.0);
                let drawn = NamedDrawing { name, drawing, sample: samples[colour] };
                self.canvas.drawing(drawn, at, block.scale);
            }
            let voice = self.voices.caption(cell.warns);
            self.canvas.text(
                Point::new(x, y + h + CAPTION - 0.6),
                &cell.caption,
                voice,
                Anchor::Left,
            );
        }
    }
}
