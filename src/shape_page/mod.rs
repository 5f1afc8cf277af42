//! The page of shapes: every drawing as it was understood, at true size.
//!
//! ```text
//! Range -> Entry a part (drawn in every finish, measured) -> blocks with their cells
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
pub mod understood;

use std::sync::Arc;

use crate::diag::Findings;
use crate::finish::{Drawer, Drawing};
use crate::plan::papers::Paper;
use crate::plan::{Look, Style};
use crate::range::{Finish, PartId, Range};
use crate::sheet::canvas::Canvas;
use crate::sheet::{About, Sheet, Workshop};
use crate::supplies::{Naming, tick_list};
use crate::units::pt_to_mm;
use crate::work::Work;

pub use colours::Pair;
pub use understood::{Understood, understood};

/// No type is smaller, points: the page is read at arm's length.
const FLOOR_PT: f64 = 6.0;

/// A part, drawn and measured.
#[derive(Debug, Clone)]
pub struct Entry {
    pub part: PartId,
    pub understood: Understood,
    /// A drawing of each finish in each colour, finish by finish.
    pub drawings: Vec<Vec<Arc<Drawing>>>,
}

/// What the page shows: the finishes, the colours, the parts.
#[derive(Debug, Clone)]
pub struct Shown {
    pub finishes: Vec<Finish>,
    pub pair: Pair,
    pub entries: Vec<Entry>,
}

impl Shown {
    /// Draws and measures every part of a range.
    pub fn new(range: &Range, work: &Work) -> Shown {
        let finishes = colours::finishes(range);
        let pair = Pair::of(range);
        let mut entries = Vec::with_capacity(range.parts().len());
        for (i, part) in range.parts().iter().enumerate() {
            let drawer = Drawer::new(part.shape(), work);
            let seed = i as u64;
            let drawn = |finish: &Finish| -> Vec<Arc<Drawing>> {
                let colours = pair.colours().map(|c| range.colour(c).rgb());
                colours.map(|rgb| Arc::new(drawer.draw(rgb, *finish, seed))).collect()
            };
            let drawings: Vec<Vec<Arc<Drawing>>> = finishes.iter().map(drawn).collect();
            let rgbs: Vec<_> = pair.colours().map(|c| range.colour(c).rgb()).collect();
            let understood = understood(part.shape(), &finishes, &drawings, &rgbs, work);
            entries.push(Entry { part: PartId(i), understood, drawings });
        }
        Shown { finishes, pair, entries }
    }
}

/// Lays the parts out on pages of `paper`, in the faces and inks of `style`.
///
/// # Errors
/// The style lacks a face or an ink, or its fonts a character of a text.
pub fn sheet(
    shown: &Shown,
    naming: &Naming<'_>,
    style: &Style,
    paper: Paper,
) -> Result<Sheet, Findings> {
    let look = Look::new(style, paper.width, paper.height, pt_to_mm(FLOOR_PT))?;
    let voices = draw::Voices::new(&look);
    let frame = flow::Frame::new(paper);
    let blocks = blocks::blocks(shown, naming, &look, &voices, &frame);
    let pages = flow::flow(&blocks, &frame);
    let workshop = Workshop::empty();
    let canvas = Canvas::new(&look, &workshop);
    let mut pen = draw::Pen { canvas, voices: &voices, frame: &frame, naming, shown };
    pen.pages(&blocks, &pages);
    let about = About {
        title: naming.say("shapes_title", &[("title", &naming.title())]),
        author: naming.spelling.apply(naming.range.maker()),
        language: naming.spelling.tag().to_owned(),
        issue_date: naming.sheet.issue_date(),
        year: naming.sheet.year(),
    };
    let sheet = pen.canvas.finish(paper.width, paper.height, 0.0, about);
    let missing = tick_list::missing_characters(&sheet);
    if missing.failed() { Err(missing) } else { Ok(sheet) }
}
