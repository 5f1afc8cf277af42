//! The menu: every way to arrange a family, and the room that it needs.

use std::collections::BTreeMap;

use super::columns::{SideSet, available, best_sets, stand_ins};
use super::facts::{Facts, FamilyFacts, NameFit, SpineChoice};
use crate::range::{Columns, PartId, Side};

/// How the parts of one family are arranged.
#[derive(Debug, Clone, PartialEq)]
pub enum Arrangement {
    /// In aligned columns.
    Grid { left: Vec<PartId>, right: Vec<PartId> },
    /// Each row its own parts, running outwards from the spine.
    Loose,
}

/// A column: it grows with the scale but never under its fixed width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    pub part: PartId,
    /// Widest thing drawn in it at true size, mm.
    pub widest: f64,
    /// Widest label in it, mm at any scale.
    pub label: f64,
}

impl Slot {
    /// Its width at a scale, mm.
    pub fn width(&self, scale: f64) -> f64 {
        (self.widest * scale).max(self.label)
    }
}

/// One way for one family, measured.
#[derive(Debug, Clone)]
pub struct Choice {
    pub arrangement: Arrangement,
    pub left: Vec<Slot>,
    pub right: Vec<Slot>,
    /// Tallest part without a number under it, mm at true size.
    pub tallest: f64,
    /// Tallest part with a number under it whose neighbour below has one too
    /// (in loose rows: of all), mm at true size; 0 without any.
    pub tallest_numbered: f64,
    /// Tallest pair of a part with a number under it and the column's own
    /// part in the next row, the sum of their heights in mm; 0 without any.
    pub tallest_pair: f64,
    /// Cells shown, stand-ins included.
    pub covered: usize,
    /// Cost of leaving the sheet's common columns.
    pub cost: f64,
}

/// What a whole page decides for all families.
#[derive(Debug, Clone)]
pub struct PageMenu {
    pub spine: SpineChoice,
    /// Part numbers over the columns run upwards.
    pub turned: bool,
    /// Per family, in the sheet's order: one to three ways.
    pub families: Vec<Vec<Choice>>,
    /// What this menu costs before anything is placed.
    pub cost: f64,
}

/// Price of a family's own columns where the others share theirs.
const OWN_COLUMNS: f64 = 0.03;
/// Price of turned part numbers, of a spine form that is not the first, of
/// names that shrink or break.
const TURNED: f64 = 0.03;
const OTHER_FORM: f64 = 0.08;
const SQUEEZED: f64 = 0.015;
const BROKEN: f64 = 0.05;
/// Price of a made cell that is not shown, as a share of all.
const HIDDEN: f64 = 8.0;
/// Menus that are kept of those that differ in columns.
const MOST_COLUMN_COUNTS: usize = 6;

/// Every page menu that keeps the minimum, best coverage first.
pub fn page_menus(facts: &Facts<'_>) -> Vec<PageMenu> {
    let mut out = Vec::new();
    for (families, shown) in family_choices(facts) {
        for (i, &spine) in facts.spines.iter().enumerate() {
            for turned in [false, true] {
                let form = if spine.form == facts.look.forms[0] { 0.0 } else { OTHER_FORM };
                let squeeze = match spine.fit {
                    NameFit::Full => 0.0,
                    NameFit::Tight => SQUEEZED,
                    NameFit::Broken => BROKEN,
                };
                let turn = if turned { TURNED } else { 0.0 };
                // A spine no narrower than an easier one is of no use.
                if facts.spines[..i].iter().any(|s| s.width <= spine.width + 1e-9) {
                    continue;
                }
                let families = families
                    .iter()
                    .map(|ways| ways.iter().map(|w| headed(facts, w, turned)).collect())
                    .collect();
                out.push(PageMenu {
                    spine,
                    turned,
                    families,
                    cost: form + squeeze + turn + HIDDEN * (1.0 - shown),
                });
            }
        }
    }
    out
}

/// Adds the heading's width to every column.
fn headed(facts: &Facts<'_>, way: &Choice, turned: bool) -> Choice {
    let voice = facts.look.voices.heading;
    let widen = |slot: &Slot| {
        let part = facts.part(slot.part);
        let heading = if turned {
            voice.cap * 1.25
        } else {
            part.heading_width.max(part.size_width) + voice.size * 0.15
        };
        Slot { label: slot.label.max(heading), ..*slot }
    };
    Choice {
        left: way.left.iter().map(widen).collect(),
        right: way.right.iter().map(widen).collect(),
        ..way.clone()
    }
}

