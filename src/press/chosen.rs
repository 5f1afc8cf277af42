//! Which values a sheet is printed with: those of a file, or tuned on the spot.

use std::path::{Path, PathBuf};

use super::open::Chosen;
use super::print::Print;
use super::values;
use crate::diag::{Findings, Sources};
use crate::range::{Range, SheetSpec};

/// Where print values came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// A plain conversion.
    Plain,
    /// Tuned in this run.
    Tuned,
    /// A file that `tune` wrote.
    File(PathBuf),
}

impl Origin {
    /// 'plain' or 'tuned'.
    pub fn word(&self) -> &'static str {
        match self {
            Origin::Plain => "plain",
            Origin::Tuned | Origin::File(_) => "tuned",
        }
    }
}

impl Chosen {
    /// The file of print values: where the sheet says, else beside it.
    pub fn values_file(&self, sheet: &SheetSpec) -> PathBuf {
        let folder = sheet.file().parent().unwrap_or(Path::new(""));
        match &self.values {
            Some((file, _)) => file.clone(),
            None => folder.join(format!("{}.values.ron", self.name)),
        }
    }

    /// The values of the file, where the sheet names one or one is there; else tuned now.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn print(
        &self,
        range: &Range,
        sheet: &SheetSpec,
        sources: &mut Sources,
    ) -> Result<(Print, Origin), Findings> {
        let file = self.values_file(sheet);
        let named_at = self.values.as_ref().and_then(|(_, span)| span.clone());
        if self.values.is_some() || file.exists() {
            let print = values::read(&file, named_at, &self.paper, (range, sheet), sources)?;
            return Ok((print, Origin::File(file)));
        }
        Ok((Print::tuned(&self.paper, range, sheet), Origin::Tuned))
    }
}
