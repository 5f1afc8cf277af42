//! Walks down one page column from a state to every place where it may end.

use super::labels::Labels;
use super::price::{EARLY_FURNITURE, slack_cost};
use super::rest::Rest;
use super::state::{Column, Label, NONE, State};
use super::task::{Allowance, Task};
use crate::plan::measure::{QUARTERS, Sized};

/// Least rows on each side of a split.
const LEAST_ROWS: usize = 8;
/// Fewer rows than this look lost in a column, however few colours there are.
const FEWEST_ROWS: usize = 4;
/// Least share of a family on each side of a split.
const LEAST_SHARE: f64 = 0.2;

/// The run of a family in a page column.
pub(super) struct Step {
    pub(super) way: u32,
    /// The run before it: an index into [`Walk::ways`].
    pub(super) before: u32,
}

/// All that walking needs, and the labels that it comes to.
pub(super) struct Walk<'a, 'w, 'c> {
    pub(super) task: &'a Task<'a>,
    pub(super) allowed: &'w mut Allowance<'c>,
    pub(super) rest: Rest,
    /// Runs in columns.
    pub(super) ways: Vec<Step>,
    /// Of the column that is being filled.
    pub(super) labels: Labels,
}

impl<'a, 'w, 'c> Walk<'a, 'w, 'c> {
    pub(super) fn new(task: &'a Task<'a>, allowed: &'w mut Allowance<'c>) -> Walk<'a, 'w, 'c> {
        let (rest, labels) = (Rest::new(task), Labels::new(task));
        Walk { task, allowed, rest, ways: Vec::new(), labels }
    }

    /// Walks down one page column from a state.
    pub(super) fn column(&mut self, state: State, column: Column) {
        let column = Column { path: NONE, ..column };
        if state.family as usize == self.task.order.len() {
            // Only the furniture is left: it may have a column of its own.
            self.end(state, &column);
            return;
        }
        self.family(state, column);
    }

    /// Goes on with the family of `state`, in each of its ways.
    fn family(&mut self, state: State, column: Column) {
        let task = self.task;
        let ways = &task.menu.families[task.order[state.family as usize]];
        for (w, way) in ways.iter().enumerate() {
            if state.row > 0 && w != state.way as usize {
                continue;
            }
            let start = if state.row == 0 { way.cost } else { 0.0 };
            let state = State { way: w as u32, ..state };
            self.rows(state, way, Column { extra: column.extra + start, ..column });
        }
    }

    /// Adds rows one by one and ends the column wherever it may end.
    fn rows(&mut self, state: State, way: &Sized, mut column: Column) {
        column.left = column.left.max(way.left);
        column.centre = column.centre.max(way.centre);
        column.right = column.right.max(way.right);
        if column.page + column.width() > self.task.width + 1e-6 || self.allowed.is_spent() {
            return;
        }
        let family = self.task.order[state.family as usize];
        let (begin, total) = (state.row as usize, way.rows.len());
        let even = self.labels.rows() / self.task.total.max(1);
        let least = least_piece(total, self.task.room, even);
        self.ways.push(Step { way: state.way, before: column.path });
        column.path = self.ways.len() as u32 - 1;
        column.runs += 1;
        for row in begin..total {
            column.used += way.rows[row];
            if column.used > self.task.room {
                self.allowed.done += (row - begin) as u64;
                return;
            }
            let done = row + 1;
            if done == total {
                break;
            }
            let may_split = done - begin >= least && total - done >= least;
            if may_split && (column.splits as usize) < self.task.splits {
                let price = self.task.splits_cost[family][row];
                let extra = column.extra + price;
                self.end(State { row: done as u32, ..state }, &Column { extra, ..column });
            }
        }
        self.allowed.done += (total - begin) as u64;
        let after = State { family: state.family + 1, row: 0, way: 0, ..state };
        self.end(after, &column);
        if (after.family as usize) < self.task.order.len() {
            column.used += self.task.menu.head;
            if column.used < self.task.room {
                self.family(after, column);
            }
        }
    }

    /// The column ends here, with or without the furniture at its foot.
    fn end(&mut self, state: State, column: &Column) {
        if column.runs > 0 {
            self.keep(state, column, false);
        }
        if state.furniture {
            return;
        }
        if let Some(height) = self.task.furniture
            && column.used.saturating_add(height) <= self.task.room
            && self.is_outer_page(column)
        {
            let early = if column.after == 0 { 0.0 } else { EARLY_FURNITURE };
            let (used, extra) = (column.used + height, column.extra + early);
            self.keep(State { furniture: true, ..state }, &Column { used, extra, ..*column }, true);
        }
    }

    /// Is the column on the first page or the last? The key is looked for there.
    fn is_outer_page(&self, column: &Column) -> bool {
        let page = |column: usize| column / self.task.columns.max(1);
        let at = page(self.task.total - column.after - 1);
        at == 0 || at == page(self.task.total - 1)
    }

    fn keep(&mut self, state: State, column: &Column, furniture: bool) {
        let task = self.task;
        if !self.rest.fits(task, state, column.after) {
            return;
        }
        let places = column.runs.saturating_sub(1) + usize::from(furniture);
        let white = slack_cost(column.used, places, task.room);
        let cost = column.before + column.extra + white / task.total as f64;
        if cost >= task.limit {
            return;
        }
        let width = column.page + column.width();
        if width > task.width + 1e-6 {
            return;
        }
        // A hair is left for rounding: what could still come under the limit stays.
        if task.limit.is_finite()
            && cost + self.rest.least_cost(task, state, column.after) >= task.limit + 1e-9
        {
            return;
        }
        // On a new page no width is taken yet.
        let page_ends = (task.total - column.after).is_multiple_of(task.columns);
        let width = if page_ends { 0.0 } else { width };
        // Where any number of splits is allowed it does not matter how many there were.
        let splits = match task.splits {
            usize::MAX => 0,
            _ => column.splits + u32::from(state.row > 0),
        };
        let (from, path) = (column.from, column.path);
        self.labels.add(Label { cost, width, splits, from, path, state, furniture });
    }
}

/// Least rows of a family on each side of a split: eight, or a fifth, but
/// never so many that a long family could not be split at all, nor more than a
/// third of the rows of a column where there are few (`even` a column).
fn least_piece(rows: usize, room: u32, even: usize) -> usize {
    let share = (rows as f64 * LEAST_SHARE).ceil() as usize;
    let third = (room / QUARTERS / 3) as usize;
    LEAST_ROWS.min((even / 3).max(FEWEST_ROWS)).max(share.min(third))
}
