//! The plan: which families go where, at which scale, with which columns.
//! Solved in millimetres and row pitches, without coordinates.

pub mod bounds;
pub mod columns;
pub mod coverage;
pub mod facts;
pub mod fill;
pub mod furniture;
pub mod layout;
pub mod many;
pub mod measure;
pub mod menu;
pub mod papers;
pub mod relax;
pub mod report;
pub mod request;
mod room;
pub mod score;
pub mod solve;
pub mod style;
pub mod unshown;

pub use facts::Facts;
pub use furniture::{Furniture, FurnitureHeight, Piece};
pub use layout::Layout;
pub use menu::{Arrangement, Choice, PageMenu};
pub use report::Report;
pub use request::Request;
pub use solve::{PageColumn, Plan, PlannedFamily, PlannedRun, solve};
pub use style::{Look, Style, Voice};
