//! Pages as pictures that are kept in memory until everything is ready to be written.

use std::num::NonZero;
use std::thread::available_parallelism;

use crate::diag::Diagnostic;
use crate::edition::parallel::in_parallel;
use crate::paint::png;
use crate::sheet::Sheet;
use crate::units::Dpi;

/// Every page as a PNG file, on all processors.
///
/// # Errors
/// A page that cannot be drawn.
pub fn pictures(sheet: &Sheet, dpi: Dpi) -> Result<Vec<Vec<u8>>, Diagnostic> {
    let pages: Vec<usize> = (0..sheet.pages.len()).collect();
    let cores = available_parallelism().map_or(1, NonZero::get).min(64);
    let jobs = if pages.len() > 1 { 1 } else { cores };
    let drawn = in_parallel(&pages, |page| png::in_memory(sheet, *page, dpi, jobs, &|_| Ok(())));
    let failed = |(page, e): (usize, png::PngError)| {
        let message = format!("the picture of page {} cannot be drawn: {e}", page + 1);
        Diagnostic::error("no-picture", message).help("choose PDF or SVG, or fewer colours")
    };
    let numbered = drawn.into_iter().enumerate();
    numbered.map(|(page, done)| done.map_err(|e| failed((page, e)))).collect()
}
