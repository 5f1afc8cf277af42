//! How much the searches of this thread have done, counted, so that tests and fuzz targets can hold it against
//! what they were given. The program itself never reads it.

use std::cell::Cell;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
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

thread_local! {
    static DONE: [Cell<u64>; KINDS] = const { [const { Cell::new(0) }; KINDS] };
}

/// Adds to a count.
pub fn add(kind: Kind, count: u64) {
    DONE.with(|done| {
        let own = &done[kind as usize];
        own.set(own.get().saturating_add(count));
    });
}

/// Runs some work; what it comes to, and how much of each kind was done for it on this thread.
pub fn counted<T>(work: impl FnOnce() -> T) -> (T, impl Fn(Kind) -> u64) {
    let counts = || DONE.with(|done| done.each_ref().map(Cell::get));
    let before = counts();
    let done = work();
    let after = counts();
    (done, move |kind| after[kind as usize] - before[kind as usize])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_those_of_the_work() {
        add(Kind::Pairs, 5);
        let (done, count) = counted(|| {
            add(Kind::Pairs, 2);
            add(Kind::Values, 3);
            "done"
        });
        assert_eq!((done, count(Kind::Pairs), count(Kind::Values)), ("done", 2, 3));
        assert_eq!(count(Kind::Rows), 0);
    }
}
