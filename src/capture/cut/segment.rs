//! Which pixels of a place show the part, and which its ground, lit or in shadow.
//!
//! A pixel's light in logarithms is compared with two lines: the ground's colour at any share of its
//! light between deep shadow and full, and the part's colour between its dark side and its lit edge.
//! What is lighter than both is the part's shine. The nearer line decides.

use crate::capture::cut::field::{mean, pieces};
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::{bounds, coverage};
use crate::capture::cut::{Fault, Outline};
use crate::capture::least::{median, quantile};

/// Stray light that logarithms are taken over.
const STRAY: f64 = 0.012;
/// How far a line is left before it costs, in logarithms.
const SOFT: f64 = 0.06;
/// The range of light on the ground, and of the part beside its face, in logarithms.
const SHADE: [(f64, f64); 2] = [(-1.25, 0.06), (-1.2, 0.35)];
/// How unlikely shade is: its usual size.
const USUAL: [f64; 2] = [0.6, 0.5];
/// How much farther a shadow may be from its ground's line, for each unit that it is darker: two lamps
/// of different colours tint each other's shadows.
const TINT: f64 = 0.22;
/// The smallest hole, in square millimetres.
const LEAST_HOLE: f64 = 0.3;

/// What is known before looking.
pub struct Hints<'a> {
    /// Where the part should be, in pixels; empty where nothing is known.
    pub expected: &'a Outline,
    /// That is only a box around it: most of the box's middle is the part.
    pub boxed: bool,
    /// Pixels at the patch's edges that are not the place's ground.
    pub rim: usize,
}

/// Part and ground.
#[derive(Debug, Clone)]
pub struct Segment {
    /// Over 0 for the part.
    pub field: Vec<f32>,
    /// The ground's light.
    pub ground: [f64; 3],
    /// The part's.
    pub part: [f64; 3],
    /// How far apart they are, in logarithms.
    pub contrast: f64,
}

/// Divides a place.
///
/// # Errors
/// Where nothing can be told from the ground.
pub fn segment(patch: &Patch, hints: &Hints) -> Result<Segment, Fault> {
    let size = (patch.width, patch.height);
    let logs = logs(patch);
    let zones = Zones::of(patch, hints);
    let ground = zones.ground(&logs).ok_or(Fault::NothingFound)?;
    let sigma = zones.noise(&logs, ground);
    let part = match zones.part(&logs) {
        Some(part) => part,
        None => unlike(&logs, size, (ground, sigma)).ok_or(Fault::NothingFound)?,
    };
    let mut part = part;
    let mut field = Vec::new();
    // Once more with the colour of what was found.
    for _ in 0..2 {
        field = score(&logs, ground, part, sigma);
        field = mean(&field, size, 1);
        zones.cut(&mut field, size);
        clean(&mut field, patch).ok_or(Fault::NothingFound)?;
        part = inner(&logs, &field, size).unwrap_or(part);
    }
    let contrast = apart(part, ground, 0).sqrt() * SOFT;
    let light = |v: [f64; 3]| v.map(|v| v.exp() - STRAY);
    Ok(Segment { field, ground: light(ground), part: light(part), contrast })
}

/// Smoothed light in logarithms.
fn logs(patch: &Patch) -> Vec<[f64; 3]> {
    let size = (patch.width, patch.height);
    let channels = [0, 1, 2].map(|c| {
        let one: Vec<f32> = patch.light.iter().map(|p| p[c]).collect();
        mean(&one, size, 1)
    });
    let at = |i: usize| {
        [0, 1, 2].map(|c| (f64::from(channels[c].get(i).copied().unwrap_or(0.0)) + STRAY).ln())
    };
    (0..patch.light.len()).map(at).collect()
}

/// Where ground and part are surely seen.
struct Zones {
    ground: Vec<usize>,
    part: Vec<usize>,
    rim: usize,
}