/// The families' ways for each pair of column counts worth trying.
fn family_choices(facts: &Facts<'_>) -> Vec<(Vec<Vec<Choice>>, f64)> {
    let minimum = facts.layout.minimum;
    let choosing: Vec<&FamilyFacts> =
        facts.families.iter().filter(|f| matches!(f.columns, Columns::Choose { .. })).collect();
    let all: Vec<PartId> = (0..facts.parts.len()).map(PartId).collect();
    let own: Vec<Option<OwnSets>> =
        facts.families.iter().map(|f| OwnSets::new(facts, f, &all)).collect();
    // Sparse families go to loose rows and have no say in the common columns.
    let dense: Vec<u128> = choosing
        .iter()
        .filter(|f| !is_sparse(facts, f, &all))
        .flat_map(|f| f.rows.iter().map(|r| r.made))
        .collect();
    let left = best_sets(facts, &dense, Side::Left, &all);
    let right = best_sets(facts, &dense, Side::Right, &all);
    let available =
        (available(facts, &dense, Side::Left) + available(facts, &dense, Side::Right)).max(1);
    let mut pairs: Vec<(usize, usize, f64)> = Vec::new();
    for (l, ls) in left.iter().enumerate() {
        for (r, rs) in right.iter().enumerate() {
            let share = (ls.covered + rs.covered) as f64 / available as f64;
            pairs.push((l, r, if dense.is_empty() { 1.0 } else { share }));
        }
    }
    pairs.sort_by(|a, b| b.2.total_cmp(&a.2).then((a.0 + a.1).cmp(&(b.0 + b.1))));
    let least = |side: &[SideSet]| minimum.columns.min(side.len() - 1);
    let (least_left, least_right) = (least(&left), least(&right));
    let mut kept: Vec<(usize, usize)> = Vec::new();
    let mut out = Vec::new();
    for (l, r, share) in pairs {
        let beaten = kept.iter().any(|k| k.0 <= l && k.1 <= r);
        if l < least_left || r < least_right || share < minimum.coverage || beaten {
            continue;
        }
        let common = CommonColumns { left: &left[l].parts, right: &right[r].parts };
        let families = facts.families.iter().zip(&own);
        let ways: Vec<Vec<Choice>> =
            families.map(|(f, own)| ways(facts, f, own.as_ref(), common, &all)).collect();
        // The share above is that of the common columns; a family may have others.
        if least_share(facts, &ways) < minimum.coverage {
            continue;
        }
        let shown = shown_share(facts, &ways);
        kept.push((l, r));
        out.push((ways, shown));
        if out.len() == MOST_COLUMN_COUNTS {
            break;
        }
    }
    out
}

/// The share of the made cells that is shown whichever ways are taken, of the
/// families whose columns are chosen here.
fn least_share(facts: &Facts<'_>, ways: &[Vec<Choice>]) -> f64 {
    let (mut made, mut shown) = (0, 0);
    for (family, ways) in facts.families.iter().zip(ways) {
        if matches!(family.columns, Columns::Choose { .. }) {
            made += family.rows.iter().map(|r| r.made.count_ones() as usize).sum::<usize>();
            shown += ways.iter().map(|c| c.covered).min().unwrap_or(0);
        }
    }
    if made == 0 { 1.0 } else { shown as f64 / made as f64 }
}

fn shown_share(facts: &Facts<'_>, ways: &[Vec<Choice>]) -> f64 {
    let made: usize =
        facts.families.iter().flat_map(|f| &f.rows).map(|r| r.made.count_ones() as usize).sum();
    let shown: usize = ways.iter().map(|w| w.iter().map(|c| c.covered).max().unwrap_or(0)).sum();
    shown as f64 / made.max(1) as f64
}

fn is_sparse(facts: &Facts<'_>, family: &FamilyFacts, all: &[PartId]) -> bool {
    best_density_of(facts, family, all) < facts.layout.minimum.density
}

/// How full the fullest columns of a family are, 0 to 1, of at least as many
/// columns as the layout asks for.
pub fn best_density(facts: &Facts<'_>, family: &FamilyFacts) -> f64 {
    let all: Vec<PartId> = (0..facts.parts.len()).map(PartId).collect();
    best_density_of(facts, family, &all)
}

