//! A print to be read: the values of a sheet on a paper, and values a step away from them, each where it can be found
//! again.
//!
//! ```text
//! Print + Paper -> Wanted (which values) -> pages of parts with patches around them (by eye, by photograph)
//!                                        -> pages of a chart (by instrument) with its reference
//! ```

mod cells;
mod chart;
mod draw;
mod form;
mod reference;
mod request;
mod shuffle;
mod steps;
mod wanted;

use crate::capture::page::StagePage;
use crate::diag::Findings;
use crate::plan::Look;
use crate::sheet::canvas::Canvas;
use crate::sheet::{Sheet, Workshop};
use crate::stage::{PlacedPage, draw_marks, mark};
use crate::supplies::tick_list;
use crate::units::pt_to_mm;

pub use form::{Answer, FormLine, form, read_form};
pub use reference::cgats;
pub use request::TargetRequest;
pub use steps::Step;
pub use wanted::{CellWanted, PatchWanted, Wanted};

/// No type is smaller, points.
const FLOOR_PT: f64 = 5.0;

/// A target, ready to be painted.
pub struct Target {
    pub pages: Vec<StagePage>,
    pub sheet: Sheet,
    pub wanted: Wanted,
}

/// Lays out and draws a target.
///
/// # Errors
/// A part that is larger than the page; a face or an ink that the style lacks; a character that its fonts lack.
pub fn target(request: &TargetRequest<'_>) -> Result<Target, Findings> {
    let (width, height) = request.size;
    let naming = &request.naming;
    let look = Look::new(request.style, width, height, pt_to_mm(FLOOR_PT))?;
    let wanted = Wanted::of(request)?;
    let mut placed: Vec<PlacedPage> = Vec::new();
    if request.cells {
        placed.extend(cells::pages(&wanted.cells, request));
    }
    let parts = placed.len();
    if request.chart {
        placed.extend(chart::pages(&wanted.patches, request.size));
    }
    let pages = mark(placed.iter().map(|p| p.page.clone()).collect(), naming);
    let workshop = Workshop::empty();
    let mut pen = draw::Pen::new(Canvas::new(&look, &workshop), request);
    for (number, page) in pages.iter().enumerate() {
        if number > 0 {
            pen.canvas.next_page();
        }
        draw_marks(&mut pen.canvas, page)?;
        pen.page(page, number < parts, (number + 1, pages.len()));
    }
    let about = naming.about(naming.say("target_title", &[("title", &naming.title())]));
    let sheet = pen.canvas.finish(width, height, 0.0, about);
    let missing = tick_list::missing_characters(&sheet);
    if missing.failed() { Err(missing) } else { Ok(Target { pages, sheet, wanted }) }
}
