//! Seams that cut as little as possible of what is drawn: through gutters and margins where they
//! can, at even distances otherwise.

use kurbo::Rect;

use crate::sheet::{Item, ItemKind, Role, Sheet};

/// Distance between places tried for a seam, mm; further apart on very long pages.
const STEP: f64 = 0.5;
const MOST_PLACES: usize = 3000;
/// White that a seam keeps to what is drawn where it can, mm, and what less counts.
const CLEAR: f64 = 2.5;
const NEAR: f64 = 0.1;
/// What it counts to cut a part, a chip and a text, and any line or area.
const PART: f64 = 8.0;
const CHIP: f64 = 4.0;
const TEXT: f64 = 3.0;
const LINE: f64 = 0.02;
/// What it counts when all panels of a row are as uneven as they may be.
const UNEVEN: f64 = 0.5;
/// No panel is narrower than this share of an even one.
const LEAST: f64 = 0.5;

/// Along which axis seams are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Upright seams, at places across the page.
    Across,
    /// Level seams, at places down the page.
    Down,
}

/// What a seam at each place would cut, on all pages of a sheet together.
#[derive(Debug, Clone, PartialEq)]
pub struct Cuts {
    length: f64,
    /// At places evenly spread from one end of the page to the other.
    costs: Vec<f64>,
}

impl Cuts {
    /// Examines every item.
    pub fn of(sheet: &Sheet, axis: Axis) -> Cuts {
        let length = match axis {
            Axis::Across => sheet.width,
            Axis::Down => sheet.height,
        };
        let places = ((length / STEP).ceil().max(1.0) as usize).min(MOST_PLACES);
        // Each item adds to all places inside it: its ends are noted, then summed up once.
        let mut ends = vec![0.0; places + 2];
        let mut add = |from: f64, to: f64, weight: f64| {
            let place = |at: f64| (at / length * places as f64).clamp(0.0, places as f64);
            let (first, last) = (place(from).floor() as usize + 1, place(to).ceil() as usize);
            if first < last {
                ends[first] += weight;
                ends[last] -= weight;
            }
        };
        for item in sheet.pages.iter().flat_map(|page| &page.items) {
            let Some(weight) = weight(item) else { continue };
            let (from, to) = along(item.bounds, axis);
            add(from, to, weight);
            add(from - CLEAR, to + CLEAR, weight * NEAR);
        }
        let mut sum = 0.0;
        let costs = ends[..=places].iter().map(|end| {
            sum += end;
            // Sums of what was added and taken away again are not quite nothing.
            if sum < 1e-9 { 0.0 } else { sum }
        });
        Cuts { length, costs: costs.collect() }
    }

    /// So many steps between lines, none longer than `most` mm, with the least cut; the ends are
    /// the first line and the last. None where no such lines are at the places.
    pub fn lines(&self, steps: usize, most: f64) -> Option<Vec<f64>> {
        let last = self.costs.len() - 1;
        let at = |place: usize| self.length * place as f64 / last as f64;
        let even = self.length / steps as f64;
        let step = |from: usize, to: usize| {
            let width = at(to) - at(from);
            let fits = width <= most + 1e-9 && width >= even * LEAST;
            let off = (width - even) / even;
            fits.then_some(UNEVEN * off * off / steps as f64)
        };
        // For each place the least cost of a line there, and the line before it.
        let mut best: Vec<Option<(f64, usize)>> = vec![None; last + 1];
        best[0] = Some((0.0, 0));
        let mut before: Vec<Vec<usize>> = Vec::with_capacity(steps);
        let reach = (most / self.length * last as f64).ceil() as usize + 1;
        for _ in 0..steps {
            let mut next: Vec<Option<(f64, usize)>> = vec![None; last + 1];
            for (to, found) in next.iter_mut().enumerate().skip(1) {
                let own = if to == last { 0.0 } else { self.costs[to] };
                let near = best.iter().enumerate().take(to).skip(to.saturating_sub(reach));
                for (from, there) in near {
                    let Some(((cost, _), more)) = there.zip(step(from, to)) else { continue };
                    let cost = cost + more + own;
                    if found.is_none_or(|(least, _)| cost < least) {
                        *found = Some((cost, from));
                    }
                }
            }
            before.push(next.iter().map(|found| found.map_or(0, |(_, from)| from)).collect());
            best = next;
        }
        best[last]?;
        let mut out = vec![self.length];
        let mut place = last;
        for from in before.iter().rev() {
            place = from[place];
            out.push(at(place));
        }
        out.reverse();
        Some(out)
    }