fn best_density_of(facts: &Facts<'_>, family: &FamilyFacts, all: &[PartId]) -> f64 {
    let rows: Vec<u128> = family.rows.iter().map(|r| r.made).collect();
    [Side::Left, Side::Right]
        .into_iter()
        .map(|side| {
            let sets = best_sets(facts, &rows, side, all);
            // The fullest set of at least the minimum's columns.
            let least = facts.layout.minimum.columns.min(sets.len() - 1);
            sets[least..]
                .iter()
                .filter(|s| !s.parts.is_empty())
                .map(|s| s.covered as f64 / (rows.len() * s.parts.len()).max(1) as f64)
                .fold(0.0, f64::max)
        })
        .fold(0.0, f64::max)
}

/// A family's own best columns on each side, for each count of them.
struct OwnSets {
    left: Vec<SideSet>,
    right: Vec<SideSet>,
}

impl OwnSets {
    /// Of a family whose columns are chosen; `all` are the parts to choose from
    /// where the sheet names none.
    fn new(facts: &Facts<'_>, family: &FamilyFacts, all: &[PartId]) -> Option<OwnSets> {
        let Columns::Choose { from } = &family.columns else { return None };
        let from = from.as_deref().unwrap_or(all);
        let rows: Vec<u128> = family.rows.iter().map(|r| r.made).collect();
        let [left, right] =
            [Side::Left, Side::Right].map(|side| best_sets(facts, &rows, side, from));
        Some(OwnSets { left, right })
    }
}

/// The columns that the families of a sheet share.
#[derive(Clone, Copy)]
struct CommonColumns<'a> {
    left: &'a [PartId],
    right: &'a [PartId],
}

/// One to three ways for a family.
fn ways(
    facts: &Facts<'_>,
    family: &FamilyFacts,
    own: Option<&OwnSets>,
    common: CommonColumns<'_>,
    all: &[PartId],
) -> Vec<Choice> {
    let rows = family.rows.len();
    match &family.columns {
        Columns::Loose => vec![loose(facts, family)],
        Columns::Given { left, right } => vec![grid(facts, family, left, right)],
        Columns::Choose { from } => {
            let from = from.as_deref().unwrap_or(all);
            let CommonColumns { left, right } = common;
            let common = grid(facts, family, &among(left, from), &among(right, from));
            let density = density(&common, rows);
            let threshold = facts.layout.minimum.density;
            let mut out = Vec::new();
            if density >= threshold * 0.9 {
                out.push(common.clone());
            }
            let best = |sets: &[SideSet], count: usize| {
                sets.get(count).or(sets.last()).map_or(Vec::new(), |set| set.parts.clone())
            };
            let own = own.map(|own| {
                let (left, right) = (best(&own.left, left.len()), best(&own.right, right.len()));
                grid(facts, family, &left, &right)
            });
            let better = |own: &Choice| {
                own.covered as f64 > common.covered as f64 * 1.15
                    && self::density(own, rows) >= threshold
            };
            if let Some(own) = own.filter(better) {
                out.push(Choice { cost: OWN_COLUMNS, ..own });
            }
            if density < threshold || out.is_empty() {
                out.push(loose(facts, family));
            }
            out
        }
    }
}

fn among(parts: &[PartId], from: &[PartId]) -> Vec<PartId> {
    parts.iter().copied().filter(|p| from.contains(p)).collect()
}

fn density(choice: &Choice, rows: usize) -> f64 {
    let cells = rows * (choice.left.len() + choice.right.len());
    choice.covered as f64 / cells.max(1) as f64
}

