//! The programme over all page columns, and the arrangement that it comes to.

use super::state::{Column, Label, NONE, State};
use super::task::{Allowance, Filled, FilledColumn, Run, Task};
use super::walk::Walk;

/// Labels of a page column that are gone on from where the work is bounded.
const BEAM: usize = 40;

/// The cheapest arrangement, unless there is none within the limit or the work.
pub(super) fn solve(task: &Task<'_>, allowed: &mut Allowance<'_>) -> Option<Filled> {
    let furniture = task.furniture.is_none();
    let start = State { family: 0, row: 0, way: 0, furniture };
    let mut walk = Walk::new(task, allowed);
    let mut layers: Vec<Vec<Label>> = Vec::with_capacity(task.total);
    for column in 0..task.total {
        let layer = next_layer(&mut walk, start, layers.last().map(Vec::as_slice), column)?;
        layers.push(layer);
    }
    let ends = layers.last()?.iter().enumerate();
    let best = ends
        .filter(|(_, l)| l.state.family as usize == task.order.len() && l.state.furniture)
        .min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
    Some(Trace { walk: &walk, layers: &layers, start }.arrangement(best.0))
}

/// The labels of a page column, from those of the one before it.
fn next_layer(
    walk: &mut Walk<'_, '_, '_>,
    start: State,
    previous: Option<&[Label]>,
    column: usize,
) -> Option<Vec<Label>> {
    let task = walk.task;
    let after = task.total - column - 1;
    let begin = Column { after, ..Column::default() };
    let fresh_page = column.is_multiple_of(task.columns);
    match previous {
        None => walk.column(start, begin),
        Some(previous) => {
            for (i, label) in previous.iter().enumerate() {
                if walk.allowed.is_spent() {
                    return None;
                }
                let column = Column {
                    from: i as u32,
                    page: if fresh_page { 0.0 } else { label.width },
                    before: label.cost,
                    splits: label.splits,
                    ..begin
                };
                walk.column(label.state, column);
            }
        }
    }
    let mut layer = walk.labels.take();
    if layer.is_empty() || walk.allowed.is_spent() {
        return None;
    }
    if walk.allowed.thinned {
        thin(walk, &mut layer, after);
    }
    Some(layer)
}

/// Keeps the labels that can still come to least, where the work is bounded:
/// else what is kept of a column grows with the columns before it.
fn thin(walk: &Walk<'_, '_, '_>, layer: &mut Vec<Label>, after: usize) {
    if layer.len() <= BEAM {
        return;
    }
    let price = |l: &Label| l.cost + walk.rest.least_cost(walk.task, l.state, after);
    let mut priced: Vec<(f64, usize)> =
        layer.iter().enumerate().map(|(i, l)| (price(l), i)).collect();
    priced.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut kept: Vec<usize> = priced[..BEAM].iter().map(|(_, i)| *i).collect();
    kept.sort_unstable();
    *layer = kept.into_iter().map(|i| layer[i]).collect();
}

/// Reads an arrangement back from its last label.
struct Trace<'a, 't, 'w, 'c> {
    walk: &'a Walk<'t, 'w, 'c>,
    /// The labels of each page column.
    layers: &'a [Vec<Label>],
    start: State,
}

impl Trace<'_, '_, '_, '_> {
    fn arrangement(&self, last: usize) -> Filled {
        let layers = self.layers;
        let cost = layers[layers.len() - 1][last].cost;
        let (mut columns, mut splits) = (Vec::with_capacity(layers.len()), 0);
        let mut at = last;
        for (i, layer) in layers.iter().enumerate().rev() {
            let label = &layer[at];
            let begun = match i.checked_sub(1) {
                Some(before) => layers[before][label.from as usize].state,
                None => self.start,
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
        let task = self.walk.task;
        let furniture = task.furniture.filter(|_| label.furniture);
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
            let step = &self.walk.ways[path as usize];
            if to == 0 {
                family -= 1;
            }
            let sized = &task.menu.families[task.order[family]][step.way as usize];
            if to == 0 {
                to = sized.rows.len();
            }
            let from = if family == begun.family as usize { begun.row as usize } else { 0 };
            column.used += sized.rows[from..to].iter().sum::<u32>();
            column.left = column.left.max(sized.left);
            column.centre = column.centre.max(sized.centre);
            column.right = column.right.max(sized.right);
            column.runs.push(Run { family, way: step.way as usize, from, to });
            to = 0;
            path = step.before;
        }
        column.runs.reverse();
        column.used += column.runs.len().saturating_sub(1) as u32 * task.menu.head;
        column
    }
}
