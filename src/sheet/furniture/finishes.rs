//! The finishes that occur: a part in each, its name, what to look for.

use super::builder::Builder;
use crate::range::{ColourId, Finish, PartId};

/// One finish: words in every spelling.
pub(super) struct Entry {
    pub name: Vec<String>,
    pub words: Vec<String>,
    pub parts: Vec<PartId>,
    pub colour: ColourId,
}

/// A colour with the parts it is made in.
type Row = (ColourId, u128);

impl Builder<'_> {
    /// Are there finishes to tell apart?
    pub(super) fn has_finishes(&self) -> bool {
        self.finishes().len() > 1
    }

    /// Finishes in the order in which they are on the sheet, each with its rows.
    fn finishes(&self) -> Vec<(Finish, Vec<Row>)> {
        let mut out: Vec<(Finish, Vec<Row>)> = Vec::new();
        for row in self.facts.families.iter().flat_map(|f| &f.rows) {
            let finish = self.facts.range.colour(row.colour).finish();
            let own = (row.colour, row.made);
            match out.iter_mut().find(|(f, _)| *f == finish) {
                Some((_, rows)) => rows.push(own),
                None => out.push((finish, vec![own])),
            }
        }
        out
    }

    /// An entry per finish.
    pub(super) fn entries(&self) -> Vec<Entry> {
        let finishes = self.finishes();
        let masks: Vec<u128> =
            finishes.iter().map(|(_, rows)| rows.iter().fold(0, |m, r| m | r.1)).collect();
        let entry = |(i, (finish, rows)): (usize, &(Finish, Vec<Row>))| {
            let wanted = self.parts_for(&masks, i);
            let colour = self.show_colour(rows, &wanted, i);
            let made = rows.iter().find(|r| r.0 == colour).map_or(0, |r| r.1);
            let mut parts = wanted;
            parts.retain(|p| made >> p.0 & 1 == 1);
            let [name, words] = self.finish_words(*finish);
            Entry { name, words, parts, colour }
        };
        finishes.iter().enumerate().map(entry).collect()
    }

    /// The parts that show a finish: those that the sheet names, else one of middle
    /// size, the same for as many finishes as are made in it.
    fn parts_for(&self, masks: &[u128], finish: usize) -> Vec<PartId> {
        let made = |p: &PartId| masks[finish] >> p.0 & 1 == 1;
        let named = self.facts.sheet.legend_parts().iter().copied();
        let named: Vec<PartId> = named.filter(|p| p.0 < 128).filter(made).collect();
        if !named.is_empty() {
            return named;
        }
        let all = (0..self.facts.parts.len().min(128)).map(PartId);
        let able: Vec<PartId> = all.filter(made).collect();
        let area = |p: PartId| self.facts.part(p).width * self.facts.part(p).height;
        let mut areas: Vec<f64> = able.iter().map(|p| area(*p)).collect();
        areas.sort_by(f64::total_cmp);
        let Some(&middle) = areas.get(areas.len() / 2) else { return Vec::new() };
        let others = |p: PartId| masks.iter().filter(|m| **m >> p.0 & 1 == 1).count();
        let off = |p: PartId| (area(p) / middle.max(1e-6)).ln().abs();
        let best = able.into_iter().min_by(|a, b| {
            others(*b).cmp(&others(*a)).then(off(*a).total_cmp(&off(*b))).then(a.cmp(b))
        });
        best.into_iter().collect()
    }

    /// The colour that shows a finish: a strong one of those made in most of the parts.
    fn show_colour(&self, rows: &[Row], parts: &[PartId], finish: usize) -> ColourId {
        let chroma = |c: ColourId| {
            // As they are, so that a sheet and its proof show the same ones.
            let lab = crate::range::lab(self.facts.range.colour(c).rgb());
            lab.a.hypot(lab.b)
        };
        let made = |mask: u128| parts.iter().filter(|p| mask >> p.0 & 1 == 1).count();
        let most = rows.iter().map(|r| made(r.1)).max().unwrap_or(0);
        let able: Vec<ColourId> = rows.iter().filter(|r| made(r.1) == most).map(|r| r.0).collect();
        let strongest = able.iter().map(|c| chroma(*c)).fold(0.0, f64::max);
        // Finishes take turns round the circle, so that the legend is not all one hue.
        let strong: Vec<ColourId> =
            able.iter().copied().filter(|c| chroma(*c) >= strongest * 0.6).collect();
        let turn = [1, 5, 3, 2, 4, 0][finish % 6];
        strong.get(strong.len() * turn / 6).or(able.first()).copied().unwrap_or(ColourId(0))
    }

    /// Name and explanation of a finish in every spelling. A family that has it alone lends its
    /// title, and its own explanation where it gives one.
    fn finish_words(&self, finish: Finish) -> [Vec<String>; 2] {
        let families = self
            .facts
            .families
            .iter()
            .map(|f| self.facts.range.family(self.facts.sheet.families()[f.index].family()));
        let rows = self.facts.families.iter().map(|f| &f.rows);
        let has = rows
            .map(|rows| rows.iter().any(|r| self.facts.range.colour(r.colour).finish() == finish));
        let own: Vec<_> = families.zip(has).filter(|(_, has)| *has).map(|(f, _)| f).collect();
        let key = finish.word();
        let alone = own.len() == 1 && own[0].finish() == finish;
        let name = self.in_each(|s| match own.first().filter(|_| alone) {
            Some(family) => s.apply(family.title()),
            None => s.phrase(&format!("finish_{key}"), &[]),
        });
        let given = own.first().filter(|f| alone && !f.legend().text.is_empty());
        let words = self.in_each(|s| match given {
            Some(family) => s.apply(family.legend()),
            None => s.phrase(&format!("finish_{key}_note"), &[]),
        });
        [name, words]
    }
}
