//! Colours beside the paper's own white.

use palette::white_point::{D50, WhitePoint};
use palette::{IntoColor, Xyz};

use crate::colour::Lab50;

/// A colour as the eye sees it beside a paper: its light as a share of the paper's (ICC.1, media-relative colorimetry).
pub fn beside(lab: Lab50, paper: Lab50) -> Lab50 {
    let perfect = <D50 as WhitePoint<f64>>::get_xyz();
    let (seen, white): (Xyz<D50, f64>, Xyz<D50, f64>) = (lab.into_color(), paper.into_color());
    let share = |v: f64, white: f64, perfect: f64| v * perfect / white.max(0.05);
    Xyz::<D50, f64>::new(
        share(seen.x, white.x, perfect.x),
        share(seen.y, white.y, perfect.y),
        share(seen.z, white.z, perfect.z),
    )
    .into_color()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_paper_is_white_beside_itself() {
        let paper = Lab50::new(94.0, 0.5, -2.0);
        let white = beside(paper, paper);
        assert!((white.l - 100.0).abs() < 1e-9 && white.a.abs() < 1e-9 && white.b.abs() < 1e-9);
        assert!(beside(Lab50::new(50.0, 10.0, 10.0), paper).l > 50.0);
    }
}
