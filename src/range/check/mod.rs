//! From raw documents to the checked range and sheet: every fault is found
//! at once, each with its place and a suggestion.

mod colours;
mod days;
mod drawings;
mod families;
mod index;
mod keys;
mod lists;
mod load;
mod made;
mod measured;
mod order;
mod papers;
mod parts;
mod picture_table;
mod pictures;
mod range;
mod sheet;
mod tables;
mod values;

pub use drawings::Shapes;
pub use load::{Described, Loaded, load, load_again, load_either, load_range};
pub use picture_table::{HEADINGS as PICTURE_HEADINGS, TABLE as PICTURE_TABLE};
pub use sheet::{is_limit, unknown_light};
pub use values::{Fault as ValueFault, parsed as parsed_value};
