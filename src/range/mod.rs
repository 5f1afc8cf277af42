//! The checked range and sheet description.

pub mod check;
pub mod focus;
pub mod model;
pub mod observer;
pub mod pictures;
pub mod spec;
pub mod value;

pub use crate::graphic::lab;
pub use crate::read::shapes::Shape;
pub use crate::read::{
    ColourMode, FamilyOrder, Finish, Format, Only, Order, PaperModel, RenderingIntent, Side,
};
pub use check::{
    Described, Loaded, PICTURE_HEADINGS, PICTURE_TABLE, Shapes, ValueFault, load, load_again,
    load_either, load_range, parsed_value,
};
pub use focus::{focus, keep_parts};
pub use model::*;
pub use observer::Light;
pub use pictures::{PartPicture, Pictures};
pub use spec::*;
