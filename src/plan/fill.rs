//! The exact programme at a fixed scale: families in order into page columns.
//!
//! State: (family, row, way). From every state a page column is filled to
//! every place where it may end; labels keep the cheapest cost for each total
//! width (Pareto), so that a wide block in one column can be paid for by
//! narrow ones in the others. No family splits around another, since the
//! order is fixed and the flow is contiguous.

use std::collections::BTreeMap;

use super::measure::{QUARTERS, Sized, SizedMenu};

/// Prices in the score; see [`super::score`].
pub const SPLIT: f64 = 0.06;
pub const SLACK: f64 = 2.0;
/// Quarters of white that a heading or the furniture can take up evenly.
const TAKEN: u32 = 10;
/// What a split between equal colours costs more than one at a leap without end.
const CLOSE_SPLIT: f64 = 0.02;
/// The step, CIEDE2000, at which half of that is left: closer colours are look-alikes.
const LEAP: f64 = 10.0;
/// What furniture costs that does not close the last page column.
pub const EARLY_FURNITURE: f64 = 0.004;
/// Least rows on each side of a split.
pub const LEAST_ROWS: usize = 8;
/// Least share of a family on each side of a split.
pub const LEAST_SHARE: f64 = 0.2;

/// One run of a family in a page column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// Index into the order given.
    pub family: usize,
    pub way: usize,
    pub from: usize,
    pub to: usize,
}

/// One page column.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledColumn {
    pub runs: Vec<Run>,
    /// Quarters used, headings and furniture included.
    pub used: u32,
    pub left: f64,
    pub centre: f64,
    pub right: f64,
    /// Quarters of the furniture, if it stands at its foot.
    pub furniture: Option<u32>,
}

impl FilledColumn {
    /// Least width, mm.
    pub fn width(&self) -> f64 {
        self.left + self.centre + self.right
    }
}

/// A whole arrangement.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    pub columns: Vec<FilledColumn>,
    pub cost: f64,
    pub splits: usize,
}

/// What is to be filled.
pub struct Task<'a> {
    pub menu: &'a SizedMenu,
    /// Families in the order tried: indices into `menu.families`.
    pub order: &'a [usize],
    /// What a split after each row costs, by family (by index); see [`split_prices`].
    pub splits_cost: &'a [Vec<f64>],
    /// Page columns on one page.
    pub columns: usize,
    /// Page columns on all pages; the last page may have fewer.
    pub total: usize,
    /// Quarters in a column.
    pub room: u32,
    /// Width for the columns of one page, gutters taken off, mm.
    pub width: f64,
    /// Height of the furniture if it stands in a column, quarters.
    pub furniture: Option<u32>,
    /// Give up above this cost.
    pub limit: f64,
    /// Splits allowed at most.
    pub splits: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    family: usize,
    row: usize,
    way: usize,
    furniture: bool,
}

#[derive(Debug, Clone)]
struct Label {
    cost: f64,
    width: f64,
    splits: usize,
    /// Index of the label before, in the column before.
    from: Option<usize>,
    column: FilledColumn,
    state: State,
}

/// Fills the page columns, or says that it cannot be done within the limit.
pub fn fill(task: &Task<'_>) -> Option<Filled> {
    let count = task.total;
    let start = State { family: 0, row: 0, way: 0, furniture: task.furniture.is_none() };
    let rest = Rest::new(task);
    let mut layers: Vec<Vec<Label>> = Vec::with_capacity(count);
    for c in 0..count {
        let mut next: BTreeMap<State, Vec<Label>> = BTreeMap::new();
        let fresh_page = c % task.columns == 0;
        let mut step = |from: Option<usize>, label: Option<&Label>| {
            let state = label.map_or(start, |l| l.state);
            let width = if fresh_page { 0.0 } else { label.map_or(0.0, |l| l.width) };
            let cost = label.map_or(0.0, |l| l.cost);
            let splits = label.map_or(0, |l| l.splits);
            let after = count - c - 1;
            let next = &mut next;
            Walk { task, rest: &rest, count, after, next, from, width, cost, splits }.column(state);
        };
        match layers.last() {
            None => step(None, None),
            Some(previous) => {
                for (i, label) in previous.iter().enumerate() {
                    step(Some(i), Some(label));
                }
            }
        }
        if next.is_empty() {
            return None;
        }
        layers.push(next.into_values().flatten().collect());
    }
    let best = layers
        .last()?
        .iter()
        .enumerate()
        .filter(|(_, l)| l.state.family == task.order.len() && l.state.furniture)
        .min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
    Some(trace(&layers, best.0))
}

