//! Ctrl-C: work stops at the next strip or file, and leaves nothing half-written.

use crate::paint::png::Cancelled;
use crate::stop;

/// Listens for Ctrl-C and for the signal to end. Without it they end the program at once.
pub fn listen() {
    // A second handler cannot be set; the first one serves as well.
    let _ = ctrlc::set_handler(stop::ask);
}

/// Was the program asked to stop?
///
/// # Errors
/// It was.
pub fn check() -> Result<(), Cancelled> {
    if stop::asked() { Err(Cancelled) } else { Ok(()) }
}
