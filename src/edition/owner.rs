//! Who wrote a file.

/// Whose a file is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Owner {
    /// There is no such file.
    Nobody,
    /// The program wrote it so, as this kind of output.
    Us,
    /// The program wrote it so, as another kind of output.
    Other(String),
    /// The program wrote it, and it was changed since.
    Changed,
    /// The program did not write it.
    Somebody,
}
