//! Colour decisions on measured values: how far two colours are apart, and
//! what follows from it.
//!
//! CIELAB with the D50 white of ICC profiles everywhere; what is given for
//! another white was adapted (Bradford) before it comes here.

pub mod clusters;
pub mod difference;
pub mod lookalike;
pub mod order;
pub mod vision;

pub use difference::{Lab50, difference, from_rgb, to_rgb};
