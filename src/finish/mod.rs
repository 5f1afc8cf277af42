//! How each finish is drawn: flat areas and gradients around the exact value.
//!
//! A shape that brings its own light and shade is drawn as it is; any other
//! gets them from [`plain`], its details upon them. Shadow, edge line and flecks are made
//! here for all shapes.

mod clear;
pub mod flat;
mod flecks;
mod glow;
mod metal;
mod opaque;
mod pearl;
mod plain;
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
use shadow::Shadow;
use tone::Ink;
pub use understood::{LEAST_FLAT, Understood, understood};

/// One filled area, millimetres, origin at the centre of the part's extent.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLayer {
    /// The same pointer in every colour, but for flecks.
    pub outline: Arc<BezPath>,
    pub rule: FillRule,
    pub paint: Paint,
    /// 0 to 1; 1 hides what lies below.
    pub opacity: f64,
}

/// A part in a colour and finish, layers from the bottom up.
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
    paint: TonePaint,
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
                let mut layers: Vec<Prepared> =
                    plain.layers(finish).into_iter().map(prepare).collect();
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
    bounds: Rect,
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
    /// Prepares everything that does not depend on the colour.
    pub fn new(shape: &Shape) -> Drawer {
        let region = Region::of(&shape.outline, shape.rule);
        let inradius = region.inradius();
        let shadow = match shape.extent == shape.bounds {
            true => Shadow::new(&region, inradius),
            // Pieces outside the body throw theirs too.
            false => Shadow::new(&Region::of(&shape.edge(), FillRule::NonZero), inradius),
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
            let own = |l: &ShapeLayer| (prepare(l.clone()), l.finishes.clone());
            let all: Vec<(Prepared, Vec<Finish>)> = shape.layers.iter().map(own).collect();
            let of = |f: Finish| -> Vec<Prepared> {
                all.iter().filter(|(_, own)| own.contains(&f)).map(|(p, _)| p.clone()).collect()
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
        let mut bounds = shape.extent;
        let drawn = shape.layers.iter().map(|l| &l.path);
        for outline in drawn.chain(shadow.outlines().map(|o| &**o)) {
            bounds = bounds.union(outline.bounding_box());
        }
        Drawer { extent: shape.extent, bounds, shadow, edge, source, field, holes, inradius }
    }

    /// The drawing in a colour and finish; the seed strews the flecks.
    pub fn draw(&self, colour: Rgb, finish: Finish, seed: u64) -> Drawing {
        let ink = Ink::new(colour, finish);
        let mut layers: Vec<DrawnLayer> = Vec::new();
        let solid = |outline: Arc<BezPath>, c: Rgb, opacity: f64| DrawnLayer {
            outline,
            rule: FillRule::NonZero,
            paint: Paint::Solid(c),
            opacity,
        };
        for (outline, c) in self.shadow.draw(&ink, finish) {
            layers.push(solid(outline, c, 1.0));
        }
        let own = self.source.layers(finish);
        // Flecks lie in the body: under the openings and under lights upon it.
        let under = own
            .iter()
            .position(|l| l.role == LayerRole::Hole || l.paint == TonePaint::Flat(Tone::Shine))
            .unwrap_or(own.len());
        for (n, layer) in own.iter().enumerate() {
            if n == under {
                self.add_flecks(&mut layers, &ink, finish, seed);
            }
            layers.push(DrawnLayer {
                outline: layer.outline.clone(),
                rule: layer.rule,
                paint: paint(&layer.paint, &ink),
                opacity: layer.opacity,
            });
        }
        if under == own.len() {
            self.add_flecks(&mut layers, &ink, finish, seed);
        }
        if let Some(c) = edge_colour(&ink, finish) {
            layers.push(solid(self.edge.clone(), c, 1.0));
        }
        Drawing { layers, bounds: self.bounds, extent: self.extent }
    }

    /// The drawing where there is no value: a line along the edge and round each opening.
    pub fn outline(&self) -> Drawing {
        let line = |outline: Arc<BezPath>| DrawnLayer {
            outline,
            rule: FillRule::NonZero,
            paint: Paint::Solid(OUTLINE),
            opacity: 1.0,
        };
        let ring = |hole: &BezPath| {
            let region = Region::of(hole, FillRule::NonZero);
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

    fn add_flecks(&self, layers: &mut Vec<DrawnLayer>, ink: &Ink, finish: Finish, seed: u64) {
        if finish != Finish::Flecked {
            return;
        }
        for f in flecks::strew(&self.field, &self.holes, self.inradius, seed) {
            layers.push(DrawnLayer {
                outline: Arc::new(f.outline),
                rule: FillRule::NonZero,
                paint: Paint::Solid(ink.tone(Tone::Offset { dl: f.dl, da: 0.0, db: 0.0 })),
                opacity: f.opacity,
            });
        }
    }
}

fn prepare(layer: ShapeLayer) -> Prepared {
    Prepared {
        outline: Arc::new(layer.path),
        rule: layer.rule,
        paint: layer.paint,
        opacity: layer.opacity,
        role: layer.role,
    }
}

fn paint(paint: &TonePaint, ink: &Ink) -> Paint {
    match paint {
        TonePaint::Flat(t) => Paint::Solid(ink.tone(*t)),
        TonePaint::Gradient { ramp, transform, stops } => {
            let stops =
                stops.iter().map(|(o, t)| Stop { offset: *o, colour: ink.tone(*t) }).collect();
            Paint::Gradient(Arc::new(Gradient { ramp: *ramp, transform: *transform, stops }))
        }
    }
}

/// The line inside the edge that keeps whites and pale clears off the paper.
fn edge_colour(ink: &Ink, finish: Finish) -> Option<Rgb> {
    let (l, c) = (ink.lightness(), ink.chroma());
    let see_through = matches!(finish, Finish::Clear | Finish::Flecked);
    (l > 86.0 && c < 24.0).then(|| ink.tinted(if see_through { 70.0 } else { 74.0 }, 0.3))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    fn drawer(inside: &str) -> Drawer {
        let svg = format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">{inside}</svg>"##
        );
        let shape = crate::read::shapes::read_shape(Path::new("x.svg"), &svg);
        Drawer::new(&shape.unwrap_or_else(|e| panic!("{e:?}")))
    }

    /// Outlines that no one means to draw, but that come.
    #[test]
    fn odd_outlines_are_drawn_without_harm() {
        let zigzag: String = (0..1200)
            .map(|n| format!("L{} {}", 20.0 + f64::from(n) * 0.01, 10 + (n % 2) * 5))
            .collect();
        for inside in [
            "<rect width='390' height='0.3'/>".to_owned(),
            "<rect width='0.25' height='0.25'/>".to_owned(),
            "<rect width='400' height='400'/>".to_owned(),
            "<path d='M0 0L10 10L10 0L0 10Z'/>".to_owned(),
            "<path d='M0 0L10 0L10 0.000001L0 10Z'/>".to_owned(),
            "<path d='M0 0H5V5H0ZM20 20H25V25H20Z'/>".to_owned(),
            "<path fill-rule='evenodd' d='M0 0H9V9H0ZM0 0H9V9H0.5V0.5Z'/>".to_owned(),
            "<circle cx='9' cy='9' r='5'/><circle cx='9' cy='9' r='4.9'/>".to_owned(),
            "<circle cx='9' cy='9' r='5'/><circle cx='90' cy='90' r='1'/>".to_owned(),
            format!("<path d='M20 30{zigzag}L110 30Z'/>"),
        ] {
            let drawer = drawer(&inside);
            for finish in Finish::ALL {
                let drawing = drawer.draw(Rgb(0x12, 0x80, 0xc0), finish, 7);
                assert!(!drawing.layers.is_empty());
                assert!(drawing.bounds.is_finite(), "{inside:.60}");
                assert!(drawing.layers.iter().all(|l| l.outline.is_finite()), "{inside:.60}");
            }
        }
    }

    /// Icons of other people whose offsets keep folds of some micrometres at
    /// sharp inner corners, at sizes at which the fit of curves never ended.
    #[test]
    fn smoothing_takes_bounded_work() {
        use crate::read::region::smooth::WORK;
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drawings/folds");
        let mut bounded = 0;
        for name in ["arrow-up-circle", "lungs", "van-utility", "cricket"] {
            let text = std::fs::read_to_string(folder.join(format!("{name}.svg"))).expect("text");
            let text = text.replace("\n  width=\"24\"\n  height=\"24\"", "");
            for mm in ["5mm", "24px", "9mm", "12mm", "18mm"] {
                let sized = text.replacen("<svg", &format!("<svg width='{mm}' height='{mm}'"), 1);
                let shape = crate::read::shapes::read_shape(Path::new(name), &sized);
                let drawer = Drawer::new(&shape.unwrap_or_else(|e| panic!("{name}: {e:?}")));
                for finish in Finish::ALL {
                    WORK.set((0, 0));
                    let drawing = drawer.draw(Rgb(0xc9, 0x28, 0x2d), finish, 7);
                    assert!(drawing.layers.iter().all(|l| l.outline.is_finite()));
                    let (looks, edges) = WORK.get();
                    // A stretch that ends as it should takes less than two looks an edge.
                    bounded += u32::from(looks > 3 * edges);
                    assert!(looks <= 80 * edges, "{name} {mm} {finish:?}: {looks}, {edges} edges");
                }
            }
        }
        // Somewhere the bound was needed, or this would prove nothing.
        assert!(bounded > 0);
    }

    #[test]
    fn the_body_keeps_its_exact_outline_and_colour() {
        let drawer = drawer("<circle cx='9' cy='9' r='4.5'/>");
        let colour = Rgb(0xc9, 0x28, 0x2d);
        for finish in Finish::ALL {
            let drawing = drawer.draw(colour, finish, 0);
            assert_eq!((drawing.extent.width(), drawing.extent.height()), (9.0, 9.0));
            let body = drawing.layers.iter().find(|l| l.paint == Paint::Solid(colour));
            let b = body.expect("a body").outline.bounding_box();
            assert_eq!((b.width(), b.height()), (9.0, 9.0), "{finish:?}");
        }
    }

    #[test]
    fn flecks_follow_the_seed_and_spare_the_centre() {
        let drawer = drawer("<circle cx='9' cy='9' r='6'/>");
        let colour = Rgb(0x6b, 0x9f, 0xd4);
        let draw = |seed| drawer.draw(colour, Finish::Flecked, seed);
        assert_eq!(draw(3), draw(3));
        assert_ne!(draw(3), draw(4));
        let clear = drawer.draw(colour, Finish::Clear, 3);
        assert_eq!(draw(3).layers.len(), clear.layers.len() + 3);
        let centre = kurbo::Point::ORIGIN;
        for layer in draw(3).layers.iter().filter(|l| l.outline.bounding_box().width() < 12.0) {
            if layer.outline.elements().len() > 40 && layer.opacity < 1.0 {
                assert_eq!(layer.outline.winding(centre), 0);
            }
        }
    }

    #[test]
    fn whites_have_a_line_inside_their_edge() {
        let drawer = drawer("<circle cx='9' cy='9' r='4.5'/>");
        let edge = |c| {
            let drawing = drawer.draw(c, Finish::Opaque, 0);
            let last = drawing.layers.last().expect("a layer").clone();
            (Arc::ptr_eq(&last.outline, &drawer.edge), last.outline.bounding_box().width())
        };
        let (is_edge, width) = edge(Rgb(0xf8, 0xf8, 0xf4));
        assert!(is_edge && width <= 9.005, "{width}");
        assert!(!edge(Rgb(0xc9, 0x28, 0x2d)).0);
    }
}
