//! Marks on the board, by which a photograph of it is read.

use kurbo::Vec2;

use super::place::{Board, EDGE, TITLE};
use crate::capture::page::{CodeMark, Ground, PartPlace, Rect, StagePage};
use crate::diag::Diagnostic;
use crate::stage::{CODE, MOST_PAGE, known, marks, polygons, rounded};
use crate::supplies::Naming;

/// Bare board that belongs to a part, mm.
const CLEAR: f64 = 0.4;
/// Round a blank tile with its label, mm.
const RIM: f64 = 0.3;
/// From one dot between columns to the next, about, mm.
const APART: f64 = 36.0;
/// Between the code and the patches, mm.
const GAP: f64 = 6.0;

/// The board as a page that can be photographed: its marks, and every part with its place.
///
/// # Errors
/// The board is larger than can be read from one photograph.
pub fn page(board: &Board, naming: &Naming<'_>) -> Result<StagePage, Diagnostic> {
    let (width, height) = (rounded(board.width), rounded(board.height));
    if width.max(height) > MOST_PAGE {
        let message = format!(
            "the board of {width:.0} x {height:.0} mm is too large to be photographed with marks"
        );
        let help = format!("map one --family at a time; at most {MOST_PAGE:.0} mm are possible");
        return Err(Diagnostic::error("board-too-large", message).help(help));
    }
    let (left, top) = (rounded(width - EDGE - CODE), rounded(EDGE - 3.0));
    let mut dots = marks::around((width, height));
    dots.extend(between(board));
    let pieces = board.places.iter().flat_map(|p| p.pieces.iter().map(|piece| (p.colour, piece)));
    let places = pieces.map(|(colour, piece)| {
        let (part, colour) = (naming.range.part(piece.part), naming.range.colour(colour));
        let at = Vec2::new(piece.at.x, piece.at.y);
        let e = part.shape().extent.inflate(CLEAR, CLEAR) + at;
        PartPlace {
            part: part.key().clone(),
            colour: colour.key().clone(),
            number: String::new(),
            frame: rect(e),
            ground: Ground::White,
            outline: polygons(&part.shape().outline, at),
            known: known(colour, false),
            boxed: part.boxed(),
        }
    });
    let page = StagePage {
        size: (width, height),
        code: CodeMark { left, top, side: CODE, text: String::new() },
        dots,
        dot_radius: marks::DOT,
        patches: marks::patches((left - GAP, top + CODE)),
        places: places.collect(),
        chart: None,
        covered: board.places.iter().map(|p| rect(p.blank.inflate(RIM, RIM))).collect(),
        prints: Vec::new(),
    };
    Ok(marks::marked(vec![page], naming).remove(0))
}

fn rect(r: kurbo::Rect) -> Rect {
    let (left, top) = (rounded(r.x0), rounded(r.y0));
    Rect { left, top, width: rounded(r.width()), height: rounded(r.height()) }
}

/// Dots between the columns.
fn between(board: &Board) -> Vec<(f64, f64)> {
    let lefts = board.headings.iter().map(|h| h.at.x);
    let mut lefts: Vec<f64> = lefts.collect();
    lefts.sort_by(f64::total_cmp);
    lefts.dedup();
    let (first, last) = (EDGE + TITLE, board.height - EDGE);
    let steps = ((last - first) / APART).max(1.0).round() as usize;
    let down: Vec<f64> =
        (0..=steps).map(|i| first + (last - first) * i as f64 / steps as f64).collect();
    let gutters = lefts.windows(2).map(|w| rounded((w[0] + board.column + w[1]) / 2.0));
    gutters.flat_map(|x| down.iter().map(move |y| (x, rounded(*y)))).collect()
}

/// How much of the title's line the marks take, mm.
pub fn taken(page: &StagePage) -> f64 {
    let first = page.patches.iter().map(|p| p.rect.left).fold(page.code.left, f64::min);
    page.size.0 - EDGE - first + GAP
}
