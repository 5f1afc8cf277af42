//! Colour on paper: what a print shows, and which values to print.
//!
//! ```text
//! prints, read -> Readings -> Correction (what the model lacks)
//! PaperSpec -> Paper (open)   aims -> values (tune)   values -> what is shown (paper)
//!                             aims, values, shown -> report
//! ```

pub mod chosen;
pub mod corrected;
pub mod icc;
pub mod inks;
pub mod open;
pub mod paper;
pub mod print;
pub mod readings;
pub mod report;
pub mod tell;
pub mod tune;
pub mod values;

pub use chosen::{Origin, papers, srgb_for};
pub use corrected::Correction;
pub use open::{Chosen, open, open_plain};
pub use paper::{Bytes, ColourMode, NoPaper, Paper, PaperModel, RenderingIntent};
pub use print::{Print, few_enough};
pub use readings::{PrintReading, ReadBy, Readings, Round};
pub use report::Report;
pub use tune::{Tuned, tune};
