//! Strips of rows: how high they are, and their 3 x 3 reduction.

use std::borrow::Cow;

/// Four-byte pixels that one strip may hold: 8 MiB.
const STRIP_PIXELS: u32 = 2 << 20;
/// Rows of a strip at most; a multiple of 3, so that strips reduce by themselves. Lower strips
/// have more in common with those of another spelling, and compress a little less.
const MAX_ROWS: u32 = 42;

/// Rows in each strip but the last of a page `width` pixels wide; a multiple of 3.
pub fn rows(width: u32) -> u32 {
    ((STRIP_PIXELS / width.max(1)).clamp(3, MAX_ROWS) / 3) * 3
}

/// The mean of each 3 x 3 block of RGB pixels; rows and columns are multiples of 3.
pub fn third(rgb: &[u8], width: u32) -> Vec<u8> {
    let row = width as usize * 3;
    let mut out = Vec::with_capacity(rgb.len() / 9);
    for band in rgb.chunks_exact(3 * row) {
        let (a, rest) = band.split_at(row);
        let (b, c) = rest.split_at(row);
        for ((a, b), c) in a.chunks_exact(9).zip(b.chunks_exact(9)).zip(c.chunks_exact(9)) {
            for k in 0..3 {
                let sum: u16 =
                    [a, b, c].iter().flat_map(|p| [p[k], p[k + 3], p[k + 6]]).map(u16::from).sum();
                out.push(((sum + 4) / 9) as u8);
            }
        }
    }
    out
}

/// The first `keep` columns and `rows` rows of RGB pixels, `width` in a row.
pub fn corner(rgb: &[u8], width: u32, keep: u32, rows: u32) -> Cow<'_, [u8]> {
    let (row, keep, rows) = (width as usize * 3, keep as usize * 3, rows as usize);
    if keep == row {
        return Cow::Borrowed(&rgb[..rows * row]);
    }
    let mut out = Vec::with_capacity(rows * keep);
    rgb.chunks_exact(row).take(rows).for_each(|line| out.extend_from_slice(&line[..keep]));
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_of_nine_becomes_its_mean() {
        let mut rgb = vec![0u8; 6 * 3 * 3];
        for (i, value) in rgb.iter_mut().enumerate() {
            *value = if (i / 3) % 6 < 3 { 90 } else { (i % 3) as u8 * 9 };
        }
        assert_eq!(third(&rgb, 6), [90, 90, 90, 0, 9, 18]);
    }

    #[test]
    fn strips_are_whole_threes() {
        for width in [1, 850, 7205, 43_000, 900_000, u32::MAX] {
            assert!(rows(width) >= 3 && rows(width).is_multiple_of(3));
        }
        assert_eq!(rows(7205), 42);
    }
}
