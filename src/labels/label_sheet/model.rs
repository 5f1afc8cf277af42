//! A checked label sheet, and where everything is on it.

use getset::{CopyGetters, Getters};
use kurbo::{BezPath, Point, Rect};

use crate::diag::Diagnostic;
use crate::labels::Cut;
use crate::supplies::LabelGrid;

/// Registration marks: a dot near each corner of the sheet, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marks {
    pub radius: f64,
    /// From the sheet's edges to the middle of the dot.
    pub inset: f64,
}

/// The flat chip in the colour's value, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Chip {
    /// Within the safe margin, level with the words.
    Inside { width: f64, height: f64 },
    /// Along the whole left edge, over the cut by the bleed.
    Edge { width: f64 },
}

/// A checked label sheet; all lengths in mm.
#[derive(Debug, Clone, PartialEq, Getters, CopyGetters)]
pub struct LabelSheet {
    #[getset(get = "pub")]
    pub(super) title: String,
    /// Of the sheet.
    #[getset(get_copy = "pub")]
    pub(super) width: f64,
    #[getset(get_copy = "pub")]
    pub(super) height: f64,
    /// Width and height of a label.
    #[getset(get_copy = "pub")]
    pub(super) label: (f64, f64),
    /// Radius of its corners.
    #[getset(get_copy = "pub")]
    pub(super) corner_radius: f64,
    /// The top left corner of the first label.
    #[getset(get_copy = "pub")]
    pub(super) origin: Point,
    /// From label to label, across and down.
    #[getset(get_copy = "pub")]
    pub(super) pitch: (f64, f64),
    #[getset(get_copy = "pub")]
    pub(super) rows: u32,
    #[getset(get_copy = "pub")]
    pub(super) columns: u32,
    /// White below the labels.
    #[getset(get_copy = "pub")]
    pub(super) foot: f64,
    /// How far colour runs over the cut.
    #[getset(get_copy = "pub")]
    pub(super) bleed: f64,
    /// Nothing that is read comes nearer to the cut.
    #[getset(get_copy = "pub")]
    pub(super) safe: f64,
    #[getset(get_copy = "pub")]
    pub(super) marks: Option<Marks>,
    #[getset(get_copy = "pub")]
    pub(super) cut: Cut,
    /// A through cut around all labels, so far outside them.
    #[getset(get_copy = "pub")]
    pub(super) frame: Option<f64>,
    #[getset(get_copy = "pub")]
    pub(super) chip: Option<Chip>,
    /// Lines of words, before a name is broken: 1 to 3.
    #[getset(get_copy = "pub")]
    pub(super) lines: usize,
    /// Em size of the first name where nothing makes it smaller.
    #[getset(get_copy = "pub")]
    pub(super) type_size: f64,
    #[getset(get_copy = "pub")]
    pub(super) type_floor: f64,
}

impl LabelSheet {
    /// The places of a sheet whose first `spoiled` rows are lost.
    ///
    /// # Errors
    /// No row is left.
    pub fn grid(&self, spoiled: u32) -> Result<LabelGrid, Diagnostic> {
        LabelGrid::new(self.rows, self.columns, spoiled)
    }

    /// Where the label of a row and a column, from 0, is cut.
    pub fn label_at(&self, row: u32, column: u32) -> Rect {
        let x = self.origin.x + f64::from(column) * self.pitch.0;
        let y = self.origin.y + f64::from(row) * self.pitch.1;
        Rect::new(x, y, x + self.label.0, y + self.label.1)
    }

    /// All labels together.
    pub fn block(&self) -> Rect {
        self.label_at(0, 0).union(self.label_at(self.rows - 1, self.columns - 1))
    }

    /// The contour of a label: closed, clockwise on the page from the end of
    /// its upper left corner. A corner is one cubic, off a circle by less
    /// than 0.03 % of its radius.
    pub fn contour(&self, rect: Rect) -> BezPath {
        rounded(rect, self.corner_radius)
    }

    /// The registration marks, along the rows.
    pub fn mark_centres(&self) -> Vec<Point> {
        let Some(marks) = self.marks else { return Vec::new() };
        let i = marks.inset;
        let (w, h) = (self.width, self.height);
        [(i, i), (w - i, i), (i, h - i), (w - i, h - i)].map(Point::from).to_vec()
    }
}

/// A rectangle with corners of radius `r`.
fn rounded(rect: Rect, r: f64) -> BezPath {
    let Rect { x0, y0, x1, y1 } = rect;
    let mut path = BezPath::new();
    path.move_to((x0 + r, y0));
    let corners = [
        ((x1 - r, y0), (x1, y0), (x1, y0 + r)),
        ((x1, y1 - r), (x1, y1), (x1 - r, y1)),
        ((x0 + r, y1), (x0, y1), (x0, y1 - r)),
        ((x0, y0 + r), (x0, y0), (x0 + r, y0)),
    ];
    // The usual cubic for a quarter of a circle: touches it at 45 degrees.
    let k = 4.0 / 3.0 * (2f64.sqrt() - 1.0);
    for (from, corner, to) in corners {
        let (from, corner, to): (Point, Point, Point) = (from.into(), corner.into(), to.into());
        if r > 0.0 {
            path.line_to(from);
            path.curve_to(from.lerp(corner, k), to.lerp(corner, k), to);
        } else if corner != Point::new(x0, y0) {
            path.line_to(corner);
        }
    }
    path.close_path();
    path
}
