//! Grids of numbers: means and connected pieces.

/// The mean over a square of 2 x `half` + 1 pixels, less at the edges. Work: two passes.
pub fn mean(field: &[f32], size: (usize, usize), half: usize) -> Vec<f32> {
    let (width, height) = size;
    if width == 0 || field.len() < width * height {
        return field.to_vec();
    }
    let mut across = vec![0.0f32; field.len()];
    for (line, out) in field.chunks_exact(width).zip(across.chunks_exact_mut(width)) {
        running(line.iter().copied(), half, |x, v| out[x] = v);
    }
    let mut out = vec![0.0f32; field.len()];
    let mut sums: Vec<f64> = vec![0.0; width];
    for y in 0..height.min(half) {
        add(&mut sums, &across[y * width..(y + 1) * width], 1.0);
    }
    for y in 0..height {
        if y + half < height {
            add(&mut sums, &across[(y + half) * width..(y + half + 1) * width], 1.0);
        }
        if y > half {
            let gone = y - half - 1;
            add(&mut sums, &across[gone * width..(gone + 1) * width], -1.0);
        }
        let rows = ((y + half).min(height - 1) + 1 - y.saturating_sub(half)) as f64;
        for (out, sum) in out[y * width..(y + 1) * width].iter_mut().zip(&sums) {
            *out = (sum / rows) as f32;
        }
    }
    out
}

fn add(sums: &mut [f64], line: &[f32], sign: f64) {
    for (sum, v) in sums.iter_mut().zip(line) {
        *sum += sign * f64::from(*v);
    }
}

fn running(line: impl Iterator<Item = f32>, half: usize, mut put: impl FnMut(usize, f32)) {
    let line: Vec<f32> = line.collect();
    let mut sum: f64 = line.iter().take(half).map(|v| f64::from(*v)).sum();
    for x in 0..line.len() {
        sum += line.get(x + half).map_or(0.0, |v| f64::from(*v));
        if x > half {
            sum -= f64::from(line[x - half - 1]);
        }
        let count = (x + half).min(line.len() - 1) + 1 - x.saturating_sub(half);
        put(x, (sum / count as f64) as f32);
    }
}

/// A connected piece of a mask.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Its pixels' indices.
    pub pixels: Vec<u32>,
    /// Whether it reaches the edge of the grid.
    pub at_edge: bool,
}

/// The pieces of what equals `of` in a mask, joined along edges. Work: each pixel once.
pub fn pieces(mask: &[bool], size: (usize, usize), of: bool) -> Vec<Piece> {
    let (width, height) = size;
    let mut seen = vec![false; mask.len()];
    let mut out = Vec::new();
    for start in 0..mask.len() {
        if seen[start] || mask[start] != of {
            continue;
        }
        let mut piece = Piece { pixels: Vec::new(), at_edge: false };
        let mut open = vec![start];
        seen[start] = true;
        while let Some(at) = open.pop() {
            piece.pixels.push(at as u32);
            let (x, y) = (at % width, at / width);
            piece.at_edge |= x == 0 || y == 0 || x + 1 == width || y + 1 == height;
            let mut go = |inside: bool, to: usize| {
                if inside && mask.get(to) == Some(&of) && !seen[to] {
                    seen[to] = true;
                    open.push(to);
                }
            };
            go(x > 0, at.wrapping_sub(1));
            go(x + 1 < width, at + 1);
            go(y > 0, at.wrapping_sub(width));
            go(y + 1 < height, at + width);
        }
        out.push(piece);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_are_those_of_squares() {
        let field: Vec<f32> = (0..35).map(|i| ((i * 17) % 23) as f32).collect();
        let out = mean(&field, (7, 5), 2);
        for y in 0..5usize {
            for x in 0..7usize {
                let (mut sum, mut count) = (0.0, 0.0);
                for v in y.saturating_sub(2)..(y + 3).min(5) {
                    for u in x.saturating_sub(2)..(x + 3).min(7) {
                        sum += field[v * 7 + u];
                        count += 1.0;
                    }
                }
                assert!((out[y * 7 + x] - sum / count).abs() < 1e-3);
            }
        }
    }

    #[test]
    fn pieces_are_apart() {
        let mask = [true, false, true, true, false, false, false, true, true];
        let found = pieces(&mask, (3, 3), true);
        assert_eq!(found.iter().map(|p| p.pixels.len()).collect::<Vec<_>>(), [2, 1, 2]);
    }
}
