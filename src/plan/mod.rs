//! The plan: which families go where, at which scale, with which columns.
//! Solved in millimetres and row pitches, without coordinates.

mod answer;
mod blocks;
pub mod bounds;
pub mod columns;
pub mod coverage;
mod exact;
pub mod facts;
pub mod fill;
pub mod furniture;
pub mod layout;
mod many;
pub mod measure;
pub mod menu;
mod orders;
pub mod papers;
pub mod relax;
pub mod report;
pub mod request;
mod room;
pub mod score;
mod search;
mod settle;
pub mod solution;
pub mod solve;
pub mod style;
pub mod unshown;

pub use blocks::{PageColumn, PlannedFamily, PlannedRun};
pub use facts::Facts;
pub use furniture::{Furniture, FurnitureHeight, Piece};
pub use layout::Layout;
pub use menu::{Arrangement, Choice, PageMenu};
pub use report::Report;
pub use request::Request;
pub use solution::Plan;
pub use solve::solve;
pub use style::{Look, Style, Voice};