impl Zones {
    fn of(patch: &Patch, hints: &Hints) -> Zones {
        let size = (patch.width, patch.height);
        let covered = coverage(hints.expected, size);
        let mm = |v: f64| ((v / patch.step) as usize).max(1);
        let near = mean(&covered, size, mm(1.4));
        let wide = match hints.boxed {
            true => coverage(&inner_oval(hints.expected), size),
            false => mean(&covered, size, mm(0.8)),
        };
        let ring = mm(1.6) + hints.rim;
        let (mut ground, mut part) = (Vec::new(), Vec::new());
        for i in 0..covered.len() {
            let (x, y) = (i % size.0, i / size.0);
            let edge = x.min(y).min(size.0 - 1 - x).min(size.1 - 1 - y);
            let beside = if hints.expected.is_empty() { edge < ring } else { near[i] <= 1e-6 };
            if edge >= hints.rim && beside {
                ground.push(i);
            }
            if wide[i] > 0.999 {
                part.push(i);
            }
        }
        Zones { ground, part, rim: hints.rim }
    }

    /// The colour of the lit ground.
    fn ground(&self, logs: &[[f64; 3]]) -> Option<[f64; 3]> {
        (self.ground.len() > 30).then(|| {
            [0, 1, 2].map(|c| {
                quantile(&mut self.ground.iter().map(|i| logs[*i][c]).collect::<Vec<_>>(), 0.6)
            })
        })
    }

    /// The usual distance of a lit pixel from its line.
    fn noise(&self, logs: &[[f64; 3]], ground: [f64; 3]) -> f64 {
        let mut off: Vec<f64> =
            self.ground.iter().map(|i| apart(logs[*i], ground, 0).sqrt() * SOFT).collect();
        (1.5 * median(&mut off)).clamp(0.02, 0.3)
    }

    /// The colour of most of where the part must be.
    fn part(&self, logs: &[[f64; 3]]) -> Option<[f64; 3]> {
        (self.part.len() > 60).then(|| middle(logs, &self.part))
    }

    /// Takes the rim away.
    fn cut(&self, field: &mut [f32], size: (usize, usize)) {
        for (i, v) in field.iter_mut().enumerate() {
            let (x, y) = (i % size.0, i / size.0);
            if x.min(y).min(size.0 - 1 - x).min(size.1 - 1 - y) < self.rim {
                *v = -8.0;
            }
        }
    }
}

/// An oval in the middle of a box, of half its sides.
fn inner_oval(expected: &Outline) -> Outline {
    let Some((low, high)) = bounds(expected) else { return Outline::new() };
    let (cx, cy) = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
    let (rx, ry) = ((high.0 - low.0) / 4.0, (high.1 - low.1) / 4.0);
    let turn = |i: u32| f64::from(i) / 48.0 * std::f64::consts::TAU;
    vec![(0..48).map(|i| (cx + rx * turn(i).cos(), cy + ry * turn(i).sin())).collect()]
}

fn middle(logs: &[[f64; 3]], of: &[usize]) -> [f64; 3] {
    [0, 1, 2].map(|c| median(&mut of.iter().map(|i| logs[*i][c]).collect::<Vec<_>>()))
}

/// The squared distance of a pixel from the line of a colour (0 the ground's, 1 the part's).
fn apart(pixel: [f64; 3], colour: [f64; 3], kind: usize) -> f64 {
    let d = [0, 1, 2].map(|c| pixel[c] - colour[c]);
    let along = 0.3 * d[0] + 0.5 * d[1] + 0.2 * d[2];
    let (low, high) = SHADE[kind];
    let over = along - along.clamp(low, high);
    let off: f64 = d.iter().map(|v| (v - along).powi(2)).sum();
    let dark = if kind == 0 { (-along).clamp(0.0, 1.0) } else { 0.0 };
    off / (SOFT + TINT * dark).powi(2)
        + over * over / (SOFT * SOFT)
        + (along.clamp(low, high) / USUAL[kind]).powi(2)
}

