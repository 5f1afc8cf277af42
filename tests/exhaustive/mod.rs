//! Exhaustive search for the cheapest arrangement of a small case.
//!
//! It shares no code with the solver: it cuts the flow of rows
//! in every possible way and prices each arrangement from the rules as they
//! are written in DEVELOPERS.md.

use shadecard::plan::fill::{Filled, Task, fill, split_prices};
use shadecard::plan::measure::{Sized, SizedMenu};

/// Left and right width, quarters a row, price.
pub type Way = (f64, f64, u32, f64);

#[derive(Debug, Clone)]
pub struct Case {
    /// Rows of each family, and its ways: (left, right, quarters a row, price).
    pub families: Vec<(usize, Vec<Way>)>,
    /// Of each family, how far each row's colour is from the next one's.
    pub steps: Vec<Vec<f64>>,
    pub head: u32,
    pub room: u32,
    pub columns: usize,
    pub width: f64,
    pub furniture: Option<u32>,
}

/// The cheapest price of all arrangements, or none.
pub fn exhaustive(case: &Case) -> Option<f64> {
    let ways: Vec<usize> = case.families.iter().map(|f| f.1.len()).collect();
    let mut best: Option<f64> = None;
    let mut chosen = vec![0; ways.len()];
    loop {
        if let Some(cost) = cheapest_cut(case, &chosen) {
            best = Some(best.map_or(cost, |b: f64| b.min(cost)));
        }
        // Next combination of ways, like an odometer.
        let Some(i) = (0..ways.len()).find(|&i| chosen[i] + 1 < ways[i]) else { return best };
        chosen[i] += 1;
        chosen[..i].fill(0);
    }
}

fn cheapest_cut(case: &Case, chosen: &[usize]) -> Option<f64> {
    let flow: Vec<(usize, usize)> = case
        .families
        .iter()
        .enumerate()
        .flat_map(|(f, (rows, _))| (0..*rows).map(move |r| (f, r)))
        .collect();
    let mut best: Option<f64> = None;
    // With furniture, one column may hold nothing else.
    let lonely: &[bool] = if case.furniture.is_some() { &[false, true] } else { &[false] };
    for &alone in lonely {
        let parts = case.columns - usize::from(alone);
        for cuts in combinations(flow.len(), parts) {
            let spots = if case.furniture.is_some() && !alone { parts } else { 1 };
            for spot in 0..spots {
                if let Some(cost) = price(case, chosen, &flow, &cuts, spot, alone) {
                    best = Some(best.map_or(cost, |b: f64| b.min(cost)));
                }
            }
        }
    }
    best
}

/// Every way to cut `n` things into `parts` runs that are not empty, as run ends.
fn combinations(n: usize, parts: usize) -> Vec<Vec<usize>> {
    if parts == 0 || n < parts {
        return Vec::new();
    }
    if parts == 1 {
        return vec![vec![n]];
    }
    (1..n)
        .flat_map(|first| {
            combinations(n - first, parts - 1).into_iter().map(move |rest| {
                std::iter::once(first).chain(rest.into_iter().map(|e| e + first)).collect()
            })
        })
        .collect()
}

