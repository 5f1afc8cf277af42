//! Supplies: what to buy to build the physical sample board of a sheet.
//!
//! ```text
//! Range + SheetSpec + SuppliesRequest -> lines (part x colour), tiles, label sheets
//!     - Stock                -> Supplies: what is needed, in hand, to buy, left over
//!     -> tables, JSON, Markdown, a tick-list as a display list
//! ```
//!
//! Every figure is a whole number, and every total is the sum of the lines.

pub mod count;
pub mod markdown;
pub mod naming;
pub mod report;
pub mod sheets;
pub mod spares;
pub mod stock;
pub mod tick_list;
mod unnumbered;

pub use count::{Count, LeftOver, SheetLine, Supplies, SuppliesRequest, SupplyLine, Total};
pub use naming::Naming;
pub use sheets::LabelGrid;
pub use spares::Spares;
pub use stock::Stock;
