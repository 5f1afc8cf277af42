//! The release note for buyers: what is new, renamed or gone, in the words of a spelling.
//!
//! ```text
//! compare::buyers::News (ids) -> Note (words, chips) -> Markdown with chips as files
//!                                                    -> pages as a display list
//! ```

pub mod chips;
pub mod content;
mod entries;
pub mod markdown;
mod page;

pub use content::{Entry, Group, Note, Picture, Section, Telling};
pub use page::sheet;