#[expect(clippy::too_many_arguments, reason = "a formula of six things")]
fn price(
    case: &Case,
    chosen: &[usize],
    flow: &[(usize, usize)],
    ends: &[usize],
    furniture_at: usize,
    alone: bool,
) -> Option<f64> {
    let way = |f: usize| case.families[f].1[chosen[f]];
    let mut cost: f64 = (0..case.families.len()).map(|f| way(f).3).sum();
    let (mut start, mut total_width) = (0, 0.0);
    let mut columns: Vec<(u32, usize, bool)> = Vec::new();
    for (c, &end) in ends.iter().enumerate() {
        let run = &flow[start..end];
        let mut families: Vec<usize> = run.iter().map(|x| x.0).collect();
        families.dedup();
        let rows: u32 = run.iter().map(|x| way(x.0).2).sum();
        let mut used = rows + case.head * (families.len() as u32 - 1);
        let here = !alone && case.furniture.is_some() && c == furniture_at;
        if here {
            used += case.furniture?;
        }
        if used > case.room {
            return None;
        }
        let left = families.iter().map(|&f| way(f).0).fold(0.0, f64::max);
        let right = families.iter().map(|&f| way(f).1).fold(0.0, f64::max);
        total_width += left + right;
        columns.push((used, families.len() - 1 + usize::from(here), here));
        start = end;
    }
    if !alone && case.furniture.is_some() && furniture_at + 1 != ends.len() {
        cost += 0.004;
    }
    if alone {
        if case.furniture? > case.room {
            return None;
        }
        columns.push((case.furniture?, 1, true));
    }
    if total_width > case.width + 1e-6 {
        return None;
    }
    // Splits: every piece has at least eight rows (fewer, but four, where a column has under 24)
    // or a fifth, but a third of a column will do.
    let even = case.families.iter().map(|f| f.0).sum::<usize>() / case.columns;
    for (f, (rows, _)) in case.families.iter().enumerate() {
        let first = flow.iter().position(|x| x.0 == f)?;
        let cuts: Vec<usize> =
            ends.iter().filter(|&&e| e > first && e < first + rows).map(|e| e - first).collect();
        let share = (*rows as f64 * 0.2).ceil() as usize;
        let least = 8.min((even / 3).max(4)).max(share.min(case.room as usize / 4 / 3));
        let mut before = 0;
        for &cut in cuts.iter().chain([rows]) {
            if !cuts.is_empty() && cut - before < least {
                return None;
            }
            before = cut;
        }
        // 0.08 between equal colours, 0.07 where they are 10 apart, towards 0.06 at a leap.
        for cut in cuts {
            cost += 0.06 + 0.2 / (10.0 + case.steps[f][cut - 1]);
        }
    }
    let slack: f64 = columns
        .iter()
        .map(|&(used, places, _)| {
            let empty = case.room - used;
            let taken = empty.min(5 * places as u32);
            let share = |quarters: f64| quarters / f64::from(case.room);
            let white = share(f64::from(empty - taken) + 0.35 * f64::from(taken)).powi(2);
            let hole = if places > 0 { share(f64::from(empty - taken)) } else { 0.0 };
            2.0 * white + 1.6 * hole
        })
        .sum();
    Some(cost + slack / columns.len() as f64)
}

/// The price of the programme's arrangement, and how often it splits a family.
pub fn solved(case: &Case) -> Option<(f64, usize)> {
    let filled = filled(case)?;
    // Every row once, in order.
    let mut next = vec![0; case.families.len()];
    for run in filled.columns.iter().flat_map(|c| &c.runs) {
        assert_eq!(run.from, next[run.family]);
        next[run.family] = run.to;
    }
    for (f, (rows, _)) in case.families.iter().enumerate() {
        assert_eq!(next[f], *rows);
    }
    Some((filled.cost, filled.splits))
}

pub fn filled(case: &Case) -> Option<Filled> {
    let menu = SizedMenu {
        pitch: 4.0,
        families: case
            .families
            .iter()
            .map(|(rows, ways)| {
                ways.iter()
                    .map(|&(left, right, quarters, cost)| Sized {
                        left,
                        centre: 0.0,
                        right,
                        rows: vec![quarters; *rows],
                        cost,
                    })
                    .collect()
            })
            .collect(),
        head: case.head,
        room: case.room,
    };
    let order: Vec<usize> = (0..case.families.len()).collect();
    let splits_cost: Vec<Vec<f64>> = case.steps.iter().map(|s| split_prices(s)).collect();
    fill(&Task {
        menu: &menu,
        order: &order,
        splits_cost: &splits_cost,
        columns: case.columns,
        total: case.columns,
        room: case.room,
        width: case.width,
        furniture: case.furniture,
        limit: f64::INFINITY,
        splits: usize::MAX,
    })
}
