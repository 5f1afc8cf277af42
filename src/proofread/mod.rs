//! Proofreading: what the rules allow and a careful reader would still ask about.
//!
//! Every function gives findings with a place and a suggestion; none of them
//! stops a sheet.

pub mod against;
mod dictionary;
pub mod drawings;
pub mod garbled;
pub mod measured;
pub mod near;
pub mod terms;
mod texts;
pub mod twins;
pub mod unused;
mod words;

pub use dictionary::Dictionaries;
pub use words::words;
