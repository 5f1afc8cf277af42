//! Files whose rows cannot be compressed apart: each is made on a thread of its own, which
//! takes strips as they come.

use std::io::{self, Write};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::{Scope, ScopedJoinHandle};

use super::frame::Frame;
use super::{Form, Place, jpeg, tiff};

/// Rows of RGB pixels.
pub type Rows = Arc<Vec<u8>>;

/// Strips that may wait for the thread.
const WAITING: usize = 2;

/// A file on its way.
pub struct Coder<'scope> {
    send: SyncSender<Rows>,
    thread: ScopedJoinHandle<'scope, io::Result<()>>,
}

impl<'scope> Coder<'scope> {
    /// Starts a file whose strips have `rows` rows each, the last one perhaps fewer.
    pub fn begin(
        scope: &'scope Scope<'scope, '_>,
        out: &'scope mut dyn Place,
        (form, frame): (Form, Frame),
        rows: u32,
    ) -> Coder<'scope> {
        let (send, strips) = sync_channel(WAITING);
        let thread = scope.spawn(move || match form {
            Form::Jpeg { quality } => jpeg::write(out, &frame, quality, strips),
            Form::Tiff | Form::Png => tiff::write(out, &frame, rows, strips),
        });
        Coder { send, thread }
    }

    /// Adds a strip.
    ///
    /// # Errors
    /// The file was abandoned; [`Coder::finish`] returns the reason.
    pub fn add(&self, rows: Rows) -> io::Result<()> {
        self.send.send(rows).map_err(|_| io::ErrorKind::BrokenPipe.into())
    }

    /// Waits for the end of the file.
    ///
    /// # Errors
    /// Those of the writer; or the file is not whole.
    pub fn finish(self) -> io::Result<()> {
        drop(self.send);
        self.thread.join().unwrap_or_else(|_| Err(io::Error::other("the coder failed")))
    }
}

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
