//! Parts as they lie on the page: shadow, side, bevelled edge, face with a highlight.

use crate::render::draw::between;
use crate::render::geometry::Camera;
use crate::render::materials::Materials;
use crate::render::page::{Polygon, StagePage};
use crate::render::params::Lamp;
use crate::render::raster::{Cell, Raster};
use crate::render::recover::reflectance;
use fastrand::Rng;
use serde::Serialize;

/// One part as it was laid.
#[derive(Debug, Clone, Serialize)]
pub struct LaidPart {
    /// Which place of the page.
    pub place: usize,
    /// The colour of its face, CIELAB under D50 for 2 degrees.
    pub lab: [f64; 3],
    /// Which spectrum of that value: 0 the smoothest, every other number another.
    pub pigments: u32,
    /// How far from its place, in millimetres, and how it is turned, in degrees.
    pub shift: (f64, f64),
    pub turn: f64,
    pub scale: f64,
    /// How thick it is and how wide its bevelled edge, in millimetres.
    pub height: f64,
    pub bevel: f64,
    /// 0 is matt, 1 glossy.
    pub gloss: f64,
    /// 0 is flat, 1 a dome that is 7 % brighter at the side towards a low lamp.
    pub dome: f64,
    /// Standard deviation of its brightness from spot to spot, as a share.
    pub mottle: f64,
}

/// Every place gets a part of its known colour, a little out of place; a few stay empty.
pub fn lay(page: &StagePage, labs: &[[f64; 3]], empty: f64, seed: u64) -> Vec<LaidPart> {
    let rng = &mut Rng::with_seed(seed ^ 0x1a1d);
    let (height, gloss) = (between(rng, 1.2, 2.8), rng.f64());
    let mut laid = Vec::new();
    for (place, &lab) in (0..page.places.len()).zip(labs) {
        let (away, course) = (0.6 * rng.f64(), rng.f64() * std::f64::consts::TAU);
        let part = LaidPart {
            place,
            lab,
            pigments: 0,
            shift: (away * course.cos(), away * course.sin()),
            turn: between(rng, -6.0, 6.0),
            scale: between(rng, 0.98, 1.02),
            height,
            bevel: between(rng, 0.4, 0.8),
            gloss: (gloss + between(rng, -0.15, 0.15)).clamp(0.0, 1.0),
            dome: rng.f64().powi(3),
            mottle: between(rng, 0.0, 0.008),
        };
        if rng.f64() >= empty {
            laid.push(part);
        }
    }
    laid
}

impl LaidPart {
    /// Its outline on the paper, in millimetres.
    pub fn outline(&self, page: &StagePage) -> Vec<Polygon> {
        let outline = &page.places[self.place].outline;
        let centre = middle(outline);
        let (sin, cos) = self.turn.to_radians().sin_cos();
        let moved = |p: &(f64, f64)| {
            let (x, y) = ((p.0 - centre.0) * self.scale, (p.1 - centre.1) * self.scale);
            (
                centre.0 + self.shift.0 + x * cos - y * sin,
                centre.1 + self.shift.1 + x * sin + y * cos,
            )
        };
        outline.iter().map(|polygon| polygon.iter().map(moved).collect()).collect()
    }

    /// Its upper face as the camera sees it, on the page's plane, in millimetres.
    pub fn face(&self, page: &StagePage, camera: &Camera) -> Vec<Polygon> {
        lifted(&self.outline(page), |p| camera.raised(p, self.height))
    }
}

fn middle(outline: &[Polygon]) -> (f64, f64) {
    let (low, high) = extent(outline);
    ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0)
}

fn extent(outline: &[Polygon]) -> ((f64, f64), (f64, f64)) {
    let start = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
    let points = outline.iter().flatten();
    points.fold(start, |(l, h), p| ((l.0.min(p.0), l.1.min(p.1)), (h.0.max(p.0), h.1.max(p.1))))
}

fn lifted(outline: &[Polygon], lift: impl Fn((f64, f64)) -> (f64, f64)) -> Vec<Polygon> {
    outline.iter().map(|polygon| polygon.iter().map(|&p| lift(p)).collect()).collect()
}

