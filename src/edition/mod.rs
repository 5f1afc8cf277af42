//! Editions: the matrix of layouts and spellings, planned, drawn, and written
//! whole or not at all.

pub mod book;
pub mod cancel;
mod characters;
mod draw;
pub mod make;
pub mod manifest;
pub mod matrix;
pub mod named;
pub mod outputs;
pub mod progress;
mod refusal;
pub mod remarks;
pub mod reuse;
mod size;
mod target;
mod trouble;
pub mod unchanged;
pub mod write;

pub use make::{DrawOptions, ForPaper, Made, MakeError, MakeOptions, make};
pub use manifest::Manifest;
pub use matrix::{Entry, Filter, Matrix, Planned};
pub use named::{Named, found, is_file};
pub use remarks::remarks;
