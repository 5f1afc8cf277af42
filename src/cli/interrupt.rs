//! The signals of the process: the first one asks the run to stop, a second one ends it at once.

use std::time::Duration;

use crate::edition::cancel::{MESSAGE, STOPPED};
use crate::session::Session;

/// How long a run has to end by itself: longer than any work between two checks, hardly noticeable to a person.
const GRACE: Duration = Duration::from_millis(100);

/// Listens for Ctrl-C and for the signal to end. The first one asks all work of a run to stop, and ends the
/// process where that takes too long; a second one ends it at once.
pub fn listen(session: &Session) {
    let session = session.clone();
    // A process has one handler.
    let _ = ctrlc::set_handler(move || {
        if session.stop().asked() {
            leave(&session);
        }
        session.stop().ask();
        let session = session.clone();
        std::thread::spawn(move || {
            std::thread::sleep(GRACE);
            leave(&session);
        });
    });
}

/// Ends the process: existing files are complete, and unfinished ones are removed.
fn leave(session: &Session) -> ! {
    let _none_begins = session.disk.drop_begun();
    // Nobody waits for more than the exit code.
    session.console.err(&format!("{MESSAGE}\n"));
    std::process::exit(STOPPED.into());
}
