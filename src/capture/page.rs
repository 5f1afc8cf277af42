//! The page that is photographed: what is printed on it, and where.
//!
//! All lengths in millimetres, from the page's top left corner, y downwards.

use serde::{Deserialize, Serialize};

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rect {
    /// Its left edge.
    pub left: f64,
    /// Its top edge.
    pub top: f64,
    /// To the right.
    pub width: f64,
    /// Downwards.
    pub height: f64,
}

impl Rect {
    /// Its middle.
    pub fn centre(&self) -> (f64, f64) {
        (self.left + self.width / 2.0, self.top + self.height / 2.0)
    }

    /// Whether a point lies in it, or less than `margin` outside.
    pub fn holds(&self, at: (f64, f64), margin: f64) -> bool {
        at.0 > self.left - margin
            && at.0 < self.left + self.width + margin
            && at.1 > self.top - margin
            && at.1 < self.top + self.height + margin
    }
}

/// One page to lay parts on and to photograph.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StagePage {
    /// Width and height.
    pub size: (f64, f64),
    /// The code that names the page.
    pub code: CodeMark,
    /// Centres of solid black dots.
    pub dots: Vec<(f64, f64)>,
    /// Their radius.
    pub dot_radius: f64,
    /// Printed neutral patches.
    pub patches: Vec<Patch>,
    /// Where parts lie.
    pub places: Vec<PartPlace>,
    /// A chart of reference colours that lies on the page.
    pub chart: Option<Chart>,
    /// What covers the paper besides: labels, for example.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub covered: Vec<Rect>,
    /// Patches of a print that is to be read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prints: Vec<PrintPatch>,
}

/// A patch of a print: a value, and where it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PrintPatch {
    /// What it is called in forms and files: 'A12', or '7.3' for the third patch around the seventh part.
    pub name: String,
    /// sRGB and a 0, or ink from 0 to 255 a channel, as it is sent to the printer.
    pub value: [u8; 4],
    /// The place of the part that it lies beside, by its index.
    pub beside: Option<usize>,
    /// What it covers.
    pub frame: Rect,
    /// Closed polygons of what is printed, filled by the even-odd rule.
    pub outline: Vec<Vec<(f64, f64)>>,
}

/// A chart of reference colours: patches in rows and columns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Chart {
    /// What all patches together cover.
    pub rect: Rect,
    /// Patches from left to right.
    pub columns: usize,
    /// CIELAB (D50, 2 degrees) of the patches, row by row from the top left.
    pub patches: Vec<[f64; 3]>,
}

impl Chart {
    /// Patches from top to bottom.
    pub fn rows(&self) -> usize {
        self.patches.len().div_ceil(self.columns.max(1))
    }

    /// What a patch covers, by its index.
    pub fn patch(&self, index: usize) -> Rect {
        let width = self.rect.width / self.columns.max(1) as f64;
        let height = self.rect.height / self.rows().max(1) as f64;
        let (column, row) = (index % self.columns.max(1), index / self.columns.max(1));
        let (left, top) = (width * column as f64, height * row as f64);
        Rect { left: self.rect.left + left, top: self.rect.top + top, width, height }
    }
}

/// The square QR code (ISO/IEC 18004) of a page, without its quiet zone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeMark {
    /// Its left edge.
    pub left: f64,
    /// Its top edge.
    pub top: f64,
    /// The length of its edges.
    pub side: f64,
    /// What it says.
    pub text: String,
}

impl CodeMark {
    /// What it covers.
    pub fn rect(&self) -> Rect {
        Rect { left: self.left, top: self.top, width: self.side, height: self.side }
    }
}

/// A printed neutral patch.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Patch {
    /// What it covers.
    pub rect: Rect,
    /// The sRGB byte of its grey, as it is sent to the printer.
    pub grey: u8,
}

/// What a part lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ground {
    /// The bare paper.
    White,
    /// sRGB 128.
    Grey,
    /// sRGB 26.
    Black,
    /// A print of the part's own colour.
    Print,
}

/// Where one part lies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartPlace {
    /// The part's key.
    pub part: String,
    /// The colour's key.
    pub colour: String,
    /// What is printed beside the place.
    pub number: String,
    /// The place's ground.
    pub frame: Rect,
    /// What the frame is filled with.
    pub ground: Ground,
    /// Closed polygons of the part as it lies, filled by the even-odd rule.
    pub outline: Vec<Vec<(f64, f64)>>,
    /// CIELAB (D50, 2 degrees) of the colour, where it is known.
    pub known: Option<[f64; 3]>,
    /// The outline is only a box around the part, of which there is no drawing.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub boxed: bool,
}
