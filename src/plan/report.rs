//! The figures of a plan, for people and for machines.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::columns::stand_ins;
use super::facts::Facts;
use super::menu::Arrangement;
use super::solve::Plan;
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
        let key = |family: usize| {
            let sheet_family = &facts.sheet.families()[facts.families[family].index];
            facts.range.family(sheet_family.family()).key().clone()
        };
        let (mut empty, mut replaced, mut samples) = (0, 0, 0);
        let mut with_column = vec![false; facts.parts.len()];
        let mut columns = Vec::new();
        for family in &plan.families {
            let rows = &facts.families[family.index].rows;
            match &family.choice.arrangement {
                Arrangement::Loose => {
                    samples += rows.iter().map(|r| r.made.count_ones() as usize).sum::<usize>();
                }
                Arrangement::Grid { left, right } => {
                    let all: Vec<PartId> = left.iter().chain(right).copied().collect();
                    all.iter().for_each(|p| with_column[p.0] = true);
                    for row in rows {
                        let direct = all.iter().filter(|p| row.made >> p.0 & 1 == 1).count();
                        let stand = stand_ins(facts, row.made, &all).len();
                        empty += all.len() - direct - stand;
                        replaced += stand;
                        samples += direct + stand;
                    }
                    let labels = |parts: &[PartId]| {
                        parts.iter().map(|p| facts.part(*p).label.clone()).collect()
                    };
                    columns.push(FamilyColumns {
                        family: key(family.index),
                        left: labels(left),
                        right: labels(right),
                    });
                }
            }
        }
        let unshown = &plan.unshown;
        let used: u32 = plan.pages.iter().flatten().map(|c| c.used).sum();
        let columns_count: usize = plan.pages.iter().map(Vec::len).sum();
        let furniture_column = plan.pages.iter().flatten().find(|c| c.furniture);
        let furniture = furniture_column.map_or(0, |c| plan.room - c.used);
        Report {
            page_mm: [round(plan.width), round(plan.height)],
            pages: plan.pages.len(),
            page_columns: plan.pages.first().map_or(0, Vec::len),
            scale: plan.scale,
            bound: round(plan.bound.scale),
            bound_by: plan.bound.by.into(),
            gap: round(plan.bound.gap(plan.scale)),
            fill: round(
                f64::from(used + furniture) / (columns_count as f64 * f64::from(plan.room.max(1))),
            ),
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
            samples,
            empty_cells: empty,
            stand_ins: replaced,
            coverage: round(plan.coverage),
            loose_families: plan
                .families
                .iter()
                .filter(|f| f.choice.arrangement == Arrangement::Loose)
                .map(|f| key(f.index))
                .collect(),
            family_order: plan.families.iter().map(|f| key(f.index)).collect(),
            columns,
            left_out_colours: facts
                .sheet
                .left_out()
                .iter()
                .map(|l| facts.range.colour(l.colour()).any_name().to_owned())
                .collect(),
            parts_without_column: facts
                .parts
                .iter()
                .zip(&with_column)
                .filter(|(_, has)| !**has)
                .map(|(p, _)| p.label.clone())
                .collect(),
            parts_not_shown: unshown.labels(facts),
            samples_not_shown: unshown.samples,
            samples_made: unshown.of,
            least_type_mm: round(
                facts.look.voices.each().iter().map(|(_, v)| v.size).fold(f64::INFINITY, f64::min),
            ),
            turned_headings: plan.turned,
            spine: format!("{:?}, names {:?}", plan.spine.form, plan.spine.fit).to_lowercase(),
        }
    }
}

/// Three decimals: figures are for reading.
fn round(v: f64) -> f64 {
    (v * 1000.0).round() / 1000.0
}
