//! Pages to lay parts on and to photograph.
//!
//! ```text
//! range + sheet -> samples (which part in which colour) -> layout -> StagePage a page (millimetres)
//!               -> draw -> Sheet -> PDF        and, for whoever reads the photographs, a file of the pages
//! ```
//!
//! What is drawn on a page and what is looked for in its photograph is one description, the
//! [`StagePage`]: a mark cannot be elsewhere than where it is searched.

pub mod chart;
mod draw;
pub mod file;
mod frame;
mod given;
mod known;
mod layout;
pub mod marks;
mod measures;
mod samples;
mod staging;

use crate::capture::page::StagePage;
use crate::diag::{Diagnostic, Findings};
use crate::plan::Look;
use crate::sheet::canvas::Canvas;
use crate::sheet::{Sheet, Workshop};
use crate::supplies::tick_list;
use crate::units::pt_to_mm;

pub use draw::{foot as draw_foot, marks as draw_marks};
pub use file::StageFile;
pub use frame::{Frame, PlacedPage};
pub use given::{GivenPicture, given};
pub use known::{PHOTOGRAPH, know, known};
pub use layout::polygons;
pub use marks::marked as mark;
pub use measures::{CODE, rounded};
pub use samples::{StageSample, samples};
pub use staging::{LEAST_PAGE, MOST_PAGE, StageChart, Staging};

/// No type is smaller, points: the page is read at arm's length.
const FLOOR_PT: f64 = 6.0;
/// The pages for some samples, and what is printed on them.
///
/// # Errors
/// A part that is larger than the page; a face or an ink that the style lacks; a character that its
/// fonts lack.
pub fn stage(
    samples: &[StageSample],
    staging: &Staging<'_>,
) -> Result<(Vec<StagePage>, Sheet), Findings> {
    let (width, height) = staging.size;
    let naming = &staging.naming;
    let look = Look::new(staging.style, width, height, pt_to_mm(FLOOR_PT))?;
    let placed = layout::pages(samples, staging).map_err(|faults| {
        let mut findings = Findings::default();
        faults.into_iter().for_each(|d: Diagnostic| findings.push(d));
        findings
    })?;
    let pages = marks::marked(placed.iter().map(|p| p.page.clone()).collect(), naming);
    let workshop = Workshop::empty();
    let mut pen = draw::Pen::new(Canvas::new(&look, &workshop), naming);
    for (number, (page, placed)) in pages.iter().zip(&placed).enumerate() {
        if number > 0 {
            pen.canvas.next_page();
        }
        pen.page(page, placed, (number + 1, pages.len()))?;
    }
    let about = naming.about(naming.say("stage_title", &[("title", &naming.title())]));
    let sheet = pen.canvas.finish(width, height, 0.0, about);
    let missing = tick_list::missing_characters(&sheet);
    if missing.failed() { Err(missing) } else { Ok((pages, sheet)) }
}
