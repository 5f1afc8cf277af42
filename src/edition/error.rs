//! Why files were not made.

use super::refusal::Refused;
use crate::diag::{Diagnostic, Findings};

/// Why files were not made.
#[derive(Debug)]
pub enum MakeError {
    /// The input has faults; nothing was written.
    Input(Findings),
    /// The machine failed; every file present is complete.
    Machine(Diagnostic),
    /// Stopped by the person at the keyboard; every file present is complete.
    Stopped,
}

impl From<Refused> for MakeError {
    fn from(refused: Refused) -> MakeError {
        match refused {
            Refused::Foreign(findings) => MakeError::Input(findings),
            Refused::Machine(d) => MakeError::Machine(d),
        }
    }
}

impl From<Diagnostic> for MakeError {
    fn from(d: Diagnostic) -> MakeError {
        MakeError::Machine(d)
    }
}
