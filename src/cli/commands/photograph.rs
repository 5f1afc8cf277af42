//! Opening photographs, for the commands that read them.

use std::path::Path;

use crate::capture::{Fault, Limits, Picture, decode};
use crate::diag::Diagnostic;
use crate::limits;
use crate::read::file::read_bytes;
use crate::session::Session;

/// The picture in a file.
///
/// # Errors
/// It cannot be read, or is none; the run is asked to stop.
pub(super) fn opened(path: &Path, session: &Session) -> Result<Picture, Diagnostic> {
    if session.stop().asked() {
        return Err(Diagnostic::error("stopped", "stopped"));
    }
    let bytes = read_bytes(path, None, session)?;
    let pixels = session.limits.most(limits::PHOTOGRAPH) as u64;
    decode(&bytes, &Limits { pixels }).map_err(|fault| refused(path, &fault))
}

/// Why a photograph is not used.
pub(super) fn refused(path: &Path, fault: &Fault) -> Diagnostic {
    let message = format!("'{}': {fault}", path.display());
    Diagnostic::error("bad-photograph", message).help(fault.help())
}
