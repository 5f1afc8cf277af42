//! What is still to be placed from a state on, and what it costs at least.

use super::price::least_white;
use super::state::State;
use super::task::Task;
use crate::plan::measure::Sized;
use crate::plan::score::SLACK;

/// What is still to be placed from a state on.
pub(super) struct Rest {
    /// Least and most quarters of all families from one on, by its place in the order.
    from: Vec<u32>,
    most: Vec<u32>,
    /// Least price of their ways.
    price: Vec<f64>,
    /// Quarters of a family's rows from one on: by place in the order, way and row.
    rows: Vec<Vec<Vec<u32>>>,
}

impl Rest {
    pub(super) fn new(task: &Task<'_>) -> Rest {
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
    pub(super) fn fits(&self, task: &Task<'_>, state: State, columns: usize) -> bool {
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
    pub(super) fn least_cost(&self, task: &Task<'_>, state: State, columns: usize) -> f64 {
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
