//! Fragments: pieces of a page that are made once, put together, and placed at the end.

use std::rc::Rc;

use kurbo::{Affine, BezPath, Point, Rect, Shape as _};

use super::canvas::{Anchor, Canvas, frame};
use super::item::{FillRule, Role};
use super::palette::Fill;
use crate::plan::style::Voice;
use crate::range::{ColourId, PartId};

/// How far words may run past a width before a fragment overflows, mm: rounding.
const ROUNDING: f64 = 1e-6;

/// Lines of a text, shared by all who ask for them.
#[derive(Debug, PartialEq)]
pub struct Lines {
    pub texts: Vec<String>,
    /// Width of the widest, mm.
    pub widest: f64,
}

/// A piece of a page: how large it is, and what is drawn in it, in millimetres from its own corner, which is the top
/// left one unless its maker says otherwise.
///
/// It is cheap to make, since glyphs are set and parts are drawn when it is placed: where only its size
/// is asked for, it is made all the same.
#[derive(Debug, Clone, Default)]
pub struct Fragment {
    pub width: f64,
    pub height: f64,
    /// How far right its words run.
    reach: f64,
    /// A fragment in it overflows.
    overflows_inside: bool,
    /// The field that it comes from, where that is another than the surrounding one's.
    origin: Option<&'static str>,
    elements: Vec<Element>,
}

/// One thing in a fragment.
#[derive(Debug, Clone)]
enum Element {
    Text { at: Point, string: String, voice: Voice, anchor: Anchor },
    Lines { at: Point, lead: f64, lines: Rc<Lines>, voice: Voice },
    Rule { at: Point, width: f64, thickness: f64, fill: Fill },
    Area { role: Role, path: BezPath, rule: FillRule, fill: Fill },
    Part { part: PartId, colour: ColourId, at: Point, scale: f64 },
    Fragment { at: Point, inner: Fragment },
}

impl Fragment {
    /// An empty one of this width, mm.
    pub fn of_width(width: f64) -> Fragment {
        Fragment { width, ..Fragment::default() }
    }

    /// The same, from another field than what surrounds it.
    #[must_use]
    pub fn of_field(mut self, origin: &'static str) -> Fragment {
        self.origin = Some(origin);
        self
    }

    /// Does a word run past the width, here or in a fragment inside?
    pub fn overflows(&self) -> bool {
        self.overflows_inside || self.reach > self.width + ROUNDING
    }

    /// The height that it needs, mm: infinite where it overflows.
    pub fn room(&self) -> f64 {
        if self.overflows() { f64::INFINITY } else { self.height }
    }

    /// Keeps width for words that run as far right as `x`, mm, whether they are drawn or not.
    pub fn runs_to(&mut self, x: f64) {
        self.reach = self.reach.max(x);
    }

    /// Text whose left end, middle or right end is at `at` on its baseline.
    pub fn text(&mut self, at: Point, string: &str, voice: Voice, anchor: Anchor) {
        self.elements.push(Element::Text { at, string: string.to_owned(), voice, anchor });
    }

    /// Lines `lead` mm apart, the first from `at` on its baseline.
    pub fn lines(&mut self, at: Point, lead: f64, lines: &Rc<Lines>, voice: Voice) {
        self.elements.push(Element::Lines { at, lead, lines: Rc::clone(lines), voice });
    }

    /// A horizontal rule from `at`, which is the middle of its left end.
    pub fn rule(&mut self, at: Point, width: f64, thickness: f64, fill: impl Into<Fill>) {
        self.elements.push(Element::Rule { at, width, thickness, fill: fill.into() });
    }

    /// A filled path.
    pub fn fill(&mut self, role: Role, path: BezPath, fill: impl Into<Fill>) {
        let (rule, fill) = (FillRule::NonZero, fill.into());
        self.elements.push(Element::Area { role, path, rule, fill });
    }

    /// A filled rectangle.
    pub fn rect(&mut self, role: Role, rect: Rect, fill: impl Into<Fill>) {
        self.fill(role, rect.to_path(1e-3), fill);
    }

    /// A frame inside a rectangle.
    pub fn frame(&mut self, role: Role, rect: Rect, thickness: f64, fill: impl Into<Fill>) {
        let path = frame(rect, thickness);
        let (rule, fill) = (FillRule::EvenOdd, fill.into());
        self.elements.push(Element::Area { role, path, rule, fill });
    }

    /// A part in a colour, the middle of its extent at `at`.
    pub fn part(&mut self, part: PartId, colour: ColourId, at: Point, scale: f64) {
        self.elements.push(Element::Part { part, colour, at, scale });
    }

    /// Another fragment with its corner at `at`; this one grows as high as that takes.
    pub fn put(&mut self, at: Point, inner: Fragment) {
        self.overflows_inside |= inner.overflows();
        self.runs_to(at.x + inner.reach);
        self.height = self.height.max(at.y + inner.height);
        self.elements.push(Element::Fragment { at, inner });
    }

    /// Draws all that is in it, its corner at `at`.
    pub fn place(&self, canvas: &mut Canvas<'_>, at: Point) {
        let all = |canvas: &mut Canvas<'_>| self.elements.iter().for_each(|e| e.place(canvas, at));
        match self.origin {
            Some(origin) => canvas.within(origin, all),
            None => all(canvas),
        }
    }
}

impl Element {
    fn place(&self, canvas: &mut Canvas<'_>, corner: Point) {
        let from_corner = |at: &Point| corner + at.to_vec2();
        match self {
            Element::Text { at, string, voice, anchor } => {
                canvas.text(from_corner(at), string, *voice, *anchor);
            }
            Element::Lines { at, lead, lines, voice } => {
                let first = from_corner(at);
                for (i, line) in lines.texts.iter().enumerate() {
                    let base = Point::new(first.x, first.y + lead * i as f64);
                    canvas.text(base, line, *voice, Anchor::Left);
                }
            }
            Element::Rule { at, width, thickness, fill } => {
                canvas.rule(from_corner(at), *width, *thickness, *fill);
            }
            Element::Area { role, path, rule, fill } => {
                let path = Affine::translate(corner.to_vec2()) * path;
                canvas.area(*role, path, *rule, *fill);
            }
            Element::Part { part, colour, at, scale } => {
                canvas.part(*part, *colour, from_corner(at), *scale);
            }
            Element::Fragment { at, inner } => inner.place(canvas, from_corner(at)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(width: f64, height: f64, words: f64) -> Fragment {
        let mut out = Fragment::of_width(width);
        out.height = height;
        out.runs_to(words);
        out
    }

    #[test]
    fn it_grows_as_high_as_what_is_put_into_it() {
        let mut out = of(100.0, 5.0, 0.0);
        out.put(Point::new(0.0, 5.0), of(40.0, 20.0, 40.0));
        out.put(Point::new(60.0, 2.0), of(40.0, 4.0, 40.0));
        assert_eq!((out.height, out.room()), (25.0, 25.0));
    }

    #[test]
    fn a_word_past_its_width_takes_infinite_room() {
        let mut out = of(100.0, 0.0, 0.0);
        out.put(Point::ORIGIN, of(40.0, 20.0, 40.0));
        assert_eq!(out.room(), 20.0);
        // Past its own width, though not past that of what it is put into.
        let mut narrow = out.clone();
        narrow.put(Point::ORIGIN, of(40.0, 20.0, 41.0));
        assert!(narrow.overflows() && narrow.room().is_infinite());
        // Within its own width, but past that of what it is put into.
        out.put(Point::new(70.0, 0.0), of(40.0, 20.0, 31.0));
        assert!(out.overflows());
    }
}
