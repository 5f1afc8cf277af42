//! What is doubtful about a cut-out, in words.

use std::fmt;

use crate::capture::cut::doubt::Doubt;

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Doubt::LowContrast(share) => {
                write!(
                    f,
                    "part and ground are alike ({:.0} %): its edge may be wrong",
                    100.0 * share
                )
            }
            Doubt::DrawingOff(mm) => {
                write!(f, "its drawing lies {mm:.2} mm off; the outline that was seen is used")
            }
            Doubt::NoThickness => f.write_str(
                "its thickness could not be seen: the picture may be a little too large",
            ),
            Doubt::ColourOff(off) => {
                write!(f, "its face could not be brought to the value: {off:.1} dE00 are left")
            }
            Doubt::DarkBehind => f.write_str("it is clear, and the ground behind it is dark"),
        }
    }
}

impl Doubt {
    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Doubt::LowContrast(_) => "use more even light, or photograph the part from nearer",
            Doubt::DrawingOff(_) => {
                "check the drawing with 'shadecard shapes', or lay the part flat"
            }
            Doubt::NoThickness => "photograph from farther away with the lens zoomed in",
            Doubt::ColourOff(_) => "expose so that the part is neither black nor white",
            Doubt::DarkBehind => "photograph clear parts on white paper",
        }
    }
}