/// Over 0 where a pixel is more like the part.
fn score(logs: &[[f64; 3]], ground: [f64; 3], part: [f64; 3], sigma: f64) -> Vec<f32> {
    let soft = (SOFT / sigma.max(0.03)).powi(2).min(1.0);
    logs.iter()
        .map(|p| {
            let (g, f) = (apart(*p, ground, 0) * soft, apart(*p, part, 1) * soft);
            // What is like neither is the part's shine, or dirt.
            (g.min(16.0) - f.min(9.0)).clamp(-8.0, 8.0) as f32
        })
        .collect()
}

/// The colour of the largest piece that is unlike the ground, by its inside.
fn unlike(logs: &[[f64; 3]], size: (usize, usize), ground: ([f64; 3], f64)) -> Option<[f64; 3]> {
    let (ground, sigma) = ground;
    let soft = (SOFT / sigma.max(0.03)).powi(2).min(1.0);
    let off = |p: &[f64; 3]| (apart(*p, ground, 0) * soft - 6.0).clamp(-8.0, 8.0) as f32;
    let field: Vec<f32> = logs.iter().map(off).collect();
    let field = mean(&field, size, 2);
    let mask: Vec<bool> = field.iter().map(|v| *v > 0.0).collect();
    let largest = largest(&mask, size)?;
    let mut kept = vec![0.0f32; mask.len()];
    largest.iter().for_each(|i| kept[*i as usize] = 1.0);
    inner(logs, &kept.iter().map(|v| v - 0.5).collect::<Vec<_>>(), size)
}

/// The pixels of the largest piece.
fn largest(mask: &[bool], size: (usize, usize)) -> Option<Vec<u32>> {
    let found = pieces(mask, size, true).into_iter();
    found.max_by_key(|p| p.pixels.len()).filter(|p| p.pixels.len() > 40).map(|p| p.pixels)
}

/// The colour of the deeper half of what is over 0.
fn inner(logs: &[[f64; 3]], field: &[f32], size: (usize, usize)) -> Option<[f64; 3]> {
    let mask: Vec<f32> = field.iter().map(|v| if *v > 0.0 { 1.0 } else { 0.0 }).collect();
    let area: f32 = mask.iter().sum();
    let half = ((f64::from(area).sqrt() * 0.12) as usize).clamp(1, 40);
    let deep = mean(&mask, size, half);
    let of: Vec<usize> = (0..deep.len()).filter(|i| deep[*i] > 0.98).collect();
    (of.len() > 20).then(|| middle(logs, &of))
}

/// Keeps the largest piece, without hairs across it and with no holes but real ones.
fn clean(field: &mut [f32], patch: &Patch) -> Option<()> {
    let size = (patch.width, patch.height);
    let mm = 1.0 / patch.step;
    let half = ((0.12 * mm) as usize).max(1);
    // Thin things go: what is left of the mask after a majority over a few pixels.
    let mask: Vec<f32> = field.iter().map(|v| if *v > 0.0 { 1.0 } else { 0.0 }).collect();
    let most = mean(&mask, size, half);
    let whole: Vec<bool> = most.iter().map(|v| *v > 0.5).collect();
    let kept = largest(&whole, size)?;
    let mut inside = vec![false; field.len()];
    kept.iter().for_each(|i| inside[*i as usize] = true);
    for hole in pieces(&inside, size, false) {
        let small = (hole.pixels.len() as f64) < LEAST_HOLE * mm * mm;
        if small && !hole.at_edge {
            hole.pixels.iter().for_each(|i| inside[*i as usize] = true);
        }
    }
    for ((v, inside), most) in field.iter_mut().zip(&inside).zip(&most) {
        // Near its edge the field keeps its slope; elsewhere it follows the pieces.
        let wanted = (*v > 0.0) == *inside;
        if !wanted {
            *v = if *inside { (*most - 0.5).max(0.02) } else { (*most - 0.5).min(-0.02) };
        }
    }
    Some(())
}
