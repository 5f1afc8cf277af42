//! Blur: the lens's own, out of focus, by movement. All in place on linear light, three values a pixel.

/// A picture of three values a pixel.
pub struct Picture {
    pub wide: usize,
    pub high: usize,
    pub light: Vec<f32>,
}

impl Picture {
    fn row(&self, row: usize) -> &[f32] {
        &self.light[row * self.wide * 3..][..self.wide * 3]
    }

    /// The lens: a bell of a standard deviation in pixels, under one.
    pub fn softened(&mut self, sigma: f64) {
        let side = |far: f64| (-(far / sigma).powi(2) / 2.0).exp();
        let sum = 1.0 + 2.0 * side(1.0) + 2.0 * side(2.0);
        self.across_and_down(
            &[side(2.0), side(1.0), 1.0, side(1.0), side(2.0)].map(|v| (v / sum) as f32),
        );
    }

    /// Out of focus: two boxes, which is near enough a disc of a radius in pixels.
    pub fn defocused(&mut self, radius: f64) {
        let reach = radius.ceil() as usize;
        let weight = |i: usize| (radius + 0.5 - (i as f64 - reach as f64).abs()).clamp(0.0, 1.0);
        let kernel: Vec<f64> = (0..=2 * reach).map(weight).collect();
        let sum: f64 = kernel.iter().sum();
        self.across_and_down(&kernel.iter().map(|v| (v / sum) as f32).collect::<Vec<_>>());
    }

    fn across_and_down(&mut self, kernel: &[f32]) {
        let (reach, length) = (kernel.len() / 2, self.wide * 3);
        let mut ring: Vec<Vec<f32>> = vec![vec![0.0; length]; kernel.len()];
        let mut padded = vec![0.0; length + 6 * reach];
        for next in 0..self.high + reach {
            let source = next.min(self.high - 1);
            let slot = next % kernel.len();
            if next < self.high {
                pad(self.row(source), reach, &mut padded);
                weighted(
                    &mut ring[slot],
                    kernel.iter().enumerate().map(|(k, &w)| (&padded[3 * k..][..length], w)),
                );
            } else {
                let last = ring[(next - 1) % kernel.len()].clone();
                ring[slot] = last;
            }
            if next == 0 {
                let first = ring[0].clone();
                ring.iter_mut().for_each(|row| row.clone_from(&first));
            }
            if next >= reach {
                let rows = (0..kernel.len())
                    .map(|k| (ring[(next + 1 + k) % kernel.len()].as_slice(), kernel[k]));
                weighted(&mut self.light[(next - reach) * length..][..length], rows);
            }
        }
    }

    /// A movement of a length and a direction.
    pub fn moved(&mut self, length: f64, degrees: f64) {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let steps = length.ceil().max(1.0) as i32;
        let mut sum = vec![0.0f32; self.light.len()];
        let wide = self.wide * 3;
        for step in 0..steps {
            let share = (f64::from(step) + 0.5) / f64::from(steps) - 0.5;
            let (dx, dy) =
                ((share * length * cos).round() as i64, (share * length * sin).round() as i64);
            for row in 0..self.high {
                let from = (row as i64 + dy).clamp(0, self.high as i64 - 1) as usize;
                let (skip, keep) = (dx.max(0) as usize * 3, (-dx).max(0) as usize * 3);
                let count = wide - skip - keep;
                let source = &self.light[from * wide + skip..][..count];
                let target = &mut sum[row * wide..][..wide];
                target[keep..][..count].iter_mut().zip(source).for_each(|(t, s)| *t += s);
                let edge = if keep > 0 { 0..keep } else { count..wide };
                target[edge.clone()]
                    .iter_mut()
                    .zip(&self.light[from * wide..][edge])
                    .for_each(|(t, s)| *t += s);
            }
        }
        self.light = sum.into_iter().map(|v| v / steps as f32).collect();
    }
}

fn pad(row: &[f32], reach: usize, padded: &mut [f32]) {
    let middle = 3 * reach;
    padded[middle..middle + row.len()].copy_from_slice(row);
    for i in 0..middle {
        padded[i] = row[i % 3];
        padded[middle + row.len() + i] = row[row.len() - 3 + i % 3];
    }
}

fn weighted<'a>(target: &mut [f32], rows: impl Iterator<Item = (&'a [f32], f32)>) {
    target.fill(0.0);
    for (row, weight) in rows {
        target.iter_mut().zip(row).for_each(|(t, s)| *t += s * weight);
    }
}
