//! The exact programme at a fixed scale: families in order into page columns.
//!
//! State: (family, row, way). From every state a page column is filled to
//! every place where it may end; labels keep the cheapest cost for each total
//! width (Pareto), so that a wide block in one column can be paid for by
//! narrow ones in the others. No family splits around another, since the
//! order is fixed and the flow is contiguous.

use super::measure::{QUARTERS, Sized, SizedMenu};
use crate::work::{Kind, Work};

/// Prices in the score; see [`super::score`].
pub const SPLIT: f64 = 0.06;
pub const SLACK: f64 = 2.0;
/// Quarters of white that a heading or the furniture can take up evenly: more
/// would be a hole in the column.
const TAKEN: u32 = 5;
/// Price of the share of a column that is a hole.
const HOLE: f64 = 1.6;
/// What a quarter that is taken up so costs beside one at the foot.
const LIGHT: f64 = 0.35;
/// What a split between equal colours costs more than one at a leap without end.
const CLOSE_SPLIT: f64 = 0.02;
/// The step, CIEDE2000, at which half of that is left: closer colours are look-alikes.
const LEAP: f64 = 10.0;
/// What furniture costs that does not close the last page column.
pub const EARLY_FURNITURE: f64 = 0.004;
/// Least rows on each side of a split.
pub const LEAST_ROWS: usize = 8;
/// Fewer rows than this look lost in a column, however few colours there are.
pub const FEWEST_ROWS: usize = 4;
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
    /// Quarters of the furniture, if it is at its foot.
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
    /// Height of the furniture if it is in a column, quarters.
    pub furniture: Option<u32>,
    /// Give up above this cost.
    pub limit: f64,
    /// Splits allowed at most.
    pub splits: usize,
}

/// How much was done, in rows walked over: the same on every machine.
#[derive(Debug, Clone, Copy)]
pub struct Allowance<'w> {
    pub done: u64,
    /// When to give up.
    pub most: u64,
    /// Is only the best kept of each page column? Else the result is exact.
    pub thinned: bool,
    /// What all rows are counted with, and asked.
    pub work: &'w Work,
}

impl Allowance<'_> {
    /// So much for an exact result.
    pub fn exact(most: u64, work: &Work) -> Allowance<'_> {
        Allowance { done: 0, most, thinned: false, work }
    }

    /// Nothing more may be done, or nobody waits for it.
    pub fn is_spent(&self) -> bool {
        self.done >= self.most || self.work.is_stopped()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct State {
    family: u32,
    row: u32,
    way: u32,
    furniture: bool,
}

/// Labels of a page column that are gone on from where the work is bounded.
const BEAM: usize = 40;

/// Where a label has no label, or no run, before it.
const NONE: u32 = u32::MAX;

#[derive(Debug, Clone, Copy)]
struct Label {
    cost: f64,
    width: f64,
    splits: u32,
    /// Index of the label before, in the column before.
    from: u32,
    /// The last run of the column: an index into [`Programme::ways`].
    path: u32,
    state: State,
    /// The furniture is at the foot of this column.
    furniture: bool,
}

/// Fills the page columns, or reports that it is impossible within the limit.
pub fn fill(task: &Task<'_>) -> Option<Filled> {
    let work = Work::default();
    fill_within(task, &mut Allowance::exact(u64::MAX, &work))
}

/// The same, but gives up when the work is spent.
pub fn fill_within(task: &Task<'_>, allowed: &mut Allowance<'_>) -> Option<Filled> {
    let before = allowed.done;
    let filled = Programme::new(task, allowed).solve();
    allowed.work.add(Kind::Rows, allowed.done - before);
    filled
}

struct Programme<'a, 'w, 'c> {
    task: &'a Task<'a>,
    allowed: &'w mut Allowance<'c>,
    rest: Rest,
    /// Ways of the runs in a column: the way, and the run before it.
    ways: Vec<(u32, u32)>,
    /// The labels of the column being filled, by place; see [`Programme::place`].
    next: Vec<Vec<Label>>,
    /// Places in `next` that have labels.
    touched: Vec<usize>,
    /// Place of the first row of each family, in rows.
    starts: Vec<usize>,
    most_ways: usize,
}

