//! The pages of a proof that are not the sheet: the report, and the picture of
//! aim and paper side by side.

use kurbo::Rect;

use super::seen::on;
use crate::colour::to_rgb;
use crate::graphic::{Rgb, lab};
use crate::plan::Look;
use crate::plan::style::Voice;
use crate::press::report::{ColourLine, PairLine};
use crate::press::tell::{Case, Names, second_is, verdict};
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::{shrink, wrap};
use crate::sheet::{About, Role, Sheet, Workshop};

/// Lines of each list at most: a page is for the worst, the tables have all.
const MOST: usize = 200;

/// One page of the size of `sheet` with the report of a paper.
pub fn pages(sheet: &Sheet, look: &Look, case: &Case<'_>, names: Names<'_>) -> Sheet {
    let workshop = Workshop::empty();
    let mut pen = Pen::new(look, &workshop, (sheet.width, sheet.height), case, names);
    pen.head();
    pen.colours();
    pen.pairs();
    pen.canvas.finish(sheet.width, sheet.height, sheet.bleed, about(sheet))
}

/// Swatches lighter than this get an edge, or they would be lost on the page.
const PALE: f64 = 92.0;

/// `aim` at the left, `paper` at the right, each under its name.
pub fn side_by_side(aim: Sheet, paper: Sheet, look: &Look, words: [&str; 2]) -> Sheet {
    let (aim, paper) = (trimmed(aim), trimmed(paper));
    let gap = look.gutter;
    let voice = look.voices.section;
    let head = voice.size * 2.4;
    let (height, dx) = (aim.height + head, aim.width + gap);
    let about = about(&aim);
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(look, &workshop);
    for (x, text) in [(look.side, words[0]), (dx + look.side, words[1])] {
        canvas.text(x, voice.size * 1.6, text, voice, Anchor::Left);
    }
    let heads = canvas.finish(dx + paper.width, height, 0.0, about);
    let ground = Rgb(226, 226, 226);
    let mut both = aim.on_ground(Rgb::WHITE).beside(paper, gap).lowered(head);
    for page in &mut both.pages {
        page.items.extend(heads.pages[0].items.iter().cloned());
    }
    both.on_ground(ground)
}

/// A picture of a page ends at its trim.
fn trimmed(mut sheet: Sheet) -> Sheet {
    sheet.bleed = 0.0;
    sheet
}

fn about(sheet: &Sheet) -> About {
    sheet.about.clone()
}

struct Pen<'a> {
    canvas: Canvas<'a>,
    look: &'a Look,
    case: &'a Case<'a>,
    names: Names<'a>,
    body: Voice,
    quiet: Voice,
    /// One line of a list, mm.
    line: f64,
    left: f64,
    right: f64,
    bottom: f64,
    /// Width of a column of a list and its step.
    column: f64,
    step: f64,
    y: f64,
}

