//! From a photograph of a page to a picture of each part that lies on it, cut out along its outline.
//!
//! ```text
//! Scene, StagePage | eye      -> Eye         where the camera stood over the page
//! PartPlace        | patch    -> Patch       the place, flat, at the photograph's own resolution, paper white = 1
//!                  | segment  -> Segment     part or ground (with its shadow)
//!                  | trace    -> Traced      edges to a part of a pixel, the part's side taken off
//!                  | fit      -> Fit         the drawing laid on them, where there is one
//!                  | render   -> Image       straight alpha, edges free of ground, the face in its colour
//!                  v cut      -> CutOut      PNG, SVG
//! ```

mod contour;
mod doubt;
mod eye;
mod field;
mod fit;
mod heights;
mod name;
mod patch;
mod path;
mod pieces;
mod raster;
mod refine;
mod relief;
mod render;
mod segment;
mod silhouette;
mod spot;
mod together;
mod tone;
mod trace;
mod whole;
mod words;

pub use doubt::{Doubt, Fault};
pub use eye::Eye;
pub use fit::Fit;
pub use name::{file_name, shape_name};
pub use patch::Patch;
pub use path::{svg, to_curves};
pub use raster::coverage;
pub use render::Image;
pub use together::together;
pub use trace::{Traced, trace};
pub use whole::{CutOut, Order, Sight, cut, outline_of};

/// A point, in millimetres unless said otherwise.
pub type Point = (f64, f64);
/// A closed line.
pub type Polygon = Vec<Point>;
/// Closed lines, filled by the even-odd rule.
pub type Outline = Vec<Polygon>;