fn grid(facts: &Facts<'_>, family: &FamilyFacts, left: &[PartId], right: &[PartId]) -> Choice {
    let rows: Vec<u128> = family.rows.iter().map(|r| r.made).collect();
    let columns: Vec<PartId> = left.iter().chain(right).copied().collect();
    let mut widest: BTreeMap<PartId, (f64, f64)> = BTreeMap::new();
    let (mut tallest, mut tallest_numbered, mut tallest_pair) = (0.0f64, 0.0f64, 0.0f64);
    let mut covered = 0;
    let mut above: Vec<(PartId, PartId)> = Vec::new();
    for &p in &columns {
        let part = facts.part(p);
        widest.insert(p, (part.width, 0.0));
        tallest = tallest.max(part.height);
    }
    for &row in &rows {
        let replaced = stand_ins(facts, row, &columns);
        covered += columns.iter().filter(|p| row >> p.0 & 1 == 1).count() + replaced.len();
        for &(column, with) in &replaced {
            let part = facts.part(with);
            let entry = widest.entry(column).or_default();
            *entry = (entry.0.max(part.width), entry.1.max(part.under_width));
            tallest_pair = tallest_pair.max(part.height + facts.part(column).height);
            if let Some((_, other)) = above.iter().find(|(c, _)| *c == column) {
                tallest_numbered = tallest_numbered.max(part.height.max(facts.part(*other).height));
            }
        }
        above = replaced;
    }
    let slots = |parts: &[PartId]| -> Vec<Slot> {
        parts.iter().map(|p| Slot { part: *p, widest: widest[p].0, label: widest[p].1 }).collect()
    };
    Choice {
        left: slots(left),
        right: slots(right),
        tallest,
        tallest_numbered,
        tallest_pair,
        covered,
        cost: 0.0,
        arrangement: Arrangement::Grid { left: left.to_vec(), right: right.to_vec() },
    }
}

fn loose(facts: &Facts<'_>, family: &FamilyFacts) -> Choice {
    let shown = || {
        family.rows.iter().flat_map(|r| {
            (0..facts.parts.len().min(128)).filter(|&p| r.made >> p & 1 == 1).map(PartId)
        })
    };
    Choice {
        arrangement: Arrangement::Loose,
        left: Vec::new(),
        right: Vec::new(),
        tallest: 0.0,
        tallest_numbered: shown().map(|p| facts.part(p).height).fold(0.0, f64::max),
        tallest_pair: 0.0,
        covered: shown().count(),
        cost: 0.0,
    }
}

/// The parts of a loose row on one side, in lines that are at most `limit` wide,
/// from the spine outwards; lines after the first are set in by [`loose_indent`].
/// Neighbours close up to the columns' own gap before a line wraps.
pub fn loose_lines(
    facts: &Facts<'_>,
    made: u128,
    side: Side,
    scale: f64,
    limit: f64,
) -> Vec<Vec<PartId>> {
    let gap = facts.look.part_gap.min(facts.look.loose_gap);
    let mut lines: Vec<Vec<PartId>> = Vec::new();
    let mut width = f64::INFINITY;
    let mut parts: Vec<PartId> = (0..facts.parts.len().min(128))
        .filter(|&p| made >> p & 1 == 1 && facts.parts[p].side == side)
        .map(PartId)
        .collect();
    if side == Side::Left {
        parts.reverse();
    }
    for part in parts {
        let slot = loose_slot(facts, part, scale);
        let indent = if lines.len() > 1 { loose_indent(facts) } else { 0.0 };
        if width + gap + slot > limit - indent + 1e-9 {
            lines.push(Vec::new());
            width = -gap;
        }
        width += gap + slot;
        if let Some(line) = lines.last_mut() {
            line.push(part);
        }
    }
    lines
}

/// How far from the spine the further lines of a loose row begin, mm.
pub fn loose_indent(facts: &Facts<'_>) -> f64 {
    facts.look.side_gap
}

/// White between neighbours in a line of a loose row, mm: as much as fits, up to the style's.
pub fn loose_gap(facts: &Facts<'_>, line: &[PartId], scale: f64, limit: f64) -> f64 {
    let slots: f64 = line.iter().map(|p| loose_slot(facts, *p, scale)).sum();
    let gaps = line.len().saturating_sub(1).max(1) as f64;
    let (least, most) = (facts.look.part_gap, facts.look.loose_gap);
    ((limit - slots) / gaps).clamp(least.min(most), most)
}

/// Width of a part with its number in a loose row, mm.
pub fn loose_slot(facts: &Facts<'_>, part: PartId, scale: f64) -> f64 {
    let part = facts.part(part);
    (part.width * scale).max(part.under_width)
}

/// Height of one line of a loose row, mm.
pub fn loose_line_height(facts: &Facts<'_>, tallest: f64, scale: f64) -> f64 {
    let look = &facts.look;
    tallest * scale + look.under_gap + look.voices.under.cap + look.row_gap
}
