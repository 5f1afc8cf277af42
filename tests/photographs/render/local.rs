//! A telephone's own idea of even light: bright regions a little darker, dark ones a little brighter.

use crate::render::optics::Picture;

/// The side of a block in pixels.
const BLOCK: usize = 64;

/// A gain for every block, smooth over the picture.
pub struct Local {
    wide: usize,
    columns: usize,
    rows: usize,
    gains: Vec<f32>,
}

impl Local {
    /// Gains that are the light of a region, relative to that of the picture, to the power of `-strength`.
    pub fn new(picture: &Picture, strength: f64) -> Self {
        let (columns, rows) = (picture.wide.div_ceil(BLOCK), picture.high.div_ceil(BLOCK));
        let mut logs: Vec<f32> =
            (0..columns * rows).map(|i| block(picture, i % columns, i / columns)).collect();
        for _ in 0..4 {
            logs = smoothed(&logs, columns, rows);
        }
        let mean = logs.iter().sum::<f32>() / logs.len() as f32;
        let brightest = logs.iter().copied().fold(f32::MIN, f32::max).min(mean + 1.0);
        let gains = logs.iter().map(|log| (-(log - brightest) * strength as f32).exp()).collect();
        Self { wide: picture.wide, columns, rows, gains }
    }

    /// The gains of a row of pixels.
    pub fn row(&self, row: usize) -> Vec<f32> {
        let (top, down) = between(row, self.rows);
        let at = |column: usize| {
            let line = |row: usize| {
                self.gains[row.min(self.rows - 1) * self.columns + column.min(self.columns - 1)]
            };
            line(top) + (line(top + 1) - line(top)) * down
        };
        let knots: Vec<f32> = (0..=self.columns).map(at).collect();
        let pixel = |x: usize| {
            let (left, across) = between(x, self.columns);
            knots[left] + (knots[left + 1] - knots[left]) * across
        };
        (0..self.wide).map(pixel).collect()
    }
}

/// The block whose middle is before a pixel, and how far the pixel is towards the next.
fn between(pixel: usize, blocks: usize) -> (usize, f32) {
    let at = ((pixel as f32 + 0.5) / BLOCK as f32 - 0.5).clamp(0.0, (blocks - 1) as f32);
    (at as i32 as usize, at.fract())
}

fn block(picture: &Picture, column: usize, row: usize) -> f32 {
    let (mut sum, mut count) = (0.0, 0);
    for y in (row * BLOCK..(row + 1) * BLOCK).step_by(4).filter(|y| *y < picture.high) {
        for x in (column * BLOCK..(column + 1) * BLOCK).step_by(4).filter(|x| *x < picture.wide) {
            sum += picture.light[(y * picture.wide + x) * 3 + 1];
            count += 1;
        }
    }
    (sum / count.max(1) as f32).max(0.01).ln()
}

fn smoothed(logs: &[f32], columns: usize, rows: usize) -> Vec<f32> {
    let value = |i: usize| {
        let (column, row) = (i % columns, i / columns);
        let near = (row.saturating_sub(2)..(row + 3).min(rows)).flat_map(|r| {
            (column.saturating_sub(2)..(column + 3).min(columns)).map(move |c| r * columns + c)
        });
        let (sum, count) = near.fold((0.0, 0), |(sum, count), j| (sum + logs[j], count + 1));
        sum / count as f32
    };
    (0..logs.len()).map(value).collect()
}
