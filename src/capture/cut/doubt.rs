//! Why a part cannot be cut out, and what is doubtful about one that was.

use std::fmt;

/// Why there is no cut-out of a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// The place is not wholly in the picture.
    Outside,
    /// The place would need more pixels than are taken.
    TooLarge,
    /// Nothing lies on the place that can be told from its ground.
    NothingFound,
    /// What was found reaches the edge of the place.
    ReachesEdge,
    /// The colour's value is not a colour.
    NoColour,
    /// The picture could not be encoded.
    Encoding(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Outside => f.write_str("the place is not wholly in the photograph"),
            Fault::TooLarge => f.write_str("the place has too many pixels"),
            Fault::NothingFound => f.write_str("no part can be told from the ground of the place"),
            Fault::ReachesEdge => f.write_str("the part reaches the edge of its place"),
            Fault::NoColour => f.write_str("the colour has no value"),
            Fault::Encoding(why) => write!(f, "the picture cannot be written: {why}"),
        }
    }
}

impl std::error::Error for Fault {}

impl Fault {
    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Fault::Outside => "photograph the whole page",
            Fault::TooLarge => "use a smaller picture, or a smaller place",
            Fault::NothingFound => "lay the part on a ground that is lighter or darker than it",
            Fault::ReachesEdge => "lay the part in the middle of its place",
            Fault::NoColour => "give the colour a value, or measure it",
            Fault::Encoding(_) => "photograph the part again",
        }
    }
}

/// What is doubtful about a cut-out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Part and ground are so alike that the edge may be wrong; their difference in shares of light.
    LowContrast(f64),
    /// The drawing lies off the edges that were seen: RMS in millimetres. The traced outline was taken.
    DrawingOff(f64),
    /// The part's thickness is not known and could not be seen: its size may be too large by its height over the page.
    NoThickness,
    /// The value lies outside sRGB, or the face was too dark or light to bring to it: CIEDE2000 that is left.
    ColourOff(f64),
    /// A clear part on a ground too dark to divide by.
    DarkBehind,
}
