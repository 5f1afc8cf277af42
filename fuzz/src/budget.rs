//! What one input may take: found out by counting, without waiting for a timeout.

use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Bytes that are in use at one time for an input: the limits of the program keep to hundreds of megabytes, and
/// inputs of some kilobytes need far less.
const MOST: usize = 64 << 20;

/// Runs an input within its budget.
pub fn kept(input: impl FnOnce() -> String) -> String {
    let before = MEMORY.current_usage();
    MEMORY.reset_peak_usage();
    let done = input();
    let taken = MEMORY.peak_usage().saturating_sub(before);
    assert!(taken <= MOST, "{} MB in use at one time", taken >> 20);
    done
}
