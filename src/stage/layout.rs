//! Where on the pages the parts lie.

use kurbo::{BezPath, PathEl, Point, Vec2};

use super::frame::{FOOT, Frame, PlacedPage, UNDER_HEAD};
use super::known::known;
use super::marks::{self, DOT, EDGE};
use super::measures::{CARD, CODE, LABEL, MARGIN, rounded};
use super::samples::StageSample;
use super::staging::{StageChart, Staging};
use crate::capture::page::{Chart, Ground, PartPlace, Rect};
use crate::diag::Diagnostic;
use crate::range::{ColourId, PartId, Value};
use crate::supplies::Naming;

/// Round a part in its place, mm.
const CLEAR: f64 = 2.5;
/// The least sides of a place, mm.
const LEAST: f64 = 11.0;
/// Paper between places side by side, mm.
const GAP: f64 = 5.0;
/// Under the label, paper, mm.
const ROW_GAP: f64 = 4.4;
/// A part's heading over its first row, mm.
pub const HEADING: f64 = 5.4;
/// A line of dots between rows, and how far lines of dots are apart at most before a row ends, mm.
const DOT_LINE: f64 = 4.4;
const DOTS_APART: f64 = 34.0;
/// Lighter than this, a part lies on grey, which throws less light back at it than white and less glare beside
/// it than black; darker than the second, on white; between them on black. CIELAB.
const LIGHT: f64 = 88.0;
const DARK: f64 = 55.0;
/// How far an outline's polygon may leave its curve, mm.
const FLATNESS: f64 = 0.02;

/// The pages of some samples.
///
/// # Errors
/// Each part that no page holds; a chart that none holds.
pub fn pages(
    samples: &[StageSample],
    staging: &Staging<'_>,
) -> Result<Vec<PlacedPage>, Vec<Diagnostic>> {
    let mut flow = Flow::new(staging);
    let mut faults = Vec::new();
    if let Some(fault) = flow.no_room_for_card() {
        return Err(vec![fault]);
    }
    for of_part in samples.chunk_by(|a, b| a.part == b.part) {
        match flow.cell(of_part[0].part) {
            Ok(cell) => flow.part(of_part, cell),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(flow.done) } else { Err(faults) }
}

/// Pages as they fill up.
struct Flow<'a> {
    naming: &'a Naming<'a>,
    size: (f64, f64),
    /// The chart, and the room of the card that carries it.
    chart: Option<Chart>,
    card: Option<Rect>,
    done: Vec<PlacedPage>,
    /// The top of the next row, and that of the last line of dots.
    y: f64,
    dots_at: f64,
}

