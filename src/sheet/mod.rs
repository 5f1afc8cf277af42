//! The positioned sheet: one display list for all painters.

pub mod canvas;
mod coloured;
pub mod composition;
pub mod foot;
pub mod fragment;
pub mod furniture;
pub mod head;
pub mod identity;
pub mod images;
pub mod item;
pub mod list_page;
pub mod mark;
pub mod montage;
pub mod palette;
pub mod paragraph;
pub mod place;
pub mod rows;
pub mod ruler;
pub mod scene;
pub mod setting;
pub mod spine;
pub mod symbol;
pub mod title;
pub mod words;
pub mod workshop;

pub use coloured::Coloured;
pub use item::*;
pub use palette::{Palette, PaletteIndex, PaletteMap, Sample};
pub use place::place;
pub use scene::Scene;
pub use setting::Setting;
pub use workshop::Workshop;
