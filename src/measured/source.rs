//! A file of readings as text.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use crate::diag::Span;
use crate::limits::Limits;

/// The file, for places and for how much is read of it.
#[derive(Clone, Copy)]
pub struct TextFile<'a> {
    pub file: &'a Arc<Path>,
    pub text: &'a str,
    pub limits: Limits,
}

impl TextFile<'_> {
    /// A place in it.
    pub fn at(&self, range: Range<usize>) -> Option<Span> {
        Some(Span { file: self.file.clone(), range })
    }
}
