//! The check ruler: tells whether a printer kept the size.

use kurbo::Point;

use super::canvas::{Anchor, Canvas};
use crate::plan::style::{RULER_GAP, Voice};
use crate::units::MM_PER_INCH;

/// How long a ruler is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Length {
    /// 100 mm and 4 in.
    Whole,
    /// 50 mm and 2 in.
    Half,
}

impl Length {
    /// The longest of its lengths in whole tens of millimetres.
    pub fn text(self) -> &'static str {
        match self {
            Length::Whole => "100 mm",
            Length::Half => "50 mm",
        }
    }
}

/// Millimetres above the line that begins at `at`, inches below it, with
/// ticks of `tick` mm at every 10 mm and every inch.
pub fn draw(canvas: &mut Canvas<'_>, voice: Voice, at: Point, tick: f64, length: Length) {
    let look = canvas.look;
    let Point { x, y: line } = at;
    let (mm, inches) = match length {
        Length::Whole => (100, 4),
        Length::Half => (50, 2),
    };
    let ink = look.rule_ink;
    canvas.rule(at, f64::from(inches) * MM_PER_INCH, look.fine, ink);
    for i in 0..=mm {
        let t = tick
            * if i % 10 == 0 {
                1.0
            } else if i % 5 == 0 {
                0.7
            } else {
                0.42
            };
        let thick = if i % 10 == 0 { look.fine } else { look.hair };
        canvas.upright(Point::new(x + f64::from(i), line - t), t, thick, ink);
    }
    for i in 0..=inches * 8 {
        let t = tick
            * if i % 8 == 0 {
                1.0
            } else if i % 4 == 0 {
                0.7
            } else {
                0.42
            };
        let thick = if i % 8 == 0 { look.fine } else { look.hair };
        let top = Point::new(x + f64::from(i) * MM_PER_INCH / 8.0, line);
        canvas.upright(top, t, thick, ink);
    }
    let above = line - tick - voice.size * RULER_GAP;
    let below = line + tick + voice.size * RULER_GAP + voice.cap;
    let step = if mm == 100 { 50 } else { 25 };
    for i in (0..=mm).step_by(step) {
        let (text, anchor) = match i {
            0 => ("0".to_owned(), Anchor::Left),
            i if i == mm => (format!("{i} mm"), Anchor::Right),
            i => (i.to_string(), Anchor::Middle),
        };
        canvas.text(Point::new(x + f64::from(i), above), &text, voice, anchor);
    }
    for i in 0..=inches {
        let (text, anchor) = match i {
            0 => ("0".to_owned(), Anchor::Left),
            i if i == inches => (format!("{i} in"), Anchor::Right),
            i => (i.to_string(), Anchor::Middle),
        };
        let base = Point::new(x + f64::from(i) * MM_PER_INCH, below);
        canvas.text(base, &text, voice, anchor);
    }
}
