//! Ctrl-C and the signal to end: work stops at the next strip, file or round of a search, and leaves
//! nothing half-written.

use std::io::Write;
use std::time::Duration;

use super::disk;
use crate::paint::png::Cancelled;
use crate::stop;

/// Exit code of a run that was stopped (128 + SIGINT, common practice of shells, no source).
pub const STOPPED: u8 = 130;
/// How long a run has to end by itself: longer than any work between two checks, hardly noticeable to a person.
const GRACE: Duration = Duration::from_millis(100);

/// Listens for Ctrl-C and for the signal to end. The first one asks all work to stop, and ends the
/// program where that takes too long; a second one ends it at once.
pub fn listen() {
    // A second handler cannot be set; the first one serves as well.
    let _ = ctrlc::set_handler(|| {
        if stop::asked() {
            leave();
        }
        stop::ask();
        std::thread::spawn(|| {
            std::thread::sleep(GRACE);
            leave();
        });
    });
}

/// Ends the program: existing files are complete, and unfinished ones are removed.
fn leave() -> ! {
    let _none_begins = disk::drop_begun();
    // Nobody waits for more than the exit code.
    let _ = writeln!(std::io::stderr(), "{MESSAGE}");
    std::process::exit(STOPPED.into());
}

/// The message of a run that was stopped.
pub const MESSAGE: &str = "stopped; every file present is complete";

/// Was the program asked to stop?
///
/// # Errors
/// It was.
pub fn check() -> Result<(), Cancelled> {
    if stop::asked() { Err(Cancelled) } else { Ok(()) }
}
