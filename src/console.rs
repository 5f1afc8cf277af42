//! Where a run prints: to the streams of the process, or to memory.

use std::io::{self, IsTerminal, Write};
use std::sync::{Arc, Mutex, PoisonError};

/// Standard output and standard error of a run. Copies are one console.
#[derive(Debug, Clone, Default)]
pub struct Console(Option<Arc<Mutex<Printed>>>);

/// What was printed to memory.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Printed {
    pub out: String,
    pub err: String,
}

impl Console {
    /// One that keeps what is printed.
    pub fn in_memory() -> Console {
        Console(Some(Arc::default()))
    }

    /// What was printed so far, where it is kept.
    pub fn printed(&self) -> Printed {
        let kept = |p: &Arc<Mutex<Printed>>| lock(p).clone();
        self.0.as_ref().map(kept).unwrap_or_default()
    }

    /// Prints to standard output.
    ///
    /// # Errors
    /// Nobody listens, or those of the disk.
    pub fn out(&self, text: &str) -> io::Result<()> {
        if let Some(kept) = &self.0 {
            lock(kept).out += text;
            return Ok(());
        }
        let mut out = io::stdout().lock();
        out.write_all(text.as_bytes()).and_then(|()| out.flush())
    }

    /// Prints to standard error. If that fails, the exit code still reports the failure.
    pub fn err(&self, text: &str) {
        match &self.0 {
            Some(kept) => lock(kept).err += text,
            None => drop(io::stderr().lock().write_all(text.as_bytes())),
        }
    }

    /// Does somebody look at standard output?
    pub fn out_is_terminal(&self) -> bool {
        self.0.is_none() && io::stdout().is_terminal()
    }

    /// Does somebody look at standard error?
    pub fn err_is_terminal(&self) -> bool {
        self.0.is_none() && io::stderr().is_terminal()
    }
}

fn lock(kept: &Mutex<Printed>) -> std::sync::MutexGuard<'_, Printed> {
    kept.lock().unwrap_or_else(PoisonError::into_inner)
}
