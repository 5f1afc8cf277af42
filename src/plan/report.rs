//! The figures of a plan, for people and for machines.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::columns::stand_ins;
use super::facts::Facts;
use super::menu::Arrangement;
use super::solution::Plan;
use crate::range::PartId;

/// What a plan came to.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Report {
    /// Trimmed page, mm.
    pub page_mm: [f64; 2],
    pub pages: usize,
    pub page_columns: usize,
    pub scale: f64,
    /// No arrangement of this content has a larger scale.
    pub bound: f64,
    pub bound_by: Cow<'static, str>,
    /// Share of the bound that is not reached, 0 to 1.
    pub gap: f64,
    /// Share of the columns' height that rows, headings and furniture take.
    pub fill: f64,
    /// Share of the type area that content takes, 0 to 1.
    pub page_used: f64,
    /// A smaller standard sheet that would do, where the page stays half empty.
    pub smaller_page: Option<String>,
    /// How many times larger names, numbers and swatches are than the style sets
    /// them on this page.
    pub growth: f64,
    pub row_pitch_mm: f64,
    #[serde(flatten)]
    pub composition: Composition,
    pub splits: usize,
    pub inversions: usize,
    pub score: f64,
    pub arrangements_tried: usize,
    pub colours: usize,
    pub samples: usize,
    /// Cells in columns without a part.
    pub empty_cells: usize,
    pub stand_ins: usize,
    /// Share of the made parts that is shown, 0 to 1.
    pub coverage: f64,
    pub loose_families: Vec<String>,
    pub family_order: Vec<String>,
    pub columns: Vec<FamilyColumns>,
    pub left_out_colours: Vec<String>,
    /// Parts without a column anywhere.
    pub parts_without_column: Vec<String>,
    /// Parts that are made in a shown colour and have no column there, and how many samples are
    /// not shown for it, of all that are made.
    pub parts_not_shown: Vec<String>,
    pub samples_not_shown: usize,
    pub samples_made: usize,
    pub least_type_mm: f64,
    pub turned_headings: bool,
    pub spine: String,
}

/// How pages are used, measured on the placed sheet.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Composition {
    /// Share of the type area that blocks, legend and notes cover, 0 to 1.
    pub covered: f64,
    /// Width and height of the largest empty rectangle in the type area, mm.
    pub largest_empty_mm: [f64; 2],
    /// From the highest to the lowest foot of a page's columns, mm.
    pub feet_mm: f64,
    /// The largest white between two blocks of a column, mm.
    pub largest_gap_mm: f64,
    /// The white between blocks that the row pitch asks for, mm.
    pub usual_gap_mm: f64,
}

impl Composition {
    /// Three decimals.
    pub fn rounded(self) -> Composition {
        Composition {
            covered: round(self.covered),
            largest_empty_mm: self.largest_empty_mm.map(round),
            feet_mm: round(self.feet_mm),
            largest_gap_mm: round(self.largest_gap_mm),
            usual_gap_mm: round(self.usual_gap_mm),
        }
    }
}

/// Which part numbers head a family's columns.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct FamilyColumns {
    pub family: String,
    pub left: Vec<String>,
    pub right: Vec<String>,
}

impl Report {
    /// What is not shown, in words: '2252, 2253: 67 of 385 samples'; none where all is.
    pub fn not_shown(&self) -> Option<String> {
        let Report { parts_not_shown: parts, samples_not_shown: n, samples_made: all, .. } = self;
        (*n > 0).then(|| format!("{}: {n} of {all} samples", parts.join(", ")))
    }

