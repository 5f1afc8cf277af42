//! How each finish is drawn: flat areas and gradients around the exact value.
//!
//! A shape that brings its own light and shade is drawn as it is; any other
//! gets them from [`plain`], its details upon them. Shadow, edge line and flecks are made
//! here for all shapes.

mod clear;
pub mod flat;
mod flecks;
mod glow;
mod holes;
mod layers;
mod light;
mod metal;
mod opaque;
mod pearl;
mod plain;
mod relief;
mod ribbon;
mod satin;
mod shadow;
pub mod tone;
pub mod understood;

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use kurbo::{BezPath, Rect, Shape as _};

use crate::graphic::{FillRule, Gradient, Paint, Rgb, Stop};
use crate::read::Finish;
use crate::read::shapes::{LayerRole, Shape, ShapeLayer, Tone, TonePaint};

use crate::read::region::Region;
use crate::work::Work;
use shadow::Shadow;
use tone::Base;
pub use tone::Shade;
pub use understood::{LEAST_FLAT, Understood, understood};

/// One filled area, millimetres, origin at the centre of the part's extent.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLayer {
    /// The same pointer in every colour, but for flecks.
    pub outline: Arc<BezPath>,
    pub rule: FillRule,
    pub paint: Paint<Shade>,
    /// 0 to 1; 1 hides what lies below.
    pub opacity: f64,
}

/// A part in a finish, layers from the bottom up. Its colours are shades of the sample that it is
/// drawn in, so one drawing does for all values that the sample has on screens and papers.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub layers: Vec<DrawnLayer>,
    /// Everything drawn, shadow included.
    pub bounds: Rect,
    /// The part without its shadow, pieces outside its body included.
    pub extent: Rect,
}

/// A layer of the shape with its outline ready for sharing.
#[derive(Debug, Clone)]
struct Prepared {
    outline: Arc<BezPath>,
    rule: FillRule,
    paint: Paint<Shade>,
    opacity: f64,
    role: LayerRole,
}

/// Where the layers of a finish come from.
#[derive(Debug)]
enum Source {
    Drawn(BTreeMap<Finish, Vec<Prepared>>),
    /// Made when a finish is first asked for: most parts come in few.
    Plain {
        plain: Box<plain::Plain>,
        body: Arc<BezPath>,
        made: Box<[OnceLock<Vec<Prepared>>; 7]>,
    },
}

impl Source {
    fn layers(&self, finish: Finish) -> &[Prepared] {
        match self {
            Source::Drawn(all) => all.get(&finish).map_or(&[], |l| l),
            Source::Plain { plain, body, made } => made[finish as usize].get_or_init(|| {
                let drawn = plain.layers(finish).into_iter();
                let mut layers: Vec<Prepared> =
                    drawn.map(|l| prepare(&l, Arc::new(l.path.clone()), finish)).collect();
                for layer in layers.iter_mut().filter(|l| l.role == LayerRole::Body) {
                    layer.outline = body.clone();
                }
                layers
            }),
        }
    }
}

/// Draws one shape in any colour and finish.
#[derive(Debug)]
pub struct Drawer {
    extent: Rect,
    /// With the shadow, and with the halo of what glows.
    bounds: Rect,
    lit_bounds: Rect,
    shadow: Shadow,
    edge: Arc<BezPath>,
    source: Source,
    /// Where flecks may lie, the openings in it, and its half width, mm.
    field: Region,
    holes: Vec<BezPath>,
    inradius: f64,
}

/// Width of the line inside the edge of whites, mm.
const EDGE: f64 = 0.11;
/// The line of a part whose colour has no value.
const OUTLINE: Rgb = Rgb(0x8c, 0x8c, 0x8c);

impl Drawer {
    /// Prepares everything that does not depend on the colour; `work` counts this and all that is drawn.
    pub fn new(shape: &Shape, work: &Work) -> Drawer {
        let region = Region::of(&shape.outline, shape.rule, work);
        let inradius = region.inradius();
        let shadow = match shape.extent == shape.bounds {
            true => Shadow::new(&region, inradius),
            // Pieces outside the body throw theirs too.
            false => {
                let edge = Region::of(&shape.edge(work), FillRule::NonZero, work);
                Shadow::new(&edge, inradius)
            }
        };
        let edge = EDGE.min(inradius * 0.12);
        let edge = Arc::new(region.without(&region.grown(-edge)).smooth());

        let source = if !shape.own_shading {
            Source::Plain {
                plain: Box::new(plain::Plain::new(shape, &region, inradius)),
                body: Arc::new(shape.outline.clone()),
                made: Default::default(),
            }
        } else {
            let outline = |l: &ShapeLayer| Arc::new(l.path.clone());
            let outlines: Vec<Arc<BezPath>> = shape.layers.iter().map(outline).collect();
            let all = || shape.layers.iter().zip(&outlines);
            let of = |f: Finish| -> Vec<Prepared> {
                let own = all().filter(|(l, _)| l.finishes.contains(&f));
                own.map(|(layer, outline)| prepare(layer, Arc::clone(outline), f)).collect()
            };
            Source::Drawn(Finish::ALL.iter().map(|f| (*f, of(*f))).collect())
        };

        let holes: Vec<BezPath> = shape
            .layers
            .iter()
            .filter(|l| l.role == LayerRole::Hole)
            .map(|l| l.path.clone())
            .collect();
        let field = region.grown(-(0.14 * inradius).clamp(0.1, 0.5));
        let drawn = shape.layers.iter().map(|l| l.path.bounding_box());
        let drawn = drawn.fold(shape.extent, |all, b| all.union(b));
        let with = |outlines: &mut dyn Iterator<Item = &Arc<BezPath>>| {
            outlines.fold(drawn, |all, o| all.union(o.bounding_box()))
        };
        let bounds = with(&mut shadow.outlines());
        let lit_bounds = with(&mut shadow.halo());
        Drawer {
            extent: shape.extent,
            bounds,
            lit_bounds,
            shadow,
            edge,
            source,
            field,
            holes,
            inradius,
        }
    }

