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
    /// Room where a chart of reference colours may lie.
    pub chart: Option<Rect>,
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
}
