//! Was the program asked to stop? The one flag that Ctrl-C sets.
//!
//! Work whose result will not be used once it is set may end early, with any
//! result; whoever writes files asks `edition::cancel` first.

use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

/// From now on [`asked`] is true.
pub fn ask() {
    ASKED.store(true, Ordering::SeqCst);
}

/// Was the program asked to stop?
pub fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}
