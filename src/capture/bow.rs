//! How a page that is nearly flat departs from flat: what its dots are off, smoothed.

/// Points of the grid along each edge.
const POINTS: usize = 24;
/// How far dots speak for what is around them, in millimetres.
const REACH: f64 = 28.0;
/// How many dots nearby it takes until what they say counts half.
const SHY: f64 = 0.4;

/// What a dot is off, in pixels.
#[derive(Debug, Clone, Copy)]
pub struct Off {
    /// Where the dot is on the page, in millimetres.
    pub page: (f64, f64),
    /// From where it was expected to where it was found.
    pub pixels: (f64, f64),
}

/// Small displacements over a page, from a grid of points.
#[derive(Debug, Clone)]
pub struct Bow {
    step: (f64, f64),
    grid: Vec<(f64, f64)>,
}

impl Bow {
    /// The mean of what dots nearby are off, drawn to 0 where there are few.
    pub fn of(size: (f64, f64), offs: &[Off]) -> Bow {
        let along = |length: f64| length.max(1.0) / (POINTS - 1) as f64;
        let step = (along(size.0), along(size.1));
        let point = |i: usize| ((i % POINTS) as f64 * step.0, (i / POINTS) as f64 * step.1);
        let mean = |i: usize| {
            let at = point(i);
            let (mut x, mut y, mut sum) = (0.0, 0.0, SHY);
            for off in offs {
                let far = (off.page.0 - at.0).hypot(off.page.1 - at.1) / REACH;
                let weight = (-0.5 * far * far).exp();
                x += weight * off.pixels.0;
                y += weight * off.pixels.1;
                sum += weight;
            }
            (x / sum, y / sum)
        };
        Bow { step, grid: (0..POINTS * POINTS).map(mean).collect() }
    }

    /// The displacement at a point of the page, in pixels.
    pub fn at(&self, page: (f64, f64)) -> (f64, f64) {
        let cell = |at: f64, step: f64| {
            let t = (at / step).clamp(0.0, (POINTS - 1) as f64);
            let i = (t as usize).min(POINTS - 2);
            (i, t - i as f64)
        };
        let ((x, fx), (y, fy)) = (cell(page.0, self.step.0), cell(page.1, self.step.1));
        let get = |x: usize, y: usize| self.grid.get(y * POINTS + x).copied().unwrap_or_default();
        let (a, b, c, d) = (get(x, y), get(x + 1, y), get(x, y + 1), get(x + 1, y + 1));
        let mix = |a: f64, b: f64, c: f64, d: f64| {
            (a * (1.0 - fx) + b * fx) * (1.0 - fy) + (c * (1.0 - fx) + d * fx) * fy
        };
        (mix(a.0, b.0, c.0, d.0), mix(a.1, b.1, c.1, d.1))
    }
}
