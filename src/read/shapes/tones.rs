//! What the other paints mean beside that of the body.

use std::path::Path;
use std::sync::Arc;

use kurbo::{Affine, Vec2};

use crate::diag::Diagnostic;
use crate::graphic::{Rgb, lab};
use crate::read::Finish;
use crate::read::region::Region;
use crate::work::Work;

use super::body::{self, Body};
use super::drawn::{Drawn, DrawnPaint};
use super::gradient::{self, Ground};
use super::shape::{BodyFrom, LayerRole, Reading, Shape, ShapeLayer, Tone, TonePaint};

/// Least CIELAB chroma of a body that is drawn in a colour, not a grey.
const COLOURED: f64 = 5.0;

/// Makes the shape from what was drawn; with it where its centre was.
pub(super) fn assemble(
    file: &Arc<Path>,
    items: Vec<Drawn>,
    work: &Work,
) -> Result<(Shape, Vec2), Vec<Diagnostic>> {
    let body = body::find(file, &items, work)?;
    let own_shading = items.iter().enumerate().any(|(n, i)| {
        let relief = n != body.at && i.words.role != Some(LayerRole::Hole);
        let gradient = matches!(i.paint, DrawnPaint::Gradient { .. });
        !body.merged.contains(&n) && (!i.words.finishes.is_empty() || (relief && gradient))
    });
    let coloured = {
        let c = lab(body.reference);
        c.a.hypot(c.b) >= COLOURED
    };
    let centre = body.bounds.center().to_vec2();
    let mut tones = Tones {
        reference: body.reference,
        lightness_only: coloured || body.from == BodyFrom::Lines,
        shift: -centre,
        layers: Vec::new(),
    };
    // What lies below is asked for only where something fades.
    let fading = items.iter().any(|i| gradient::fades(&i.paint));
    let mut grounds: Vec<Ground> = Vec::new();
    for (n, item) in items.into_iter().enumerate() {
        if n == body.at {
            tones.add_body(&body);
            if fading {
                let area = Region::of(&body.outline, body.rule, work);
                grounds.push(Ground::new(area, body.reference, Finish::ALL.to_vec()));
            }
        }
        if body.merged.contains(&n) {
            continue;
        }
        let finishes = match &item.words.finishes {
            none if none.is_empty() => Finish::ALL.to_vec(),
            some => some.clone(),
        };
        let pieces = match gradient::fades(&item.paint) {
            true => gradient::on_ground(&item, &finishes, &grounds, work),
            false => vec![item],
        };
        for piece in pieces {
            // What fades into the paper ends as paper, not in its mean.
            if fading && !piece.into_paper {
                let area = Region::of(&piece.path, piece.rule, work);
                let colour = gradient::shown_on(&piece, body.reference);
                grounds.push(Ground::new(area, colour, finishes.clone()));
            }
            tones.add(piece, &finishes);
        }
    }
    let shift = Affine::translate(-centre);
    let shape = Shape {
        layers: tones.layers,
        outline: shift * body.outline,
        rule: body.rule,
        bounds: body.bounds - centre,
        extent: body.bounds - centre,
        own_shading,
        reading: Reading { body: body.from, coloured, mean_of_gradient: body.gradient },
    };
    Ok((shape, centre))
}

/// Layers in the making.
struct Tones {
    reference: Rgb,
    /// Hues beside the body's do not count.
    lightness_only: bool,
    shift: Vec2,
    layers: Vec<ShapeLayer>,
}

impl Tones {
    fn add_body(&mut self, body: &Body) {
        self.layers.push(ShapeLayer {
            path: Affine::translate(self.shift) * body.outline.clone(),
            rule: body.rule,
            paint: TonePaint::Flat(Tone::EXACT),
            opacity: 1.0,
            role: LayerRole::Body,
            into_paper: false,
            finishes: Finish::ALL.to_vec(),
        });
    }

    fn add(&mut self, item: Drawn, finishes: &[Finish]) {
        let hole = item.words.role == Some(LayerRole::Hole);
        self.layers.push(ShapeLayer {
            path: Affine::translate(self.shift) * item.path,
            rule: item.rule,
            paint: self.paint(item.paint, item.words.fixed),
            opacity: item.opacity,
            role: if hole { LayerRole::Hole } else { LayerRole::Relief },
            into_paper: item.into_paper,
            finishes: finishes.to_vec(),
        });
    }

    fn paint(&self, paint: DrawnPaint, fixed: bool) -> TonePaint {
        match paint {
            DrawnPaint::Flat(c) => TonePaint::Flat(self.tone(c, fixed)),
            DrawnPaint::Gradient { ramp, transform, stops } => TonePaint::Gradient {
                ramp,
                transform: Affine::translate(self.shift) * transform,
                stops: stops.into_iter().map(|s| (s.offset, self.tone(s.colour, fixed))).collect(),
            },
        }
    }

    /// A drawn colour beside the body's: its CIELAB difference.
    fn tone(&self, c: Rgb, fixed: bool) -> Tone {
        if fixed {
            return Tone::Fixed(c);
        }
        if c == self.reference {
            return Tone::EXACT;
        }
        if c == Rgb::WHITE {
            return Tone::Shine;
        }
        let (c, r) = (lab(c), lab(self.reference));
        if self.lightness_only {
            return Tone::Offset { dl: c.l - r.l, da: 0.0, db: 0.0 };
        }
        Tone::Offset { dl: c.l - r.l, da: c.a - r.a, db: c.b - r.b }
    }
}
