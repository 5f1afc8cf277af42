//! The pixels that an outline covers, as runs: what it fills whole, and what in part.

use tiny_skia::{FillRule, IntSize, Mask, Paint, Path, Pixmap, Rect as Box, Shader, Transform};

/// Whole pixels in a row from which on they are a run of their own.
const WORTH_A_RUN: usize = 4;

/// Pixels side by side.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    /// Row and first column from the stamp's origin.
    pub y: i32,
    pub x: i32,
    pub len: u32,
    /// Where its coverage begins; none where every pixel is covered whole.
    pub cover: Option<u32>,
    /// How many pixels of the stamp come before it.
    pub before: u32,
}

/// The coverage of an outline, and where each pixel lies along a gradient.
#[derive(Debug, Default)]
pub struct Stamp {
    /// By rows, from the top.
    runs: Vec<Run>,
    /// Coverage of the pixels of partial runs, 1 to 255.
    cover: Vec<u8>,
    /// Position along the gradient of every pixel, 0 to 255; empty without one.
    along: Vec<u8>,
}

impl Stamp {
    /// Rasterises `path`, placed by `place`, with 0, 0 the corner of the
    /// origin's pixel; of the rows only those in `rows`, where given. `ramp`
    /// is a gradient from black to white, in the coordinates of the path.
    pub fn new(
        path: &Path,
        rule: FillRule,
        place: Transform,
        rows: Option<(i32, i32)>,
        ramp: Option<&Shader<'static>>,
    ) -> Stamp {
        let Some(window) = window(path, place, rows) else { return Stamp::default() };
        let here = place.post_translate(-(window.x as f32), -(window.y as f32));
        let Some(mut mask) = Mask::new(window.size.width(), window.size.height()) else {
            return Stamp::default();
        };
        mask.fill_path(path, rule, true, here);
        let ramp = ramp.and_then(|shader| lengths(shader, window.size, here));
        let mut stamp = Stamp::default();
        let width = window.size.width() as usize;
        for (row, cover) in mask.data().chunks_exact(width).enumerate() {
            let along = ramp.as_deref().map(|r| &r[row * width..][..width]);
            stamp.row(window.y + row as i32, window.x, cover, along);
        }
        stamp.runs.shrink_to_fit();
        stamp.cover.shrink_to_fit();
        stamp.along.shrink_to_fit();
        stamp
    }

    fn row(&mut self, y: i32, left: i32, cover: &[u8], along: Option<&[u8]>) {
        let mut at = 0;
        while at < cover.len() {
            let rest = &cover[at..];
            let whole = rest.iter().take_while(|c| **c == 255).count();
            let len = match rest[0] {
                0 => {
                    at += rest.iter().take_while(|c| **c == 0).count();
                    continue;
                }
                _ if whole >= WORTH_A_RUN => whole,
                _ => partial(rest),
            };
            let begins = self.cover.len() as u32;
            let is_whole = whole >= WORTH_A_RUN;
            let before = self.runs.last().map_or(0, |r| r.before + r.len);
            self.runs.push(Run {
                y,
                x: left + at as i32,
                len: len as u32,
                cover: (!is_whole).then_some(begins),
                before,
            });
            if !is_whole {
                self.cover.extend_from_slice(&rest[..len]);
            }
            if let Some(along) = along {
                self.along.extend_from_slice(&along[at..at + len]);
            }
            at += len;
        }
    }

    /// The runs in rows `from` to `to`, without the last.
    pub fn rows(&self, from: i64, to: i64) -> &[Run] {
        let first = self.runs.partition_point(|r| i64::from(r.y) < from);
        let last = self.runs.partition_point(|r| i64::from(r.y) < to);
        &self.runs[first..last.max(first)]
    }

    /// Coverage of a partial run; nothing for a whole one.
    pub fn cover(&self, run: &Run) -> Option<&[u8]> {
        run.cover.map(|at| &self.cover[at as usize..][..run.len as usize])
    }

    /// Where the pixels of a run lie along the gradient.
    pub fn along(&self, run: &Run) -> &[u8] {
        &self.along[run.before as usize..][..run.len as usize]
    }

