//! The steps from a colour: lighter, darker, stronger, greyer, and its hue two steps either way.

use crate::colour::Lab50;
use crate::colour::to_rgb;
use crate::press::Paper;
use crate::press::paper::Bytes;
use crate::press::tune::nearest_value;

/// A colour with less chroma has no hue to turn: its steps go towards red, green, yellow and blue.
const GREY: f64 = 8.0;

/// Which way a patch is from its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    Lighter,
    Darker,
    Stronger,
    Greyer,
    Hue(i8),
}

impl Step {
    /// All eight, in the order of their numbers from 1.
    pub const ALL: [Step; 8] = [
        Step::Lighter,
        Step::Darker,
        Step::Stronger,
        Step::Greyer,
        Step::Hue(-2),
        Step::Hue(-1),
        Step::Hue(1),
        Step::Hue(2),
    ];

    /// A colour that far away, as a difference in CIELAB for colours of little chroma; with chroma steps of it and of
    /// hue grow as differences that are seen alike do (CIE94's weights, CIE 116-1995).
    pub fn from(self, at: Lab50, size: f64) -> Lab50 {
        let chroma = at.a.hypot(at.b);
        let (more, turned) = (size * (1.0 + 0.045 * chroma), size * (1.0 + 0.015 * chroma));
        let to = |chroma: f64, hue: f64| Lab50::new(at.l, chroma * hue.cos(), chroma * hue.sin());
        let hue = at.b.atan2(at.a);
        match self {
            Step::Lighter => Lab50::new((at.l + size).min(100.0), at.a, at.b),
            Step::Darker => Lab50::new((at.l - size).max(0.0), at.a, at.b),
            Step::Stronger if chroma < GREY => Lab50::new(at.l, at.a + size, at.b),
            Step::Greyer if chroma < GREY => Lab50::new(at.l, at.a - size, at.b),
            Step::Stronger => to(chroma + more, hue),
            Step::Greyer => to((chroma - more).max(0.0), hue),
            Step::Hue(steps) if chroma < GREY => {
                let sign = f64::from(steps.signum());
                if steps.abs() == 1 {
                    Lab50::new(at.l, at.a, at.b + sign * size)
                } else {
                    let far = sign * size / std::f64::consts::SQRT_2;
                    Lab50::new(at.l, at.a + far, at.b + far)
                }
            }
            Step::Hue(steps) => to(chroma, hue + f64::from(steps) * turned / chroma),
        }
    }

    /// The value whose colour on the paper is that far from what it shows of another.
    pub fn value(self, paper: &Paper, from: Bytes, size: f64) -> Bytes {
        let aim = self.from(paper.shows(from), size);
        nearest_value(paper, aim, paper.plain(aim, to_rgb(aim).0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::difference;

    #[test]
    fn steps_are_about_as_far_as_asked_for_and_differ() {
        for at in [
            Lab50::new(50.0, 0.5, -1.0),
            Lab50::new(62.0, 40.0, 25.0),
            Lab50::new(30.0, 10.0, -45.0),
        ] {
            let all = Step::ALL.map(|step| step.from(at, 3.0));
            for (step, to) in Step::ALL.iter().zip(all) {
                let far = difference(at, to);
                let size = if matches!(step, Step::Hue(2 | -2)) { 2.0 } else { 1.0 };
                assert!((0.45..2.3).contains(&(far / 3.0 / size)), "{step:?} of {at:?}: {far}");
            }
            for (i, a) in all.iter().enumerate() {
                assert!(all[..i].iter().all(|b| difference(*a, *b) > 1.5), "{at:?} {i}");
            }
        }
    }
}
