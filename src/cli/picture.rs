//! Pages as pictures that are kept in memory until everything is ready to be written.

use crate::diag::Diagnostic;
use crate::paint::png;
use crate::parallel::{cores, in_parallel};
use crate::sheet::{Coloured, Rgb};
use crate::units::Dpi;

/// Every page as a PNG file, on all processors.
///
/// # Errors
/// A page that cannot be drawn.
pub fn pictures(painted: Coloured<'_, Rgb>, dpi: Dpi) -> Result<Vec<Vec<u8>>, Diagnostic> {
    let pages: Vec<usize> = (0..painted.sheet.pages.len()).collect();
    let jobs = if pages.len() > 1 { 1 } else { cores() };
    let drawn = in_parallel(&pages, |page| {
        let bytes = png::in_memory(painted, *page, dpi, jobs, &|_| Ok(()));
        bytes.map_err(|e| failed(&format!("the picture of page {}", page + 1), &e))
    });
    drawn.into_iter().collect()
}

/// What is reported of a picture that cannot be drawn.
pub fn failed(what: &str, error: &dyn std::fmt::Display) -> Diagnostic {
    Diagnostic::error("no-picture", format!("{what} cannot be drawn: {error}"))
        .help("show fewer colours")
}
