//! Proofs: a sheet as a paper would show it, and what that means in figures.
//!
//! ```text
//! Palette of the Sheet -> values in the file -> what an instrument measures -> sRGB:
//! the same Sheet in those colours, on the paper's own white
//! ```

mod beside;
mod list;
mod report;
mod seen;

pub use beside::side_by_side;
pub use report::pages;
pub use seen::seen;
