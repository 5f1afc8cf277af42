//! Ctrl-C and the signal to end: work stops at the next strip, file or round of a search, and leaves
//! nothing half-written.

use crate::paint::png::Cancelled;
use crate::stop::Stop;

/// Exit code of a run that was stopped (128 + SIGINT, common practice of shells, no source).
pub const STOPPED: u8 = 130;

/// The message of a run that was stopped.
pub const MESSAGE: &str = "stopped; every file present is complete";

/// Was the run asked to stop?
///
/// # Errors
/// It was.
pub fn check(stop: &Stop) -> Result<(), Cancelled> {
    if stop.asked() { Err(Cancelled) } else { Ok(()) }
}
