//! What is learnt from noisy readings of printers that the code does not know.

mod common;
mod learning;
mod nonsense;