/// What parts are laid into.
pub struct Scene<'a> {
    pub page: &'a StagePage,
    pub camera: &'a Camera,
    pub lamps: &'a [Lamp; 2],
    pub ambient: f64,
}

impl Scene<'_> {
    /// All parts with their shadows; the CIELAB value that each has.
    pub fn lay(
        &self,
        laid: &[LaidPart],
        raster: &mut Raster,
        materials: &mut Materials,
    ) -> Vec<[f64; 3]> {
        let mut lit = vec![[0u8; 2]; raster.cells.len()];
        for part in laid {
            self.shadows(part, raster, &mut lit);
        }
        let direct = 1.0 - self.ambient as f32;
        for (cell, bits) in raster.cells.iter_mut().zip(&lit).filter(|(_, bits)| **bits != [0; 2]) {
            for (lamp, bits) in bits.iter().enumerate() {
                let dark = bits.count_ones() as f32 / 8.0;
                *cell = cell.with_lit(lamp, 1.0 - direct * dark);
            }
        }
        let mut reached = Vec::new();
        for part in laid {
            let (spectrum, lab) = reflectance(part.lab, part.pigments);
            reached.push(lab);
            self.stand(part, raster, materials.add(spectrum));
        }
        reached
    }

    /// The light that a lamp's place, relative to the page's centre, falls from: on the page.
    fn lamp_at(&self, lamp: usize, bit: usize) -> (f64, f64, f64) {
        let Lamp { at, radius, .. } = &self.lamps[lamp];
        let turn = bit as f64 / 8.0 * std::f64::consts::TAU;
        let out = radius * (0.4 + 0.6 * ((bit * 5) % 8) as f64 / 7.0);
        (
            self.page.size.0 / 2.0 + at.0 + out * turn.cos(),
            self.page.size.1 / 2.0 + at.1 + out * turn.sin(),
            at.2,
        )
    }

    fn shadows(&self, part: &LaidPart, raster: &mut Raster, lit: &mut [[u8; 2]]) {
        let outline = part.outline(self.page);
        for lamp in 0..2 {
            for bit in 0..8 {
                let from = self.lamp_at(lamp, bit);
                for step in 1..=3 {
                    let height = part.height * f64::from(step) / 3.0;
                    let share = height / (from.2 - height);
                    let cast = lifted(&outline, |p| {
                        (p.0 + (p.0 - from.0) * share, p.1 + (p.1 - from.1) * share)
                    });
                    for (start, count) in raster.runs(&cast) {
                        lit[start..start + count]
                            .iter_mut()
                            .for_each(|bits| bits[lamp] |= 1 << bit);
                    }
                }
            }
        }
        for near in raster.near(&outline, 1.0) {
            let cell = &mut raster.cells[near.at];
            *cell = cell.with_shade(cell.shade() * (0.82 + 0.18 * near.distance));
        }
    }

    /// The side, then the face.
    fn stand(&self, part: &LaidPart, raster: &mut Raster, material: u16) {
        let outline = part.outline(self.page);
        const STEPS: u32 = 8;
        for step in 0..STEPS {
            let share = f64::from(step) / f64::from(STEPS);
            let side = Cell::of(material).with_shade((0.34 + 0.3 * share) as f32);
            raster
                .fill(&lifted(&outline, |p| self.camera.raised(p, share * part.height)), |_, _| {
                    side
                });
        }
        self.face(part, raster, material);
    }

    fn face(&self, part: &LaidPart, raster: &mut Raster, material: u16) {
        let face = part.face(self.page, self.camera);
        let (low, high) = extent(&face);
        let (centre, size) = (middle(&face), (high.0 - low.0).hypot(high.1 - low.1) / 2.0);
        let per_mm = raster.per_mm;
        let wide = raster.wide;
        let lights = [0, 1].map(|lamp| self.towards(lamp, centre));
        let blobs = [0, 1]
            .map(|lamp| Blob::new(part, lights[lamp], (centre, size), self.lamps[lamp].power));
        raster.fill(&face, |_, at| {
            let p = (((at % wide) as f64 + 0.5) / per_mm, ((at / wide) as f64 + 0.5) / per_mm);
            let (x, y) = ((p.0 - centre.0) / size, (p.1 - centre.1) / size);
            let slope = lights
                .iter()
                .map(|l| (0.005 + 0.03 * part.dome) * (x * l.0 + y * l.1))
                .sum::<f64>();
            let shine = blobs[0].at(p) + blobs[1].at(p);
            Cell::of(material)
                .with_shade((1.0 + slope + part.mottle * mottled(p)) as f32)
                .with_gloss(shine)
        });
        self.bevel(part, raster, (&face, material, lights));
    }

    /// The edge, darker away from the lamps and shining towards them.
    fn bevel(
        &self,
        part: &LaidPart,
        raster: &mut Raster,
        face: (&[Polygon], u16, [(f64, f64); 2]),
    ) {
        let (outline, material, lights) = face;
        let edge = raster.near(outline, part.bevel);
        for near in &edge {
            let cell = raster.cells[near.at];
            if cell.material() != usize::from(material) {
                continue;
            }
            let bent = 1.0 - near.distance / part.bevel as f32;
            let facing = |l: &(f64, f64)| -(near.away.0 * l.0 as f32 + near.away.1 * l.1 as f32);
            let side: f32 = lights.iter().map(facing).sum::<f32>() * 0.5;
            let shade = cell.shade() * (1.0 + bent * bent * (0.35 * side - 0.18));
            let shine: f32 = lights.iter().map(|l| facing(l).max(0.0).powi(5)).sum();
            let ring = (1.0 - ((bent - 0.55) / 0.3).powi(2)).max(0.0);
            let gloss = cell.gloss() + part.gloss as f32 * (0.25 * shine + 0.02) * ring;
            raster.cells[near.at] = cell.with_shade(shade).with_gloss(gloss);
        }
    }

    /// The direction to a lamp across the page, longer the lower the lamp stands.
    fn towards(&self, lamp: usize, p: (f64, f64)) -> (f64, f64) {
        let at = self.lamps[lamp].at;
        let (x, y) = (self.page.size.0 / 2.0 + at.0 - p.0, self.page.size.1 / 2.0 + at.1 - p.1);
        let length = x.hypot(y).max(1.0);
        let low = (length / at.2).min(1.2);
        (x / length * low, y / length * low)
    }
}

