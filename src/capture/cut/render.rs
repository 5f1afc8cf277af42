//! The picture of a part: straight alpha from its outline, and colours that nothing of the ground is in.

use std::io::Write;

use crate::capture::cut::field::mean;
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::{area, bounds, coverage, edges, feet, moved};
use crate::capture::cut::tone::Tone;
use crate::capture::cut::{Fault, Outline, Point};

/// How far from the outline inwards pixels are mixed with what is beside the part, in pixels: blur,
/// interpolation and what the camera's sharpening adds.
const MIXED: f64 = 1.8;
/// How far beyond the outline colours are continued, in pixels.
const BEYOND: f64 = 3.5;
/// Empty pixels around the part.
const MARGIN: f64 = 3.0;

/// A picture with straight alpha, sRGB.
#[derive(Debug, Clone, PartialEq)]
pub struct Image {
    /// Pixels from left to right.
    pub width: usize,
    /// Pixels from top to bottom.
    pub height: usize,
    /// Red, green, blue and alpha in turn, line by line.
    pub data: Vec<u8>,
    /// Pixels a metre, at the part's true size.
    pub per_metre: u32,
}

/// What is needed to draw a part.
pub struct Look<'a> {
    /// The place.
    pub patch: &'a Patch,
    /// The part's outline in pixels of it.
    pub outline: &'a Outline,
    /// The picture's matrix.
    pub matrix: &'a [[f64; 3]; 3],
    /// The colour's value.
    pub value: [f64; 3],
    /// What is seen through a clear part: its light is divided by this.
    pub behind: Option<[f64; 3]>,
}

/// A part's picture, where its top left corner is in the patch, and how far its face is off its colour.
///
/// # Errors
/// Where the outline encloses nothing.
pub fn render(look: &Look, per_metre: u32) -> Result<(Image, Point, f64), Fault> {
    let (low, high) = bounds(look.outline).ok_or(Fault::NothingFound)?;
    let corner = ((low.0 - MARGIN).floor(), (low.1 - MARGIN).floor());
    let size = (high.0 + MARGIN - corner.0, high.1 + MARGIN - corner.1);
    if !(size.0 >= 1.0 && size.1 >= 1.0 && size.0 * size.1 < 2e7) {
        return Err(Fault::TooLarge);
    }
    let size = (size.0.ceil() as usize, size.1.ceil() as usize);
    let outline = moved(look.outline, |p| (p.0 - corner.0, p.1 - corner.1));
    let alpha = coverage(&outline, size);
    let light = clean_light(look, &outline, &alpha, (corner, size));
    let rim = rim(&outline, look.patch.step);
    let deep = mean(&alpha, size, rim);
    let face = |least: f32| -> Vec<[f64; 3]> {
        let inside = light.iter().zip(&deep).filter(|(_, d)| **d > least);
        inside.filter_map(|(v, _)| *v).collect()
    };
    let mut flat = face(0.999);
    if flat.len() < 30 {
        flat = face(0.7);
    }
    let tone = Tone::of(&flat, look.matrix, look.value).ok_or(Fault::NothingFound)?;
    let filler = tone.bytes(middle(&flat));
    let mut data = Vec::with_capacity(4 * alpha.len());
    for (alpha, light) in alpha.iter().zip(&light) {
        data.extend(light.map_or(filler, |v| tone.bytes(v)));
        data.push((alpha.clamp(0.0, 1.0) * 255.0).round() as u8);
    }
    let image = Image { width: size.0, height: size.1, data, per_metre };
    Ok((image, corner, tone.off))
}

fn middle(face: &[[f64; 3]]) -> [f64; 3] {
    [0, 1, 2]
        .map(|c| crate::capture::least::median(&mut face.iter().map(|v| v[c]).collect::<Vec<_>>()))
}

/// How far from the outline the flat face begins, in pixels.
fn rim(outline: &Outline, step: f64) -> usize {
    let length: f64 =
        outline.iter().flat_map(|r| edges(r)).map(|(a, b)| (b.0 - a.0).hypot(b.1 - a.1)).sum();
    let inside = outline.iter().map(|r| area(r).abs() / 2.0).fold(0.0, f64::max);
    let inradius = 2.0 * inside / length.max(1.0);
    ((0.2 * inradius).max(1.0 / step)).min(0.45 * inradius).max(1.0) as usize
}

