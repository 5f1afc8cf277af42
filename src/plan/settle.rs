//! From the best arrangement to the plan: row pitch, spine, figures.

use kurbo::Rect;

use super::blocks::{PageColumn, PlannedFamily, PlannedRun};
use super::bounds::bound;
use super::facts::{Facts, SpineChoice};
use super::fill::FilledColumn;
use super::measure::{Body, QUARTERS, column_widths, head_height, loose_limits};
use super::score::MOST_STRETCH;
use super::search::{Best, Candidate, Search, Setting};
use super::solution::Plan;
use super::unshown::Unshown;

/// The plan of an arrangement.
pub(super) fn settle(search: &Search<'_>, best: Best<'_>) -> Plan {
    let Best { candidate, tried } = best;
    let facts = search.facts;
    let menu = &search.menus[candidate.pick.menu];
    let setting = search.setting(candidate.pick);
    let body = setting.body;
    let families = families(search, &setting, &candidate);
    let mut columns: Vec<PageColumn> = candidate.filled.columns.iter().map(page_column).collect();
    let spine = with_room(facts, menu.spine, &mut columns, candidate.columns, body);
    let fullest = candidate.filled.columns.iter().map(|c| c.used).max().unwrap_or(1).max(1);
    Plan {
        width: candidate.pick.page.width,
        height: candidate.pick.page.height,
        scale: candidate.pick.scale,
        pitch: pitch(search, &setting, &columns, &candidate),
        head: setting.menu.head,
        head_height: head_height(facts, menu),
        room: fullest,
        spine,
        turned: menu.turned,
        coverage: coverage(facts, &families),
        families,
        pages: columns.chunks(candidate.columns).map(<[PageColumn]>::to_vec).collect(),
        furniture: candidate.furniture,
        loose_limits: loose_limits(facts, menu, body, candidate.pick.scale),
        body,
        splits: candidate.filled.splits,
        inversions: candidate.order.inversions,
        score: candidate.score,
        bound: bound(facts, menu, &search.pages),
        tried,
        used: 1.0,
        type_area: Rect::ZERO,
        smaller: None,
        unshown: Unshown::default(),
    }
}

/// The families in the order drawn, each in the way that was chosen for it.
fn families(
    search: &Search<'_>,
    setting: &Setting,
    candidate: &Candidate<'_>,
) -> Vec<PlannedFamily> {
    let order = &candidate.order.families;
    let mut ways = vec![0; order.len()];
    for run in candidate.filled.columns.iter().flat_map(|c| &c.runs) {
        ways[run.family] = run.way;
    }
    let planned = |(&index, &way): (&usize, &usize)| PlannedFamily {
        index,
        choice: search.menus[setting.pick.menu].families[index][way].clone(),
        rows: setting.menu.families[index][way].rows.clone(),
    };
    order.iter().zip(&ways).map(planned).collect()
}

/// The row pitch that brings the fullest column exactly to the foot: rows
/// where there is no furniture, the furniture's true height where it is.
fn pitch(
    search: &Search<'_>,
    setting: &Setting,
    columns: &[PageColumn],
    candidate: &Candidate<'_>,
) -> f64 {
    let (facts, body, scale) = (search.facts, setting.body, setting.pick.scale);
    let tall = |width, piece| (search.furniture)(facts, width, scale, piece) + facts.look.head_pad;
    let across = candidate.furniture.across().map_or(0.0, |piece| tall(body.width, piece));
    let head = head_height(facts, &search.menus[setting.pick.menu]);
    let space = body.height - head - across;
    let least: Vec<f64> = columns.iter().map(PageColumn::width).collect();
    let stands = columns.iter().position(|c| c.furniture);
    let furniture = stands.zip(candidate.furniture.in_column()).map_or(0.0, |(at, piece)| {
        tall(search.drawn_width(&least, at, candidate.columns, body), piece)
    });
    columns
        .iter()
        .filter(|c| c.used > 0)
        .map(|c| {
            let furniture = if c.furniture { furniture } else { 0.0 };
            (space - furniture) * f64::from(QUARTERS) / f64::from(c.used)
        })
        .fold(setting.menu.pitch * MOST_STRETCH, f64::min)
        .max(setting.menu.pitch)
}

/// Gives names that had to be set small the width that all columns have to spare.
fn with_room(
    facts: &Facts<'_>,
    spine: SpineChoice,
    columns: &mut [PageColumn],
    count: usize,
    body: Body,
) -> SpineChoice {
    let spare = |page: &[PageColumn]| {
        let least: Vec<f64> = page.iter().map(PageColumn::width).collect();
        let widths = column_widths(&least, count, body.width, facts.look.gutter);
        widths.iter().zip(least).map(|(w, least)| w - least).fold(f64::INFINITY, f64::min)
    };
    let more = columns.chunks(count).map(spare).fold(f64::INFINITY, f64::min);
    let eased = spine.with_room(facts, more.max(0.0));
    for column in columns.iter_mut() {
        column.centre += eased.width - spine.width;
    }
    eased
}

/// Share of the made cells that is shown.
fn coverage(facts: &Facts<'_>, families: &[PlannedFamily]) -> f64 {
    let made: usize =
        facts.families.iter().flat_map(|f| &f.rows).map(|r| r.made.count_ones() as usize).sum();
    let shown: usize = families.iter().map(|f| f.choice.covered).sum();
    shown as f64 / made.max(1) as f64
}

fn page_column(column: &FilledColumn) -> PageColumn {
    PageColumn {
        runs: column
            .runs
            .iter()
            .map(|r| PlannedRun { family: r.family, from: r.from, to: r.to })
            .collect(),
        used: column.used - column.furniture.unwrap_or(0),
        furniture: column.furniture.is_some(),
        left: column.left,
        centre: column.centre,
        right: column.right,
    }
}