/// A smooth unevenness with mean 0 and standard deviation 1, some millimetres from crest to crest.
fn mottled(p: (f64, f64)) -> f64 {
    (2.1 * p.0 + 0.7 * p.1).sin() + (1.3 * p.1 - 0.9 * p.0 + 1.0).sin()
}

/// A lamp's mirror image on a slightly domed face: a broad sheen, and a small bright spot in it where the face is glossy.
struct Blob {
    centre: (f64, f64),
    along: (f64, f64),
    size: f64,
    sheen: f64,
    spot: f64,
}

impl Blob {
    fn new(part: &LaidPart, light: (f64, f64), face: ((f64, f64), f64), power: f64) -> Self {
        let (centre, size) = face;
        let length = light.0.hypot(light.1).max(1e-6);
        // No two parts are domed alike: something that is different for each, but always the same.
        let own = (part.turn * 7.3 + part.shift.0 * 31.0).sin();
        let out = size * (0.52 + 0.2 * own);
        Self {
            centre: (centre.0 + out * light.0 + 0.06 * size * own, centre.1 + out * light.1),
            along: (light.0 / length, light.1 / length),
            size: size * (0.34 - 0.12 * part.gloss),
            sheen: power * (0.003 + 0.07 * part.gloss),
            spot: power * 0.9 * (part.gloss - 0.25).max(0.0).powf(1.5),
        }
    }

    fn at(&self, p: (f64, f64)) -> f32 {
        let (x, y) = ((p.0 - self.centre.0) / self.size, (p.1 - self.centre.1) / self.size);
        let (along, across) =
            (x * self.along.0 + y * self.along.1, (y * self.along.0 - x * self.along.1) / 1.35);
        let far = along * along + across * across;
        if far > 14.0 {
            0.0
        } else {
            (self.sheen * (-far / 2.0).exp() + self.spot * (-far * 9.0).exp()) as f32
        }
    }
}
