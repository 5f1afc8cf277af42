//! Shape files: SVG drawings of parts in real millimetres.
//!
//! A drawing is ordinary SVG, best in neutral greys. The body is the largest
//! filled outline, with its stroke and with what else has its paint; that
//! paint is the reference: every other paint becomes a tone, its CIELAB (D65)
//! difference from the body's. Openings are what is cut out of the body. Words
//! in `class` give the rest: `body`, `hole`, `fixed` (keep the drawn colour)
//! and the finishes a shape belongs to.

mod body;
mod broken;
mod clips;
mod drawn;
mod extent;
mod gradient;
mod outline;
mod paints;
mod refused;
mod shape;
mod source;
mod styles;
mod tones;
mod walk;

use std::path::Path;
use std::sync::Arc;

use kurbo::Vec2;

pub use self::shape::{
    BodyFrom, LARGEST, LayerRole, Reading, SMALLEST, Shape, ShapeLayer, Tone, TonePaint,
};

use crate::diag::Diagnostic;
use crate::session::Session;

/// Reads a shape file that is already text.
///
/// # Errors
///
/// Everything found wrong with the file, with places where they are known:
/// `shape-broken`, `shape-empty`, `shape-too-large`, `shape-too-small`,
/// `shape-unsupported`, `shape-class`.
pub fn read_shape(file: &Path, text: &str, session: &Session) -> Result<Shape, Vec<Diagnostic>> {
    read_placed(file, text, session).map(|(shape, _)| shape)
}

/// [`read_shape`], and where on the drawing's page the shape's origin lies, mm.
///
/// # Errors
///
/// The same.
pub fn read_placed(
    file: &Path,
    text: &str,
    session: &Session,
) -> Result<(Shape, Vec2), Vec<Diagnostic>> {
    let file: Arc<Path> = Arc::from(file);
    let drawn = source::rewrite(&file, text, session.limits)?;
    let items = walk::walk(&file, text, &drawn, session)?;
    let (shape, at) = tones::assemble(&file, items, &session.work)?;
    let centre = shape.bounds.center();
    let shape = extent::settle(&file, shape)?;
    let moved = centre - shape.bounds.center();
    Ok((shape, at + moved))
}

#[cfg(test)]
mod tests;