impl<'a, 'w, 'c> Programme<'a, 'w, 'c> {
    fn new(task: &'a Task<'a>, allowed: &'w mut Allowance<'c>) -> Programme<'a, 'w, 'c> {
        let families = || task.order.iter().map(|&f| &task.menu.families[f]);
        let mut starts = vec![0];
        for ways in families() {
            starts.push(starts[starts.len() - 1] + ways.first().map_or(0, |w| w.rows.len()));
        }
        let most_ways = families().map(Vec::len).max().unwrap_or(1).max(1);
        let places = (starts[starts.len() - 1] + 1) * most_ways * 2;
        Programme {
            task,
            allowed,
            rest: Rest::new(task),
            ways: Vec::new(),
            next: vec![Vec::new(); places],
            touched: Vec::new(),
            starts,
            most_ways,
        }
    }

    /// Where the labels of a state are: by family, row, way and furniture.
    fn place(&self, state: State) -> usize {
        let row = self.starts[state.family as usize] + state.row as usize;
        (row * self.most_ways + state.way as usize) * 2 + usize::from(state.furniture)
    }

    fn solve(mut self) -> Option<Filled> {
        let count = self.task.total;
        let furniture = self.task.furniture.is_none();
        let start = State { family: 0, row: 0, way: 0, furniture };
        let mut layers: Vec<Vec<Label>> = Vec::with_capacity(count);
        for column in 0..count {
            let fresh_page = column % self.task.columns == 0;
            let begin = Column { after: count - column - 1, ..Column::default() };
            match layers.last() {
                None => self.walk(start, begin),
                Some(previous) => {
                    for (i, label) in previous.iter().enumerate() {
                        if self.allowed.is_spent() {
                            return None;
                        }
                        let column = Column {
                            from: i as u32,
                            page: if fresh_page { 0.0 } else { label.width },
                            before: label.cost,
                            splits: label.splits,
                            ..begin
                        };
                        self.walk(label.state, column);
                    }
                }
            }
            if self.touched.is_empty() || self.allowed.is_spent() {
                return None;
            }
            self.touched.sort_unstable();
            let mut layer = Vec::with_capacity(self.touched.len());
            for &place in &self.touched {
                layer.append(&mut self.next[place]);
            }
            self.touched.clear();
            if self.allowed.thinned {
                self.thin(&mut layer, count - column - 1);
            }
            layers.push(layer);
        }
        let ends = layers.last()?.iter().enumerate();
        let best = ends
            .filter(|(_, l)| l.state.family as usize == self.task.order.len() && l.state.furniture)
            .min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
        Some(self.trace(&layers, start, best.0))
    }

    /// Keeps the labels that can still come to least, where the work is bounded:
    /// else what is kept of a column grows with the columns before it.
    fn thin(&self, layer: &mut Vec<Label>, after: usize) {
        if layer.len() <= BEAM {
            return;
        }
        let price = |l: &Label| l.cost + self.rest.least_cost(self.task, l.state, after);
        let mut priced: Vec<(f64, usize)> =
            layer.iter().enumerate().map(|(i, l)| (price(l), i)).collect();
        priced.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut kept: Vec<usize> = priced[..BEAM].iter().map(|(_, i)| *i).collect();
        kept.sort_unstable();
        *layer = kept.into_iter().map(|i| layer[i]).collect();
    }

    /// Reads the arrangement back from its last label.
    fn trace(&self, layers: &[Vec<Label>], start: State, last: usize) -> Filled {
        let cost = layers[layers.len() - 1][last].cost;
        let (mut columns, mut splits) = (Vec::with_capacity(layers.len()), 0);
        let mut at = last;
        for (i, layer) in layers.iter().enumerate().rev() {
            let label = &layer[at];
            let begun = match i.checked_sub(1) {
                Some(before) => layers[before][label.from as usize].state,
                None => start,
            };
            columns.push(self.column(begun, label));
            splits += usize::from(label.state.row > 0);
            at = label.from as usize;
        }
        columns.reverse();
        Filled { columns, cost, splits }
    }

    /// The column that led from a state to a label.
    fn column(&self, begun: State, label: &Label) -> FilledColumn {
        let furniture = self.task.furniture.filter(|_| label.furniture);
        let mut column = FilledColumn {
            runs: Vec::new(),
            used: furniture.unwrap_or(0),
            left: 0.0,
            centre: 0.0,
            right: 0.0,
            furniture,
        };
        // The runs from the last to the first.
        let mut to = label.state.row as usize;
        let mut family = label.state.family as usize;
        let mut path = label.path;
        while path != NONE {
            let (way, before) = self.ways[path as usize];
            if to == 0 {
                family -= 1;
            }
            let sized = &self.task.menu.families[self.task.order[family]][way as usize];
            if to == 0 {
                to = sized.rows.len();
            }
            let from = if family == begun.family as usize { begun.row as usize } else { 0 };
            column.used += sized.rows[from..to].iter().sum::<u32>();
            column.left = column.left.max(sized.left);
            column.centre = column.centre.max(sized.centre);
            column.right = column.right.max(sized.right);
            column.runs.push(Run { family, way: way as usize, from, to });
            to = 0;
            path = before;
        }
        column.runs.reverse();
        column.used += column.runs.len().saturating_sub(1) as u32 * self.task.menu.head;
        column
    }
}

