//! Reading: files in, raw documents and shapes out, with places for messages.

pub mod cells;
pub mod file;
pub mod finish;
pub mod locate;
pub mod raw;
pub mod region;
pub mod ron;
pub mod shapes;
pub mod table;
pub mod tag;
pub mod words;

pub use file::{inside, outside, read_text, stays_inside};
pub use finish::Finish;
pub use words::{ColourMode, FamilyOrder, Format, Only, Order, PaperModel, RenderingIntent, Side};
