//! Gradients taken apart: their geometry, once for all colours, and the
//! colours along them.

use std::collections::HashMap;

use tiny_skia::{
    Color, GradientStop, LinearGradient, Point, RadialGradient, Shader, SpreadMode, Transform,
};

use crate::paint::gradient;
use crate::sheet::{Gradient, PaletteMap, Ramp, Rgb};

/// The geometries met so far.
#[derive(Default)]
pub struct Ramps {
    shaders: Vec<Shader<'static>>,
    known: HashMap<[u64; 12], usize>,
}

impl Ramps {
    /// The geometry of a gradient, by number; `None` where it has no extent.
    pub fn index(&mut self, gradient: &Gradient) -> Option<usize> {
        let key = bits(gradient);
        if let Some(index) = self.known.get(&key) {
            return Some(*index);
        }
        self.shaders.push(shader(gradient)?);
        let index = self.shaders.len() - 1;
        self.known.insert(key, index);
        Some(index)
    }

    /// A gradient from black to white for each geometry.
    pub fn shaders(self) -> Vec<Shader<'static>> {
        self.shaders
    }
}

fn bits(gradient: &Gradient) -> [u64; 12] {
    let ramp = match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => [0.0, x1, y1, x2, y2, 0.0],
        Ramp::Radial { cx, cy, r, fx, fy } => [1.0, cx, cy, r, fx, fy],
    };
    let mut out = [0; 12];
    let values = ramp.into_iter().chain(gradient.transform.as_coeffs());
    out.iter_mut().zip(values).for_each(|(o, v)| *o = v.to_bits());
    out
}

fn shader(gradient: &Gradient) -> Option<Shader<'static>> {
    let ends = vec![GradientStop::new(0.0, Color::BLACK), GradientStop::new(1.0, Color::WHITE)];
    let point = |x: f64, y: f64| Point::from_xy(x as f32, y as f32);
    let [a, b, c, d, e, f] = gradient.transform.as_coeffs().map(|v| v as f32);
    let transform = Transform::from_row(a, b, c, d, e, f);
    match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => {
            LinearGradient::new(point(x1, y1), point(x2, y2), ends, SpreadMode::Pad, transform)
        }
        Ramp::Radial { cx, cy, r, fx, fy } => {
            let (focus, centre) = (point(fx, fy), point(cx, cy));
            RadialGradient::new(focus, 0.0, centre, r as f32, ends, SpreadMode::Pad, transform)
        }
    }
}

/// The colours along a gradient, in 255 steps.
pub type Colours = [[u8; 3]; 256];

/// One colour all along.
pub fn plain(Rgb(r, g, b): Rgb) -> Colours {
    [[r, g, b]; 256]
}

/// Works them out.
pub fn colours(gradient: &Gradient, palette: &PaletteMap<Rgb>) -> Colours {
    let stops = gradient::stops(gradient);
    let mut out = [[255; 3]; 256];
    let (Some(first), Some(last)) = (stops.first(), stops.last()) else { return out };
    let channels = |Rgb(r, g, b): Rgb| [r, g, b].map(f64::from);
    let mut next = 0;
    for (i, colour) in out.iter_mut().enumerate() {
        let t = i as f64 / 255.0;
        while next < stops.len() && stops[next].offset <= t {
            next += 1;
        }
        let (a, b) = match next {
            0 => (first, first),
            n if n == stops.len() => (last, last),
            n => (&stops[n - 1], &stops[n]),
        };
        let share = if b.offset > a.offset { (t - a.offset) / (b.offset - a.offset) } else { 0.0 };
        let (from, to) = (channels(palette.of(a.colour)), channels(palette.of(b.colour)));
        for k in 0..3 {
            colour[k] = (from[k] + (to[k] - from[k]) * share).round() as u8;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Palette, Stop};

    fn gradient(stops: &[(f64, Rgb)]) -> (Gradient, PaletteMap<Rgb>) {
        let mut palette = Palette::default();
        let stop =
            |(offset, ink): &(f64, Rgb)| Stop { offset: *offset, colour: palette.add_ink(*ink) };
        let stops = stops.iter().map(stop).collect();
        let ramp = Ramp::Linear { x1: 0.0, y1: 0.0, x2: 1.0, y2: 0.0 };
        let gradient = Gradient { ramp, transform: kurbo::Affine::IDENTITY, stops };
        (gradient, palette.published())
    }

    fn table(stops: &[(f64, Rgb)]) -> Colours {
        let (gradient, palette) = gradient(stops);
        colours(&gradient, &palette)
    }

    #[test]
    fn colours_run_from_stop_to_stop_and_stay_beyond_them() {
        let table = table(&[(0.2, Rgb(0, 100, 200)), (0.8, Rgb(60, 40, 200))]);
        assert_eq!((table[0], table[51]), ([0, 100, 200], [0, 100, 200]));
        assert_eq!((table[204], table[255]), ([60, 40, 200], [60, 40, 200]));
        // t = 128/255 lies (0.50196 - 0.2) / 0.6 = 0.50327 of the way.
        assert_eq!(table[128], [30, 70, 200]);
    }

    #[test]
    fn a_sudden_change_is_sudden() {
        let table = table(&[
            (0.0, Rgb(0, 0, 0)),
            (0.4, Rgb(0, 0, 0)),
            (0.4, Rgb(255, 255, 255)),
            (1.0, Rgb(255, 255, 255)),
        ]);
        assert_eq!((table[101], table[102]), ([0; 3], [255; 3]));
    }

    #[test]
    fn one_geometry_in_two_colours_is_one() {
        let mut ramps = Ramps::default();
        let a = ramps.index(&gradient(&[(0.0, Rgb(1, 2, 3)), (1.0, Rgb(9, 9, 9))]).0);
        let b = ramps.index(&gradient(&[(0.5, Rgb(7, 2, 3)), (1.0, Rgb(9, 9, 9))]).0);
        assert_eq!((a, b), (Some(0), Some(0)));
    }
}