    /// The drawing in a finish; the seed strews the flecks. Where what is drawn depends on how
    /// light the sample is, its published value decides.
    pub fn draw(&self, published: Rgb, finish: Finish, seed: u64) -> Drawing {
        let base = Base::new(published);
        let Drawing { mut layers, bounds, extent } = self.shadow(finish);
        let own = self.source.layers(finish);
        // Flecks lie in the body: under the openings and under lights upon it.
        let shine = Paint::Solid(Shade::Shine);
        let under = own
            .iter()
            .position(|l| l.role == LayerRole::Hole || l.paint == shine)
            .unwrap_or(own.len());
        for (n, layer) in own.iter().enumerate() {
            if n == under {
                self.add_flecks(&mut layers, &base, finish, seed);
            }
            layers.push(DrawnLayer {
                outline: layer.outline.clone(),
                rule: layer.rule,
                paint: layer.paint.clone(),
                opacity: layer.opacity,
            });
        }
        if under == own.len() {
            self.add_flecks(&mut layers, &base, finish, seed);
        }
        if let Some(shade) = edge(&base, finish) {
            layers.push(solid(self.edge.clone(), shade));
        }
        Drawing { layers, bounds, extent }
    }

    /// What the part throws on the paper, alone: its shadow, or the halo of what glows.
    pub fn shadow(&self, finish: Finish) -> Drawing {
        let thrown = self.shadow.draw(finish).into_iter();
        let layers = thrown.map(|(outline, shade)| solid(outline, shade)).collect();
        let bounds = if finish == Finish::Glow { self.lit_bounds } else { self.bounds };
        Drawing { layers, bounds, extent: self.extent }
    }

    /// The drawing where there is no value: a line along the edge and round each opening.
    pub fn outline(&self) -> Drawing {
        let line = |outline: Arc<BezPath>| solid(outline, Shade::Fixed(OUTLINE));
        let ring = |hole: &BezPath| {
            let region = Region::of(hole, FillRule::NonZero, &self.field.work());
            let width = EDGE.min(region.inradius() * 0.4);
            Arc::new(region.without(&region.grown(-width)).smooth())
        };
        // A hole of several layers has one line, round the widest.
        let boxes: Vec<Rect> = self.holes.iter().map(|h| h.bounding_box()).collect();
        let widest = |n: usize| {
            let within = |other: &Rect| other.union(boxes[n]) == *other && *other != boxes[n];
            !boxes.iter().any(within) && !boxes[..n].contains(&boxes[n])
        };
        let rings = self.holes.iter().enumerate().filter(|(n, _)| widest(*n)).map(|(_, h)| ring(h));
        let layers = std::iter::once(self.edge.clone()).chain(rings).map(line).collect();
        Drawing { layers, bounds: self.bounds, extent: self.extent }
    }

    fn add_flecks(&self, layers: &mut Vec<DrawnLayer>, base: &Base, finish: Finish, seed: u64) {
        if finish != Finish::Flecked {
            return;
        }
        let crowd = match self.source {
            Source::Drawn(_) => &flecks::SPARSE,
            Source::Plain { .. } => &flecks::DENSE,
        };
        // On white no fleck is lighter.
        let turn = |dl: f64| if base.lightness() > 90.0 && dl > 0.0 { -0.8 * dl } else { dl };
        for f in flecks::strew(&self.field, &self.holes, self.inradius, crowd, seed) {
            let tone = Tone::Offset { dl: turn(f.dl), da: 0.0, db: 0.0 };
            let fleck = solid(Arc::new(f.outline), Shade::of(tone, finish));
            layers.push(DrawnLayer { opacity: f.opacity, ..fleck });
        }
    }
}

/// One opaque colour.
fn solid(outline: Arc<BezPath>, shade: Shade) -> DrawnLayer {
    DrawnLayer { outline, rule: FillRule::NonZero, paint: Paint::Solid(shade), opacity: 1.0 }
}

fn prepare(layer: &ShapeLayer, outline: Arc<BezPath>, finish: Finish) -> Prepared {
    let shade = |tone: Tone| Shade::of(tone, finish);
    let paint = match &layer.paint {
        TonePaint::Flat(tone) => Paint::Solid(shade(*tone)),
        TonePaint::Gradient { ramp, transform, stops } => {
            let stops = stops.iter().map(|(o, t)| Stop { offset: *o, colour: shade(*t) }).collect();
            Paint::Gradient(Arc::new(Gradient { ramp: *ramp, transform: *transform, stops }))
        }
    };
    Prepared { outline, rule: layer.rule, paint, opacity: layer.opacity, role: layer.role }
}

/// The line inside the edge that keeps whites and pale clears off the paper.
fn edge(base: &Base, finish: Finish) -> Option<Shade> {
    let see_through = matches!(finish, Finish::Clear | Finish::Flecked);
    let l = if see_through { 70.0 } else { 74.0 };
    (base.lightness() > 86.0 && base.chroma() < 24.0).then_some(Shade::Tinted { l, share: 0.3 })
}

#[cfg(test)]
mod tests;
