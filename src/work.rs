//! What long searches are given: they count what they do, so that tests and fuzz targets can hold it against what they
//! were given, and end early once they are asked to stop. The program itself never reads the counts.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::stop::Stop;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkKind {
    /// Looks at a stretch of outline while curves are fitted to it.
    Fits,
    /// Edges of polygons that curves were fitted to.
    Smoothed,
    /// Corners of polygons that went into an offset or a boolean, or came out.
    Corners,
    /// Distances to an edge that the search for the widest place measured.
    Edges,
    /// Rows that the planner walked over.
    Rows,
    /// Changes to a path that were weighed.
    Moves,
    /// Pairs of colours that were compared.
    Pairs,
    /// Values that were tried for a paper.
    Values,
}

const KINDS: usize = 8;

/// The counts of some work, on all its threads, and its handle to stop. Copies count together.
#[derive(Debug, Clone, Default)]
pub struct Work {
    /// What asks it to stop.
    pub stop: Stop,
    done: Arc<[AtomicU64; KINDS]>,
}

impl Work {
    /// Work that a handle stops.
    pub fn stopped_by(stop: Stop) -> Work {
        Work { stop, ..Work::default() }
    }

    /// Adds to a count.
    pub fn add(&self, kind: WorkKind, count: u64) {
        self.done[kind as usize].fetch_add(count, Ordering::Relaxed);
    }

    /// How much of a kind was done.
    pub fn done(&self, kind: WorkKind) -> u64 {
        self.done[kind as usize].load(Ordering::Relaxed)
    }

    /// Runs a part of the work; what it comes to, and how much of each kind was done meanwhile.
    pub fn counted<T>(&self, part: impl FnOnce() -> T) -> (T, impl Fn(WorkKind) -> u64) {
        let counts = || self.done.each_ref().map(|count| count.load(Ordering::Relaxed));
        let before = counts();
        let done = part();
        let after = counts();
        (done, move |kind| after[kind as usize] - before[kind as usize])
    }

    /// Is there no need to go on?
    pub fn is_stopped(&self) -> bool {
        self.stop.asked()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_those_of_one_work_and_of_all_its_threads() {
        let (work, other) = (Work::default(), Work::default());
        other.add(WorkKind::Pairs, 5);
        std::thread::scope(|threads| {
            for _ in 0..2 {
                let work = work.clone();
                threads.spawn(move || work.add(WorkKind::Pairs, 2));
            }
        });
        work.add(WorkKind::Values, 3);
        assert_eq!(
            [WorkKind::Pairs, WorkKind::Values, WorkKind::Rows].map(|k| work.done(k)),
            [4, 3, 0]
        );
        let (done, count) = work.counted(|| {
            work.add(WorkKind::Rows, 5);
            "done"
        });
        assert_eq!((done, count(WorkKind::Rows), count(WorkKind::Pairs)), ("done", 5, 0));
        work.clone().stop.ask();
        assert!(work.is_stopped() && !other.is_stopped());
    }
}
