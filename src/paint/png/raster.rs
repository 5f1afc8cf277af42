//! A picture to be written: its kind, its size, where it goes, and why it may come to nothing.

use std::io::{self, Seek, Write};

use super::frame::Frame;

/// What kind of file a picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    Png,
    /// Quality from 1 to 100.
    Jpeg {
        quality: u8,
    },
    Tiff,
}

/// Where a picture is written. Only a TIFF goes back, to its first bytes.
pub trait Place: Write + Seek + Send {}
impl<T: Write + Seek + Send + ?Sized> Place for T {}

/// One picture to be written.
pub struct Raster<'a> {
    pub form: Form,
    pub frame: Frame,
    pub out: &'a mut dyn Place,
}

/// The person at the keyboard wants to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cancelled;

/// Why a PNG was not finished.
#[derive(Debug)]
pub enum PngError {
    /// Writing failed.
    Io(io::Error),
    /// Stopped on request.
    Cancelled,
}

impl From<io::Error> for PngError {
    fn from(e: io::Error) -> PngError {
        PngError::Io(e)
    }
}

impl From<Cancelled> for PngError {
    fn from(_: Cancelled) -> PngError {
        PngError::Cancelled
    }
}

impl std::fmt::Display for PngError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            PngError::Io(e) => e.fmt(f),
            PngError::Cancelled => f.write_str("stopped"),
        }
    }
}

impl std::error::Error for PngError {}