fn trace(layers: &[Vec<Label>], last: usize) -> Filled {
    let end = &layers[layers.len() - 1][last];
    let (cost, splits) = (end.cost, end.splits);
    let mut columns = Vec::new();
    let mut at = Some(last);
    for layer in layers.iter().rev() {
        let Some(i) = at else { break };
        columns.push(layer[i].column.clone());
        at = layer[i].from;
    }
    columns.reverse();
    Filled { columns, cost, splits }
}

/// What is still to be placed from a state on, in its shortest ways.
struct Rest {
    /// Least quarters of all families from one on, by its place in the order.
    from: Vec<u32>,
    /// Quarters of a family's rows from one on: by place in the order, way and row.
    rows: Vec<Vec<Vec<u32>>>,
}

impl Rest {
    fn new(task: &Task<'_>) -> Rest {
        let suffix = |way: &Sized| {
            let mut sums = vec![0; way.rows.len() + 1];
            for row in (0..way.rows.len()).rev() {
                sums[row] = sums[row + 1] + way.rows[row];
            }
            sums
        };
        let families = || task.order.iter().map(|&f| &task.menu.families[f]);
        let rows: Vec<Vec<Vec<u32>>> =
            families().map(|ways| ways.iter().map(suffix).collect()).collect();
        let mut from = vec![0; rows.len() + 1];
        for family in (0..rows.len()).rev() {
            let least = rows[family].iter().map(|sums| sums[0]).min().unwrap_or(0);
            from[family] = from[family + 1] + least;
        }
        Rest { from, rows }
    }

    /// Can what is left from `state` on still stand in so many columns?
    fn fits(&self, task: &Task<'_>, state: &State, columns: usize) -> bool {
        let families = self.rows.len() - state.family;
        let mut needed = match state.row {
            0 => self.from[state.family],
            row => self.rows[state.family][state.way][row] + self.from[state.family + 1],
        };
        // Only the first block of a column has its heading for nothing.
        needed += families.saturating_sub(columns) as u32 * task.menu.head;
        if !state.furniture {
            needed = needed.saturating_add(task.furniture.unwrap_or(0));
        }
        u64::from(needed) <= columns as u64 * u64::from(task.room)
    }
}

/// Walks down one page column from a label.
struct Walk<'a, 'b> {
    task: &'a Task<'a>,
    rest: &'b Rest,
    count: usize,
    /// Columns that follow this one.
    after: usize,
    next: &'b mut BTreeMap<State, Vec<Label>>,
    from: Option<usize>,
    width: f64,
    cost: f64,
    splits: usize,
}

impl Walk<'_, '_> {
    fn column(&mut self, state: State) {
        let column = FilledColumn {
            runs: Vec::new(),
            used: 0,
            left: 0.0,
            centre: 0.0,
            right: 0.0,
            furniture: None,
        };
        if state.family == self.task.order.len() {
            // Only the furniture is left: it may have a column of its own.
            self.end(state, &column, 0.0);
            return;
        }
        self.family(state, column, 0.0);
    }

    /// Goes on with the family of `state`, in each of its ways.
    fn family(&mut self, state: State, column: FilledColumn, extra: f64) {
        let family = self.task.order[state.family];
        let ways = &self.task.menu.families[family];
        for (w, way) in ways.iter().enumerate() {
            if state.row > 0 && w != state.way {
                continue;
            }
            let start = if state.row == 0 { way.cost } else { 0.0 };
            self.rows(State { way: w, ..state }, way, column.clone(), extra + start);
        }
    }

