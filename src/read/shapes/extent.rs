//! The room that a drawing takes: everything that is drawn, not the body alone.

use std::borrow::Cow;
use std::path::Path;
use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape as _};

use super::shape::{LARGEST, LayerRole, Shape, ShapeLayer, TonePaint, whole};
use crate::diag::Diagnostic;
use crate::read::region::Region;
use crate::work::Work;

/// Reach over the body's box that counts as none: light and shade that end at its edge, drawn
/// again with points of their own; a quarter of a pixel at 300 dpi, mm.
const NOTHING: f64 = 0.02;
/// Half the width of what is no piece of its own outside the body: an edge that is drawn twice, mm.
const SLIVER: f64 = 0.05;

/// Measures everything that is drawn in any finish and moves the origin to
/// the middle of it.
///
/// # Errors
/// `shape-too-large`: together it is larger than a part may be.
pub(super) fn settle(file: &Arc<Path>, mut shape: Shape) -> Result<Shape, Vec<Diagnostic>> {
    shape.extent = extent(shape.bounds, &shape.layers);
    let (w, h) = (shape.extent.width(), shape.extent.height());
    if w.max(h) > LARGEST {
        let message =
            format!("everything that is drawn must be within {LARGEST} mm, not {w:.1} x {h:.1} mm");
        return Err(vec![whole(file, "shape-too-large", message).help(
            "delete what lies far outside the body, or move it to the body: select everything in the drawing program to find it",
        )]);
    }
    if shape.extent != shape.bounds {
        shape.shift();
    }
    Ok(shape)
}

/// The box of a body and of all that reaches over it.
fn extent(body: Rect, layers: &[ShapeLayer]) -> Rect {
    let drawn = layers.iter().filter(|l| l.role != LayerRole::Body && !l.finishes.is_empty());
    let boxes = drawn.filter(|l| !l.path.elements().is_empty()).map(|l| l.path.bounding_box());
    boxes.fold(body, |mut all, b| {
        let over = |reach: f64, side: &mut f64, at: f64| {
            if reach > NOTHING {
                *side = at;
            }
        };
        over(all.x0 - b.x0, &mut all.x0, b.x0);
        over(all.y0 - b.y0, &mut all.y0, b.y0);
        over(b.x1 - all.x1, &mut all.x1, b.x1);
        over(b.y1 - all.y1, &mut all.y1, b.y1);
        all
    })
}

impl Shape {
    /// The edge of everything solid that is drawn in any finish: the outline itself, which is filled
    /// as [`Shape::rule`] says, where nothing lies outside the body, else a path that either rule
    /// fills alike. A drawn shadow that fades into the paper has no edge.
    pub fn edge(&self, work: &Work) -> Cow<'_, BezPath> {
        let body = Region::of(&self.outline, self.rule, work);
        let over = |layer: &&ShapeLayer| {
            let drawn = layer.role != LayerRole::Body && !layer.finishes.is_empty();
            drawn && !layer.into_paper
        };
        let mut all = body.clone();
        for layer in self.layers.iter().filter(over) {
            let piece = Region::of(&layer.path, layer.rule, work);
            if !piece.without(&body).grown(-SLIVER).is_empty() {
                all = all.and(&piece);
            }
        }
        if all.area() - body.area() > 0.0 {
            Cow::Owned(all.outline())
        } else {
            Cow::Borrowed(&self.outline)
        }
    }

    /// Moves the origin to the middle of the extent.
    fn shift(&mut self) {
        let by = -self.extent.center().to_vec2();
        let to = Affine::translate(by);
        for layer in &mut self.layers {
            layer.path.apply_affine(to);
            if let TonePaint::Gradient { transform, .. } = &mut layer.paint {
                *transform = to * *transform;
            }
        }
        self.outline.apply_affine(to);
        self.bounds = self.bounds + by;
        self.extent = self.extent + by;
    }
}
