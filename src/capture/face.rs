//! The flat face of a part: which pixels show it, and what light it sends back.

use crate::capture::least::{median, quantile};
use crate::capture::lens::{Lens, mean_scale};
use crate::capture::light::Light;
use crate::capture::mask::Mask;
use crate::capture::page::PartPlace;
use crate::capture::picture::Picture;

/// From the outline inwards, what is left out: a share of the inradius, and at least millimetres.
const RIM: (f64, f64) = (0.15, 0.4);
/// Points that a face must have.
const LEAST_POINTS: usize = 40;
/// Blocks of the face, along each edge of its box, that are compared with each other.
const BLOCKS: usize = 4;

/// What a part's face sends back.
#[derive(Debug, Clone, PartialEq)]
pub struct Face {
    /// Linear light, the paper's white beside it = 1, per channel of the camera.
    pub light: [f64; 3],
    /// The same of parts of the face.
    pub blocks: Vec<[f64; 3]>,
    /// Points that were taken.
    pub points: usize,
    /// The share of the face that was left out as lighter: reflections.
    pub lighter: f64,
    /// The share that was left out as darker, or of another colour: dust, marks, the ground.
    pub other: f64,
    /// The share of what was taken that clips.
    pub clipped: f64,
    /// How much points vary, relative, by robust standard deviation.
    pub rough: f64,
    /// What the ground around the part sends back, where it is seen.
    pub ground: Option<[f64; 3]>,
}

/// What is needed to look at places.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    /// The photograph.
    pub picture: &'a Picture,
    /// From the page to it.
    pub lens: &'a Lens,
    /// The light on the page.
    pub light: &'a Light,
}

/// A point of the face.
struct Point {
    page: (f64, f64),
    light: [f64; 3],
    clips: bool,
}

/// Looks at the face of the part on a place. `None` where nothing of it is far enough from its edge.
pub fn look(scene: Scene, place: &PartPlace) -> Option<Face> {
    let (outline, frame) = (&place.outline, &place.frame);
    let mask = Mask::of(outline, 2.0)?;
    let inradius = mask.inradius();
    let rim = (RIM.0 * inradius).max(RIM.1).min(0.6 * inradius);
    let scale = mean_scale(&scene.lens.scale(frame.centre())?);
    if (inradius - rim) * scale < 2.0 {
        return None;
    }
    let (mut face, mut ground) = (Vec::new(), Vec::new());
    for (page, depth) in mask.points() {
        let around = depth < -0.6 && frame.holds(page, -0.6);
        if depth < rim && !around {
            continue;
        }
        let Some(point) = scene.point(page) else { continue };
        if around {
            ground.push(point);
        } else {
            face.push(point);
        }
    }
    if face.len() < LEAST_POINTS {
        return None;
    }
    let mut seen = cluster(&face)?;
    seen.ground = (ground.len() > LEAST_POINTS).then(|| middle(ground.iter()));
    Some(seen)
}

impl Scene<'_> {
    /// What is seen at a point of the page.
    fn point(&self, page: (f64, f64)) -> Option<Point> {
        let (x, y) = self.picture.pixel(self.lens.project(page)?)?;
        let (seen, white) = (self.picture.light(x, y), self.light.at(page));
        let light = [0, 1, 2].map(|c| f64::from(seen[c]) / white[c]);
        Some(Point { page, light, clips: self.picture.clips(x, y) })
    }
}

/// The median of each channel.
fn middle<'a>(points: impl Iterator<Item = &'a Point> + Clone) -> [f64; 3] {
    [0, 1, 2].map(|c| median(&mut points.clone().map(|p| p.light[c]).collect::<Vec<f64>>()))
}

/// Light in logarithms: what is dark counts as much as what is light.
fn logs(point: &Point) -> [f64; 3] {
    point.light.map(|v| (v.max(0.0) + 0.015).ln())
}

