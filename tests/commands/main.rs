//! The commands as a person runs them, and what they leave behind.

#[path = "../common/mod.rs"]
mod common;
#[path = "../picture_set/mod.rs"]
mod picture_set;
#[path = "../positions/mod.rs"]
mod positions;
#[path = "../small/mod.rs"]
mod small;
#[path = "../svg_words/mod.rs"]
mod svg_words;
#[path = "../told/mod.rs"]
mod told;

mod again;
mod board;
mod compare;
mod cut;
mod fault_commands;
mod keep;
mod label_codes;
mod labels;
mod page;
mod part_pictures;
mod runs;
mod same_bytes;
mod starter;
mod stories;
mod supplies;
mod together;
mod watch;