    /// What it takes, bytes.
    pub fn bytes(&self) -> usize {
        size_of::<Stamp>()
            + self.runs.len() * size_of::<Run>()
            + self.cover.len()
            + self.along.len()
    }
}

/// Pixels up to the next empty one or the next run of whole ones.
fn partial(cover: &[u8]) -> usize {
    let mut whole = 0;
    for (i, &c) in cover.iter().enumerate() {
        whole = if c == 255 { whole + 1 } else { 0 };
        if c == 0 {
            return i;
        }
        if whole == WORTH_A_RUN {
            return i + 1 - WORTH_A_RUN;
        }
    }
    cover.len()
}

/// Pixels that a placed path may touch.
struct Window {
    x: i32,
    y: i32,
    size: IntSize,
}

fn window(path: &Path, place: Transform, rows: Option<(i32, i32)>) -> Option<Window> {
    let bounds = placed(path.bounds(), place);
    let (x, mut y) = (bounds.left().floor() as i32 - 1, bounds.top().floor() as i32 - 1);
    let (right, mut bottom) = (bounds.right().ceil() as i32 + 1, bounds.bottom().ceil() as i32 + 1);
    if let Some((from, to)) = rows {
        (y, bottom) = (y.max(from), bottom.min(to));
    }
    let width = u32::try_from(i64::from(right) - i64::from(x)).ok()?;
    let height = u32::try_from(i64::from(bottom) - i64::from(y)).ok()?;
    Some(Window { x, y, size: IntSize::from_wh(width, height)? })
}

/// The box of a placed box.
pub fn placed(bounds: Box, place: Transform) -> Box {
    bounds.transform(place).unwrap_or(bounds)
}

/// The gradient's position at every pixel, 0 to 255, as its own renderer sees it.
fn lengths(shader: &Shader<'static>, size: IntSize, place: Transform) -> Option<Vec<u8>> {
    let mut pixmap = Pixmap::new(size.width(), size.height())?;
    let mut shader = shader.clone();
    shader.transform(place);
    let paint = Paint { shader, anti_alias: false, ..Paint::default() };
    let all = Box::from_xywh(0.0, 0.0, size.width() as f32, size.height() as f32)?;
    pixmap.fill_rect(all, &paint, Transform::identity(), None);
    Some(pixmap.data().chunks_exact(4).map(|p| p[0]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use tiny_skia::PathBuilder;

    fn square(size: f32) -> Path {
        PathBuilder::from_rect(Box::from_xywh(0.0, 0.0, size, size).expect("a box"))
    }

    #[test]
    fn a_square_is_covered_by_its_area() {
        // 10.5 x 10.5 pixels, a quarter of a pixel to the right and down.
        let place = Transform::from_row(1.0, 0.0, 0.0, 1.0, 0.25, 0.25);
        let stamp = Stamp::new(&square(10.5), FillRule::Winding, place, None, None);
        let sum = |run: &Run| match stamp.cover(run) {
            Some(cover) => cover.iter().map(|c| f64::from(*c)).sum(),
            None => f64::from(run.len) * 255.0,
        };
        let area: f64 = stamp.rows(-5, 50).iter().map(sum).sum::<f64>() / 255.0;
        assert!((area - 10.5 * 10.5).abs() < 0.5, "{area}");
        assert!(stamp.rows(-5, 50).iter().any(|r| r.cover.is_none() && r.len == 9));
    }

    #[test]
    fn rows_outside_those_asked_for_are_left_out() {
        let whole = Stamp::new(&square(40.0), FillRule::Winding, Transform::identity(), None, None);
        let part = Stamp::new(
            &square(40.0),
            FillRule::Winding,
            Transform::identity(),
            Some((10, 14)),
            None,
        );
        let shape = |runs: &[Run]| runs.iter().map(|r| (r.y, r.x, r.len)).collect::<Vec<_>>();
        assert_eq!(shape(part.rows(0, 40)), shape(whole.rows(10, 14)));
    }
}
