//! Type: faces from `fonts/` only, measured once, drawn alike everywhere.

mod face;
mod faces;
mod fonts;
mod naming;
mod outline;
mod spec;

pub use self::naming::Naming;
pub use face::{Face, FaceError};
pub use faces::{FaceId, Faces};
pub use fonts::OwnFonts;
pub use spec::{FaceSpec, Figures};