/// What is still to be placed from a state on.
struct Rest {
    /// Least and most quarters of all families from one on, by its place in the order.
    from: Vec<u32>,
    most: Vec<u32>,
    /// Least price of their ways.
    price: Vec<f64>,
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
        let count = rows.len();
        let (mut from, mut most) = (vec![0; count + 1], vec![0; count + 1]);
        let mut price = vec![0.0; count + 1];
        for (family, ways) in families().enumerate().collect::<Vec<_>>().into_iter().rev() {
            let sums = || rows[family].iter().map(|sums| sums[0]);
            from[family] = from[family + 1] + sums().min().unwrap_or(0);
            most[family] = most[family + 1] + sums().max().unwrap_or(0);
            let least = ways.iter().map(|w| w.cost).fold(f64::INFINITY, f64::min);
            price[family] = price[family + 1] + if least.is_finite() { least } else { 0.0 };
        }
        Rest { from, most, price, rows }
    }

    /// Quarters left from `state` on, of the families that follow in `of`.
    fn left(&self, state: State, of: &[u32]) -> u32 {
        let family = state.family as usize;
        match state.row {
            0 => of[family],
            row => self.rows[family][state.way as usize][row as usize] + of[family + 1],
        }
    }

    /// Does what is left from `state` on still fit in so many columns?
    fn fits(&self, task: &Task<'_>, state: State, columns: usize) -> bool {
        let families = self.rows.len() - state.family as usize;
        let mut needed = self.left(state, &self.from);
        // Only the first block of a column has its heading for nothing.
        needed += families.saturating_sub(columns) as u32 * task.menu.head;
        if !state.furniture {
            needed = needed.saturating_add(task.furniture.unwrap_or(0));
        }
        u64::from(needed) <= columns as u64 * u64::from(task.room)
    }

    /// The least that what is left from `state` on can cost in so many columns:
    /// its ways, and the white that nothing can fill, spread evenly.
    fn least_cost(&self, task: &Task<'_>, state: State, columns: usize) -> f64 {
        let family = state.family as usize;
        let price = self.price[(family + usize::from(state.row > 0)).min(self.rows.len())];
        let heads = (self.rows.len() - family).saturating_sub(1) as u32;
        let places = heads + u32::from(!state.furniture);
        let furniture = if state.furniture { 0 } else { task.furniture.unwrap_or(0) };
        let most = u64::from(self.left(state, &self.most))
            + u64::from(heads * task.menu.head)
            + u64::from(furniture);
        let all = columns as u64 * u64::from(task.room);
        let share = columns as f64 / task.total as f64;
        price + SLACK * least_white(all, most, places).powi(2) * share
    }
}

