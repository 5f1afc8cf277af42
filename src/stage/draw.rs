//! Draws the pages.

use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Stroke, StrokeOpts, Vec2, stroke};
use qrcode::{EcLevel, QrCode};

use super::layout::PlacedPage;
use super::measures::{CODE, LABEL, MARGIN};
use crate::capture::page::{Ground, PartPlace, StagePage};
use crate::diag::Diagnostic;
use crate::graphic::{FillRule, Rgb};
use crate::panels::foot::fitted;
use crate::plan::{Look, Voice};
use crate::range::PartId;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::item::Role;
use crate::sheet::ruler::{self, Length};
use crate::supplies::Naming;
use crate::units::MM_PER_INCH;

const BLACK: Rgb = Rgb(0, 0, 0);
const WHITE: Rgb = Rgb(255, 255, 255);
/// Between words on a line, mm.
const GAP: f64 = 2.5;
/// The line round a part, mm, and how it is told from each ground.
const LINE: f64 = 0.2;
/// Corners of places on white paper, mm.
const CORNER: f64 = 2.0;
const FINE: f64 = 0.12;
/// From the page's lower edge to the ruler, mm, and the height of its ticks.
const RULER: f64 = 13.0;
const TICK: f64 = 2.6;

/// sRGB bytes of a ground.
fn grey(ground: Ground) -> u8 {
    match ground {
        Ground::White => 255,
        Ground::Grey => 128,
        Ground::Black => 26,
    }
}

fn ink(grey: u8) -> Rgb {
    Rgb(grey, grey, grey)
}

/// The kinds of text.
struct Voices {
    title: Voice,
    words: Voice,
    heading: Voice,
    number: Voice,
    label: Voice,
    ruler: Voice,
    foot: Voice,
}

impl Voices {
    fn new(look: &Look) -> Voices {
        let v = &look.voices;
        Voices {
            title: v.title.sized(6.2),
            words: v.name.sized(2.9),
            heading: v.name.sized(3.0),
            number: v.number.sized(3.2),
            label: v.ruler.sized(2.4).inked(BLACK),
            ruler: v.ruler.sized(2.1),
            foot: v.imprint_more.sized(2.4),
        }
    }
}

pub struct Pen<'a> {
    pub canvas: Canvas<'a>,
    voices: Voices,
    naming: &'a Naming<'a>,
}

