//! From what was read on a print to readings of its values.
//!
//! ```text
//! form (which patch is like the part)  -> by_eye         value, what it shows: the part's aim
//! photograph of parts among patches    -> by_photograph  the part's aim, and how print and part differ in the picture
//! file of an instrument                -> by_instrument  CIELAB beside the paper's own white
//!                                      -> Round -> press::Readings -> press::Correction
//! ```

mod eye;
mod instrument;
mod photograph;
mod report;
mod white;

pub use eye::{by_eye, out_of_reach};
pub use instrument::by_instrument;
pub use photograph::by_photograph;
pub use report::{Learned, Outlier};

use crate::press::PrintReading;

/// What one file gave.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ReadFile {
    pub readings: Vec<PrintReading>,
    /// What each is of, in the same order: 'place 7, patch 3', 'A12'.
    pub names: Vec<String>,
    /// Places that have no answer, or none that is like the part.
    pub without: usize,
}

impl ReadFile {
    fn push(&mut self, name: String, reading: PrintReading) {
        self.names.push(name);
        self.readings.push(reading);
    }
}