/// Finds the points that are alike, beginning with the half of all whose lightness varies least, so
/// that neither reflections nor marks move the start.
fn cluster(points: &[Point]) -> Option<Face> {
    let colours: Vec<[f64; 3]> = points.iter().map(logs).collect();
    let lightness = |c: &[f64; 3]| 0.3 * c[0] + 0.5 * c[1] + 0.2 * c[2];
    let mut kept = densest_half(&colours.iter().map(lightness).collect::<Vec<f64>>());
    let (mut centre, mut sigma) = ([0.0; 3], [0.0; 3]);
    for _ in 0..6 {
        for c in 0..3 {
            let mut values: Vec<f64> =
                colours.iter().zip(&kept).filter(|(_, k)| **k).map(|(v, _)| v[c]).collect();
            centre[c] = median(&mut values);
            let mut off: Vec<f64> = colours.iter().map(|v| (v[c] - centre[c]).abs()).collect();
            // From all points: the spread of those that are kept could only shrink.
            sigma[c] = (1.48 * quantile(&mut off, 0.5)).clamp(0.008, 0.35);
        }
        for (kept, colour) in kept.iter_mut().zip(&colours) {
            *kept = (0..3).all(|c| (colour[c] - centre[c]).abs() < 2.8 * sigma[c]);
        }
    }
    let taken: Vec<&Point> =
        points.iter().zip(&kept).filter(|(_, k)| **k).map(|(p, _)| p).collect();
    if taken.len() < LEAST_POINTS / 2 {
        return None;
    }
    let all = points.len() as f64;
    let left_out = colours.iter().zip(&kept).filter(|(_, k)| !**k);
    let lighter = left_out.filter(|(v, _)| (0..3).all(|c| v[c] > centre[c])).count() as f64 / all;
    let light = mean(&taken);
    Some(Face {
        light,
        blocks: blocks(&taken),
        points: taken.len(),
        lighter,
        other: (1.0 - taken.len() as f64 / all - lighter).max(0.0),
        clipped: taken.iter().filter(|p| p.clips).count() as f64 / taken.len() as f64,
        rough: sigma[1],
        ground: None,
    })
}

/// Which values lie in the shortest span that holds half of them.
fn densest_half(values: &[f64]) -> Vec<bool> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let span = |i: &usize| sorted[i + half] - sorted[*i];
    let first = (0..sorted.len() - half).min_by(|a, b| span(a).total_cmp(&span(b))).unwrap_or(0);
    let (low, high) = (sorted[first], sorted[first + half]);
    values.iter().map(|v| *v >= low && *v <= high).collect()
}

fn mean(points: &[&Point]) -> [f64; 3] {
    let count = points.len().max(1) as f64;
    [0, 1, 2].map(|c| points.iter().map(|p| p.light[c]).sum::<f64>() / count)
}

/// Means of the blocks of a face.
fn blocks(points: &[&Point]) -> Vec<[f64; 3]> {
    let along = |axis: fn(&Point) -> f64| {
        let low = points.iter().map(|p| axis(p)).fold(f64::MAX, f64::min);
        let high = points.iter().map(|p| axis(p)).fold(f64::MIN, f64::max);
        (low, (high - low).max(1e-6))
    };
    let (x, y) = (along(|p| p.page.0), along(|p| p.page.1));
    let mut cells: Vec<Vec<&Point>> = vec![Vec::new(); BLOCKS * BLOCKS];
    for point in points {
        let cell = |v: f64, (low, length): (f64, f64)| {
            (((v - low) / length * BLOCKS as f64) as usize).min(BLOCKS - 1)
        };
        let at = cell(point.page.1, y) * BLOCKS + cell(point.page.0, x);
        if let Some(cell) = cells.get_mut(at) {
            cell.push(point);
        }
    }
    let enough = (points.len() / (4 * BLOCKS * BLOCKS)).max(8);
    cells.iter().filter(|cell| cell.len() >= enough).map(|cell| mean(cell)).collect()
}
