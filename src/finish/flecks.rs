//! Flecks in a flecked part: small polygons from a seed, always the same.

use kurbo::{BezPath, Point, Shape as _};

use crate::read::region::Region;

/// Flecks of one kind, joined into one outline, with their lightness offset.
pub(super) struct Flecks {
    pub outline: BezPath,
    pub dl: f64,
    pub opacity: f64,
}

/// Share of the flecks that are of a kind, its lightness offset, its opacity.
const KINDS: [(f64, f64, f64); 3] = [(0.46, 36.0, 0.95), (0.30, -28.0, 0.8), (0.24, 20.0, 0.8)];

/// How many flecks there are and how large.
pub(super) struct Crowd {
    /// Flecks per mm², and the least number on a part.
    density: f64,
    least: f64,
    /// The least size, 0 to 1.
    size: f64,
}

/// Among the lights and shades that a drawing has of its own.
pub(super) const SPARSE: Crowd = Crowd { density: 0.36, least: 4.0, size: 0.45 };
/// On a plain outline, where only flecks distinguish flecked from clear.
pub(super) const DENSE: Crowd = Crowd { density: 1.1, least: 9.0, size: 0.72 };

/// A stream of numbers from a seed: splitmix64 (Steele, Lea and Flood 2014).
struct Numbers(u64);

impl Numbers {
    /// Even between 0 and 1.
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

/// Strews flecks over a field, none over its centre.
///
/// `holes` are openings that no fleck should cut; `reach` is the largest
/// distance from inside the field to its edge, mm.
pub(super) fn strew(
    field: &Region,
    holes: &[BezPath],
    reach: f64,
    crowd: &Crowd,
    seed: u64,
) -> Vec<Flecks> {
    let outline = field.outline();
    let bounds = outline.bounding_box();
    let centre = outline.bounding_box().center();
    let mut numbers = Numbers(seed ^ 0x5eed_f1ec_c0de_0001);
    // Fewer where each try is dear: an outline of thousands of corners.
    let most = (2e6 / outline.elements().len().max(1) as f64).clamp(40.0, 800.0);
    let wanted = (field.area() * crowd.density).round().clamp(crowd.least, most) as usize;
    let size = (reach / 3.0).clamp(crowd.size, 1.0);
    let apart = 0.62 * size;
    let mut placed: Vec<Point> = Vec::new();
    let mut paths = [BezPath::new(), BezPath::new(), BezPath::new()];
    for _ in 0..wanted * 20 {
        if placed.len() >= wanted {
            break;
        }
        let p = Point::new(
            numbers.between(bounds.x0, bounds.x1),
            numbers.between(bounds.y0, bounds.y1),
        );
        let (r, turn, kind) = (numbers.next(), numbers.between(0.0, 360.0), numbers.next());
        let r = (0.12 + 0.22 * r * r) * size;
        let free = p.distance(centre) > 0.26 * reach + r
            && outline.winding(p) != 0
            && placed.iter().all(|q| q.distance(p) > apart)
            && holes.iter().all(|h| !h.bounding_box().inflate(r, r).contains(p));
        let corners = if numbers.next() < 0.4 { 4 } else { 5 };
        let path = match kind {
            k if k < KINDS[0].0 => &mut paths[0],
            k if k < KINDS[0].0 + KINDS[1].0 => &mut paths[1],
            _ => &mut paths[2],
        };
        if !free {
            continue;
        }
        placed.push(p);
        for n in 0..corners {
            let angle = (turn + 360.0 / f64::from(corners) * f64::from(n)).to_radians();
            let far = r * numbers.between(0.65, 1.2);
            // A hundredth of a millimetre is fine enough for a fleck.
            let q = Point::new(p.x + far * angle.cos() * 1.15, p.y + far * angle.sin());
            let q = Point::new((q.x * 100.0).round() / 100.0, (q.y * 100.0).round() / 100.0);
            if n == 0 { path.move_to(q) } else { path.line_to(q) }
        }
        path.close_path();
    }
    paths
        .into_iter()
        .zip(KINDS)
        .filter(|(p, _)| !p.elements().is_empty())
        .map(|(outline, (_, dl, opacity))| Flecks { outline, dl, opacity })
        .collect()
}
