//! The note on pages to print or send.
//!
//! ```text
//! Note -> blocks in reading order, each with its height -> columns and pages -> Canvas
//! ```

mod blocks;
mod draw;
mod flow;

use self::blocks::{Voices, blocks};
use self::draw::Pen;
use super::content::Note;
use crate::diag::Diagnostic;
use crate::plan::Look;
use crate::range::{ColourRange, Pictures};
use crate::sheet::canvas::Canvas;
use crate::sheet::{About, Setting, Sheet, Workshop};
use crate::spelling::Spelling;
use crate::units::pt_to_mm;

/// No type is smaller: a note is read at arm's length.
const FLOOR_PT: f64 = 7.5;

/// Lays a note out. Parts are drawn from the range, the new one, or shown by their pictures.
///
/// # Errors
/// The style lacks a face or an ink.
pub fn sheet(
    note: &Note,
    (range, pictures): (&ColourRange, Option<&Pictures>),
    spelling: &Spelling,
    setting: &Setting<'_>,
) -> Result<Sheet, Diagnostic> {
    let Setting { style, paper, work } = *setting;
    let look = Look::new(style, paper.width, paper.height, pt_to_mm(FLOOR_PT))?;
    let voices = Voices::new(&look);
    let frame = flow::page(paper, note.sections.len());
    let list = blocks(note, range, &look, &voices, frame.column);
    let placed = flow::flow(&list, &frame);
    let workshop = Workshop::new(range, work).with(pictures);
    let mut pen =
        Pen { canvas: Canvas::new(&look, &workshop), voices: &voices, frame: &frame, range };
    pen.pages(note, spelling, &list, &placed);
    let about = About {
        title: [note.title.as_str(), &note.releases].join(" · ").trim_end_matches(" · ").to_owned(),
        author: note.maker.clone(),
        language: spelling.tag().to_owned(),
        issue_date: None,
        year: None,
    };
    Ok(pen.canvas.finish(paper.width, paper.height, 0.0, about))
}
