//! Random fields that repeat: texture of paper and table, noise.

use fastrand::Rng;

/// The side of a tile: a power of two.
pub const SIDE: usize = 512;

/// A square of values with mean 0 and standard deviation 1 that repeats without a seam.
pub struct Tile(Vec<f32>);

impl Tile {
    /// Sums of smooth noise: for each octave its cell in texels (a power of two) across and down, and its share.
    pub fn new(octaves: &[((usize, usize), f32)], rng: &mut Rng) -> Self {
        let mut sum = vec![0.0f32; SIDE * SIDE];
        for &((across, down), share) in octaves {
            let (columns, rows) = (SIDE / across, SIDE / down);
            let knots: Vec<f32> = (0..columns * rows).map(|_| rng.f32() - 0.5).collect();
            for (at, value) in sum.iter_mut().enumerate() {
                let (x, y) = (at % SIDE, at / SIDE);
                let (column, row) = (x / across, y / down);
                let soft = |t: f32| t * t * (3.0 - 2.0 * t);
                let (u, v) = (
                    soft((x % across) as f32 / across as f32),
                    soft((y % down) as f32 / down as f32),
                );
                let knot = |c: usize, r: usize| knots[(r % rows) * columns + c % columns];
                let top = knot(column, row) * (1.0 - u) + knot(column + 1, row) * u;
                let low = knot(column, row + 1) * (1.0 - u) + knot(column + 1, row + 1) * u;
                *value += share * (top * (1.0 - v) + low * v);
            }
        }
        let mean = sum.iter().sum::<f32>() / sum.len() as f32;
        let spread =
            (sum.iter().map(|v| (v - mean).powi(2)).sum::<f32>() / sum.len() as f32).sqrt();
        Self(sum.into_iter().map(|v| (v - mean) / spread).collect())
    }

    /// Threads over and under each other, eight texels apart, not quite even.
    pub fn woven(rng: &mut Rng) -> Self {
        let uneven = Self::new(&[((8, 8), 1.0), ((32, 8), 0.7), ((8, 32), 0.7)], rng);
        let thread = |at: usize| (at as f32 / 8.0 * std::f32::consts::TAU).sin();
        Self(
            (0..SIDE * SIDE)
                .map(|i| 1.4 * thread(i % SIDE) * thread(i / SIDE) + 0.7 * uneven.0[i])
                .collect(),
        )
    }

    /// The value at a texel, repeating.
    pub fn at(&self, x: f32, y: f32) -> f32 {
        // Shifted far to the right, so that cutting off is rounding down.
        let wrap = |v: f32| ((v + 16384.0) as i32 as usize) & (SIDE - 1);
        self.0[wrap(y) * SIDE + wrap(x)]
    }
}

/// How many numbers `normal` gives.
pub const NUMBERS: usize = 1 << 18;

/// Numbers with a normal distribution.
pub fn normal(rng: &mut Rng) -> Vec<f32> {
    let pairs = (0..NUMBERS / 2).flat_map(|_| {
        let (r, t) = ((-2.0 * (1.0 - rng.f64()).ln()).sqrt(), std::f64::consts::TAU * rng.f64());
        [(r * t.cos()) as f32, (r * t.sin()) as f32]
    });
    pairs.collect()
}
