//! Which label is at which place of which sheet.

use std::collections::BTreeSet;

use crate::supplies::LabelGrid;

/// A sheet's places, the lost ones, and what is used of a part-used sheet.
#[derive(Debug, Clone)]
pub struct Places {
    pub grid: LabelGrid,
    pub columns: u32,
    pub spoiled_rows: u32,
    /// Fill lost rows with repeats instead of leaving them empty.
    pub fill: bool,
    /// Places of the first sheet that are used, along the rows from 0.
    pub used: BTreeSet<u64>,
}

/// A label at its place; sheets, rows, columns and places from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stand {
    pub sheet: usize,
    pub row: u32,
    pub column: u32,
    /// Along the rows.
    pub place: u64,
    /// Which of the labels to be made; copies are next to each other.
    pub label: usize,
    /// Only there to fill a lost row.
    pub repeat: bool,
}

impl Places {
    /// Is the first sheet a part-used one? Not where nothing is left of it.
    pub fn part_used(&self) -> bool {
        !self.used.is_empty() && !self.free().is_empty()
    }

    /// Was the place used up before?
    fn gone(&self, sheet: usize, place: u64) -> bool {
        sheet == 0 && self.part_used() && self.used.contains(&place)
    }

    /// Used places of the part-used sheet, as `supplies` counts them: as
    /// many as leave the same number, though they may be others.
    pub fn used_as(&self) -> u64 {
        if self.used.is_empty() { 0 } else { self.grid.places() - self.free().len() as u64 }
    }

    /// Free places of the part-used sheet.
    fn free(&self) -> Vec<u64> {
        (self.grid.spoiled()..self.grid.places()).filter(|p| !self.used.contains(p)).collect()
    }

    /// Puts so many labels, each `copies` times, in order; the stands come
    /// sheet by sheet, along the rows.
    pub fn stands(&self, labels: usize, copies: u64) -> Vec<Stand> {
        let free = self.free();
        let used = self.used_as();
        let total = labels as u64 * copies;
        let on_part_used = self.grid.need(total, used).on_part_used;
        let mut out: Vec<Stand> = (0..total)
            .map(|nth| {
                let at = self.grid.place(nth, used);
                let along = u64::from(at.row) * u64::from(self.columns) + u64::from(at.column);
                let place = if nth < on_part_used { free[nth as usize] } else { along };
                self.stand(at.sheet as usize, place, (nth / copies) as usize, false)
            })
            .collect();
        if self.fill {
            self.repeat(&mut out);
        }
        out.sort_by_key(|s| (s.sheet, s.place));
        out
    }

    fn stand(&self, sheet: usize, place: u64, label: usize, repeat: bool) -> Stand {
        let columns = u64::from(self.columns.max(1));
        // A place is below that of a grid, so row and column are small.
        let (row, column) = ((place / columns) as u32, (place % columns) as u32);
        Stand { sheet, row, column, place, label, repeat }
    }

    /// Fills the lost rows of every sheet with its own labels, over again.
    fn repeat(&self, stands: &mut Vec<Stand>) {
        let sheets = stands.last().map_or(0, |s| s.sheet + 1);
        for sheet in 0..sheets {
            let own: Vec<usize> =
                stands.iter().filter(|s| s.sheet == sheet).map(|s| s.label).collect();
            let lost: Vec<u64> =
                (0..self.grid.spoiled()).filter(|p| !self.gone(sheet, *p)).collect();
            let again = own.iter().cycle();
            stands.extend(lost.into_iter().zip(again).map(|(p, l)| self.stand(sheet, p, *l, true)));
        }
    }

    /// Places used on the last sheet after these labels, along the rows from
    /// 0; spoiled rows are gone on every sheet.
    pub fn used_after(&self, stands: &[Stand]) -> BTreeSet<u64> {
        let Some(last) = stands.last() else { return self.used.clone() };
        let own = stands.iter().filter(|s| s.sheet == last.sheet).map(|s| s.place);
        let before = self.used.iter().copied().filter(|p| self.gone(last.sheet, *p));
        own.chain(before).chain(0..self.grid.spoiled()).collect()
    }
}
