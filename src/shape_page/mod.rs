//! The page of shapes: every drawing as it was understood, at true size.
//!
//! ```text
//! Range -> DrawnPart a part (drawn in every finish, measured) -> blocks with their cells
//!       -> lines on pages -> Canvas
//! ```
//!
//! Whoever makes a drawing checks this before anything else: what was taken
//! for the body, for holes and for shading, how large it came out, and whether
//! enough of it stays flat to compare colours by.

mod blocks;
pub mod colours;
mod draw;
mod flow;
pub mod report;
mod shapes;
pub mod understood;
mod voices;

use crate::diag::Findings;
use crate::plan::papers::Paper;
use crate::plan::{Look, Style};
use crate::sheet::canvas::Canvas;
use crate::sheet::{Sheet, Workshop};
use crate::supplies::{Naming, tick_list};
use crate::units::pt_to_mm;

pub use colours::Pair;
pub use shapes::{DrawnPart, DrawnParts};
pub use understood::{Understood, understood};

/// No type is smaller, points: the page is read at arm's length.
const FLOOR_PT: f64 = 6.0;

/// Lays the parts out on pages of `paper`, in the faces and inks of `style`.
///
/// # Errors
/// The style lacks a face or an ink, or its fonts a character of a text.
pub fn sheet(
    shown: &DrawnParts,
    naming: &Naming<'_>,
    style: &Style,
    paper: Paper,
) -> Result<Sheet, Findings> {
    let look = Look::new(style, paper.width, paper.height, pt_to_mm(FLOOR_PT))?;
    let voices = voices::Voices::new(&look);
    let frame = flow::page(paper);
    let blocks = blocks::blocks(shown, naming, &look, &voices, &frame);
    let pages = flow::flow(&blocks, &frame);
    let workshop = Workshop::empty();
    let canvas = Canvas::new(&look, &workshop);
    let mut pen = draw::Pen { canvas, voices: &voices, frame: &frame, naming, shown };
    pen.pages(&blocks, &pages);
    let about = naming.about(naming.say("shapes_title", &[("title", &naming.title())]));
    let sheet = pen.canvas.finish(paper.width, paper.height, 0.0, about);
    let missing = tick_list::missing_characters(&sheet);
    if missing.failed() { Err(missing) } else { Ok(sheet) }
}
