//! How colours look to people who lack one kind of cone.

use palette::chromatic_adaptation::AdaptIntoUnclamped;
use palette::convert::FromColorUnclamped;
use palette::white_point::{D50, D65};
use palette::{IntoColor, LinSrgb, Xyz};

use super::Lab50;

/// The kind of cone that an eye lacks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Vision {
    /// The one for long waves ("red").
    Protan,
    /// The one for middle waves ("green").
    Deutan,
    /// The one for short waves ("blue").
    Tritan,
}

impl Vision {
    /// All three.
    pub const ALL: [Vision; 3] = [Vision::Protan, Vision::Deutan, Vision::Tritan];

    /// In lower case: 'protan'.
    pub fn word(self) -> &'static str {
        match self {
            Vision::Protan => "protan",
            Vision::Deutan => "deutan",
            Vision::Tritan => "tritan",
        }
    }

    /// Linear sRGB to linear sRGB at severity 1: the cone is missing altogether.
    ///
    /// Source: G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, 'A
    /// Physiologically-based Model for Simulation of Color Vision Deficiency',
    /// IEEE Transactions on Visualization and Computer Graphics 15 (6), 2009,
    /// and the tables published with it. They call the tritan one the least
    /// certain of the three.
    fn matrix(self) -> [[f64; 3]; 3] {
        match self {
            Vision::Protan => [
                [0.152286, 1.052583, -0.204868],
                [0.114503, 0.786281, 0.099216],
                [-0.003882, -0.048116, 1.051998],
            ],
            Vision::Deutan => [
                [0.367322, 0.860646, -0.227968],
                [0.280085, 0.672501, 0.047413],
                [-0.011820, 0.042940, 0.968881],
            ],
            Vision::Tritan => [
                [1.255528, -0.076749, -0.178779],
                [-0.078411, 0.930809, 0.147602],
                [0.004733, 0.691367, 0.303900],
            ],
        }
    }

    /// The colour that looks to everybody else as `lab` looks to such an eye.
    ///
    /// The linear sRGB values are not cut off at 0 and 1, before or after: it
    /// would make colours equal that are not.
    pub fn sees(self, lab: Lab50) -> Lab50 {
        let xyz: Xyz<D50, f64> = lab.into_color();
        let day: Xyz<D65, f64> = xyz.adapt_into_unclamped();
        let linear = LinSrgb::<f64>::from_color_unclamped(day);
        let [r, g, b] = self
            .matrix()
            .map(|row| row[0] * linear.red + row[1] * linear.green + row[2] * linear.blue);
        let day = Xyz::<D65, f64>::from_color_unclamped(LinSrgb::new(r, g, b));
        let xyz: Xyz<D50, f64> = day.adapt_into_unclamped();
        Lab50::from_color_unclamped(xyz)
    }
}
