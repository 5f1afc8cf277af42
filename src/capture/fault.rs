//! Why a photograph cannot be used, and what to do about it.

use std::fmt;

/// Why nothing can be read from a photograph.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// No JPEG, PNG or TIFF.
    NotAPicture,
    /// More pixels than are taken, in millions: what it has, what may be.
    TooLarge {
        /// What the picture has.
        megapixels: f64,
        /// What may be.
        most: f64,
    },
    /// The file ends before the picture does.
    CutShort,
    /// The file is damaged; what the decoder says.
    Damaged(String),
    /// A kind of picture that is not read.
    Kind(&'static str),
    /// The embedded colour profile cannot be used.
    Profile(&'static str),
    /// No code of a page was found.
    NoCode,
    /// No code was found, and the picture is not sharp; widths of edges, standard deviation in pixels.
    Soft {
        /// Along rows or columns, whichever is softer.
        softest: f64,
        /// The other way.
        other: f64,
    },
    /// There seems to be a code, so many pixels wide, but it cannot be read.
    FaintCode(f64),
    /// The codes of several pages were found.
    SeveralCodes(usize),
    /// The corners that are given cannot be those of the page; the picture's width and height in pixels.
    Corners((usize, usize)),
    /// The code is another page's; what it says, what was expected.
    OtherPage {
        /// What the code in the picture says.
        found: String,
        /// What the page's code says.
        expected: String,
    },
    /// Dots lie outside the picture.
    HalfAPage {
        /// Dots that are in the picture.
        inside: usize,
        /// Dots of the page.
        all: usize,
    },
    /// Dots are in the picture, but cannot be seen.
    DotsCovered {
        /// Dots that were found.
        found: usize,
        /// Dots of the page.
        all: usize,
    },
    /// The dots do not lie where a flat page has them; RMS in millimetres.
    NotFlat(f64),
    /// Too few pixels a millimetre everywhere.
    TooSmall(f64),
    /// Edges are too soft; their standard deviation in millimetres.
    Blurred {
        /// Along the softest direction.
        softest: f64,
        /// Across it.
        other: f64,
    },
    /// The paper's white clips; the share of it that does.
    Overexposed(f64),
    /// The paper is too dark: its white in linear light, 1 the lightest that a sample can be.
    Underexposed(f64),
    /// No paper is to be seen between the places.
    NoPaper,
    /// The edge of a shadow, or a reflection, lies across much of the page; the share of it.
    Shadow(f64),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::NotAPicture
            | Fault::TooLarge { .. }
            | Fault::CutShort
            | Fault::Damaged(_)
            | Fault::Kind(_)
            | Fault::Profile(_)
            | Fault::Corners(_) => self.of_file(f),
            Fault::NoCode => f.write_str("no square code of a page is to be seen"),
            Fault::Soft { softest, other } if *softest > 1.5 * other => {
                write!(f, "the camera moved: edges are {:.0} pixels wide one way", 2.56 * softest)
            }
            Fault::Soft { softest, .. } => {
                write!(
                    f,
                    "the picture is out of focus: edges are {:.0} pixels wide",
                    2.56 * softest
                )
            }
            Fault::FaintCode(pixels) => write!(
                f,
                "the page's square code cannot be read; it seems to be {pixels:.0} pixels wide"
            ),
            Fault::SeveralCodes(n) => {
                write!(f, "several sheets are in one photograph: {n} codes are to be seen")
            }
            Fault::OtherPage { found, expected } => {
                write!(f, "this is another page: its code says '{found}', not '{expected}'")
            }
            Fault::HalfAPage { inside, all } => {
                write!(f, "only a part of the page is in the picture: {inside} of {all} dots")
            }
            Fault::DotsCovered { found, all } => {
                write!(f, "only {found} of the page's {all} dots are to be seen")
            }
            Fault::NotFlat(rms) => {
                write!(f, "the page is not flat: its dots are {rms:.2} mm from where they belong")
            }
            Fault::TooSmall(scale) => {
                write!(f, "the page is too small in the picture: {scale:.1} pixels a millimetre")
            }
            Fault::Blurred { softest, other } if *softest > 1.7 * other => {
                write!(f, "the camera moved: edges are {:.2} mm wide one way", 2.56 * softest)
            }
            Fault::Blurred { softest, .. } => {
                write!(f, "the picture is out of focus: edges are {:.2} mm wide", 2.56 * softest)
            }
            Fault::Overexposed(share) => {
                write!(f, "the picture is too light: {:.0} % of the paper clips", 100.0 * share)
            }
            Fault::Underexposed(white) => {
                write!(f, "the picture is too dark: the paper reaches {:.0} %", 100.0 * white)
            }
            Fault::NoPaper => f.write_str("no bare paper is to be seen between the places"),
            Fault::Shadow(share) => write!(
                f,
                "shadows with edges, or reflections, lie on {:.0} % of the page",
                100.0 * share
            ),
        }
    }
}

impl std::error::Error for Fault {}

impl Fault {
    /// What is wrong with the file.
    fn of_file(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::NotAPicture => f.write_str("this is not a JPEG, PNG or TIFF picture"),
            Fault::TooLarge { megapixels, most } => {
                write!(f, "the picture has {megapixels:.0} megapixels; at most {most:.0} are read")
            }
            Fault::CutShort => f.write_str("the picture is incomplete: its file ends too early"),
            Fault::Damaged(why) => write!(f, "the picture is damaged: {why}"),
            Fault::Kind(kind) => write!(f, "{kind} cannot be read"),
            Fault::Corners((width, height)) => write!(
                f,
                "these are not the corners of a page in the picture of {width} x {height} pixels"
            ),
            Fault::Profile(why) => write!(f, "the picture's colour profile {why}"),
            _ => Ok(()),
        }
    }

    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Fault::NotAPicture | Fault::Kind(_) => {
                "save the photograph as JPEG, or as PNG or TIFF with 8 or 16 bits, in RGB"
            }
            Fault::TooLarge { .. } => "make the picture smaller; 12 to 24 megapixels are plenty",
            Fault::CutShort | Fault::Damaged(_) => "copy the photograph from the camera again",
            Fault::Profile(_) => "export the photograph with sRGB or another RGB profile embedded",
            Fault::FaintCode(pixels) if *pixels < 140.0 => {
                "go nearer until the page fills the picture"
            }
            Fault::NoCode | Fault::FaintCode(_) => {
                "show the whole page, sharp, with nothing on its square code"
            }
            Fault::SeveralCodes(_) => "photograph one page at a time",
            Fault::OtherPage { .. } => "give the photograph of this page",
            Fault::Corners(_) => {
                "give them in pixels from the top left corner of the picture as it is shown: top left, top right, bottom right, bottom left"
            }
            Fault::HalfAPage { .. } => "go farther away until all four corners are in the picture",
            Fault::DotsCovered { .. } => "take away what lies on the dots and between the places",
            Fault::NotFlat(_) => "lay the page flat, weigh its corners down outside the dots",
            Fault::TooSmall(_) => {
                "go nearer until the page fills the picture, or use a larger picture"
            }
            Fault::Blurred { .. } | Fault::Soft { .. } => {
                "rest the camera on something, focus on the page, give more light"
            }
            Fault::Overexposed(_) => "expose less, so that the paper is light but not white",
            Fault::Underexposed(_) => "expose more, or give more light",
            Fault::NoPaper => "leave the paper between the places free",
            Fault::Shadow(_) => {
                "use even light from two sides or an overcast sky, and stand out of it"
            }
        }
    }
}
