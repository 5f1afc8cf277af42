//! The page of a proof that is not the sheet: what the paper makes of every colour and every pair
//! of look-alikes, in figures.

use kurbo::{Point, Rect};

use super::list::{List, Measures};
use super::seen::on;
use crate::colour::lookalike::words;
use crate::colour::to_rgb;
use crate::graphic::{Rgb, lab};
use crate::plan::Look;
use crate::press::report::{ColourLine, PairLine};
use crate::press::tell::{self, Case, Fault, Names, faults};
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::{fitting, wrap};
use crate::sheet::words::difference_words;
use crate::sheet::{About, Role, Sheet, Workshop};
use crate::spelling::Spelling;

/// Swatches lighter than this get an edge, or they would be lost on the page.
const PALE: f64 = 92.0;
/// Of the page under the head, what the list of colours takes at most.
const COLOURS: f64 = 0.5;

/// One page of the size of `sheet` with the report of a paper.
pub fn pages(
    sheet: &Sheet,
    look: &Look,
    case: &Case<'_>,
    (names, spelling): (Names<'_>, &Spelling),
) -> Sheet {
    let workshop = Workshop::empty();
    let measures = Measures::new(look, sheet.width, sheet.height);
    let canvas = Canvas::new(look, &workshop);
    let mut pen = Pen { canvas, look, case, names, spelling, y: look.top, m: measures };
    pen.head();
    pen.colours();
    pen.pairs();
    pen.canvas.finish(sheet.width, sheet.height, sheet.bleed, about(sheet))
}

/// The pages have the sheet's metadata.
pub fn about(sheet: &Sheet) -> About {
    sheet.about.clone()
}

struct Pen<'a> {
    canvas: Canvas<'a>,
    look: &'a Look,
    case: &'a Case<'a>,
    names: Names<'a>,
    spelling: &'a Spelling,
    m: Measures,
    y: f64,
}

