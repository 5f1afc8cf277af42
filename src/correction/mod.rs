//! What a printer shows beside what its model says: a smooth correction, learnt from noisy readings.
//!
//! Readings are measured CIELAB less the model's, at known values. A correction is a polynomial in
//! CIELAB, or a Gaussian process on CIELAB and value around an affine polynomial (Rasmussen and
//! Williams 2006): a reading leans on its neighbours, and colours that never were printed profit too.
//! Each form is settled by the evidence of all readings; which form is used, by leaving out.
//!
//! What is seen by eye is no reading but an answer: which of nine patches is nearest to a part. Such answers have a
//! likelihood of their own, and what is learnt from them is the smooth form with the most evidence.

mod answer;
mod answered;
mod answers;
mod basis;
mod choose;
mod data;
mod kernel;
mod learnt;
mod model;
mod posterior;
mod reading;
mod robust;
mod scales;
mod search;
mod summit;
mod tones;
mod tune;

pub use answer::{Distance, Looked};
pub use answered::{Answered, Expected};
pub use answers::Answers;
pub use learnt::Learnt;
pub use reading::{Form, LeftOut, Reading, Spot};
