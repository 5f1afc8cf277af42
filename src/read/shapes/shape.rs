//! A part's drawing, once it is read.

use std::path::Path;
use std::sync::Arc;

use kurbo::{BezPath, Rect};

use crate::diag::{Diagnostic, Span};
use crate::graphic::FillRule;
use crate::read::Finish;

/// What a layer's paint becomes when the part is drawn in a colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tone {
    /// The colour moved in CIELAB by these offsets; all zero is the exact value.
    Offset { dl: f64, da: f64, db: f64 },
    /// A mirrored light: nearly white, with a breath of the colour.
    Shine,
    /// Kept as drawn, whatever the colour: paper seen through a hole.
    Fixed(crate::graphic::Rgb),
}

impl Tone {
    /// The colour itself.
    pub const EXACT: Tone = Tone::Offset { dl: 0.0, da: 0.0, db: 0.0 };
}

/// The paint of a layer of a shape, in the shape's own coordinates.
#[derive(Debug, Clone, PartialEq)]
pub enum TonePaint {
    Flat(Tone),
    Gradient { ramp: crate::graphic::Ramp, transform: kurbo::Affine, stops: Vec<(f64, Tone)> },
}

/// What a layer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LayerRole {
    /// The outline: the flat field in the colour's exact value.
    Body,
    /// Light and shade.
    Relief,
    /// An opening.
    Hole,
}

/// One filled area of a shape.
#[derive(Debug, Clone, PartialEq)]
pub struct ShapeLayer {
    pub path: BezPath,
    pub rule: FillRule,
    pub paint: TonePaint,
    pub opacity: f64,
    pub role: LayerRole,
    /// A drawn shadow that ends in the white of the paper: it takes room, but has no edge.
    pub into_paper: bool,
    /// The finishes it is drawn in.
    pub finishes: Vec<Finish>,
}

/// What was taken for the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BodyFrom {
    /// The outline that is marked `body`.
    Marked,
    /// The largest filled outline.
    Largest,
    /// Of a drawing of bare lines, the largest closed line.
    Lines,
}

/// How a drawing was read, where it could have been meant otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    pub body: BodyFrom,
    /// The body is drawn in a colour: of the other paints only lightness counts.
    pub coloured: bool,
    /// The body is filled with a gradient, and its mean is the reference.
    pub mean_of_gradient: bool,
}

/// A part's drawing: millimetres, origin at the centre of [`Shape::extent`], y down.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// From the bottom up.
    pub layers: Vec<ShapeLayer>,
    /// The body's outline.
    pub outline: BezPath,
    /// Which points are inside [`Shape::outline`].
    pub rule: FillRule,
    /// The body's box.
    pub bounds: Rect,
    /// The box of everything that is drawn in any finish, pieces outside the body included: the
    /// true size of the part, and the room that it takes.
    pub extent: Rect,
    /// Its layers are light and shade: gradients, or layers for some finish.
    /// Else the finishes make the relief, and flat layers are details on it.
    pub own_shading: bool,
    pub reading: Reading,
}

impl Shape {
    /// A stand-in for a shape that could not be read.
    pub fn none() -> Shape {
        Shape {
            layers: Vec::new(),
            outline: BezPath::new(),
            rule: FillRule::NonZero,
            bounds: Rect::ZERO,
            extent: Rect::ZERO,
            own_shading: false,
            reading: Reading { body: BodyFrom::Largest, coloured: false, mean_of_gradient: false },
        }
    }
}

/// The longest side of a part, mm.
pub const LARGEST: f64 = 500.0;
/// The shortest side of a part, mm.
pub const SMALLEST: f64 = 0.2;

/// A message about the whole file.
pub(super) fn whole(
    file: &Arc<Path>,
    code: &'static str,
    message: impl Into<String>,
) -> Diagnostic {
    Diagnostic::error(code, message).at(Some(Span { file: file.clone(), range: 0..0 }))
}
