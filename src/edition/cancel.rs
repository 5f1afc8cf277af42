//! Ctrl-C: work stops at the next strip or file, and leaves nothing half-written.

use std::sync::atomic::{AtomicBool, Ordering};

use crate::paint::png::Cancelled;

static STOP: AtomicBool = AtomicBool::new(false);

/// Listens for Ctrl-C and for the signal to end. Without it they end the program at once.
pub fn listen() {
    // A second handler cannot be set; the first one serves as well.
    let _ = ctrlc::set_handler(|| STOP.store(true, Ordering::SeqCst));
}

/// Was the program asked to stop?
///
/// # Errors
/// It was.
pub fn check() -> Result<(), Cancelled> {
    if STOP.load(Ordering::SeqCst) { Err(Cancelled) } else { Ok(()) }
}
