//! The labels of the page column that is being filled, by state.

use super::state::{Label, State};
use super::task::Task;

/// For each state the labels that no other undercuts in cost, width and splits.
pub(super) struct Labels {
    /// By place; see [`Labels::place`].
    by_place: Vec<Vec<Label>>,
    /// Places that have labels.
    touched: Vec<usize>,
    /// Place of the first row of each family, in rows, and of the end.
    starts: Vec<usize>,
    most_ways: usize,
}

impl Labels {
    pub(super) fn new(task: &Task<'_>) -> Labels {
        let families = || task.order.iter().map(|&f| &task.menu.families[f]);
        let mut starts = vec![0];
        for ways in families() {
            starts.push(starts[starts.len() - 1] + ways.first().map_or(0, |w| w.rows.len()));
        }
        let most_ways = families().map(Vec::len).max().unwrap_or(1).max(1);
        let places = (starts[starts.len() - 1] + 1) * most_ways * 2;
        Labels { by_place: vec![Vec::new(); places], touched: Vec::new(), starts, most_ways }
    }

    /// Rows of all families.
    pub(super) fn rows(&self) -> usize {
        self.starts[self.starts.len() - 1]
    }

    /// Where the labels of a state are: by family, row, way and furniture.
    fn place(&self, state: State) -> usize {
        let row = self.starts[state.family as usize] + state.row as usize;
        (row * self.most_ways + state.way as usize) * 2 + usize::from(state.furniture)
    }

    /// Adds a label, unless another undercuts it, and drops those that it undercuts.
    pub(super) fn add(&mut self, label: Label) {
        let Label { cost, width, splits, .. } = label;
        let place = self.place(label.state);
        let labels = &mut self.by_place[place];
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
        labels.push(label);
    }

    /// Takes all labels out, in the order of their states.
    pub(super) fn take(&mut self) -> Vec<Label> {
        self.touched.sort_unstable();
        let mut out = Vec::with_capacity(self.touched.len());
        for &place in &self.touched {
            out.append(&mut self.by_place[place]);
        }
        self.touched.clear();
        out
    }
}
