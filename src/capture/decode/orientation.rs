//! Which way up: what EXIF says (CIPA DC-008, 4.6.5, Orientation), and turning samples.

use exif::{In, Reader, Tag};

use crate::capture::picture::Samples;

/// What is read of EXIF data.
#[derive(Debug, Clone, Copy)]
pub struct Exif {
    /// 1 to 8, 1 where nothing is said.
    pub orientation: u32,
    /// The colours are Adobe RGB, though no profile is embedded.
    pub wide: bool,
}

impl Default for Exif {
    fn default() -> Exif {
        Exif { orientation: 1, wide: false }
    }
}

/// Reads EXIF data, as a TIFF file. What cannot be read says nothing.
pub fn exif(raw: &[u8]) -> Exif {
    let raw = raw.strip_prefix(b"Exif\0\0").unwrap_or(raw);
    let Ok(exif) = Reader::new().read_raw(raw.to_vec()) else {
        return Exif::default();
    };
    let number = |tag| exif.get_field(tag, In::PRIMARY).and_then(|f| f.value.get_uint(0));
    let orientation = number(Tag::Orientation).filter(|n| (1..=8).contains(n)).unwrap_or(1);
    let index = exif.get_field(Tag::InteroperabilityIndex, In::PRIMARY);
    let wide = index.is_some_and(|f| f.display_value().to_string().contains("R03"));
    Exif { orientation, wide: wide && number(Tag::ColorSpace) != Some(1) }
}

/// Turns samples upright; also the size that they have then.
pub fn upright(
    size: (usize, usize),
    samples: Samples,
    orientation: u32,
) -> ((usize, usize), Samples) {
    if !(2..=8).contains(&orientation) {
        return (size, samples);
    }
    let turned = if orientation >= 5 { (size.1, size.0) } else { size };
    let samples = match samples {
        Samples::Eight(data) => Samples::Eight(turn(&data, size, turned, orientation)),
        Samples::Sixteen(data) => Samples::Sixteen(turn(&data, size, turned, orientation)),
    };
    (turned, samples)
}

fn turn<T: Copy>(
    data: &[T],
    (w, h): (usize, usize),
    (tw, th): (usize, usize),
    orientation: u32,
) -> Vec<T> {
    let mut out = Vec::with_capacity(data.len());
    for y in 0..th {
        for x in 0..tw {
            // Where the pixel that is shown at x, y is stored.
            let (sx, sy) = match orientation {
                2 => (w - 1 - x, y),
                3 => (w - 1 - x, h - 1 - y),
                4 => (x, h - 1 - y),
                5 => (y, x),
                6 => (y, h - 1 - x),
                7 => (w - 1 - y, h - 1 - x),
                _ => (w - 1 - y, x),
            };
            let at = 3 * (sy * w + sx);
            out.extend_from_slice(data.get(at..at + 3).unwrap_or_default());
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture of 3 x 2 whose pixels are numbered, stored so that it is upright when turned.
    #[test]
    fn every_orientation_comes_upright() {
        let upright_pixels = [[1u8, 2, 3], [4, 5, 6]];
        let stored: [(u32, (usize, usize), &[u8]); 8] = [
            (1, (3, 2), &[1, 2, 3, 4, 5, 6]),
            (2, (3, 2), &[3, 2, 1, 6, 5, 4]),
            (3, (3, 2), &[6, 5, 4, 3, 2, 1]),
            (4, (3, 2), &[4, 5, 6, 1, 2, 3]),
            (5, (2, 3), &[1, 4, 2, 5, 3, 6]),
            (6, (2, 3), &[3, 6, 2, 5, 1, 4]),
            (7, (2, 3), &[6, 3, 5, 2, 4, 1]),
            (8, (2, 3), &[4, 1, 5, 2, 6, 3]),
        ];
        for (orientation, size, pixels) in stored {
            let data = pixels.iter().flat_map(|p| [*p; 3]).collect();
            let (size, Samples::Eight(out)) = upright(size, Samples::Eight(data), orientation)
            else {
                panic!("changed its depth");
            };
            assert_eq!(size, (3, 2), "{orientation}");
            let seen: Vec<u8> = out.iter().step_by(3).copied().collect();
            assert_eq!(seen, upright_pixels.concat(), "{orientation}");
        }
    }
}
