//! From a photograph of a printed page to colours: decoding, the page's plane, its light, the flat
//! faces of the parts that lie on it, and what the camera does to colours.
//!
//! ```text
//! bytes | decode  -> Picture        samples, curves to linear light, matrix to XYZ
//!       | code    -> Found          which page, and where its code is
//!       | plane   -> Plane          every mark found, homography and radial distortion
//!       | light   -> Light          paper white all over the page, in linear light
//!       | face    -> Face           what a part's flat face sends back, paper white = 1
//!       | camera  -> Camera         from there to CIELAB (D50), by the colours that are known
//!       v readings                  a colour a place, with spread and error, or why there is none
//! ```

mod average;
mod bow;
mod camera;
mod chart;
mod code;
pub mod colours;
mod corners;
pub mod cut;
mod decode;
mod dots;
mod doubt;
mod face;
mod fault;
mod lab;
mod least;
mod lens;
mod light;
mod mask;
pub mod page;
mod picture;
mod plane;
mod quality;
mod readings;
mod sharpness;
mod soft;
mod spline;
mod steep;
mod white;

pub use average::average;
pub use camera::{Camera, Known, Model};
pub use chart::ChartSeen;
pub use code::{Found, find_code};
pub use corners::Corners;
pub use decode::{Limits, decode};
pub use doubt::Doubt;
pub use face::{Face, Scene};
pub use fault::Fault;
pub use lab::{Lab50, difference};
pub use lens::Lens;
pub use light::Light;
pub use page::{Chart, CodeMark, Ground, PartPlace, Patch, PrintPatch, Rect, StagePage};
pub use picture::Picture;
pub use plane::Plane;
pub use readings::{PageReadings, Reading, SeenPage, read, read_seen, see, see_corners};
pub use steep::Steep;
