//! The board map: where every part and every label goes on the sample board.
//!
//! ```text
//! Supplies (lines, colours) + BoardRequest -> Board: places with positions, mm
//!     -> display list at true size (split into panels by `panels`), table of positions
//! ```
//!
//! A board has room for what a page leaves out. It is built of the very lines
//! that `supplies` counts, so both report the same numbers.

pub mod draw;
pub mod flow;
pub mod marks;
pub mod place;
pub mod report;
pub mod slots;

pub use place::{Board, BoardPlace, BoardRequest, Piece};
