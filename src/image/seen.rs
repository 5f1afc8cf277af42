//! What of an image is seen: the box of what is at least half opaque.

use kurbo::Rect;

use super::Pixels;

/// From this alpha on a pixel belongs to the part.
const HALF: u8 = 128;

impl Pixels {
    /// The box of what is seen, in pixels from the top left corner; its sides lie where the alpha of the
    /// pixels beyond puts them. None where nothing is half opaque.
    pub fn seen(&self) -> Option<Rect> {
        let width = self.width as usize;
        let (mut across, mut down) = (vec![0u8; width], Vec::new());
        for row in self.rgba.chunks_exact(width.max(1) * 4) {
            let mut most = 0;
            for (alpha, column) in row.iter().skip(3).step_by(4).zip(&mut across) {
                *column = (*column).max(*alpha);
                most = most.max(*alpha);
            }
            down.push(most);
        }
        let ((x0, x1), (y0, y1)) = (span(&across)?, span(&down)?);
        Some(Rect { x0, y0, x1, y1 })
    }
}

/// From where to where the greatest alphas of lines are at least half.
fn span(most: &[u8]) -> Option<(f64, f64)> {
    let first = most.iter().position(|a| *a >= HALF)?;
    let last = most.iter().rposition(|a| *a >= HALF)?;
    let share = |n: Option<usize>| {
        let alpha = n.and_then(|n| most.get(n)).copied().unwrap_or(0);
        f64::from(alpha) / 255.0
    };
    let inner = |n: usize| 1.0 - share(Some(n));
    let start = first as f64 + inner(first) - share(first.checked_sub(1));
    let end = last as f64 + 1.0 - inner(last) + share(Some(last + 1));
    (start < end).then_some((start, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sides_lie_between_pixels() {
        // Rows: nothing, three quarters at one end and a quarter at the other, nothing.
        let alphas = [[0; 5], [0, 191, 255, 255, 64], [0; 5]].concat();
        let rgba = alphas.iter().flat_map(|a| [0, 0, 0, *a]).collect();
        let seen = Pixels { width: 5, height: 3, rgba }.seen().expect("something");
        let near = |a: f64, b: f64| (a - b).abs() < 0.01;
        assert!(near(seen.x0, 1.25) && near(seen.x1, 4.25), "{seen:?}");
        assert_eq!((seen.y0, seen.y1), (1.0, 2.0));
        let faint = Pixels { width: 1, height: 1, rgba: vec![0, 0, 0, 127] };
        assert_eq!(faint.seen(), None);
    }
}