impl<'a> Pen<'a> {
    pub fn new(canvas: Canvas<'a>, naming: &'a Naming<'a>) -> Pen<'a> {
        let voices = Voices::new(canvas.look);
        Pen { canvas, voices, naming }
    }

    /// One page: `number` of so many.
    ///
    /// # Errors
    /// The code cannot be made.
    pub fn page(
        &mut self,
        page: &StagePage,
        placed: &PlacedPage,
        number: (usize, usize),
    ) -> Result<(), Diagnostic> {
        self.canvas.from(Some("marks"));
        self.code(page)?;
        for (x, y) in &page.dots {
            self.canvas.dot(Point::new(*x, *y), page.dot_radius, BLACK);
        }
        for patch in &page.patches {
            let r = patch.rect;
            let rect = Rect::new(r.left, r.top, r.left + r.width, r.top + r.height);
            self.canvas.rect(Role::Furniture, rect, ink(patch.grey));
        }
        self.head(page);
        for (at, part) in &placed.headings {
            self.heading(*at, *part, page.size.0 - 2.0 * MARGIN);
        }
        for place in &page.places {
            self.canvas.from(Some(&place.colour));
            self.place(place);
        }
        self.foot(page.size, number);
        self.canvas.from(None);
        Ok(())
    }

    fn code(&mut self, page: &StagePage) -> Result<(), Diagnostic> {
        let failed = |e: qrcode::types::QrError| {
            Diagnostic::error("no-code", format!("the page's code cannot be made: {e}"))
                .help("shorten the release of the range")
        };
        let text = page.code.text.as_bytes();
        let code = QrCode::with_error_correction_level(text, EcLevel::Q).map_err(failed)?;
        let step = page.code.side / code.width() as f64;
        let mut path = BezPath::new();
        for (i, colour) in code.to_colors().into_iter().enumerate() {
            if colour == qrcode::Color::Dark {
                let (column, row) = (i % code.width(), i / code.width());
                let x = page.code.left + step * column as f64;
                let y = page.code.top + step * row as f64;
                path.extend(Rect::new(x, y, x + step, y + step).to_path(1e-3));
            }
        }
        self.canvas.area(Role::Furniture, path, FillRule::NonZero, BLACK);
        Ok(())
    }

    fn fitted(&mut self, at: (f64, f64), text: &str, voice: Voice, room: f64) {
        fitted(&mut self.canvas, at, text, voice, room);
    }

    /// Title and what to do, beside the code.
    fn head(&mut self, page: &StagePage) {
        let left = MARGIN + CODE + 4.0;
        let right = page.size.0 - MARGIN;
        let patches = page.patches.iter().map(|p| p.rect.left).fold(right, f64::min) - GAP;
        let title = self.naming.say("stage_title", &[("title", &self.naming.title())]);
        self.canvas.from(Some("title"));
        self.fitted((left, MARGIN + 5.0), &title, self.voices.title, right - left);
        let lines = ["stage_lay", "stage_free", "stage_light"];
        for (i, key) in lines.into_iter().enumerate() {
            let room = if i == 0 { right } else { patches } - left;
            let text = self.naming.say(key, &[]);
            let y = MARGIN + 10.0 + 3.6 * i as f64;
            self.fitted((left, y), &text, self.voices.words, room);
        }
    }

    fn heading(&mut self, at: Point, part: PartId, room: f64) {
        self.canvas.from(Some(self.naming.range.part(part).key()));
        let number = self.naming.part_number(part).unwrap_or_default();
        let voice = self.voices.number;
        let taken = self.canvas.text(at, number, voice, Anchor::Left);
        let start = if taken > 0.0 { taken + GAP } else { 0.0 };
        let title = self.naming.part_title(part);
        let title = if title.is_empty() { self.naming.range.part(part).key() } else { &title };
        self.fitted((at.x + start, at.y), title, self.voices.heading, room - start);
    }

    /// A place: its ground, the part's outline, its label.
    fn place(&mut self, place: &PartPlace) {
        let f = place.frame;
        let rect = Rect::new(f.left, f.top, f.left + f.width, f.top + f.height);
        match place.ground {
            Ground::White => self.corners(rect),
            ground => self.canvas.rect(Role::Furniture, rect, ink(grey(ground))),
        }
        let line = match place.ground {
            Ground::White => ink(120),
            Ground::Grey => WHITE,
            Ground::Black => ink(200),
        };
        let mut path = BezPath::new();
        for polygon in &place.outline {
            for (i, &(x, y)) in polygon.iter().enumerate() {
                match i {
                    0 => path.move_to((x, y)),
                    _ => path.line_to((x, y)),
                }
            }
            path.close_path();
        }
        let drawn = stroke(path, &Stroke::new(LINE), &StrokeOpts::default(), 0.01);
        self.canvas.area(Role::Furniture, drawn, FillRule::NonZero, line);
        let at = (f.left, f.top + f.height + LABEL - 0.8);
        self.fitted(at, &place.number, self.voices.label, f.width);
    }

    /// Corners of a place on bare paper.
    fn corners(&mut self, rect: Rect) {
        let middle = rect.center();
        let turns = [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)];
        let mut path = BezPath::new();
        for (sx, sy) in turns {
            let flip = Affine::translate(middle.to_vec2())
                * Affine::scale_non_uniform(sx, sy)
                * Affine::translate(-middle.to_vec2());
            let at = rect.origin();
            let across = Rect::from_origin_size(at, (CORNER, FINE));
            let down = Rect::from_origin_size(at + Vec2::new(0.0, FINE), (FINE, CORNER - FINE));
            for part in [across, down] {
                path.extend(flip.transform_rect_bbox(part).to_path(1e-3));
            }
        }
        self.canvas.area(Role::Furniture, path, FillRule::NonZero, ink(120));
    }

    fn foot(&mut self, (width, height): (f64, f64), (number, of): (usize, usize)) {
        let line = height - RULER;
        self.canvas.from(Some("ruler"));
        let at = Point::new(MARGIN, line);
        ruler::draw(&mut self.canvas, self.voices.ruler, at, TICK, Length::Whole);
        self.canvas.from(Some("foot"));
        let (page, pages) = (number.to_string(), of.to_string());
        let text = self.naming.say("page_of", &[("page", &page), ("pages", &pages)]);
        let end = Point::new(width - MARGIN, line + self.voices.foot.cap / 2.0);
        let taken = self.canvas.text(end, &text, self.voices.foot, Anchor::Right);
        let start = MARGIN + 4.0 * MM_PER_INCH + 3.0 * GAP;
        let note = self.naming.say("ruler_note", &[("length", Length::Whole.text())]);
        let room = end.x - taken - 2.0 * GAP - start;
        self.fitted((start, end.y), &note, self.voices.foot, room);
    }
}
