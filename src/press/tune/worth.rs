//! How good tuned values are.

use super::search::Search;

/// How good values are: less is better.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Worth {
    /// Are they farther from the aims on average than plain ones?
    pub over: bool,
    pub broken: usize,
    pub mean: f64,
}

impl Worth {
    pub(super) fn of(search: &Search<'_>, plain: f64) -> Worth {
        let mean = search.mean_off();
        Worth { over: mean > plain, broken: search.broken().len(), mean }
    }

    pub(super) fn is_good(self) -> bool {
        !self.over && self.broken == 0
    }
}
