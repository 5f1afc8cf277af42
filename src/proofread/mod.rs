//! Proofreading: what a careful reader would mark on the finished sheet.

mod dictionary;
mod words;

pub use dictionary::Dictionaries;
pub use words::words;
