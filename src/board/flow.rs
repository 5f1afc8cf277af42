//! Rows into columns of the board, as even as they can be.

/// Height of a family's heading, and of one where the family goes on, mm.
pub const HEAD: f64 = 13.0;
pub const AGAIN: f64 = 9.0;
/// Between rows, and above a heading inside a column, mm.
pub const ROW_GAP: f64 = 4.0;
const HEAD_PAD: f64 = 7.0;
/// Rows that stay with the heading over them.
const UNDER: usize = 2;

/// A row or heading with its column and its top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    pub column: usize,
    pub y: f64,
}

/// A heading over the row at `before`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    pub before: usize,
    pub again: bool,
    pub at: At,
}

/// Everything in its column.
#[derive(Debug, Clone, PartialEq)]
pub struct Flow {
    pub rows: Vec<At>,
    pub heads: Vec<Head>,
    /// Of the tallest column.
    pub height: f64,
    pub columns: usize,
}

/// A row as the flow sees it: its height, and whether a family begins with it.
#[derive(Debug, Clone, Copy)]
pub struct Item {
    pub height: f64,
    pub first: bool,
}

/// The least height at which the rows take no more than `columns` columns.
pub fn flow(items: &[Item], columns: usize) -> Flow {
    let whole = fill(items, f64::INFINITY);
    let (mut low, mut high) = (whole.height / columns.max(1) as f64 * 0.9, whole.height);
    let mut best = whole;
    // To half a millimetre: a board is not cut finer.
    while high - low > 0.5 {
        let middle = (low + high) / 2.0;
        let tried = fill(items, middle);
        if tried.columns <= columns.max(1) {
            high = tried.height.min(middle);
            best = tried;
        } else {
            low = middle;
        }
    }
    best
}

fn fill(items: &[Item], most: f64) -> Flow {
    let mut out =
        Flow { rows: Vec::with_capacity(items.len()), heads: Vec::new(), height: 0.0, columns: 1 };
    let (mut column, mut y) = (0, 0.0);
    for (i, item) in items.iter().enumerate() {
        let fresh = y == 0.0;
        let needed = if item.first { together(items, i) } else { item.height };
        let pad = match (fresh, item.first) {
            (true, _) => 0.0,
            (false, true) => HEAD_PAD,
            (false, false) => ROW_GAP,
        };
        let breaks = !fresh && y + pad + needed > most;
        if breaks {
            (column, y) = (column + 1, 0.0);
        } else {
            y += pad;
        }
        if item.first || breaks {
            let again = !item.first;
            out.heads.push(Head { before: i, again, at: At { column, y } });
            y += if again { AGAIN } else { HEAD };
        }
        out.rows.push(At { column, y });
        y += item.height;
        out.height = out.height.max(y);
    }
    out.columns = column + 1;
    out
}

/// A heading with the rows that stay under it.
fn together(items: &[Item], first: usize) -> f64 {
    let rows = items[first..].iter().enumerate().take_while(|(i, r)| *i == 0 || !r.first);
    rows.take(UNDER).map(|(_, r)| r.height + ROW_GAP).sum::<f64>() - ROW_GAP + HEAD
}
