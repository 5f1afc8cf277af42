//! What a printer shows beside what its model says: a smooth correction, learnt from noisy readings.
//!
//! Readings are measured CIELAB less the model's, at known values. A correction is a polynomial in
//! CIELAB, or a Gaussian process on CIELAB and value around an affine polynomial (Rasmussen and
//! Williams 2006): a reading leans on its neighbours, and colours that never were printed profit too.
//! Each form is settled by the evidence of all readings; which form is used, by leaving out.

mod basis;
mod choose;
mod data;
mod kernel;
mod learnt;
mod model;
mod posterior;
mod reading;
mod robust;
mod search;
mod tune;

pub use learnt::Learnt;
pub use reading::{Form, LeftOut, Reading, Spot};