impl Pen<'_> {
    fn say(&self, key: &str) -> String {
        self.spelling.phrase(key, &[])
    }

    /// A text that shrinks, then ends early, rather than leave its room.
    fn put(&mut self, at: (f64, f64), text: &str, voice: crate::plan::Voice, room: f64) {
        let (voice, text) = fitting(self.look, voice, text, room, 0.8);
        self.canvas.text(Point::from(at), &text, voice, Anchor::Left);
    }

    /// Paper, how it is printed on, and the sums.
    fn head(&mut self) {
        let m = self.m;
        let title = self.look.voices.family;
        self.y += title.size;
        let text = self.spelling.phrase("proof_title", &[("paper", self.case.paper_name)]);
        self.put((m.left, self.y), &text, title, m.width());
        self.y += m.line * 0.9;
        let how = if self.case.how == "plain" { "proof_plain" } else { "proof_tuned" };
        let mut reported = self.say(how);
        if let Some((readings, _)) = tell::corrected(self.case.paper) {
            let count = [("n", &*readings.to_string())];
            reported += &format!(" {}", self.spelling.phrase("proof_corrected", &count));
        }
        reported += &format!(" {}", self.say("proof_note"));
        let text = self.look.voices.body;
        for line in wrap(self.look, text, &reported, m.width().min(text.size * 80.0)) {
            self.put((m.left, self.y), &line, text, m.width());
            self.y += self.look.body_lead;
        }
        self.totals();
    }

    /// The sums in cells of one width, each figure over what it counts.
    fn totals(&mut self) {
        let t = &self.case.report.totals;
        let cells = [
            ("proof_colours", t.colours.to_string()),
            ("proof_in_gamut", t.in_gamut.to_string()),
            ("proof_mean", format!("{:.2}", t.mean)),
            ("proof_most", format!("{:.2}", t.most)),
            ("proof_pairs", t.pairs.to_string()),
            ("proof_together", t.together.to_string()),
            ("proof_lightness", t.lightness_swapped.to_string()),
            ("proof_hue", t.hue_swapped.to_string()),
            ("proof_strength", t.strength_swapped.to_string()),
            ("proof_turned", t.turned.to_string()),
        ];
        let m = self.m;
        let in_row = if m.width() > m.body.size * 130.0 { 10 } else { 5 };
        let step = (m.width() + self.look.gutter) / in_row as f64;
        let room = step - self.look.gutter;
        let large = m.figure.sized(m.body.size * 1.7);
        let tall = large.cap + m.line * 1.15;
        for (i, (key, figure)) in cells.iter().enumerate() {
            let x = m.left + (i % in_row) as f64 * step;
            let y = self.y + (i / in_row) as f64 * (tall + m.line * 0.45);
            self.canvas.rule(Point::new(x, y), room, self.look.fine, self.look.rule_ink);
            self.put((x, y + m.body.size * 0.8 + large.cap), figure, large, room);
            let name = self.say(key);
            self.put((x, y + tall), &name, m.quiet, room);
        }
        self.y += (cells.len() / in_row) as f64 * (tall + m.line * 0.45) + m.line * 0.6;
    }

    /// Rule, title and the heads of the figures' columns, over every column of the list.
    fn section(&mut self, title: &str, list: &List, heads: &[String; 3]) {
        let (m, section) = (self.m, self.look.voices.section);
        self.canvas.rule(Point::new(m.left, self.y), m.width(), self.look.fine, self.look.rule_ink);
        self.y += section.size * 1.5;
        let title = self.say(title);
        self.put((m.left, self.y), &title, section, m.width());
        self.y += m.line * 1.2;
        for column in 0..list.columns {
            let x = m.left + column as f64 * m.step;
            self.put((x, self.y), &heads[0], m.quiet, list.names_at - m.body.size * 0.5);
            for (right, head) in [(list.first_right, &heads[1]), (list.second_right, &heads[2])] {
                self.canvas.text(Point::new(x + right, self.y), head, m.quiet, Anchor::Right);
            }
        }
        self.y += m.line * 0.45;
    }

    /// What is not on the page.
    fn rest(&mut self, list: &List, count: usize) {
        self.y += list.rows as f64 * list.pitch;
        if list.shown < count {
            let n = (count - list.shown).to_string();
            let text = self.spelling.phrase("proof_more", &[("n", &n)]);
            self.put((self.m.left, self.y + self.m.body.size), &text, self.m.quiet, self.m.width());
        }
        self.y += self.m.line * 1.1;
    }

    fn colours(&mut self) {
        let lines = &self.case.report.colours;
        let heads = ["proof_chips", "proof_difference", "proof_nearest"].map(|k| self.say(k));
        let figures = lines.iter().map(|l| (figure(l.off), figure(l.least)));
        let numbers = lines.iter().map(|l| self.number(l.colour));
        let chips = 2.0 * self.m.chip();
        let room = (self.m.bottom - self.y) * COLOURS;
        let list = List::new(
            (self.look, &self.m),
            (lines.len(), room - self.m.over(self.look)),
            (chips, self.m.line, &heads),
            (figures, numbers),
        );
        if list.shown == 0 {
            return;
        }
        self.section("proof_colours_title", &list, &heads);
        let top = self.y;
        for (i, line) in lines.iter().take(list.shown).enumerate() {
            let (x, y) = list.at(&self.m, i, top);
            self.colour(line, &list, x, y);
        }
        self.rest(&list, lines.len());
    }

    fn colour(&mut self, line: &ColourLine, list: &List, x: f64, y: f64) {
        let (m, chip) = (self.m, self.m.chip());
        self.swatch(x, y, chip, to_rgb(line.aim).0);
        self.swatch(x + chip, y, chip, on(self.case.paper, line.value));
        let base = y + m.base();
        let number = self.number(line.colour);
        let name = self.name(line.colour);
        let from = x + list.names_at;
        let (voice, number) = fitting(self.look, m.figure, &number, list.number_width, 0.8);
        self.canvas.text(Point::new(from, base), &number, voice, Anchor::Left);
        let from = from + list.names_in;
        self.put((from, base), &name, m.body, x + list.names_end - from);
        self.canvas.text(
            Point::new(x + list.first_right, base),
            &figure(line.off),
            m.figure,
            Anchor::Right,
        );
        if !line.in_gamut() {
            let quiet = m.figure.inked(m.quiet.ink);
            self.canvas.text(
                Point::new(x + list.second_right, base),
                &figure(line.least),
                quiet,
                Anchor::Right,
            );
        }
    }

    fn pairs(&mut self) {
        let lines = &self.case.report.pairs;
        let heads = ["proof_chips", "proof_aimed", "proof_printed"].map(|k| self.say(k));
        let figures = lines.iter().map(|l| (figure(l.aimed), figure(l.shown)));
        let chips = 4.0 * self.m.chip() * 0.75 + self.m.body.size * 0.35;
        let room = self.m.bottom - self.y - self.m.over(self.look) - self.m.line;
        let none = std::iter::empty::<String>();
        let list = List::new(
            (self.look, &self.m),
            (lines.len(), room),
            (chips, self.m.line * 1.75, &heads),
            (figures, none),
        );
        if list.shown == 0 {
            return;
        }
        self.section("proof_pairs_title", &list, &heads);
        let top = self.y;
        for (i, line) in lines.iter().take(list.shown).enumerate() {
            let (x, y) = list.at(&self.m, i, top);
            self.pair(line, &list, x, y);
        }
        self.rest(&list, lines.len());
    }

    /// Both names on a line; under it what is wrong with the pair, else how they differ as printed.
    fn pair(&mut self, line: &PairLine, list: &List, x: f64, y: f64) {
        let (m, print) = (self.m, self.case.print);
        let (chip, gap) = (m.chip() * 0.75, m.body.size * 0.35);
        for (n, i) in [line.first, line.second].into_iter().enumerate() {
            let at = x + n as f64 * chip;
            self.swatch(at, y, chip, to_rgb(print.aims[i]).0);
            self.swatch(at + 2.0 * chip + gap, y, chip, on(self.case.paper, print.values[i]));
        }
        let name = |i: usize| format!("{} {}", self.number(i), self.name(i)).trim().to_owned();
        let text = format!("{} \u{2013} {}", name(line.first), name(line.second));
        let base = y + m.base();
        let from = x + list.names_at;
        let room = x + list.names_end - from;
        self.put((from, base), &text, m.body, room);
        let what = self.what(line);
        self.put((from, base + m.body.size * 1.15), &what, m.quiet, room);
        for (right, value) in [(list.first_right, line.aimed), (list.second_right, line.shown)] {
            self.canvas.text(Point::new(x + right, base), &figure(value), m.figure, Anchor::Right);
        }
    }

    fn what(&self, line: &PairLine) -> String {
        let keys = faults(line).into_iter().map(|fault| match fault {
            Fault::Together => "verdict_together",
            Fault::Close => "verdict_close",
            Fault::Lightness => "verdict_lightness",
            Fault::Hue => "verdict_hue",
            Fault::Strength => "verdict_strength",
        });
        let said: Vec<String> = keys.map(|key| self.say(key)).collect();
        if !said.is_empty() {
            return said.join(&self.say("differs_and"));
        }
        let shown = &self.case.print.shown;
        difference_words(self.spelling, &words(shown[line.first], shown[line.second]))
    }

    /// The number of a colour of the report in the listing; empty where it has none.
    fn number(&self, i: usize) -> String {
        let colour = self.names.range.colour(self.case.print.colours[i]);
        colour.numbers()[self.names.listing.0].value.clone().unwrap_or_default()
    }

    /// Its name there, else in another listing, else its key.
    fn name(&self, i: usize) -> String {
        let colour = self.names.range.colour(self.case.print.colours[i]);
        let own = colour.names()[self.names.listing.0].as_ref();
        let words = own.or_else(|| colour.names().iter().flatten().next());
        words.map_or_else(|| colour.key().clone(), |w| self.spelling.apply(w))
    }

    fn swatch(&mut self, x: f64, y: f64, side: f64, rgb: Rgb) {
        let rect = Rect::new(x, y, x + side, y + self.m.line * 0.86);
        self.canvas.rect(Role::Swatch, rect, rgb);
        if lab(rgb).l > PALE {
            self.canvas.frame(Role::Furniture, rect, self.look.hair, self.look.hair_ink);
        }
    }
}

/// A difference as it is printed: all have as many decimals, so that they line up.
fn figure(value: f64) -> String {
    format!("{value:.2}")
}
