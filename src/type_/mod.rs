//! Type: faces from `fonts/` only, measured once, drawn alike everywhere.

pub mod face;
mod naming;

pub use self::naming::Naming;
pub use face::{Face, FaceError, FaceId, FaceSpec, Faces, Figures, OwnFonts};
