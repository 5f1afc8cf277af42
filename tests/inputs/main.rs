//! What is read: descriptions, tables, drawings, fonts, lists; what is wrong in them, and what is made to do harm.

#[path = "../picture_set/mod.rs"]
mod picture_set;
#[path = "../silhouettes/mod.rs"]
mod silhouettes;
#[path = "../small/mod.rs"]
mod small;
#[path = "../svg_words/mod.rs"]
mod svg_words;
#[path = "../told/mod.rs"]
mod told;

mod corpus;
mod drawings;
mod faults;
mod hostile;
mod limits;
mod measured;
mod new_lists;
mod outside;
mod own_fonts;
mod part_pictures;
mod proofread;
mod proofread_words;
mod style_values;
mod tables;
mod tables_faults;
mod two_spellings;
