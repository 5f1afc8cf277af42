//! Measured values of colours: from the files of instruments and from tables to readings with places.
//!
//! Three kinds of file: CGATS.17 ([`cgats`]), CxF 3 of ISO 17972 ([`cxf`]) and tables ([`rows`]). Each becomes a list
//! of samples, and [`settle`] makes readings of these: a spectrum where there is one, else CIELAB, else XYZ. Which
//! colours they are is decided by whoever knows the range.

mod cgats;
mod conditions;
mod cxf;
mod file;
mod rows;
mod sample;
mod settle;
mod source;
mod wavelengths;
mod write;

pub use file::{Asked, read};
pub use sample::{Reading, brief};
pub use write::{HEADINGS, MeasuredLine, csv};
