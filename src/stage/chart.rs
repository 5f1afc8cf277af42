//! A chart of reference colours from its reference file: which patch is where.

use std::path::Path;

use super::staging::StageChart;
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::measured::{Asked, Reading, read};
use crate::range::{Value, parsed_value};

/// Patches of a chart: at least, and at most.
const PATCHES: (usize, usize) = (6, 2_000);
/// A patch that is more oblong than this belongs to another grid.
const OBLONG: f64 = 2.2;

/// What is known of a chart before its file is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChartRequest {
    /// Width and height of all patches together, mm.
    pub size: (f64, f64),
    /// Columns and rows, where they are given.
    pub grid: Option<(usize, usize)>,
}

/// Reads a chart's reference file: CGATS.17, CxF or a table. Patches named by letters and numbers (A1, B12) are placed
/// by these, others row by row in the order of the file.
///
/// # Errors
/// Everything that is wrong with it; a grid that its patches do not fill.
pub fn chart(
    file: &Path,
    request: ChartRequest,
    sources: &mut Sources,
) -> Result<StageChart, Findings> {
    let mut findings = Findings::default();
    let asked = Asked { file, sheet: None, headings: &[], from: None };
    let readings = read(&asked, sources, &mut findings).unwrap_or_default();
    let mut patches: Vec<Named> = Vec::new();
    for reading in &readings {
        match parsed_value(reading.value.value.clone()) {
            Ok(Value::Unknown) => {}
            Ok(value) => patches.push(Named::new(reading, &value)),
            Err(fault) => findings.push(fault.at(reading.value.span.clone())),
        }
    }
    if findings.failed() {
        return Err(findings);
    }
    let whole = Some(Span { file: file.into(), range: 0..0 });
    let count = patches.len();
    if !(PATCHES.0..=PATCHES.1).contains(&count) {
        let message =
            format!("a chart has from {} to {} patches, not {count}", PATCHES.0, PATCHES.1);
        let help = "name the reference file of the chart: a line for every patch";
        return Err(Diagnostic::error("bad-chart", message).at(whole).help(help).into());
    }
    let Some((columns, order)) = placed(&patches, request) else {
        return Err(no_grid(count, request).at(whole).into());
    };
    let patches = order.into_iter().map(|i| patches[i].lab.map(thousandths)).collect();
    Ok(StageChart { size: request.size, columns, patches })
}

/// What is written in a file is exactly what is used.
fn thousandths(v: f64) -> f64 {
    (v * 1000.0).round() / 1000.0
}

/// A patch by its name.
struct Named {
    /// Its letters as a number, and its number: of a name such as 'B12'.
    cell: Option<(u32, u32)>,
    lab: [f64; 3],
}

impl Named {
    fn new(reading: &Reading, value: &Value) -> Named {
        let aim = value.aim();
        let cell = reading.names.iter().find_map(|name| cell(name));
        Named { cell, lab: [aim.l, aim.a, aim.b] }
    }
}

/// 'B12' as (2, 12).
fn cell(name: &str) -> Option<(u32, u32)> {
    let name = name.trim();
    let letters = name.chars().take_while(char::is_ascii_alphabetic).count();
    let (word, digits) = name.split_at_checked(letters)?;
    let number = digits.trim_start_matches(['-', '_', ' ']).parse().ok()?;
    let letter = |sum: u32, c: char| sum * 26 + (c.to_ascii_uppercase() as u32 - 'A' as u32 + 1);
    (1..=2).contains(&letters).then(|| (word.chars().fold(0, letter), number))
}

/// Columns of the grid, and the patches row by row.
fn placed(patches: &[Named], request: ChartRequest) -> Option<(usize, Vec<usize>)> {
    by_names(patches, request).or_else(|| in_order(patches.len(), request))
}

/// How far a patch is from a square: 1 or more.
fn oblong((width, height): (f64, f64), columns: usize, rows: usize) -> f64 {
    let share = (width / columns as f64) / (height / rows as f64);
    share.max(1.0 / share)
}

