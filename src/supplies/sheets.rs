//! How many label sheets: whole sheets, rows lost to the machine, a part-used sheet.
//!
//! Places are counted along the rows from the top left, sheet by sheet. The
//! machine spoils the first rows of every sheet, the part-used one included: a
//! place there is lost, whether it was used before or not.

use crate::diag::Diagnostic;

/// The most rows and columns of labels on a sheet.
pub const MOST_ALONG: u32 = 1_000;

/// The labels of one sheet, in rows and columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LabelGrid {
    rows: u32,
    columns: u32,
    spoiled_rows: u32,
}

/// What a set of labels needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetNeed {
    /// Labels that go on the part-used sheet.
    pub on_part_used: u64,
    /// Whole sheets besides the part-used one.
    pub new: u64,
    /// Places that stay free on the last sheet.
    pub free: u64,
}

/// Where a label is: sheet, row and column, counted from 0; sheet 0 is
/// the part-used one where there is one with a free place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LabelPlace {
    pub sheet: u64,
    pub row: u32,
    pub column: u32,
}

impl LabelGrid {
    /// A sheet of `rows` x `columns` labels whose first `spoiled_rows` rows are lost.
    ///
    /// # Errors
    /// No label, more than [`MOST_ALONG`] a side, or no row that is not spoiled.
    pub fn new(rows: u32, columns: u32, spoiled_rows: u32) -> Result<LabelGrid, Diagnostic> {
        let fits = 1..=MOST_ALONG;
        if !fits.contains(&rows) || !fits.contains(&columns) {
            return Err(Diagnostic::error(
                "bad-label-grid",
                format!("a sheet must have 1 to {MOST_ALONG} rows and columns of labels, not {rows} x {columns}"),
            )
            .help("write rows x columns, for example 7x3"));
        }
        if spoiled_rows >= rows {
            return Err(Diagnostic::error(
                "all-spoiled",
                format!(
                    "with {spoiled_rows} of {rows} rows spoiled, no labels are left on a sheet"
                ),
            )
            .help(format!("spoil at most {} rows, or use sheets with more rows", rows - 1)));
        }
        Ok(LabelGrid { rows, columns, spoiled_rows })
    }

    /// Labels on a sheet, spoiled ones included.
    pub fn places(self) -> u64 {
        u64::from(self.rows) * u64::from(self.columns)
    }

    /// Labels lost on every sheet.
    pub fn spoiled(self) -> u64 {
        u64::from(self.spoiled_rows) * u64::from(self.columns)
    }

    /// Labels that a new sheet gives: at least one.
    pub fn usable(self) -> u64 {
        self.places() - self.spoiled()
    }

    /// Labels that a sheet still gives whose first `used` places are gone.
    pub fn free_after(self, used: u64) -> u64 {
        self.places() - used.clamp(self.spoiled(), self.places())
    }

    /// What `labels` labels need when the first `used` places of the first
    /// sheet are gone; 0 without a part-used sheet. Never rounded down.
    pub fn need(self, labels: u64, used: u64) -> SheetNeed {
        let room = if used == 0 { 0 } else { self.free_after(used) };
        let on_part_used = labels.min(room);
        let rest = labels - on_part_used;
        let new = rest.div_ceil(self.usable());
        let free = if new > 0 { new * self.usable() - rest } else { room - on_part_used };
        SheetNeed { on_part_used, new, free }
    }

    /// Where label `nth` (from 0) is, `used` as in [`LabelGrid::need`].
    pub fn place(self, nth: u64, used: u64) -> LabelPlace {
        let room = if used == 0 { 0 } else { self.free_after(used) };
        let (sheet, index) = if nth < room {
            (0, self.places() - room + nth)
        } else {
            let rest = nth - room;
            let before = u64::from(room > 0);
            (before + rest / self.usable(), self.spoiled() + rest % self.usable())
        };
        let columns = u64::from(self.columns);
        // Both are below MOST_ALONG: an index is below `places`.
        LabelPlace { sheet, row: (index / columns) as u32, column: (index % columns) as u32 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(rows: u32, columns: u32, spoiled: u32) -> LabelGrid {
        LabelGrid::new(rows, columns, spoiled).expect("a grid")
    }

    #[test]
    fn whole_sheets() {
        // 7 x 3 = 21 a sheet: 42 fill two, the 43rd takes a third and leaves 20.
        assert_eq!(grid(7, 3, 0).need(42, 0), SheetNeed { on_part_used: 0, new: 2, free: 0 });
        assert_eq!(grid(7, 3, 0).need(43, 0), SheetNeed { on_part_used: 0, new: 3, free: 20 });
        assert_eq!(grid(7, 3, 0).need(0, 0), SheetNeed { on_part_used: 0, new: 0, free: 0 });
    }

    #[test]
    fn a_spoiled_row_is_lost_on_every_sheet() {
        // 18 of 21 are left: 42 = 18 + 18 + 6.
        assert_eq!(grid(7, 3, 1).need(42, 0), SheetNeed { on_part_used: 0, new: 3, free: 12 });
    }

    #[test]
    fn a_part_used_sheet_comes_first() {
        // 16 of 21 are gone: 5 go on it, 20 more need one new sheet.
        assert_eq!(grid(7, 3, 0).need(25, 16), SheetNeed { on_part_used: 5, new: 1, free: 1 });
        // The first row (3) is spoiled in any case: 2 used ones lie within it.
        assert_eq!(grid(7, 3, 1).need(18, 2), SheetNeed { on_part_used: 18, new: 0, free: 0 });
        // A sheet that is used up gives nothing.
        assert_eq!(grid(7, 3, 0).need(21, 21), SheetNeed { on_part_used: 0, new: 1, free: 0 });
    }

    #[test]
    fn places_follow_each_other() {
        let g = grid(3, 2, 1);
        let at = |nth| {
            let LabelPlace { sheet, row, column } = g.place(nth, 3);
            (sheet, row, column)
        };
        // Places 0 and 1 are spoiled, 0 to 2 used: the part-used sheet has 3, 4 and 5 left.
        let want = [(0, 1, 1), (0, 2, 0), (0, 2, 1), (1, 1, 0), (1, 1, 1), (1, 2, 0), (1, 2, 1)];
        assert_eq!((0..7).map(at).collect::<Vec<_>>(), want);
        assert_eq!((g.place(7, 3).sheet, g.place(0, 6).sheet, g.place(0, 0).sheet), (2, 0, 0));
    }

    #[test]
    fn impossible_sheets_are_refused() {
        assert!(LabelGrid::new(0, 3, 0).is_err() && LabelGrid::new(3, 1_001, 0).is_err());
        assert!(LabelGrid::new(7, 3, 7).is_err() && LabelGrid::new(7, 3, 6).is_ok());
    }
}
