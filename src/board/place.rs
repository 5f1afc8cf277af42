//! Every part and every blank tile at its place on the board.

use kurbo::{Point, Rect};

use super::flow::{self, Flow, Item};
use super::slots::{Lines, Row, rows, widths};
use crate::diag::Diagnostic;
use crate::range::{ColourId, ColourRange, FamilyId, PartId};
use crate::supplies::Supplies;

/// Bare board round everything, between its columns, and between a blank tile and its parts, mm.
pub const EDGE: f64 = 15.0;
const GUTTER: f64 = 14.0;
const BLANK_GAP: f64 = 5.0;
/// Height of the title at the head, mm.
pub const TITLE: f64 = 26.0;
/// Widths tried for the parts' room, and columns of the board.
const WIDTHS: usize = 24;
const MOST_COLUMNS: usize = 50;
const USUAL_COLUMNS: usize = 12;
/// Longest side of a board, mm.
pub const MOST_SIDE: f64 = 5000.0;

/// What the board is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoardRequest {
    /// Columns of colours; as many as make the board nearest to a square if neither is given.
    pub columns: Option<usize>,
    /// Width of the board, mm.
    pub width: Option<f64>,
    /// Width and height of a blank tile, mm.
    pub blank: (f64, f64),
}

/// One part on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    pub part: PartId,
    pub stands_in_for: Option<PartId>,
    /// The middle of all that is drawn of it, mm from the upper left corner of the board.
    pub at: Point,
    /// The line under which its number is printed.
    pub foot: f64,
}

/// One colour on the board.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPlace {
    /// From 1 on, in the sheet's order.
    pub number: usize,
    pub colour: ColourId,
    pub family: FamilyId,
    /// The blank tile with its label.
    pub blank: Rect,
    /// Line by line, from the left.
    pub pieces: Vec<Piece>,
}

/// A family's heading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heading {
    pub family: FamilyId,
    pub again: bool,
    pub at: Point,
    pub colours: usize,
}

/// The board, at true size.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    pub width: f64,
    pub height: f64,
    pub columns: usize,
    /// Width of a column, mm.
    pub column: f64,
    pub blank: (f64, f64),
    pub places: Vec<BoardPlace>,
    pub headings: Vec<Heading>,
}

impl Board {
    /// Places what was counted. `caption` is the width of a part's number.
    ///
    /// # Errors
    /// There is nothing to place, or it has no room.
    pub fn new(
        range: &ColourRange,
        supplies: &Supplies,
        wish: &BoardRequest,
        caption: &dyn Fn(PartId) -> f64,
    ) -> Result<Board, Diagnostic> {
        let rows = rows(range, supplies, caption);
        if rows.is_empty() {
            let d = Diagnostic::error("empty-board", "the sheet shows no colours to place");
            return Err(d.help("add colours to it, or choose another --family"));
        }
        let tries =
            widths(&rows, WIDTHS).into_iter().flat_map(|most| Trial::all(&rows, most, wish));
        let best = tries.min_by(|a, b| a.cost(wish).total_cmp(&b.cost(wish)));
        let Some(trial) = best else { return Err(no_room(&rows, wish)) };
        let board = trial.board(&rows, wish);
        if board.width.max(board.height) > MOST_SIDE {
            let (w, h) = (board.width, board.height);
            let message = format!("the board would be {w:.0} x {h:.0} mm: too large to map");
            return Err(Diagnostic::error("board-too-large", message)
                .help("map one --family at a time, or use other --columns"));
        }
        Ok(board)
    }

    /// Parts on the board.
    pub fn pieces(&self) -> usize {
        self.places.iter().map(|p| p.pieces.len()).sum()
    }
}

/// One width of the parts' room and one number of columns.
struct Trial {
    /// Lines are no wider, mm.
    most: f64,
    /// Width of a column, mm.
    column: f64,
    columns: usize,
    flow: Flow,
}