    /// Adds rows one by one and ends the column wherever it may end.
    fn rows(&mut self, state: State, way: &Sized, mut column: FilledColumn, extra: f64) {
        column.left = column.left.max(way.left);
        column.centre = column.centre.max(way.centre);
        column.right = column.right.max(way.right);
        if self.width + column.width() > self.task.width + 1e-6 {
            return;
        }
        let family = self.task.order[state.family];
        let total = way.rows.len();
        let least = least_piece(total, self.task.room);
        column.runs.push(Run {
            family: state.family,
            way: state.way,
            from: state.row,
            to: state.row,
        });
        for row in state.row..total {
            column.used += way.rows[row];
            if column.used > self.task.room {
                return;
            }
            let done = row + 1;
            if let Some(run) = column.runs.last_mut() {
                run.to = done;
            }
            if done == total {
                break;
            }
            let may_split = done - state.row >= least && total - done >= least;
            if may_split && self.splits < self.task.splits {
                let price = self.task.splits_cost[family][row];
                self.end(State { row: done, ..state }, &column, extra + price);
            }
        }
        let after = State { family: state.family + 1, row: 0, way: 0, ..state };
        self.end(after, &column, extra);
        if after.family < self.task.order.len() {
            column.used += self.task.menu.head;
            if column.used < self.task.room {
                self.family(after, column, extra);
            }
        }
    }

    /// The column ends here, with or without the furniture at its foot.
    fn end(&mut self, state: State, column: &FilledColumn, extra: f64) {
        if !column.runs.is_empty() {
            self.keep(state, column, column.used, None, extra);
        }
        if state.furniture {
            return;
        }
        if let Some(height) = self.task.furniture
            && column.used.saturating_add(height) <= self.task.room
        {
            let used = column.used + height;
            let early = if self.after == 0 { 0.0 } else { EARLY_FURNITURE };
            self.keep(
                State { furniture: true, ..state },
                column,
                used,
                Some(height),
                extra + early,
            );
        }
    }

    fn keep(
        &mut self,
        state: State,
        column: &FilledColumn,
        used: u32,
        furniture: Option<u32>,
        extra: f64,
    ) {
        if !self.rest.fits(self.task, &state, self.after) {
            return;
        }
        let places = column.runs.len().saturating_sub(1) + usize::from(furniture.is_some());
        let slack = slack_cost(used, places, self.task.room) / self.count as f64;
        let cost = self.cost + extra + SLACK * slack;
        if cost >= self.task.limit {
            return;
        }
        let width = self.width + column.width();
        if width > self.task.width + 1e-6 {
            return;
        }
        let splits = self.splits + usize::from(state.row > 0);
        let labels = self.next.entry(state).or_default();
        if labels
            .iter()
            .any(|l| l.cost <= cost + 1e-12 && l.width <= width + 1e-9 && l.splits <= splits)
        {
            return;
        }
        labels.retain(|l| l.cost < cost || l.width < width - 1e-9 || l.splits < splits);
        let column = FilledColumn { used, furniture, ..column.clone() };
        labels.push(Label { cost, width, splits, from: self.from, column, state });
    }
}

/// What a split after each row but the last costs, by the steps in colour from
/// row to row (CIEDE2000): the wider the step, the less.
pub fn split_prices(steps: &[f64]) -> Vec<f64> {
    steps.iter().map(|step| SPLIT + CLOSE_SPLIT * LEAP / (LEAP + step)).collect()
}

/// Squared share of a column that stays empty. White that headings and
/// furniture take up evenly hurts less than white at the foot.
fn slack_cost(used: u32, places: usize, room: u32) -> f64 {
    let empty = room.saturating_sub(used);
    let taken = empty.min(TAKEN * places as u32);
    let weighed = f64::from(empty - taken) + 0.35 * f64::from(taken);
    (weighed / f64::from(room.max(1))).powi(2)
}

/// Least rows of a family on each side of a split: eight, or a fifth, but
/// never so many that a long family could not be split at all.
fn least_piece(rows: usize, room: u32) -> usize {
    let share = (rows as f64 * LEAST_SHARE).ceil() as usize;
    let third = (room / QUARTERS / 3) as usize;
    LEAST_ROWS.max(share.min(third))
}
