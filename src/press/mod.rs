//! Colour on paper: what a print shows, and which values to print.

pub mod icc;
pub mod paper;
pub mod tune;

pub use paper::{Bytes, Carries, HouseIntent, Model, NoPaper, Paper};
pub use tune::{Tuned, tune};
