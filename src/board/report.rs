//! Which part lies where: a table of positions, and everything as JSON.

use kurbo::Point;
use serde_json::{Value, json};

use super::place::{Board, BoardPlace};
use crate::panels::Grid;
use crate::supplies::Naming;
use crate::supplies::report::counted;
use crate::table::{Align, Table};

/// Every blank tile and every part, in the order in which they are glued: the
/// place, then `place.1`, `place.2` and so on from the left, line by line.
pub fn positions(board: &Board, naming: &Naming<'_>, grid: Option<&Grid>) -> Table {
    let (left, right) = (Align::Left, Align::Right);
    let mut out = Table::new(&[
        ("position", left),
        ("what", left),
        ("part", left),
        ("part key", left),
        ("title", left),
        ("stands in for", left),
        ("colour", left),
        ("colour key", left),
        ("label", left),
        ("family", left),
        ("x mm", right),
        ("y mm", right),
        ("panel", left),
    ]);
    for place in &board.places {
        let mut row = |position: String, what: &str, part: [String; 4], at: Point| {
            let of = [position, what.to_owned()].into_iter().chain(part);
            let panel = grid.and_then(|g| holding(g, at)).unwrap_or_default();
            let at = [format!("{:.1}", at.x), format!("{:.1}", at.y), panel];
            out.row(of.chain(colour(place, naming)).chain(at));
        };
        let number = place.number.to_string();
        row(number.clone(), "blank tile", Default::default(), place.blank.center());
        for (i, piece) in place.pieces.iter().enumerate() {
            let part = naming.range.part(piece.part);
            let key = |p| naming.range.part(p).key().clone();
            let cells = [
                naming.part_number(piece.part).unwrap_or("").to_owned(),
                part.key().clone(),
                naming.part_title(piece.part),
                piece.stands_in_for.map(key).unwrap_or_default(),
            ];
            row(format!("{number}.{}", i + 1), "part", cells, piece.at);
        }
    }
    out
}

/// Number, key, name and family of a place's colour.
fn colour(place: &BoardPlace, naming: &Naming<'_>) -> [String; 4] {
    [
        naming.colour_number(place.colour).unwrap_or("").to_owned(),
        naming.range.colour(place.colour).key().clone(),
        naming.colour_name(place.colour),
        naming.family(place.family),
    ]
}

/// The panel on which a point counts.
fn holding(grid: &Grid, at: Point) -> Option<String> {
    grid.panels().find(|t| t.counts.contains(at)).map(|t| t.name())
}

/// Colours and parts of each family, and of all.
fn families(board: &Board, naming: &Naming<'_>) -> Table {
    let right = Align::Right;
    let mut out = Table::new(&[
        ("family", Align::Left),
        ("places", Align::Left),
        ("blank tiles", right),
        ("parts", right),
    ]);
    for places in board.places.chunk_by(|a, b| a.family == b.family) {
        let (first, last) = (places[0].number, places[places.len() - 1].number);
        let parts: usize = places.iter().map(|p| p.pieces.len()).sum();
        out.row([
            naming.family(places[0].family),
            if first == last { first.to_string() } else { format!("{first}-{last}") },
            places.len().to_string(),
            parts.to_string(),
        ]);
    }
    let all = [board.places.len(), board.pieces()].map(|n| n.to_string());
    out.row(["all".to_owned(), String::new()].into_iter().chain(all));
    out
}

/// What the terminal shows.
pub fn text(board: &Board, naming: &Naming<'_>, grid: Option<&Grid>) -> String {
    let mut out = format!(
        "Board map of '{}': {:.0} x {:.0} mm in {}; blank tiles of {} x {} mm; numbers: {}\n",
        naming.sheet.name(),
        board.width,
        board.height,
        counted(board.columns as u64, "column"),
        board.blank.0,
        board.blank.1,
        naming.listing_title(),
    );
    if let Some(grid) = grid {
        let ((rows, columns), (w, h)) = (grid.size(), grid.page());
        let paper = format!("{w:.0} x {h:.0} mm");
        out.push_str(&format!("{rows} x {columns} panels on paper of {paper}\n"));
    }
    out.push('\n');
    out.push_str(&families(board, naming).text());
    naming.spelling.text(&out)
}

/// Everything, for machines.
pub fn json(board: &Board, naming: &Naming<'_>, grid: Option<&Grid>) -> Value {
    let panels = grid.map(|g| {
        let (rows, columns) = g.size();
        json!({"rows": rows, "columns": columns, "page_mm": [g.page().0, g.page().1]})
    });
    json!({
        "sheet": naming.sheet.name(),
        "listing": naming.range.listings()[naming.listing.0].key(),
        "board_mm": [board.width, board.height],
        "columns": board.columns,
        "blank_tile_mm": [board.blank.0, board.blank.1],
        "blank_tiles": board.places.len(),
        "pieces": board.pieces(),
        "panels": panels,
        "families": families(board, naming).json(),
        "positions": positions(board, naming, grid).json(),
    })
}
