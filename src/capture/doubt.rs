//! Why a place on a photograph cannot be used, or only with a doubt, and what to do about it.

use std::fmt;

/// Why a place has no reading, or one with a doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// It is not in the picture.
    Outside,
    /// Pixels a millimetre, fewer than 8.
    TooSmall(f64),
    /// No dots near it; how far off it may be in millimetres.
    Adrift(f64),
    /// Nothing of its part is far enough from an edge.
    NoFace,
    /// The share of the face that clips.
    Clipped(f64),
    /// A reflection; the share of the face that it takes, or what it adds to black, paper = 1.
    Glare(f64),
    /// The edge of a shadow; the step of the paper's white around the place.
    ShadowEdge(f64),
    /// No two parts of the face are alike: the spread, relative.
    Uneven(f64),
    /// No paper beside it; the distance in millimetres.
    NoPaper(f64),
    /// The face looks like the ground: no part lies here.
    Empty,
}

impl Doubt {
    /// Whether no colour is told because of it.
    pub fn refuses(&self) -> bool {
        match self {
            Doubt::Outside | Doubt::TooSmall(_) | Doubt::Adrift(_) | Doubt::NoFace => true,
            Doubt::Clipped(share) => *share > 0.5,
            Doubt::Glare(share) => *share > 0.6,
            Doubt::ShadowEdge(step) => *step > 0.12,
            Doubt::NoPaper(_) => true,
            Doubt::Uneven(_) | Doubt::Empty => false,
        }
    }

    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Doubt::Outside => "go farther away until the whole page is in the picture",
            Doubt::TooSmall(_) => "go nearer, or use a larger picture",
            Doubt::Adrift(_) => "leave the dots around the place free",
            Doubt::NoFace => "the part is too small to be read; use a larger one of the colour",
            Doubt::Clipped(_) => "expose less",
            Doubt::Glare(_) => "move the light or the part, so that it does not reflect",
            Doubt::ShadowEdge(_) => "keep shadows off the place",
            Doubt::Uneven(_) => "lay the part flat within its outline; dust it",
            Doubt::NoPaper(_) => "leave the paper beside the place free",
            Doubt::Empty => "lay the part within its outline",
        }
    }
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Doubt::Outside => f.write_str("the place is not in the picture"),
            Doubt::TooSmall(scale) => {
                write!(f, "only {scale:.1} pixels a millimetre; 8 are needed")
            }
            Doubt::Adrift(mm) => write!(f, "it is not certain where it is, to {mm:.1} mm"),
            Doubt::NoFace => f.write_str("the part has no flat face to read"),
            Doubt::Clipped(share) => write!(f, "{:.0} % of the face clips", 100.0 * share),
            Doubt::Glare(share) => write!(f, "a reflection lies on it: {:.0} %", 100.0 * share),
            Doubt::ShadowEdge(step) => {
                write!(f, "a shadow ends beside it: the paper changes by {:.0} %", 100.0 * step)
            }
            Doubt::Uneven(spread) => {
                write!(f, "the face is uneven: it varies by {:.0} %", 100.0 * spread)
            }
            Doubt::NoPaper(mm) => write!(f, "no bare paper within {mm:.0} mm"),
            Doubt::Empty => f.write_str("no part seems to lie here"),
        }
    }
}
