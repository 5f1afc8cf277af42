//! Against published tables. Each file opens with its source.

mod colour_names;
mod engine;
mod lengths;
mod papers;
mod primaries;
mod spellings;
