//! Was the work asked to stop? A handle that Ctrl-C sets and that long work asks.
//!
//! Work whose result will not be used once it is set may end early, with any
//! result; whoever writes files asks `edition::cancel` first.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Copies are one handle.
#[derive(Debug, Clone, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// From now on [`Stop::asked`] is true.
    pub fn ask(&self) {
        self.0.store(true, Ordering::SeqCst);
    }

    /// Was the work asked to stop?
    pub fn asked(&self) -> bool {
        self.0.load(Ordering::SeqCst)
    }
}
