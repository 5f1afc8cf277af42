//! Against published tables. Each file opens with its source.

mod ciede2000;
mod colour_names;
mod engine;
mod lengths;
pub mod lights;
mod papers;
mod primaries;
mod spellings;
mod vision;
