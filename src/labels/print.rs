//! The sheets to print: every label at its place, in a display list.

use kurbo::{Point, Rect};

use super::codes::Codes;
use super::fit::Fitted;
use super::label_sheet::{CHIP_GAP, Chip, LabelSheet};
use super::stand::Stand;
use super::voices::Voices;
use super::words::Said;

use crate::graphic::Rgb;
use crate::plan::style::Voice;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::fitting;
use crate::sheet::spine::{chip, needs_edge};
use crate::sheet::{About, Role, Sheet, Workshop};

/// Width of the edge of a light chip, mm.
const EDGE: f64 = 0.12;
/// Em size of the line under the labels, mm: 7 pt. Common practice, no source.
const FOOT: f64 = 2.47;
/// Below the labels there is at least so much white, else no line is printed.
const FOOT_ROOM: f64 = 9.0;
/// Registration marks must be dark for a machine's eye.
const MARK: Rgb = Rgb(0, 0, 0);

/// One label, fitted.
pub struct Ready {
    pub said: Said,
    pub fitted: Fitted,
}

/// The text of the line under the labels, without the sheet's number.
pub struct Foot {
    pub left: String,
    /// The words for 'page n of m', filled in for every sheet.
    pub right: Box<dyn Fn(usize, usize) -> String>,
}

/// Where the words of a label are, from its top left corner.
pub fn words_at(label_sheet: &LabelSheet, codes: Option<&Codes>) -> Rect {
    let ((width, height), safe) = (label_sheet.label(), label_sheet.safe());
    let left = match label_sheet.chip() {
        None => safe,
        Some(Chip::Inside { width, .. }) => safe + width + CHIP_GAP,
        Some(Chip::Edge { width }) => width + CHIP_GAP,
    };
    let code = codes.map_or(0.0, |codes| codes.room(label_sheet));
    Rect::new(left, safe, (width - safe - code).max(left), height - safe)
}

/// Labels on the sheets that are printed.
pub struct Print<'a> {
    pub label_sheet: &'a LabelSheet,
    pub voices: &'a Voices,
    pub labels: &'a [Ready],
    /// Sheet by sheet.
    pub stands: &'a [Stand],
    pub foot: &'a Foot,
    /// What is on each label besides, where codes are asked for.
    pub codes: Option<&'a Codes>,
    /// The first sheet has its marks and its line already.
    pub part_used: bool,
}

impl Print<'_> {
    /// Draws every sheet.
    pub fn sheet(&self, about: About) -> Sheet {
        let label_sheet = self.label_sheet;
        let workshop = Workshop::empty();
        let mut canvas = Canvas::new(&self.voices.look, &workshop);
        let sheets = self.stands.last().map_or(0, |s| s.sheet + 1);
        for (n, on_sheet) in self.stands.chunk_by(|a, b| a.sheet == b.sheet).enumerate() {
            if n > 0 {
                canvas.next_page();
            }
            if !(self.part_used && n == 0) {
                marks(&mut canvas, label_sheet);
                self.line(&mut canvas, n + 1, sheets);
            }
            for stand in on_sheet {
                let at = label_sheet.label_at(stand.row, stand.column);
                self.label(&mut canvas, &self.labels[stand.label], at);
            }
        }
        canvas.finish(label_sheet.width(), label_sheet.height(), 0.0, about)
    }

    /// The line under the labels, between the marks.
    fn line(&self, canvas: &mut Canvas<'_>, n: usize, of: usize) {
        let Print { label_sheet, foot, .. } = *self;
        let frame = label_sheet.frame().unwrap_or(label_sheet.bleed());
        let room = label_sheet.foot() - frame;
        if room < FOOT_ROOM {
            return;
        }
        let look = canvas.look;
        let quiet = |v: Voice| v.sized(FOOT);
        let voice = quiet(look.voices.imprint_more);
        let clear = label_sheet.marks().map_or(0.0, |m| m.inset + m.radius + 4.0);
        let block = label_sheet.block();
        let (left, right) = (block.x0.max(clear), block.x1.min(label_sheet.width() - clear));
        let y = block.y1 + frame + room / 2.0 + voice.cap / 2.0;
        canvas.from(Some("foot"));
        let text = (foot.right)(n, of);
        let taken = canvas.text(Point::new(right, y), &text, voice, Anchor::Right);
        let (voice, text) = fitting(look, voice, &foot.left, right - left - taken - 4.0, 0.7);
        canvas.text(Point::new(left, y), &text, voice, Anchor::Left);
        canvas.from(None);
    }

    fn label(&self, canvas: &mut Canvas<'_>, ready: &Ready, at: Rect) {
        let label_sheet = self.label_sheet;
        let sample = ready.said.sample;
        canvas.from(Some(&ready.said.key));
        match label_sheet.chip() {
            None => {}
            Some(Chip::Inside { width, height }) => {
                let (x, y) = (at.x0 + label_sheet.safe(), at.center().y);
                chip(canvas, sample, Rect::new(x, y - height / 2.0, x + width, y + height / 2.0));
            }
            Some(Chip::Edge { width }) => {
                let b = label_sheet.bleed();
                let strip = Rect::new(at.x0 - b, at.y0 - b, at.x0 + width, at.y1 + b);
                canvas.rect(Role::Swatch, strip, sample);
                if needs_edge(sample.published) {
                    let ink = canvas.look.edge_ink;
                    let side = Rect::new(strip.x1 - EDGE, strip.y0, strip.x1, strip.y1);
                    canvas.rect(Role::Swatch, side, ink);
                }
            }
        }
        let words = words_at(label_sheet, self.codes);
        let corner = Point::new(at.x0 + words.x0, at.center().y);
        for run in &ready.fitted.runs {
            let anchor = if run.right { Anchor::Right } else { Anchor::Left };
            canvas.text(
                Point::new(corner.x + run.at.x, corner.y + run.at.y),
                &run.text,
                run.voice,
                anchor,
            );
        }
        if let Some(path) = self.codes.and_then(|codes| codes.on(ready.said.colour, at)) {
            canvas.fill(Role::Furniture, path, MARK);
        }
        canvas.from(None);
    }
}

fn marks(canvas: &mut Canvas<'_>, label_sheet: &LabelSheet) {
    let Some(marks) = label_sheet.marks() else { return };
    for centre in label_sheet.mark_centres() {
        let path = kurbo::Shape::to_path(&kurbo::Circle::new(centre, marks.radius), 1e-4);
        canvas.fill(Role::Cut, path, MARK);
    }
}
