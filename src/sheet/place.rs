//! From a plan to positions: the only place that turns row pitches into millimetres.

use kurbo::Point;

use super::canvas::Canvas;
use super::fragment::Fragment;
use super::item::{About, Sheet};
use super::rows::PlacedRow;
use super::scene::{Frame, MOST_PART_GAP, Scene};
use super::workshop::Workshop;
use super::{foot, furniture, head, rows, title};
use crate::plan::measure::{QUARTERS, column_widths};
use crate::plan::menu::Arrangement;
use crate::plan::{PageColumn, PlannedRun};

/// Most half pitches of white above a heading inside a column.
const MOST_HALVES: usize = 3;
/// How much taller loose rows may become before there is more white above headings, as a share.
const MOST_LOOSER: f64 = 0.2;
/// Most that the gap beside the spine grows.
const MOST_SIDE_GAP: f64 = 2.2;

/// Places everything.
pub fn place(scene: &Scene<'_>, workshop: &Workshop) -> Sheet {
    let (facts, plan) = (scene.facts, scene.plan);
    let mut canvas = Canvas::new(&facts.look, workshop);
    for (i, columns) in plan.pages.iter().enumerate() {
        if i > 0 {
            canvas.next_page();
        }
        title::draw(&mut canvas, scene, i);
        page(&mut canvas, scene, columns);
        foot::draw(&mut canvas, scene);
    }
    let about = About {
        title: title::heading(scene),
        author: scene.spelling.apply(facts.range.maker()),
        language: scene.spelling.tag().to_owned(),
        issue_date: facts.sheet.issue_date(),
        year: facts.sheet.year(),
    };
    canvas.finish(plan.width, plan.height, facts.layout.bleed, about)
}

fn page(canvas: &mut Canvas<'_>, scene: &Scene<'_>, columns: &[PageColumn]) {
    let stand = Standing::new(scene, columns);
    for column in &stand.columns {
        page_column(canvas, scene, column);
    }
    if let Some(across) = &stand.across {
        let corner = Point::new(scene.facts.look.side, stand.bottom - across.height);
        across.place(canvas, corner);
    }
}

/// Where everything between title and foot of a page is.
pub(super) struct Standing<'a> {
    pub columns: Vec<Stood<'a>>,
    /// Lower edge of everything but the foot of the page.
    bottom: f64,
    /// Furniture across the page.
    pub across: Option<Fragment>,
}

/// What is in a page column, mm from the top of the page.
pub(super) struct Stood<'a> {
    pub frame: Frame,
    pub blocks: Vec<Block<'a>>,
    pub furniture: Option<StoodFurniture>,
}

/// Furniture in a page column.
pub(super) struct StoodFurniture {
    /// Its upper edge, mm from the top of the page.
    pub top: f64,
    pub fragment: Fragment,
}

impl StoodFurniture {
    /// Its lower edge, mm from the top of the page.
    pub fn foot(&self) -> f64 {
        self.top + self.fragment.height
    }
}

/// From where to where page columns reach, mm from the top of the page.
#[derive(Clone, Copy)]
struct Reach {
    top: f64,
    foot: f64,
}

impl<'a> Standing<'a> {
    /// Of one of the plan's pages.
    pub fn new(scene: &Scene<'_>, columns: &'a [PageColumn]) -> Standing<'a> {
        let look = &scene.facts.look;
        let bottom = scene.plan.height - look.bottom - look.foot_height;
        let last = scene.plan.pages.last().is_some_and(|p| std::ptr::eq(p.as_slice(), columns));
        let across = scene.plan.furniture.across().filter(|_| last);
        let across = across.map(|piece| furniture::fragment(scene, scene.plan.body.width, piece));
        let foot = bottom - across.as_ref().map_or(0.0, |across| across.height + look.head_pad);
        let reach = Reach { top: look.top + look.title_height, foot };
        let stood = |(frame, column): (Frame, &'a PageColumn)| {
            let piece = scene.plan.furniture.in_column().filter(|_| column.furniture);
            let fragment = piece.map(|piece| furniture::fragment(scene, frame.width, piece));
            let height = fragment.as_ref().map_or(0.0, |fragment| fragment.height);
            let blocks = blocks(scene, column, reach, height);
            let furniture = fragment.map(|fragment| {
                let top = furniture_top(scene, &blocks, reach, fragment.height);
                StoodFurniture { top, fragment }
            });
            Stood { frame, blocks, furniture }
        };
        let columns = frames(scene, columns).into_iter().zip(columns).map(stood).collect();
        Standing { columns, bottom, across }
    }
}

