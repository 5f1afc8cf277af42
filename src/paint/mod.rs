//! Painters: [`crate::sheet::Sheet`] in its colours, bytes out.
//!
//! Each painter reads the display list alone; points, pixels and the flipped
//! y axis of PDF exist only here.

pub mod fonts;
pub mod gradient;
pub mod images;
pub mod number;
pub mod pdf;
pub mod png;
mod srgb;
pub mod svg;

pub use self::pdf::{Condition, Press, pdf, pdf_with_cuts, press, press_with_cuts};
pub use self::pdf::{CutLine, Step};
pub use self::png::png;
pub use self::svg::svg;
