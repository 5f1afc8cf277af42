//! What is painted: finishes, SVG, PDF, pictures, panels, each against readers of others.

#[path = "../common/mod.rs"]
mod common;
#[path = "../gallery/mod.rs"]
mod gallery;
#[path = "../picture_set/mod.rs"]
mod picture_set;
#[path = "../positions/mod.rs"]
mod positions;
#[path = "../raster/mod.rs"]
mod raster;

mod determinism;
mod finishes;
mod flat_area;
mod paint;
mod palette;
mod panels;
mod part_pictures;
mod peers;
mod pictures;
mod press_pdf;