/// Page columns side by side.
fn frames(scene: &Scene<'_>, columns: &[PageColumn]) -> Vec<Frame> {
    let (look, plan) = (&scene.facts.look, scene.plan);
    let count = plan.pages.first().map_or(1, Vec::len).max(1);
    let least: Vec<f64> = columns.iter().map(PageColumn::width).collect();
    let mut x = look.side;
    columns
        .iter()
        .zip(column_widths(&least, count, plan.body.width, look.gutter))
        .map(|(column, width)| {
            let frame = frame(scene, column, x, width);
            x += width + look.gutter;
            frame
        })
        .collect()
}

/// Gives the white left over to the inner gaps first, then beside the spine,
/// then to the outer edges.
fn frame(scene: &Scene<'_>, column: &PageColumn, x: f64, width: f64) -> Frame {
    let look = &scene.facts.look;
    let spine_width = scene.plan.spine.width;
    let mut extra = (width - column.left - column.centre - column.right).max(0.0);
    let (left_gaps, right_gaps) = inner_gaps(scene, column);
    let most = (MOST_PART_GAP - 1.0) * look.part_gap;
    let gaps = (left_gaps + right_gaps) as f64;
    let each = if gaps > 0.0 { (extra / gaps).min(most) } else { 0.0 };
    extra -= each * gaps;
    let side = (extra / 2.0).min((MOST_SIDE_GAP - 1.0) * look.side_gap);
    extra -= side * 2.0;
    let (mut left, mut right) =
        (column.left + each * left_gaps as f64, column.right + each * right_gaps as f64);
    // What is still left stays outside, the same on both sides.
    left += extra / 2.0;
    right += extra / 2.0;
    let side_gap = look.side_gap + side;
    Frame { x, width, spine_x: x + left + side_gap, spine_width, left, right, side_gap }
}

/// Inner gaps left and right of the block with most columns.
fn inner_gaps(scene: &Scene<'_>, column: &PageColumn) -> (usize, usize) {
    let most = |side: fn(&crate::plan::Choice) -> usize| {
        column
            .runs
            .iter()
            .map(|r| side(&scene.plan.families[r.family].choice).saturating_sub(1))
            .max()
            .unwrap_or(0)
    };
    (most(|c| c.left.len()), most(|c| c.right.len()))
}

/// Rows under their heading, as they are in a page column, mm from the top of the page.
pub(super) struct Block<'a> {
    run: &'a PlannedRun,
    /// The heading's rule.
    pub head: f64,
    /// Upper edge of the first row, lower edge of the last.
    rows: f64,
    pub foot: f64,
    /// What each row is taller than planned.
    more: f64,
}

/// The blocks of a page column whose furniture is `furniture` mm high.
fn blocks<'a>(
    scene: &Scene<'_>,
    column: &'a PageColumn,
    reach: Reach,
    furniture: f64,
) -> Vec<Block<'a>> {
    let plan = scene.plan;
    let quarter = plan.pitch / f64::from(QUARTERS);
    let white = white(scene, column, reach.foot - reach.top, furniture);
    let mut y = reach.top;
    let mut out = Vec::new();
    for (i, run) in column.runs.iter().enumerate() {
        // A heading inside a column is over a whole number of quarters.
        let space = f64::from(plan.head) * quarter;
        let rows = if i == 0 { y + plan.head_height } else { y + white.above[i - 1] + space };
        let quarters: u32 = plan.families[run.family].rows[run.from..run.to].iter().sum();
        let more = white.rows[i];
        y = rows + f64::from(quarters) * quarter + more * (run.to - run.from) as f64;
        out.push(Block { run, head: rows - plan.head_height, rows, more, foot: y });
    }
    out
}

