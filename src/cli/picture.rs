//! Pages as pictures that are kept in memory until everything is ready to be written.

use crate::diag::{Diagnostic, Findings};
use crate::edition::cancel;
use crate::edition::progress::Progress;
use crate::paint::png::{self, PngError};
use crate::parallel::{cores, in_parallel};
use crate::sheet::{Coloured, Rgb};
use crate::stop::Stop;
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

/// Why a command ends without results.
pub enum Trouble {
    Input(Findings),
    Stopped,
}

/// Draws pages one after the other, and says how far it is.
pub struct Draughtsman<'a> {
    pub progress: &'a Progress,
    pub stop: &'a Stop,
    pub dpi: Dpi,
    /// So many files are done.
    pub done: usize,
}

impl Draughtsman<'_> {
    /// A page as a PNG file of this name, on all processors.
    ///
    /// # Errors
    /// It cannot be drawn, or the run is asked to stop.
    pub fn page(
        &mut self,
        painted: Coloured<'_, Rgb>,
        page: usize,
        name: &str,
    ) -> Result<Vec<u8>, Trouble> {
        self.progress.say(name);
        let on_strip = |share: f64| {
            self.progress.at(self.done, share);
            cancel::check(self.stop)
        };
        let drawn = png::in_memory(painted, page, self.dpi, cores(), &on_strip);
        self.done += 1;
        drawn.map_err(|e| match e {
            PngError::Cancelled => Trouble::Stopped,
            PngError::Io(e) => Trouble::Input(failed(&format!("'{name}'"), &e).into()),
        })
    }
}

/// What is reported of a picture that cannot be drawn.
pub fn failed(what: &str, error: &dyn std::fmt::Display) -> Diagnostic {
    Diagnostic::error("no-picture", format!("{what} cannot be drawn: {error}"))
        .help("show fewer colours")
}
