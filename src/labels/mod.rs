//! Labels for a physical sample board: a sticker for every colour, printed on sheets and cut out by a machine.
//!
//! ```text
//! label-sheet file -> LabelSheet          one size of sheet and label, checked
//! SheetSpec, spelling -> words   the text of every label
//!                     -> places  which label is where on which sheet
//!                     -> Sheet to print, CutSheet to cut
//! ```
//!
//! A sheet to print and a sheet to cut have the same axes: millimetres from the sheet's top left corner, y down.

pub mod choose;
mod codes;
pub mod contours;
pub mod cut;
pub mod fit;
mod form;
pub mod label_sheet;
pub mod offset;
mod pen;
pub mod print;
pub mod proof;
pub mod ring;
pub mod set;
pub mod stand;
pub mod travel;
pub mod trial;
pub mod used;
mod voices;
pub mod words;

use kurbo::{BezPath, Point};

use crate::graphic::Rgb;
use crate::paint::Step;

pub use codes::Codes;
pub use contours::cut_sheets;
pub use label_sheet::LabelSheet;
pub use set::{LabelsRequest, Set};

/// How the blade goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cut {
    /// Through the label alone; the backing stays whole.
    Kiss,
    /// Through label and backing.
    Through,
}

impl Cut {
    /// The processing step that it is in a file to print and cut.
    pub fn step(self) -> Step {
        match self {
            Cut::Kiss => Step::PartialCutting,
            Cut::Through => Step::Cutting,
        }
    }

    /// The colour in which screens, proofs and cut files show it.
    pub fn colour(self) -> Rgb {
        self.step().colour()
    }
}

/// One closed contour on a sheet of labels, mm from the sheet's top left corner, y down.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// Which label of the sheet it cuts out, counted from 0 in the order of the places; none for the sheet's own.
    pub label: Option<usize>,
    pub cut: Cut,
    /// Closed.
    pub path: BezPath,
}

/// One sheet of labels to be cut, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct CutSheet {
    pub width: f64,
    pub height: f64,
    pub contours: Vec<Contour>,
    /// The centres of the registration marks.
    pub marks: Vec<Point>,
    pub mark_radius: f64,
}