impl<'a> Pen<'a> {
    fn new(
        look: &'a Look,
        workshop: &'a Workshop,
        (width, height): (f64, f64),
        case: &'a Case<'a>,
        names: Names<'a>,
    ) -> Pen<'a> {
        let body = look.voices.body;
        let (left, right) = (look.side, width - look.side);
        let least = body.size * 42.0;
        let columns = ((right - left + look.gutter) / (least + look.gutter)).floor().max(1.0);
        let step = (right - left + look.gutter) / columns;
        Pen {
            canvas: Canvas::new(look, workshop),
            look,
            case,
            names,
            body,
            quiet: body.inked(look.voices.legend_note.ink),
            line: body.size * 1.75,
            left,
            right,
            bottom: height - look.bottom,
            column: step - look.gutter,
            step,
            y: look.top,
        }
    }

    fn head(&mut self) {
        let (title, section) = (self.look.voices.family, self.look.voices.section);
        self.y += title.size;
        let text = format!("On the paper \u{2018}{}\u{2019}", self.case.paper_name);
        self.canvas.text(self.left, self.y, &text, title, Anchor::Left);
        self.y += self.line;
        let t = &self.case.report.totals;
        let told = format!(
            "Printed {}. {} colours, {} of them in the gamut of the paper; mean difference from the aim {:.2}, \
             largest {:.2}. {} pairs of look-alikes: {} fall together, {} change their order of lightness, \
             {} their order of hue. Differences are CIEDE2000, beside the white of the paper; two colours \
             under 2 can hardly be told apart.",
            match self.case.how {
                "plain" => "without care",
                _ => "with values that keep pairs apart",
            },
            t.colours,
            t.in_gamut,
            t.mean,
            t.most,
            t.pairs,
            t.together,
            t.lightness_swapped,
            t.hue_swapped
        );
        let room = (self.right - self.left).min(self.body.size * 80.0);
        for line in wrap(self.look, self.body, &told, room) {
            self.canvas.text(self.left, self.y, &line, self.body, Anchor::Left);
            self.y += self.look.body_lead;
        }
        self.y += section.size;
    }

    fn section(&mut self, title: &str) {
        let section = self.look.voices.section;
        self.canvas.rule(
            self.left,
            self.y,
            self.right - self.left,
            self.look.fine,
            self.look.rule_ink,
        );
        self.y += section.size * 1.5;
        self.canvas.text(self.left, self.y, title, section, Anchor::Left);
        self.y += section.size * 0.8;
    }

    /// Lines in columns, from the top to `bottom` or as far as they reach.
    fn list(&mut self, count: usize, bottom: f64, draw: impl Fn(&mut Self, usize, f64, f64)) {
        let rows = ((bottom - self.y) / self.line).floor().max(1.0) as usize;
        let columns = ((self.right - self.left + self.look.gutter) / self.step).round() as usize;
        let shown = count.min(MOST).min(rows * columns.max(1));
        let rows = shown.div_ceil(columns.max(1));
        let top = self.y;
        for i in 0..shown {
            let x = self.left + (i / rows) as f64 * self.step;
            draw(self, i, x, top + (i % rows) as f64 * self.line);
        }
        self.y = top + rows as f64 * self.line;
        if shown < count {
            self.y += self.body.size;
            let text = format!("{} more in the tables beside this file", count - shown);
            self.canvas.text(self.left, self.y, &text, self.quiet, Anchor::Left);
            self.y += self.body.size * 0.5;
        }
        self.y += self.line;
    }

    fn colours(&mut self) {
        self.section("Colours, the farthest from their aim first: aim, paper, difference");
        let lines = self.case.report.colours.clone();
        let bottom = self.y + (self.bottom - self.y) * 0.46;
        self.list(lines.len(), bottom, |pen, i, x, y| pen.colour(&lines[i], x, y));
    }

    fn colour(&mut self, line: &ColourLine, x: f64, y: f64) {
        let chip = self.line * 1.1;
        self.swatch(x, y, chip, to_rgb(line.aim).0);
        self.swatch(x + chip, y, chip, on(self.case.paper, line.value));
        let name = self.names.colour(self.case.print.colours[line.colour]);
        let off = format!("{:.2}", line.off);
        let gamut =
            if line.in_gamut() { String::new() } else { format!("nearest {:.1}", line.least) };
        let base = y + self.line * 0.68;
        let (figure, note) = (self.body.size * 3.2, self.body.size * 6.4);
        let from = x + 2.0 * chip + self.body.size * 0.8;
        let room = x + self.column - figure - note - from;
        let voice = shrink(self.look, self.body, &name, room, 0.6);
        self.canvas.text(from, base, &name, voice, Anchor::Left);
        self.canvas.text(x + self.column - note, base, &off, self.body, Anchor::Right);
        self.canvas.text(x + self.column, base, &gamut, self.quiet, Anchor::Right);
    }

    fn pairs(&mut self) {
        self.section(
            "Look-alikes, the worst first: aim, paper, difference as aimed and as printed",
        );
        let lines = self.case.report.pairs.clone();
        self.list(lines.len(), self.bottom, |pen, i, x, y| pen.pair(&lines[i], x, y));
    }

    fn pair(&mut self, line: &PairLine, x: f64, y: f64) {
        let chip = self.line * 0.8;
        let print = self.case.print;
        let gap = self.body.size * 0.35;
        for (n, i) in [line.first, line.second].into_iter().enumerate() {
            let at = x + n as f64 * chip;
            self.swatch(at, y, chip, to_rgb(print.aims[i]).0);
            self.swatch(at + 2.0 * chip + gap, y, chip, on(self.case.paper, print.values[i]));
        }
        let name = |i: usize| self.names.colour(print.colours[i]);
        let words = match line.kept() && !verdict(line).starts_with("too") {
            true => second_is(print, line),
            false => verdict(line),
        };
        let text = format!("{} \u{2013} {}: {words}", name(line.first), name(line.second));
        let figures = format!("{:.1} \u{2192} {:.1}", line.aimed, line.shown);
        let base = y + self.line * 0.68;
        let from = x + 4.0 * chip + gap + self.body.size * 0.8;
        let room = x + self.column - self.body.size * 5.0 - from;
        let voice = shrink(self.look, self.body, &text, room, 0.6);
        self.canvas.text(from, base, &text, voice, Anchor::Left);
        self.canvas.text(x + self.column, base, &figures, self.body, Anchor::Right);
    }

    fn swatch(&mut self, x: f64, y: f64, side: f64, rgb: Rgb) {
        let rect = Rect::new(x, y, x + side, y + self.line * 0.86);
        self.canvas.rect(Role::Swatch, rect, rgb);
        if lab(rgb).l > PALE {
            self.canvas.frame(Role::Furniture, rect, self.look.hair, self.look.hair_ink);
        }
    }
}
