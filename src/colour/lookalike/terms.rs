//! The terms of CIEDE2000, and bounds that it never falls under.

use crate::colour::Lab50;

/// SL of CIEDE2000 for a mean L* so far from 50.
pub(super) fn lightness_weight(from_middle: f64) -> f64 {
    let square = from_middle * from_middle;
    1.0 + 0.015 * square / (20.0 + square).sqrt()
}

/// True only where CIEDE2000 is over a limit, at hardly any cost; `chroma` is that of both together.
///
/// c² + h² + R c h >= (1 - |R| / 2) (c² + h²), |R| <= 2 sin 60°; what c and h are divided by is at most
/// 1 + 0.045 times their mean C', which is at most 1.5 times C; and a' takes nothing off a distance.
pub(super) fn are_far(first: Lab50, second: Lab50, chroma: f64, limit: f64) -> bool {
    let plane = (first.a - second.a).powi(2) + (first.b - second.b).powi(2);
    let least = 1.0 - 60f64.to_radians().sin();
    let weight = 1.0 + 0.045 * 0.75 * chroma;
    // As with `at_least`, rounding must not drop a pair that is exactly at the limit.
    plane * least > (limit * weight + 1e-6).powi(2)
}

/// A bound that CIEDE2000 never falls under, without its angles.
///
/// l and c are exact. h is taken with the largest T there can be (1 + 0.17 +
/// 0.24 + 0.32 + 0.20 = 1.93), so it is too small; |R| is taken as its largest
/// (the turn of 30 degrees at hue 275: sin 60°), and of c² + h² - R c h the
/// smallest value for any h from there up.
pub(super) fn at_least(first: Lab50, second: Lab50) -> f64 {
    let Terms { l, c, dh, mean_chroma, .. } = Terms::of(first, second);
    let h = dh.abs() / (1.0 + 0.015 * mean_chroma * 1.93);
    let r = 2.0 * share_of_25(mean_chroma).sqrt() * 60f64.to_radians().sin();
    let c = c.abs();
    let h = h.max(r * c / 2.0);
    // Rounding must not drop a pair that is exactly at the limit.
    (l * l + c * c + h * h - r * c * h).max(0.0).sqrt() - 1e-6
}

/// C⁷ / (C⁷ + 25⁷).
pub(super) fn share_of_25(chroma: f64) -> f64 {
    let seventh = chroma.powi(7);
    seventh / (seventh + 25f64.powi(7))
}

/// What CIEDE2000 is made of, before its angles.
pub(super) struct Terms {
    /// dL' / SL and dC' / SC.
    pub(super) l: f64,
    pub(super) c: f64,
    /// dH', positive where the hue angle grows, without SH.
    pub(super) dh: f64,
    pub(super) mean_chroma: f64,
    /// a' and b of both.
    pub(super) points: [(f64, f64); 2],
    pub(super) chromas: [f64; 2],
}

impl Terms {
    pub(super) fn of(first: Lab50, second: Lab50) -> Terms {
        let plain = (first.a.hypot(first.b) + second.a.hypot(second.b)) / 2.0;
        let stretch = 1.0 + 0.5 * (1.0 - share_of_25(plain).sqrt());
        let points = [(first.a * stretch, first.b), (second.a * stretch, second.b)];
        let chromas = points.map(|(a, b)| a.hypot(b));
        let mean_chroma = (chromas[0] + chromas[1]) / 2.0;
        let [(a1, b1), (a2, b2)] = points;
        // 2 sqrt(C1 C2) sin(dh / 2), by Pythagoras instead of the angle.
        let c = chromas[1] - chromas[0];
        let square = ((a2 - a1).powi(2) + (b2 - b1).powi(2) - c * c).max(0.0);
        let turn = a1 * b2 - a2 * b1;
        Terms {
            l: (second.l - first.l) / lightness_weight((first.l + second.l) / 2.0 - 50.0),
            c: c / (1.0 + 0.045 * mean_chroma),
            dh: square.sqrt().copysign(turn),
            mean_chroma,
            points,
            chromas,
        }
    }

    /// Mean hue in degrees, 0 to 360: halfway on the shorter way round.
    pub(super) fn mean_hue(&self) -> f64 {
        let [h1, h2] = self.points.map(|(a, b)| b.atan2(a).to_degrees().rem_euclid(360.0));
        let mean = (h1 + h2) / 2.0;
        if (h1 - h2).abs() > 180.0 { (mean + 180.0).rem_euclid(360.0) } else { mean }
    }

    /// dH' / SH.
    pub(super) fn h(&self) -> f64 {
        let cos = |factor: f64, shift: f64| (factor * self.mean_hue() + shift).to_radians().cos();
        let t = 1.0 - 0.17 * cos(1.0, -30.0) + 0.24 * cos(2.0, 0.0) + 0.32 * cos(3.0, 6.0)
            - 0.20 * cos(4.0, -63.0);
        self.dh / (1.0 + 0.015 * self.mean_chroma * t)
    }
}
