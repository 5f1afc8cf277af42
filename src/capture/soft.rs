//! Whether a picture is out of focus, or moved, where nothing can be found in it.

use crate::capture::fault::Fault;
use crate::capture::least::quantile;
use crate::capture::picture::Picture;

/// Pixels on either side of an edge that are looked at.
const REACH: usize = 16;
/// Grey levels that an edge must go through.
const CONTRAST: u8 = 70;
/// Lines each way that are looked at.
const LINES: usize = 120;
/// Edges of a picture that can be searched, standard deviation in pixels.
const SHARP: f64 = 2.8;
/// The same where edges are so many times wider one way than the other: the camera moved.
const MOVED: (f64, f64) = (1.6, 1.35);

/// That the picture is soft, where it is.
pub fn fault(picture: &Picture) -> Option<Fault> {
    let across = width(picture, false)?;
    let down = width(picture, true)?;
    let (softest, other) = (across.max(down), across.min(down));
    let moved = softest > MOVED.0 && softest > MOVED.1 * other;
    (softest > SHARP || moved).then_some(Fault::Soft { softest, other })
}

/// The width of edges along rows, or columns: standard deviation in pixels of what blurs two
/// fifths of them less. `None` where there are hardly any.
fn width(picture: &Picture, columns: bool) -> Option<f64> {
    let (length, lines) = if columns {
        (picture.height(), picture.width())
    } else {
        (picture.width(), picture.height())
    };
    let grey = |line: usize, i: usize| {
        if columns { picture.grey(line, i) } else { picture.grey(i, line) }
    };
    let mut widths = Vec::new();
    for line in (0..lines).step_by((lines / LINES).max(1)) {
        let values: Vec<u8> = (0..length).map(|i| grey(line, i)).collect();
        widths.extend(values.chunks_exact(2 * REACH).filter_map(edge));
    }
    (widths.len() > 50).then(|| quantile(&mut widths, 0.4))
}

/// The width of the edge in a piece of a line: an edge of height 1 that a normal distribution blurs
/// rises by at most 2 / (sigma sqrt(2 pi)) over two pixels.
fn edge(piece: &[u8]) -> Option<f64> {
    let (low, high) = (piece.iter().min()?, piece.iter().max()?);
    let contrast = high.checked_sub(*low).filter(|c| *c > CONTRAST)?;
    let rise = piece.windows(3).map(|w| w[0].abs_diff(w[2])).max()?;
    Some(0.8 * f64::from(contrast) / f64::from(rise.max(1)))
}