/// Least share of `all` quarters that counts as white where at most `most` are
/// used, and where white can go to so many headings and pieces of furniture.
fn least_white(all: u64, most: u64, places: u32) -> f64 {
    let empty = all.saturating_sub(most) as f64;
    let white = (empty * LIGHT).max(empty - (1.0 - LIGHT) * f64::from(TAKEN * places));
    white.max(0.0) / all.max(1) as f64
}

/// The least that the families can cost in so many columns of this room, with
/// the furniture in a column or not: the white that nothing can fill, spread evenly.
pub fn least_slack(menu: &SizedMenu, columns: usize, room: u32, furniture: Option<u32>) -> f64 {
    let rows: u64 = menu
        .families
        .iter()
        .map(|ways| ways.iter().map(Sized::height).max())
        .map(|h| u64::from(h.unwrap_or(0)))
        .sum();
    let heads = menu.families.len().saturating_sub(1) as u32;
    let most = rows + u64::from(heads * menu.head) + u64::from(furniture.unwrap_or(0));
    let places = heads + u32::from(furniture.is_some());
    SLACK * least_white(columns as u64 * u64::from(room), most, places).powi(2)
}

/// A page column while it is walked down.
#[derive(Debug, Clone, Copy, Default)]
struct Column {
    /// The label that it goes on from, and what that had come to.
    from: u32,
    page: f64,
    before: f64,
    splits: u32,
    /// Columns that follow this one.
    after: usize,
    used: u32,
    left: f64,
    centre: f64,
    right: f64,
    runs: usize,
    path: u32,
    /// Price of the ways and splits in it.
    extra: f64,
}

impl Column {
    fn width(&self) -> f64 {
        self.left + self.centre + self.right
    }
}

impl Programme<'_, '_, '_> {
    /// Walks down one page column from a state.
    fn walk(&mut self, state: State, column: Column) {
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
        let rows = self.starts[self.starts.len() - 1];
        let least = least_piece(total, self.task.room, rows / self.task.total.max(1));
        self.ways.push((state.way, column.path));
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
        let place = self.place(state);
        let labels = &mut self.next[place];
        if labels
            .iter()
            .any(|l| l.cost <= cost + 1e-12 && l.width <= width + 1e-9 && l.splits <= splits)
        {
            return;
        }
        if labels.is_empty() {
            self.touched.push(place);
        }
        labels.retain(|l| l.cost < cost || l.width < width - 1e-9 || l.splits < splits);
        let (from, path) = (column.from, column.path);
        labels.push(Label { cost, width, splits, from, path, state, furniture });
    }
}

/// What a split after each row but the last costs, by the steps in colour from
/// row to row (CIEDE2000): the wider the step, the less.
pub fn split_prices(steps: &[f64]) -> Vec<f64> {
    steps.iter().map(|step| SPLIT + CLOSE_SPLIT * LEAP / (LEAP + step)).collect()
}

/// Price of what stays empty of a column: its squared share, white that headings
/// and furniture take up evenly counted lightly, and a hole between blocks by
/// its own share. White at the foot of a column that has no place for it is
/// no hole: columns may end early.
fn slack_cost(used: u32, places: usize, room: u32) -> f64 {
    let empty = room.saturating_sub(used);
    let taken = empty.min(TAKEN * places as u32);
    let weighed = f64::from(empty - taken) + LIGHT * f64::from(taken);
    let share = |quarters: f64| quarters / f64::from(room.max(1));
    let hole = if places > 0 { HOLE * share(f64::from(empty - taken)) } else { 0.0 };
    SLACK * share(weighed).powi(2) + hole
}

/// Least rows of a family on each side of a split: eight, or a fifth, but
/// never so many that a long family could not be split at all, nor more than a
/// third of the rows of a column where there are few (`even` a column).
fn least_piece(rows: usize, room: u32, even: usize) -> usize {
    let share = (rows as f64 * LEAST_SHARE).ceil() as usize;
    let third = (room / QUARTERS / 3) as usize;
    LEAST_ROWS.min((even / 3).max(FEWEST_ROWS)).max(share.min(third))
}