/// Light of each pixel of the part and a little beyond; near the outline that of the nearest pixel
/// which is not mixed.
fn clean_light(
    look: &Look,
    outline: &Outline,
    alpha: &[f32],
    of: (Point, (usize, usize)),
) -> Vec<Option<[f64; 3]>> {
    let (corner, size) = of;
    let near = Near { feet: feet(outline, size, BEYOND), alpha, size };
    let divide = |v: [f64; 3]| match look.behind {
        Some(g) => [0, 1, 2].map(|c| (v[c] / g[c].max(0.05)).min(4.0)),
        None => v,
    };
    let at = |p: Point| divide(look.patch.at((p.0 + corner.0, p.1 + corner.1)));
    (0..alpha.len())
        .map(|i| {
            let p = ((i % size.0) as f64 + 0.5, (i / size.0) as f64 + 0.5);
            near.source(p).map(at)
        })
        .collect()
}

/// What is known of pixels near an outline.
struct Near<'a> {
    feet: Vec<Option<[f32; 2]>>,
    alpha: &'a [f32],
    size: (usize, usize),
}

impl Near<'_> {
    /// The pixel's alpha; 0 outside.
    fn covered(&self, x: usize, y: usize) -> f64 {
        let inside = x < self.size.0 && y < self.size.1;
        let v = if inside { self.alpha.get(y * self.size.0 + x) } else { None };
        v.map_or(0.0, |v| f64::from(*v))
    }

    /// Where clean light is taken for a place: itself, or a place farther in, from corners in two steps.
    /// `None` far outside.
    fn source(&self, p: Point) -> Option<Point> {
        let mut at = p;
        for step in 0..3 {
            let (x, y) = (at.0.max(0.0) as usize, at.1.max(0.0) as usize);
            let (x, y) = (x.min(self.size.0 - 1), y.min(self.size.1 - 1));
            let inside = self.covered(x, y) >= 0.5;
            let Some(foot) = self.feet.get(y * self.size.0 + x).copied().flatten() else {
                return (inside || step > 0).then_some(at);
            };
            let foot = (f64::from(foot[0]), f64::from(foot[1]));
            let middle = (x as f64 + 0.5, y as f64 + 0.5);
            let away = (middle.0 - foot.0, middle.1 - foot.1);
            let far = away.0.hypot(away.1);
            if inside && far >= MIXED - 0.25 {
                return Some(at);
            }
            let sign = if inside { 1.0 } else { -1.0 };
            let inward = if far > 0.1 {
                (sign * away.0 / far, sign * away.1 / far)
            } else {
                self.slope(x, y)
            };
            at = (foot.0 + MIXED * inward.0, foot.1 + MIXED * inward.1);
        }
        Some(at)
    }

    /// The direction in which alpha grows.
    fn slope(&self, x: usize, y: usize) -> Point {
        let dx = self.covered(x + 1, y) - self.covered(x.wrapping_sub(1), y);
        let dy = self.covered(x, y + 1) - self.covered(x, y.wrapping_sub(1));
        let length = dx.hypot(dy);
        if length > 1e-6 { (dx / length, dy / length) } else { (0.0, 0.0) }
    }
}

impl Image {
    /// The file: PNG with an sRGB chunk and its size (pHYs).
    ///
    /// # Errors
    /// Where the encoder refuses.
    pub fn png(&self) -> Result<Vec<u8>, Fault> {
        let fault = |e: png::EncodingError| Fault::Encoding(e.to_string());
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Rgba);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
        encoder.set_pixel_dims(Some(png::PixelDimensions {
            xppu: self.per_metre,
            yppu: self.per_metre,
            unit: png::Unit::Meter,
        }));
        let mut writer = encoder.write_header().map_err(fault)?;
        let mut stream = writer.stream_writer().map_err(fault)?;
        stream.write_all(&self.data).map_err(|e| Fault::Encoding(e.to_string()))?;
        stream.finish().map_err(fault)?;
        writer.finish().map_err(fault)?;
        Ok(bytes)
    }
}
