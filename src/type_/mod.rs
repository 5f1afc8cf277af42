//! Type: faces from `fonts/` only, measured once, drawn alike everywhere.

pub mod face;

pub use face::{Face, FaceError, FaceId, FaceSpec, Faces, Figures};