impl<'a> Flow<'a> {
    fn new(staging: &'a Staging<'a>) -> Flow<'a> {
        let (naming, size) = (&staging.naming, staging.size);
        let card = staging.chart.as_ref().map(|chart| card(chart, size));
        let chart = staging.chart.as_ref().zip(card).map(|(chart, card)| {
            let (left, top) = (rounded(card.left + CARD), rounded(card.top + CARD));
            let rect = Rect { left, top, width: chart.size.0, height: chart.size.1 };
            Chart { rect, columns: chart.columns, patches: chart.patches.clone() }
        });
        Flow { naming, size, chart, card, done: Vec::new(), y: f64::INFINITY, dots_at: 0.0 }
    }

    /// A chart that is larger than the page.
    fn no_room_for_card(&self) -> Option<Diagnostic> {
        let card = self.card?;
        let fits = card.left >= MARGIN && card.top + card.height <= self.bottom();
        let (width, height) = (card.width, card.height);
        let message = format!(
            "the chart with {CARD:.0} mm around it is {width:.0} x {height:.0} mm and has no room on a page of {:.0} x {:.0} mm",
            self.size.0, self.size.1
        );
        let help = "use a larger page, for example --page 297x420";
        (!fits).then(|| Diagnostic::error("chart-too-large", message).help(help))
    }

    fn top(&self) -> f64 {
        MARGIN + CODE + UNDER_HEAD
    }

    fn bottom(&self) -> f64 {
        self.size.1 - FOOT
    }

    /// Width and height of the places of a part.
    fn cell(&self, part: PartId) -> Result<(f64, f64), Diagnostic> {
        let part = self.naming.range.part(part);
        let extent = part.shape().extent;
        let side = |length: f64| rounded((length + 2.0 * CLEAR).max(LEAST));
        let (width, height) = (side(extent.width()), side(extent.height()));
        let room = (self.size.0 - 2.0 * MARGIN, self.bottom() - self.top() - HEADING - LABEL);
        if width <= room.0 && height <= room.1 {
            return Ok((width, height));
        }
        let message = format!(
            "the part '{}' is {:.0} x {:.0} mm and has no room on a page of {:.0} x {:.0} mm",
            part.key(),
            extent.width(),
            extent.height(),
            self.size.0,
            self.size.1
        );
        let help =
            "use a larger page, for example --page 297x420, or leave the part out with --part";
        Err(Diagnostic::error("part-too-large", message).at(part.span().clone()).help(help))
    }

    /// Where a row at this height ends on the right, mm.
    fn right(&self) -> f64 {
        match &self.card {
            Some(card) if self.y < card.top + card.height => card.left - GAP,
            _ => self.size.0 - MARGIN,
        }
    }

    /// Rows of one part.
    fn part(&mut self, samples: &[StageSample], (width, height): (f64, f64)) {
        let (mut rest, mut is_first) = (samples, true);
        while !rest.is_empty() {
            let heading = if is_first { HEADING } else { 0.0 };
            let needed = heading + height + LABEL;
            if self.y + needed <= self.bottom() && self.right() - MARGIN < width {
                // Beside the chart there is no room for it.
                self.y = self.card.map_or(self.y, |card| card.top + card.height + UNDER_HEAD);
            }
            if self.y + needed > self.bottom() {
                self.next_page();
                is_first = true;
                continue;
            }
            if is_first {
                let baseline = Point::new(MARGIN, self.y + HEADING - 1.7);
                let room = self.right() - MARGIN;
                self.last(|page| page.headings.push((baseline, rest[0].part, room)));
                self.y += HEADING;
                is_first = false;
            }
            let body = self.right() - MARGIN;
            let across = (((body + GAP) / (width + GAP)) as usize).max(1);
            let (row, after) = rest.split_at(across.min(rest.len()));
            // As wide as the page: gaps take what is left, up to half a place.
            let gap = (body - width * across as f64) / (across.max(2) - 1) as f64;
            let most = if samples.len() >= across { GAP + width / 2.0 } else { GAP };
            self.row(row, (width, height), gap.min(most));
            rest = after;
        }
    }

    /// One row.
    fn row(&mut self, row: &[StageSample], (width, height): (f64, f64), gap: f64) {
        for (i, sample) in row.iter().enumerate() {
            let left = rounded(MARGIN + (width + gap) * i as f64);
            let frame = Rect { left, top: rounded(self.y), width, height };
            let place = self.place(*sample, frame);
            self.last(|page| page.page.places.push(place));
        }
        self.y += height + LABEL + ROW_GAP;
        self.dots();
    }

    /// A line of dots under a row, where the last one is far away.
    fn dots(&mut self) {
        let ends = self.bottom() - self.y < LEAST + LABEL;
        if self.y - self.dots_at < DOTS_APART || ends {
            return;
        }
        let y = rounded(self.y + DOT_LINE / 2.0 - ROW_GAP / 2.0);
        let card = self.card;
        let is_free = |x: &f64| !card.is_some_and(|card| card.holds((*x, y), 2.0 * DOT));
        let line = marks::along(MARGIN + DOT, self.size.0 - MARGIN - DOT).into_iter();
        let line: Vec<(f64, f64)> = line.filter(is_free).map(|x| (x, y)).collect();
        self.last(|page| page.page.dots.extend(line));
        self.dots_at = y;
        self.y += DOT_LINE;
    }

    fn next_page(&mut self) {
        let mut placed = Frame::new(self.size).page();
        placed.page.chart = self.chart.clone();
        self.done.push(placed);
        self.y = self.top();
        self.dots_at = EDGE;
    }

    fn last(&mut self, change: impl FnOnce(&mut PlacedPage)) {
        if let Some(page) = self.done.last_mut() {
            change(page);
        }
    }

    fn place(&self, sample: StageSample, frame: Rect) -> PartPlace {
        let range = self.naming.range;
        let (part, colour) = (range.part(sample.part), range.colour(sample.colour));
        let (x, y) = frame.centre();
        PartPlace {
            part: part.key().clone(),
            colour: colour.key().clone(),
            number: label(self.naming, sample.colour),
            frame,
            ground: ground(self.naming, sample.colour),
            outline: polygons(&part.shape().outline, Vec2::new(x, y)),
            known: known(colour, false),
            boxed: part.boxed(),
        }
    }
}

/// The room of a chart with its card: at the right, under the head.
fn card(chart: &StageChart, (width, _): (f64, f64)) -> Rect {
    let (wide, high) = (chart.size.0 + 2.0 * CARD, chart.size.1 + 2.0 * CARD);
    let (left, top) = (rounded(width - MARGIN - wide), rounded(MARGIN + CODE + UNDER_HEAD));
    Rect { left, top, width: wide, height: high }
}

/// A colour's number, or its name where the listing has none for it.
fn label(naming: &Naming<'_>, colour: ColourId) -> String {
    naming.colour_number(colour).map_or_else(|| naming.colour_name(colour), str::to_owned)
}

/// Lightness against the ground makes an edge: at least 30 of CIELAB.
fn ground(naming: &Naming<'_>, colour: ColourId) -> Ground {
    let colour = naming.range.colour(colour);
    match colour.aim().l {
        _ if *colour.value() == Value::Unknown => Ground::White,
        l if l >= LIGHT => Ground::Grey,
        l if l >= DARK => Ground::Black,
        _ => Ground::White,
    }
}

/// An outline as closed polygons, moved.
pub fn polygons(outline: &BezPath, by: Vec2) -> Vec<Vec<(f64, f64)>> {
    let mut out: Vec<Vec<(f64, f64)>> = Vec::new();
    let at = |p: Point| (rounded(p.x + by.x), rounded(p.y + by.y));
    kurbo::flatten(outline, FLATNESS, |element| match element {
        PathEl::MoveTo(p) => out.push(vec![at(p)]),
        PathEl::LineTo(p) => {
            if let Some(polygon) = out.last_mut() {
                polygon.push(at(p));
            }
        }
        _ => {}
    });
    out.retain(|polygon| polygon.len() > 2);
    out
}