impl Trial {
    fn all(rows: &[Row], most: f64, wish: &BoardRequest) -> Vec<Trial> {
        let (mut parts, mut items) = (0.0_f64, Vec::with_capacity(rows.len()));
        for (i, row) in rows.iter().enumerate() {
            let lines = Lines::new(&row.slots, most);
            parts = parts.max(lines.width);
            let first = i == 0 || rows[i - 1].family != row.family;
            items.push(Item { height: lines.height.max(wish.blank.1), first });
        }
        let gap = if parts > 0.0 { BLANK_GAP } else { 0.0 };
        let column = wish.blank.0 + gap + parts;
        let counts = match (wish.columns, wish.width) {
            (Some(n), _) => n..=n,
            (None, Some(width)) => {
                let n = ((width - 2.0 * EDGE + GUTTER) / (column + GUTTER) + 1e-9).floor();
                let n = (n.max(0.0) as usize).min(MOST_COLUMNS);
                n.max(1)..=n
            }
            (None, None) => 1..=USUAL_COLUMNS,
        };
        let trial = |columns| Trial { most, column, columns, flow: flow::flow(&items, columns) };
        counts.map(trial).collect()
    }

    fn size(&self) -> (f64, f64) {
        let n = self.columns as f64;
        let width = 2.0 * EDGE + n * self.column + (n - 1.0) * GUTTER;
        (width, 2.0 * EDGE + TITLE + self.flow.height)
    }

    /// What is made small: the height on a given width, the area in given
    /// columns, else the longer side.
    fn cost(&self, wish: &BoardRequest) -> f64 {
        let (width, height) = self.size();
        match (wish.columns, wish.width) {
            (Some(_), _) => width * height,
            (None, Some(_)) => height,
            (None, None) => width.max(height),
        }
    }

    fn board(&self, rows: &[Row], wish: &BoardRequest) -> Board {
        let (natural, height) = self.size();
        let width = wish.width.unwrap_or(natural);
        // A wider board has wider gutters.
        let spare =
            if self.columns > 1 { (width - natural) / (self.columns - 1) as f64 } else { 0.0 };
        let step = self.column + GUTTER + spare;
        let point = |at: flow::At| Point::new(EDGE + step * at.column as f64, EDGE + TITLE + at.y);
        let places = rows.iter().zip(&self.flow.rows).enumerate();
        let places = places.map(|(i, (row, at))| self.place(i + 1, row, point(*at), wish));
        let heading = |head: &flow::Head| {
            let family = rows[head.before].family;
            let colours = rows.iter().filter(|r| r.family == family).count();
            Heading { family, again: head.again, at: point(head.at), colours }
        };
        Board {
            width,
            height,
            columns: self.columns,
            column: self.column,
            blank: wish.blank,
            places: places.collect(),
            headings: self.flow.heads.iter().map(heading).collect(),
        }
    }

    fn place(&self, number: usize, row: &Row, at: Point, wish: &BoardRequest) -> BoardPlace {
        let (w, h) = wish.blank;
        let lines = Lines::new(&row.slots, self.most);
        let height = lines.height.max(h);
        let blank = Rect::from_origin_size((at.x, at.y + (height - h) / 2.0), (w, h));
        let corner = Point::new(at.x + w + BLANK_GAP, at.y + (height - lines.height) / 2.0);
        let pieces = row.filled.iter().map(|filled| {
            let spot = lines.spots[filled.slot];
            Piece {
                part: filled.part,
                stands_in_for: filled.stands_in_for,
                at: Point::new(corner.x + spot.x, corner.y + spot.y),
                foot: corner.y + spot.foot,
            }
        });
        BoardPlace {
            number,
            colour: row.colour,
            family: row.family,
            blank,
            pieces: pieces.collect(),
        }
    }
}

fn no_room(rows: &[Row], wish: &BoardRequest) -> Diagnostic {
    let slots = rows.iter().flat_map(|r| &r.slots);
    let widest = slots.map(|s| s.width).fold(0.0, f64::max);
    let least = 2.0 * EDGE + wish.blank.0 + BLANK_GAP + widest;
    let width = wish.width.unwrap_or_default();
    Diagnostic::error("board-too-narrow", format!("--width {width} is too narrow for one column"))
        .help(format!("use at least {} mm, or a narrower --tile-size", least.ceil()))
}
