//! Editions: layouts with their spellings, planned, drawn, and written
//! whole or not at all.

pub mod book;
pub mod cancel;
mod characters;
mod draw;
pub mod editions;
pub mod error;
pub mod faulty;
pub mod filter;
pub mod make;
pub mod manifest;
pub mod named;
pub mod options;
pub mod outputs;
mod owner;
pub mod planned;
pub mod progress;
pub mod refusal;
pub mod remarks;
pub mod reuse;
mod size;
mod target;
mod trouble;
pub mod unchanged;
pub mod variant;
pub mod write;

pub use editions::Editions;
pub use error::MakeError;
pub use filter::Filter;
pub use make::{MadeFiles, make};
pub use manifest::Manifest;
pub use named::{Named, found, is_file};
pub use options::{DrawOptions, ForPaper, MakeOptions};
pub use planned::{Planned, PlannedEdition};
pub use remarks::remarks;
pub use variant::{Edition, Variant};
