//! What a run of the program has for itself: nothing of it is the process's, so that runs side by side do not know of
//! each other.

use crate::console::Console;
use crate::disk::Disk;
use crate::files::Files;
use crate::limits::Limits;
use crate::stop::Stop;
use crate::work::Work;

/// One run, made by the command line or by a test. Copies are the same run.
#[derive(Debug, Clone, Default)]
pub struct Session {
    /// How much is read of one thing.
    pub limits: Limits,
    /// Where input is read from, and what was read.
    pub files: Files,
    /// Where results are written to.
    pub disk: Disk,
    /// What long searches count and ask.
    pub work: Work,
    /// Where results and messages are printed.
    pub console: Console,
}

impl Session {
    /// One that reads nothing but these files.
    pub fn of(files: Files) -> Session {
        Session { files, ..Session::default() }
    }

    /// What asks the run to stop.
    pub fn stop(&self) -> &Stop {
        &self.work.stop
    }
}
