//! The tick-list as a display list: pages that are carried to a shelf.
//!
//! ```text
//! Supplies -> blocks in reading order, each with its height -> columns and pages -> Canvas
//! ```

mod blocks;
mod draw;
mod flow;

use self::blocks::{Blocks, ListWords, Voices};
use self::draw::Pen;
use super::count::{Supplies, SuppliesRequest};
use super::naming::Naming;
use crate::diag::{Findings, lacks};
use crate::plan::Look;
use crate::sheet::canvas::Canvas;
use crate::sheet::{About, ItemKind, Setting, Sheet, Workshop};
use crate::units::pt_to_mm;

/// No type is smaller: the list is read at arm's length.
const FLOOR_PT: f64 = 7.0;

/// Lays the list out.
///
/// # Errors
/// The style lacks a face or an ink, or its fonts a character of a name.
pub fn sheet(
    supplies: &Supplies,
    naming: &Naming<'_>,
    wish: &SuppliesRequest,
    setting: &Setting<'_>,
) -> Result<Sheet, Findings> {
    let Setting { style, paper, work } = *setting;
    let look = Look::new(style, paper.width, paper.height, pt_to_mm(FLOOR_PT))?;
    let voices = Voices::new(&look);
    let frame = flow::page(paper);
    let words = ListWords { naming, look: &look, voices: &voices, column: frame.column };
    let blocks = Blocks::new(supplies, wish, words);
    let placed = flow::flow(&blocks, &frame);
    let workshop = Workshop::new(naming.range, work).with(naming.sheet.pictures().as_ref());
    let mut pen = Pen {
        canvas: Canvas::new(&look, &workshop),
        voices: &voices,
        frame: &frame,
        naming,
        number_width: blocks.number_width,
    };
    pen.pages(&blocks, &placed, supplies);
    let about = About {
        title: naming.say("buy_title", &[("title", &naming.title())]),
        author: naming.spelling.apply(naming.range.maker()),
        language: naming.spelling.tag().to_owned(),
        issue_date: None,
        year: None,
    };
    let sheet = pen.canvas.finish(paper.width, paper.height, 0.0, about);
    let missing = missing_characters(&sheet);
    if missing.failed() { Err(missing) } else { Ok(sheet) }
}

/// Characters that the style's fonts lack, with the text that contains them.
pub fn missing_characters(sheet: &Sheet) -> Findings {
    let mut findings = Findings::default();
    for item in sheet.pages.iter().flat_map(|p| &p.items) {
        let ItemKind::Text(text) = &item.kind else { continue };
        let missing = sheet.faces[text.face].missing(&text.string);
        if !missing.is_empty() {
            findings.push(
                lacks("", &text.string, &missing)
                    .help("write it with other letters, choose another --style if one has them, or write no PDF"),
            );
        }
    }
    findings
}
