//! The page that is photographed: all lengths in millimetres, origin at the page's top left, y down.

use serde::Serialize;

/// A closed line, in millimetres.
pub type Polygon = Vec<(f64, f64)>;

/// A rectangle, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rect {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

impl Rect {
    pub fn new(left: f64, top: f64, width: f64, height: f64) -> Self {
        Self { left, top, width, height }
    }

    pub fn centre(&self) -> (f64, f64) {
        (self.left + self.width / 2.0, self.top + self.height / 2.0)
    }

    /// The four corners, clockwise from the top left.
    pub fn corners(&self) -> [(f64, f64); 4] {
        let (right, bottom) = (self.left + self.width, self.top + self.height);
        [(self.left, self.top), (right, self.top), (right, bottom), (self.left, bottom)]
    }
}

/// The square code, with its quiet zone outside.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CodeMark {
    pub left: f64,
    pub top: f64,
    pub side: f64,
    pub text: String,
}

/// A printed neutral patch and its nominal sRGB byte.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Patch {
    pub rect: Rect,
    pub grey: u8,
}

/// What is printed under a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Ground {
    White,
    Grey,
    Black,
}

impl Ground {
    /// The nominal sRGB byte.
    pub fn grey(self) -> u8 {
        match self {
            Ground::White => 255,
            Ground::Grey => 128,
            Ground::Black => 26,
        }
    }
}

/// A place to lay one part on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartPlace {
    pub part: String,
    pub colour: String,
    pub number: String,
    pub frame: Rect,
    pub ground: Ground,
    pub outline: Vec<Polygon>,
    pub known: Option<[f64; 3]>,
}

/// One page to lay parts on and to photograph.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StagePage {
    pub size: (f64, f64),
    pub code: CodeMark,
    pub dots: Vec<(f64, f64)>,
    pub dot_radius: f64,
    pub patches: Vec<Patch>,
    pub places: Vec<PartPlace>,
    pub chart: Option<Rect>,
    /// Prints in colours: closed polygons, filled by the even-odd rule, and CIELAB.
    pub prints: Vec<(Vec<Polygon>, [f64; 3])>,
}
