//! Printed colour reference sheets for ranges of small parts.
//!
//! One way for the data:
//!
//! ```text
//! RON text -> read::raw -> range::ColourRange + range::SheetSpec (checked)
//!          -> plan::Plan (solved, no coordinates)
//!          -> sheet::Sheet (positioned, millimetres)
//!          -> svg | pdf | png bytes -> editions on disk
//! ```
//!
//! Units: plain `f64` millimetres from `plan` on; points, pixels and the
//! y-flip exist only in [`paint`]. Axes: origin top left, x right, y down.
//! Angles in degrees, clockwise on the page. Colours are sRGB bytes as
//! published; CIELAB with the white point in the type wherever a tone is moved.

#![warn(clippy::too_many_lines)]

pub mod board;
pub mod capture;
pub mod cli;
pub mod colour;
pub mod compare;
pub mod console;
pub mod correction;
pub mod diag;
pub mod diag_print;
pub mod disk;
pub mod edition;
pub mod export;
pub mod files;
pub mod finish;
pub mod graphic;
pub mod image;
pub mod labels;
pub mod learn;
pub mod limits;
pub mod lookalikes;
pub mod measured;
pub mod note;
pub mod page;
pub mod paint;
pub mod panels;
pub mod parallel;
pub mod plan;
pub mod press;
pub mod proof;
pub mod proofread;
pub mod qr;
pub mod range;
pub mod read;
pub mod session;
pub mod shape_page;
pub mod sheet;
pub mod spelling;
pub mod stage;
pub mod starter;
pub mod stop;
pub mod supplies;
pub mod table;
pub mod target;
pub mod tour;
pub mod type_;
pub mod units;
pub mod watch;
pub mod work;