fn page_column(canvas: &mut Canvas<'_>, scene: &Scene<'_>, column: &Stood<'_>) {
    let plan = scene.plan;
    let quarter = plan.pitch / f64::from(QUARTERS);
    let frame = &column.frame;
    for block in &column.blocks {
        let run = block.run;
        let planned = &plan.families[run.family];
        head::draw(canvas, scene, frame, run, block.head);
        let mut top = block.rows;
        for index in run.from..run.to {
            let height = f64::from(planned.rows[index]) * quarter + block.more;
            let row = PlacedRow { family: run.family, index, top, height };
            match planned.choice.arrangement {
                Arrangement::Grid { .. } => rows::grid(canvas, scene, frame, &row),
                Arrangement::Loose => rows::loose(canvas, scene, frame, &row),
            }
            top += height;
        }
    }
    if let Some(furniture) = &column.furniture {
        furniture.fragment.place(canvas, Point::new(frame.x, furniture.top));
    }
}

/// Where the furniture of a column is: at its foot, but never farther below the last block than
/// a heading may be. White belongs under a column, not into it.
fn furniture_top(scene: &Scene<'_>, blocks: &[Block<'_>], reach: Reach, height: f64) -> f64 {
    let Reach { top, foot } = reach;
    let (plan, look) = (scene.plan, &scene.facts.look);
    let quarter = plan.pitch / f64::from(QUARTERS);
    let end = blocks.last().map_or(top, |b| b.foot);
    let most = MOST_HALVES as f64 * plan.pitch / 2.0 + look.head_pad;
    let lowest = foot - height;
    if blocks.is_empty() || lowest - end <= most {
        // Headings of other columns are on the lattice: no rule is beside theirs by a hair.
        let lattice = top + ((lowest - top) / quarter).round() * quarter;
        return if (lattice - lowest).abs() < NEAR_MISS { lattice } else { lowest };
    }
    let usual = f64::from(plan.head) * quarter - plan.head_height;
    (end + usual.max(look.head_pad)).min(lowest)
}

/// Lines that differ by less than this look as if they were meant to be on one, mm.
const NEAR_MISS: f64 = 0.6;

/// White that a page column has to spare, as its blocks take it up, mm.
struct White {
    /// Above each heading inside the column, first to last.
    above: Vec<f64>,
    /// More height of each row of a run, nothing but in loose rows.
    rows: Vec<f64>,
}

/// Whole half pitches, so that rows still line up across the page: one for each heading, then loose rows,
/// which keep to no lattice, up to [`MOST_LOOSER`]; the rest as even as it comes above the headings, at
/// most [`MOST_HALVES`] each. The furniture takes what is left for it.
fn white(scene: &Scene<'_>, column: &PageColumn, height: f64, furniture: f64) -> White {
    let plan = scene.plan;
    let look = &scene.facts.look;
    let quarter = plan.pitch / f64::from(QUARTERS);
    let used = plan.head_height + f64::from(column.used) * quarter;
    let pad = if column.furniture { look.head_pad } else { 0.0 };
    let free = height - used - furniture - pad;
    let heads = column.runs.len().saturating_sub(1);
    let places = heads + usize::from(column.furniture && heads > 0);
    let mut out = White { above: vec![0.0; heads], rows: vec![0.0; column.runs.len()] };
    if heads == 0 || free <= 0.0 {
        return out;
    }
    let half = plan.pitch / 2.0;
    let mut halves = (free / half + 1e-6).floor() as usize;
    for (run, more) in column.runs.iter().zip(&mut out.rows) {
        let planned = &plan.families[run.family];
        if planned.choice.arrangement == Arrangement::Loose {
            let own = &planned.rows[run.from..run.to];
            let tall = f64::from(own.iter().sum::<u32>()) * quarter;
            let given = halves.saturating_sub(places).min((MOST_LOOSER * tall / half) as usize);
            *more = given as f64 * half / own.len().max(1) as f64;
            halves -= given;
        }
    }
    let (each, more) = (halves / places, halves % places);
    for (i, above) in out.above.iter_mut().enumerate() {
        *above = (each + usize::from(i < more)).min(MOST_HALVES) as f64 * half;
    }
    out
}