    /// What a seam at `at` mm cuts.
    pub fn at(&self, at: f64) -> f64 {
        let last = self.costs.len() - 1;
        let place = (at / self.length * last as f64).round().clamp(0.0, last as f64);
        self.costs[place as usize]
    }
}

/// What it counts to cut an item; cut marks and frames may be.
fn weight(item: &Item) -> Option<f64> {
    match (&item.kind, item.role) {
        (_, Role::Cut) => None,
        (ItemKind::Use(_) | ItemKind::Image(_), _) => Some(PART),
        (ItemKind::Text(_), _) => Some(TEXT),
        (ItemKind::Area(_), Role::Swatch) => Some(CHIP),
        (ItemKind::Area(_), _) => Some(LINE),
    }
}

fn along(bounds: Rect, axis: Axis) -> (f64, f64) {
    match axis {
        Axis::Across => (bounds.x0, bounds.x1),
        Axis::Down => (bounds.y0, bounds.y1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cuts(costs: &[f64]) -> Cuts {
        Cuts { length: (costs.len() - 1) as f64, costs: costs.to_vec() }
    }

    /// The least cost over all ways to put two seams, by trying every one.
    fn tried(cuts: &Cuts, most: f64) -> Option<f64> {
        let last = cuts.costs.len() - 1;
        let even = last as f64 / 3.0;
        let fits = |w: f64| w <= most + 1e-9 && w >= even * LEAST;
        let off = |w: f64| UNEVEN * ((w - even) / even).powi(2) / 3.0;
        let mut least: Option<f64> = None;
        for a in 1..last {
            for b in a + 1..last {
                let widths = [a, b - a, last - b].map(|w| w as f64);
                if widths.iter().all(|w| fits(*w)) {
                    let cost =
                        cuts.costs[a] + cuts.costs[b] + widths.iter().map(|w| off(*w)).sum::<f64>();
                    least = Some(least.map_or(cost, |l: f64| l.min(cost)));
                }
            }
        }
        least
    }

    #[test]
    fn no_two_seams_cut_less() {
        let mut seed = 7_u64;
        let mut random = move || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) as f64 / f64::from(1u32 << 31)
        };
        let (mut solved, mut none) = (0, 0);
        for _ in 0..200 {
            let costs: Vec<f64> =
                (0..=30).map(|_| if random() < 0.3 { 0.0 } else { random() * 10.0 }).collect();
            let cuts = cuts(&costs);
            let most = 9.0 + (random() * 8.0).floor();
            match (tried(&cuts, most), cuts.lines(3, most)) {
                (None, None) => none += 1,
                (Some(least), Some(lines)) => {
                    let seams = cuts.at(lines[1]) + cuts.at(lines[2]);
                    let uneven: f64 = lines
                        .windows(2)
                        .map(|w| UNEVEN * ((w[1] - w[0] - 10.0) / 10.0).powi(2) / 3.0)
                        .sum();
                    assert!((seams + uneven - least).abs() < 1e-9, "{lines:?}: {least}");
                    assert_eq!((lines.len(), lines[0], lines[3]), (4, 0.0, 30.0));
                    solved += 1;
                }
                other => panic!("{other:?}"),
            }
        }
        assert!(solved > 100 && none > 10, "{solved} {none}");
    }

    #[test]
    fn seams_are_even_where_nothing_is_cut() {
        assert_eq!(cuts(&[0.0; 31]).lines(3, 14.0), Some(vec![0.0, 10.0, 20.0, 30.0]));
    }
}
