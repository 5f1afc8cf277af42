//! From what was read on a print to readings of its values.
//!
//! ```text
//! form (which patch is nearest)         -> by_eye         nine values, the part's aim, the answer
//! photograph of parts among patches    -> by_photograph  the part's aim, and how print and part differ in the picture
//! file of an instrument                -> by_instrument  CIELAB beside the paper's own white
//!                                      -> Round -> press::Readings -> press::Correction
//! ```

mod eye;
mod instrument;
mod photograph;
mod report;
mod white;

pub use eye::by_eye;
pub use instrument::by_instrument;
pub use photograph::by_photograph;
pub use report::{Learned, Outlier};

use crate::press::{PrintReading, Seen};

/// What one file gave.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ReadFile {
    pub readings: Vec<PrintReading>,
    /// What was seen by eye.
    pub seen: Vec<Seen>,
    /// What each reading is of, and then what each answer is of: 'A12', 'place 7, patch 3'.
    pub names: Vec<String>,
    /// Places that have no answer, or none that is like the part.
    pub without: usize,
}

impl ReadFile {
    /// What another file gave besides.
    pub fn add(&mut self, other: ReadFile) {
        let ReadFile { readings, seen, names, without } = other;
        let (of_readings, of_seen) = names.split_at(readings.len().min(names.len()));
        let here = self.readings.len().min(self.names.len());
        self.names.splice(here..here, of_readings.iter().cloned());
        self.names.extend_from_slice(of_seen);
        self.readings.extend(readings);
        self.seen.extend(seen);
        self.without += without;
    }

    fn push(&mut self, name: String, reading: PrintReading) {
        self.names.push(name);
        self.readings.push(reading);
    }
}
