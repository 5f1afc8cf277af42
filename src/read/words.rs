//! Words of the file formats that the checked types keep.

use serde::{Deserialize, Serialize};

/// The side of the spine on which a part is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    Left,
    Right,
}

/// The order in which a sheet shows the colours of a family.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// As the range lists them.
    #[default]
    Listed,
    /// From light to dark.
    Lightness,
    /// Neutrals, then round the circle of hues.
    Hue,
    /// With the smallest steps from each to the next.
    Neighbours,
}

impl Order {
    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Order::Listed => "listed",
            Order::Lightness => "lightness",
            Order::Hue => "hue",
            Order::Neighbours => "neighbours",
        }
    }
}

/// May families appear in an order different from the sheet's?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FamilyOrder {
    /// In the order in which the sheet lists them, in every edition.
    #[default]
    Sheet,
    /// Neighbours may change places where the page comes out better.
    Any,
}

/// What an edition leaves everything else out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Only {
    /// Every part is drawn, whether there is a picture of it or not.
    Drawings,
}

/// A file kind that an edition comes out as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Format {
    Svg,
    Pdf,
    Png,
    Jpeg,
    Tiff,
}

impl Format {
    /// Every one.
    pub const ALL: [Format; 5] =
        [Format::Svg, Format::Pdf, Format::Png, Format::Jpeg, Format::Tiff];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Pdf => "pdf",
            Format::Png => "png",
            Format::Jpeg => "jpeg",
            Format::Tiff => "tiff",
        }
    }

    /// Is it made of pixels?
    pub fn is_picture(self) -> bool {
        matches!(self, Format::Png | Format::Jpeg | Format::Tiff)
    }
}

/// A paper that needs no profile.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PaperModel {
    Coated,
    SemiGloss,
    Matte,
}

impl PaperModel {
    /// Every one, from bright to dull.
    pub const ALL: [PaperModel; 3] = [PaperModel::Coated, PaperModel::SemiGloss, PaperModel::Matte];

    /// Its name on the command line and in file names.
    pub fn name(self) -> &'static str {
        match self {
            PaperModel::Coated => "coated",
            PaperModel::SemiGloss => "semi-gloss",
            PaperModel::Matte => "matte",
        }
    }
}

/// What a file for a paper colour_mode.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ColourMode {
    /// Ink values, for a press.
    Cmyk,
    /// sRGB, which the print house turns into ink.
    Srgb,
}

impl ColourMode {
    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            ColourMode::Cmyk => "cmyk",
            ColourMode::Srgb => "srgb",
        }
    }
}

/// How a print house turns sRGB into ink.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RenderingIntent {
    /// Relative colorimetric with black point compensation.
    #[default]
    Relative,
    Perceptual,
}