/// By letters and numbers, if they fill a grid: letters across or down, whichever makes squarer patches.
fn by_names(patches: &[Named], request: ChartRequest) -> Option<(usize, Vec<usize>)> {
    let cells: Vec<(u32, u32)> = patches.iter().map(|p| p.cell).collect::<Option<_>>()?;
    let sorted = |of: fn(&(u32, u32)) -> u32| {
        let mut all: Vec<u32> = cells.iter().map(of).collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    let (letters, numbers) = (sorted(|c| c.0), sorted(|c| c.1));
    if letters.len() * numbers.len() != patches.len() {
        return None;
    }
    let shapes = [(numbers.len(), letters.len()), (letters.len(), numbers.len())];
    let wanted = |of: (usize, usize)| request.grid.is_none_or(|grid| grid == of);
    let squarer = |a: (usize, usize), b: (usize, usize)| {
        oblong(request.size, a.0, a.1) <= oblong(request.size, b.0, b.1)
    };
    let letters_down = wanted(shapes[0]) && (!wanted(shapes[1]) || squarer(shapes[0], shapes[1]));
    if !letters_down && !wanted(shapes[1]) {
        return None;
    }
    let mut order: Vec<usize> = (0..patches.len()).collect();
    order.sort_by_key(|i| if letters_down { cells[*i] } else { (cells[*i].1, cells[*i].0) });
    let double = order.windows(2).any(|w| cells[w[0]] == cells[w[1]]);
    (!double).then_some((if letters_down { shapes[0].0 } else { shapes[1].0 }, order))
}

/// In the order of the file: in the grid that is given, else in that with the squarest patches.
fn in_order(count: usize, request: ChartRequest) -> Option<(usize, Vec<usize>)> {
    let fills = |(columns, rows): (usize, usize)| {
        columns > 0 && rows > 0 && columns * rows >= count && columns * (rows - 1) < count
    };
    let order = (0..count).collect();
    if let Some(grid) = request.grid {
        return fills(grid).then_some((grid.0, order));
    }
    let grids = (1..=count).filter(|c| count.is_multiple_of(*c)).map(|c| (c, count / c));
    let best = grids
        .min_by(|a, b| oblong(request.size, a.0, a.1).total_cmp(&oblong(request.size, b.0, b.1)))?;
    (oblong(request.size, best.0, best.1) <= OBLONG).then_some((best.0, order))
}

fn no_grid(count: usize, request: ChartRequest) -> Diagnostic {
    let message = match request.grid {
        Some((columns, rows)) => {
            format!(
                "the {count} patches of the chart do not fill {columns} columns and {rows} rows"
            )
        }
        None => format!("how the {count} patches of the chart are arranged is not clear"),
    };
    let help = "count them: --chart-grid COLUMNSxROWS, for example --chart-grid 6x4; leave out of the file what is not in the grid";
    Diagnostic::error("bad-chart", message).help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(names: &[&str]) -> Vec<Named> {
        let patch =
            |(i, name): (usize, &&str)| Named { cell: cell(name), lab: [i as f64, 0.0, 0.0] };
        names.iter().enumerate().map(patch).collect()
    }

    #[test]
    fn letters_and_numbers_are_places() {
        let patches = named(&["A1", "B1", "C1", "A2", "B2", "C2"]);
        let request = |size, grid| ChartRequest { size, grid };
        // Wide: letters across. The file goes along the rows.
        assert_eq!(
            placed(&patches, request((30.0, 20.0), None)),
            Some((3, vec![0, 1, 2, 3, 4, 5]))
        );
        // Tall: letters down.
        assert_eq!(
            placed(&patches, request((20.0, 30.0), None)),
            Some((2, vec![0, 3, 1, 4, 2, 5]))
        );
        let grid = Some((2, 3));
        assert_eq!(
            placed(&patches, request((30.0, 20.0), grid)),
            Some((2, vec![0, 3, 1, 4, 2, 5]))
        );
        assert_eq!(placed(&patches, request((30.0, 20.0), Some((5, 4)))), None);
    }

    #[test]
    fn numbers_alone_go_row_by_row() {
        let names: Vec<String> = (1..=24).map(|n| n.to_string()).collect();
        let patches = named(&names.iter().map(String::as_str).collect::<Vec<_>>());
        let request = |size, grid| ChartRequest { size, grid };
        assert_eq!(placed(&patches, request((60.0, 40.0), None)).map(|p| p.0), Some(6));
        assert_eq!(placed(&patches, request((60.0, 40.0), Some((5, 5)))).map(|p| p.0), Some(5));
        // 23 patches in one row would be slivers.
        assert_eq!(placed(&patches[..23], request((60.0, 40.0), None)), None);
    }
}
