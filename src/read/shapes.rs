//! Shape files: SVG drawings of parts in real millimetres.
//!
//! A drawing is ordinary SVG in neutral greys. The paint of the body is the
//! reference: every other paint becomes a tone, its CIELAB (D65) difference
//! from the body's paint. Words in `class` say the rest: `body`, `hole`,
//! `fixed` (keep the drawn colour) and the finishes a shape belongs to.

mod extent;
mod source;
mod tones;
mod walk;

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
    /// The finishes it is drawn in.
    pub finishes: Vec<Finish>,
}

/// A part's drawing: millimetres, origin at the centre of [`Shape::extent`], y down.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// From the bottom up. Without any relief the drawing is a plain outline
    /// and the finishes make the relief.
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
}

impl Shape {
    /// Is it an outline without any light and shade of its own?
    pub fn is_plain(&self) -> bool {
        self.layers.iter().all(|l| l.role != LayerRole::Relief)
    }
}

/// The longest side of a part, mm.
pub const LARGEST: f64 = 500.0;
/// The shortest side of a part, mm.
pub const SMALLEST: f64 = 0.2;

/// Reads a shape file that is already text.
///
/// # Errors
///
/// Everything found wrong with the file, with places where they are known:
/// `shape-broken`, `shape-empty`, `shape-too-large`, `shape-too-small`,
/// `shape-unsupported`, `shape-class`.
pub fn read_shape(file: &Path, text: &str) -> Result<Shape, Vec<Diagnostic>> {
    let file: Arc<Path> = Arc::from(file);
    let drawn = source::rewrite(&file, text)?;
    let items = walk::walk(&file, &drawn)?;
    let found = Found { file: &file, plain_words: !drawn.has_words };
    extent::settle(&file, tones::assemble(&found, items)?)
}

/// What [`tones::assemble`] needs to know about the file as a whole.
struct Found<'a> {
    file: &'a Arc<Path>,
    /// No word of ours stands in any class.
    plain_words: bool,
}

/// A message about the whole file.
fn whole(file: &Arc<Path>, code: &'static str, message: impl Into<String>) -> Diagnostic {
    Diagnostic::error(code, message).at(Some(Span { file: file.clone(), range: 0..0 }))
}

#[cfg(test)]
mod tests;
