//! Files whose rows cannot be compressed apart: each is made on a thread of its own, which
//! takes strips as they come.

use std::io::{self, Write};
use std::sync::Arc;
use std::sync::mpsc::Receiver;

use super::raster::Place;
use crate::parallel::Fed;

/// Rows of RGB pixels.
pub type Rows = Arc<Vec<u8>>;

/// Strips that may wait for the thread.
pub const WAITING: usize = 2;

/// A file on its way.
pub type Coder<'scope> = Fed<'scope, Rows>;

/// The next strip.
///
/// # Errors
/// No more will come, though the file is not whole.
pub fn next(strips: &Receiver<Rows>) -> io::Result<Rows> {
    strips.recv().map_err(|_| io::Error::other("given up"))
}

/// What a coder writes to: fails once the file has been given up.
pub struct Gated<'a, F: Fn() -> bool> {
    pub out: &'a mut dyn Place,
    pub given_up: F,
}

impl<F: Fn() -> bool> Write for Gated<'_, F> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        if (self.given_up)() {
            return Err(io::Error::other("given up"));
        }
        self.out.write(buffer)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}
