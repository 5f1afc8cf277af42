//! What drawings are made of: colours, fills and glyphs.

use std::sync::Arc;

use kurbo::Affine;
use palette::white_point::D65;
use palette::{IntoColor, Lab, Srgb};

/// An sRGB colour, one byte a channel, as published and as written to files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

impl Rgb {
    /// Paper white: the ground of every page.
    pub const WHITE: Rgb = Rgb(255, 255, 255);

    /// `#rrggbb`, lower case.
    pub fn hex(self) -> String {
        let mut out = String::with_capacity(7);
        self.push_hex(&mut out);
        out
    }

    /// Appends [`Rgb::hex`].
    pub fn push_hex(self, out: &mut String) {
        out.push('#');
        for byte in [self.0, self.1, self.2] {
            for digit in [byte >> 4, byte & 15] {
                out.push(char::from(if digit < 10 { b'0' + digit } else { b'a' + digit - 10 }));
            }
        }
    }

    /// Reads `#rrggbb` in either case; `None` for anything else.
    pub fn parse(text: &str) -> Option<Rgb> {
        let digits = text.strip_prefix('#')?;
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let v = u32::from_str_radix(digits, 16).ok()?;
        Some(Rgb((v >> 16) as u8, (v >> 8) as u8, v as u8))
    }
}

/// Device CMYK, one byte a channel: 0 is no ink, 255 is solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cmyk(pub u8, pub u8, pub u8, pub u8);

/// Which points are inside a path that crosses itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FillRule {
    NonZero,
    EvenOdd,
}

/// One colour of a gradient. Stops are opaque: a layer fades as a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop<C> {
    /// Position along the gradient, 0 to 1, never falling.
    pub offset: f64,
    pub colour: C,
}

/// The line or the circle along which a gradient runs, in the coordinates of
/// its layer, before `transform`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ramp {
    Linear {
        x1: f64,
        y1: f64,
        x2: f64,
        y2: f64,
    },
    /// A circle with its focus; the ends are extended outwards.
    Radial {
        cx: f64,
        cy: f64,
        r: f64,
        fx: f64,
        fy: f64,
    },
}

/// A gradient with opaque stops; beyond its ends the end colours go on.
#[derive(Debug, Clone, PartialEq)]
pub struct Gradient<C> {
    pub ramp: Ramp,
    /// Gradient space to layer space.
    pub transform: Affine,
    pub stops: Vec<Stop<C>>,
}

/// What fills an area. A drawing of a part names a shade of whatever it is drawn in, a sheet an
/// entry of its palette.
#[derive(Debug, Clone, PartialEq)]
pub enum Paint<C> {
    Solid(C),
    Gradient(Arc<Gradient<C>>),
}

impl<C: Copy> Paint<C> {
    /// The same with other colours.
    pub fn map<D>(&self, mut colour: impl FnMut(C) -> D) -> Paint<D> {
        match self {
            Paint::Solid(c) => Paint::Solid(colour(*c)),
            Paint::Gradient(gradient) => {
                let Gradient { ramp, transform, stops } = &**gradient;
                let mut stop = |s: &Stop<C>| Stop { offset: s.offset, colour: colour(s.colour) };
                let stops = stops.iter().map(&mut stop).collect();
                Paint::Gradient(Arc::new(Gradient { ramp: *ramp, transform: *transform, stops }))
            }
        }
    }
}

/// One positioned glyph; glyphs and characters correspond one to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// Glyph index in the whole (not subset) font file.
    pub id: u16,
    pub ch: char,
    /// Distance of the glyph's origin from the text's origin, along the baseline, mm.
    pub x: f64,
}

/// CIELAB of a published sRGB value, with the D65 white of sRGB (IEC
/// 61966-2-1), no adaptation.
pub fn lab(rgb: Rgb) -> Lab<D65, f64> {
    Srgb::new(rgb.0, rgb.1, rgb.2).into_format::<f64>().into_color()
}
