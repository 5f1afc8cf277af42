//! Draws the pages of a target.

use kurbo::{BezPath, Point, Rect, Stroke, StrokeOpts, stroke};

use super::cells::SIDE;
use super::request::TargetRequest;
use crate::capture::page::{PartPlace, PrintPatch, StagePage};
use crate::colour::to_rgb;
use crate::graphic::{FillRule, Rgb};
use crate::panels::foot::fitted;
use crate::plan::{Look, Voice};
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::item::Role;
use crate::sheet::palette::Fill;
use crate::stage::draw_foot;

/// The line round a part, mm.
const LINE: f64 = 0.15;
/// From the page's edges to its words, and from the code to those beside it, mm.
const MARGIN: f64 = 12.0;
const BESIDE: f64 = 34.0;
/// Lighter colours carry dark numbers. CIELAB.
const LIGHT: f64 = 55.0;

/// The kinds of text.
struct Voices {
    title: Voice,
    words: Voice,
    label: Voice,
    number: Voice,
}

impl Voices {
    fn new(look: &Look) -> Voices {
        let v = &look.voices;
        Voices {
            title: v.title.sized(6.2),
            words: v.name.sized(2.9),
            label: v.ruler.sized(2.5).inked(Rgb(0, 0, 0)),
            number: v.ruler.sized(1.9),
        }
    }
}

pub struct Pen<'a> {
    pub canvas: Canvas<'a>,
    voices: Voices,
    request: &'a TargetRequest<'a>,
}

impl<'a> Pen<'a> {
    pub fn new(canvas: Canvas<'a>, request: &'a TargetRequest<'a>) -> Pen<'a> {
        let voices = Voices::new(canvas.look);
        Pen { canvas, voices, request }
    }

    /// One page: with places for parts, or of the chart.
    pub fn page(&mut self, page: &StagePage, parts: bool, number: (usize, usize)) {
        self.head(page, parts);
        for patch in &page.prints {
            self.patch(patch);
        }
        for place in &page.places {
            self.place(place);
        }
        draw_foot(&mut self.canvas, &self.request.naming, page.size, number);
        self.canvas.from(None);
    }

    fn head(&mut self, page: &StagePage, parts: bool) {
        let naming = &self.request.naming;
        let right = page.size.0 - MARGIN;
        let patches = page.patches.iter().map(|p| p.rect.left).fold(right, f64::min) - 2.5;
        self.canvas.from(Some("title"));
        let title = naming.say("target_title", &[("title", &naming.title())]);
        let at = (BESIDE, MARGIN + 5.0);
        fitted(&mut self.canvas, at, &title, self.voices.title, right - BESIDE);
        let paper = naming.say("target_paper", &[("paper", self.request.name)]);
        let lines = match parts {
            true => [paper, naming.say("target_lay", &[]), naming.say("target_nearest", &[])],
            false => [paper, naming.say("target_chart", &[]), naming.say("target_dry", &[])],
        };
        for (i, text) in lines.iter().enumerate() {
            let room = if i == 0 { right } else { patches } - BESIDE;
            let y = MARGIN + 10.0 + 3.6 * i as f64;
            fitted(&mut self.canvas, (BESIDE, y), text, self.voices.words, room);
        }
    }

    fn patch(&mut self, patch: &PrintPatch) {
        let f = patch.frame;
        let rect = Rect::new(f.left, f.top, f.left + f.width, f.top + f.height);
        self.canvas.from(Some(&patch.name));
        self.canvas.rect(Role::Furniture, rect, Fill::Value(patch.value));
        match (patch.beside, patch.name.split_once('.')) {
            // The number of the step, in the patch's outer corner.
            (Some(_), Some((_, step))) if step != "0" => {
                let voice = self.voices.number.inked(self.over(patch.value));
                let at = Point::new(rect.x0 + 0.7, rect.y1 - 0.8);
                self.canvas.text(at, step, voice, Anchor::Left);
            }
            (None, _) => {
                let voice = self.voices.number.inked(Rgb(90, 90, 90));
                let at = Point::new(rect.x0, rect.y1 + 1.9);
                self.canvas.text(at, &patch.name, voice, Anchor::Left);
            }
            _ => {}
        }
    }

    /// Dark on light, light on dark.
    fn over(&self, value: [u8; 4]) -> Rgb {
        let shown = self.request.paper.shows(value);
        let away = if shown.l > LIGHT { -45.0 } else { 45.0 };
        to_rgb(crate::colour::Lab50::new((shown.l + away).clamp(0.0, 100.0), 0.0, 0.0)).0
    }

    fn place(&mut self, place: &PartPlace) {
        let naming = &self.request.naming;
        self.canvas.from(Some(&place.colour));
        let mut path = BezPath::new();
        for polygon in &place.outline {
            for (i, &point) in polygon.iter().enumerate() {
                if i == 0 { path.move_to(point) } else { path.line_to(point) }
            }
            path.close_path();
        }
        let drawn = stroke(path, &Stroke::new(LINE), &StrokeOpts::default(), 0.01);
        let value = self.request.print.by_colour();
        let colours = naming.range.colours();
        let found = colours.iter().position(|c| *c.key() == place.colour);
        let id = found.map(crate::range::ColourId);
        let own = id.and_then(|id| value.get(&id).copied()).unwrap_or_default();
        let line = self.over(own);
        self.canvas.area(Role::Furniture, drawn, FillRule::NonZero, line);
        let Some(id) = id else { return };
        let number = naming.colour_number(id).unwrap_or_default();
        let label = format!("{}  {number} {}", place.number, naming.colour_name(id));
        let f = place.frame;
        let (left, foot) = (f.left - SIDE, f.top + f.height + SIDE + 2.9);
        fitted(&mut self.canvas, (left, foot), &label, self.voices.label, f.width + 2.0 * SIDE);
    }
}
