//! Draws the pages.

use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Stroke, StrokeOpts, Vec2, stroke};

use super::frame::PlacedPage;
use super::measures::{CODE, LABEL, MARGIN};
use crate::capture::page::{Chart, Ground, PartPlace, StagePage};
use crate::diag::Diagnostic;
use crate::graphic::{FillRule, Rgb};
use crate::panels::foot::fitted;
use crate::plan::{Look, Voice};
use crate::qr::SquareCode;
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
        Ground::White | Ground::Print => 255,
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

/// The marks of a page: code, dots, grey patches.
///
/// # Errors
/// The code cannot be made.
pub fn marks(canvas: &mut Canvas<'_>, page: &StagePage) -> Result<(), Diagnostic> {
    canvas.from(Some("marks"));
    code(canvas, page)?;
    for (x, y) in &page.dots {
        canvas.dot(Point::new(*x, *y), page.dot_radius, BLACK);
    }
    for patch in &page.patches {
        canvas.rect(Role::Furniture, corners_of(patch.rect), ink(patch.grey));
    }
    canvas.from(None);
    Ok(())
}

fn code(canvas: &mut Canvas<'_>, page: &StagePage) -> Result<(), Diagnostic> {
    let too_long = || {
        Diagnostic::error("no-code", "the page's code cannot be made: its text is too long")
            .help("shorten the release of the range")
    };
    let code = SquareCode::of(&page.code.text).ok_or_else(too_long)?;
    let path = code.path(page.code.left, page.code.top, page.code.side);
    canvas.area(Role::Furniture, path, FillRule::NonZero, BLACK);
    Ok(())
}

fn corners_of(r: crate::capture::page::Rect) -> Rect {
    Rect::new(r.left, r.top, r.left + r.width, r.top + r.height)
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
        marks(&mut self.canvas, page)?;
        self.head(page);
        for (at, part, room) in &placed.headings {
            self.heading(*at, *part, *room);
        }
        if let Some(chart) = &page.chart {
            self.chart(chart);
        }
        for place in &page.places {
            self.canvas.from(Some(&place.colour));
            self.place(place);
        }
        foot(&mut self.canvas, self.naming, page.size, number);
        self.canvas.from(None);
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

    /// Where a chart lies: its corners, and how it is laid.
    fn chart(&mut self, chart: &Chart) {
        self.canvas.from(Some("chart"));
        let rect = corners_of(chart.rect);
        self.corners(rect.inflate(FINE, FINE));
        let text = self.naming.say("stage_chart", &[]);
        let at = (rect.x0 + 3.0, rect.center().y);
        self.fitted(at, &text, self.voices.words, rect.width() - 6.0);
    }

    /// A place: its ground, the part's outline, its label.
    fn place(&mut self, place: &PartPlace) {
        let f = place.frame;
        let rect = corners_of(f);
        match place.ground {
            Ground::White | Ground::Print => self.corners(rect),
            ground => self.canvas.rect(Role::Furniture, rect, ink(grey(ground))),
        }
        let line = match place.ground {
            Ground::White | Ground::Print => ink(120),
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
}

/// The ruler at the foot, and which page it is.
pub fn foot(
    canvas: &mut Canvas<'_>,
    naming: &Naming<'_>,
    (width, height): (f64, f64),
    (number, of): (usize, usize),
) {
    let voices = Voices::new(canvas.look);
    let line = height - RULER;
    canvas.from(Some("ruler"));
    ruler::draw(canvas, voices.ruler, Point::new(MARGIN, line), TICK, Length::Whole);
    canvas.from(Some("foot"));
    let (page, pages) = (number.to_string(), of.to_string());
    let text = naming.say("page_of", &[("page", &page), ("pages", &pages)]);
    let end = Point::new(width - MARGIN, line + voices.foot.cap / 2.0);
    let taken = canvas.text(end, &text, voices.foot, Anchor::Right);
    let start = MARGIN + 4.0 * MM_PER_INCH + 3.0 * GAP;
    let note = naming.say("ruler_note", &[("length", Length::Whole.text())]);
    let room = end.x - taken - 2.0 * GAP - start;
    fitted(canvas, (start, end.y), &note, voices.foot, room);
}