    /// Gathers the figures of the plan; those of the placed sheet are added by who places it.
    pub fn new(facts: &Facts<'_>, plan: &Plan) -> Report {
        let cells = Cells::new(facts, plan);
        let loose = plan.families.iter().filter(|f| f.choice.arrangement == Arrangement::Loose);
        let left_out = facts.sheet.left_out().iter();
        let voices = facts.look.voices.each();
        let unshown = &plan.unshown;
        Report {
            page_mm: [round(plan.width), round(plan.height)],
            pages: plan.pages.len(),
            page_columns: plan.pages.first().map_or(0, Vec::len),
            scale: plan.scale,
            bound: round(plan.bound.scale),
            bound_by: plan.bound.by.into(),
            gap: round(plan.bound.gap(plan.scale)),
            fill: round(filled(plan)),
            page_used: round(plan.used),
            smaller_page: plan.smaller.map(str::to_owned),
            growth: round(facts.look.growth),
            row_pitch_mm: round(plan.pitch),
            composition: Composition::default(),
            splits: plan.splits,
            inversions: plan.inversions,
            score: round(plan.score),
            arrangements_tried: plan.tried,
            colours: plan.families.iter().map(|f| f.rows.len()).sum(),
            samples: cells.samples,
            empty_cells: cells.empty,
            stand_ins: cells.stand_ins,
            coverage: round(plan.coverage),
            loose_families: loose.map(|f| family_key(facts, f.index)).collect(),
            family_order: plan.families.iter().map(|f| family_key(facts, f.index)).collect(),
            columns: cells.columns,
            left_out_colours: left_out
                .map(|l| facts.range.colour(l.colour()).any_name().to_owned())
                .collect(),
            parts_without_column: cells.parts_without_column,
            parts_not_shown: unshown.labels(facts),
            samples_not_shown: unshown.samples,
            samples_made: unshown.of,
            least_type_mm: round(voices.iter().map(|(_, v)| v.size).fold(f64::INFINITY, f64::min)),
            turned_headings: plan.turned,
            spine: format!("{:?}, names {:?}", plan.spine.form, plan.spine.fit).to_lowercase(),
        }
    }
}

/// The key of a family of the facts.
fn family_key(facts: &Facts<'_>, family: usize) -> String {
    let sheet_family = &facts.sheet.families()[facts.families[family].index];
    facts.range.family(sheet_family.family()).key().clone()
}

/// Share of the columns' height that rows, headings and furniture take.
fn filled(plan: &Plan) -> f64 {
    let columns = || plan.pages.iter().flatten();
    let used: u32 = columns().map(|c| c.used).sum();
    let furniture = columns().find(|c| c.furniture).map_or(0, |c| plan.room - c.used);
    f64::from(used + furniture) / (columns().count() as f64 * f64::from(plan.room.max(1)))
}

/// What the rows show, counted.
#[derive(Default)]
struct Cells {
    samples: usize,
    /// Cells in columns without a part.
    empty: usize,
    stand_ins: usize,
    columns: Vec<FamilyColumns>,
    parts_without_column: Vec<String>,
}

impl Cells {
    fn new(facts: &Facts<'_>, plan: &Plan) -> Cells {
        let mut cells = Cells::default();
        let mut with_column = vec![false; facts.parts.len()];
        for family in &plan.families {
            match &family.choice.arrangement {
                Arrangement::Loose => {
                    let rows = facts.families[family.index].rows.iter();
                    cells.samples += rows.map(|r| r.made.count_ones() as usize).sum::<usize>();
                }
                Arrangement::Grid { left, right } => {
                    let columns: Vec<PartId> = left.iter().chain(right).copied().collect();
                    columns.iter().for_each(|p| with_column[p.0] = true);
                    cells.count_grid(facts, family.index, &columns);
                    cells.columns.push(FamilyColumns {
                        family: family_key(facts, family.index),
                        left: labels(facts, left),
                        right: labels(facts, right),
                    });
                }
            }
        }
        let parts = facts.parts.iter().zip(&with_column).filter(|(_, has)| !**has);
        cells.parts_without_column = parts.map(|(p, _)| p.label.clone()).collect();
        cells
    }

    fn count_grid(&mut self, facts: &Facts<'_>, family: usize, columns: &[PartId]) {
        for row in &facts.families[family].rows {
            let direct = columns.iter().filter(|p| row.made >> p.0 & 1 == 1).count();
            let stand = stand_ins(facts, row.made, columns).len();
            self.empty += columns.len() - direct - stand;
            self.stand_ins += stand;
            self.samples += direct + stand;
        }
    }
}

/// The numbers that head these parts' columns.
fn labels(facts: &Facts<'_>, parts: &[PartId]) -> Vec<String> {
    parts.iter().map(|p| facts.part(*p).label.clone()).collect()
}

/// Three decimals: figures are for reading.
fn round(v: f64) -> f64 {
    (v * 1000.0).round() / 1000.0
}
