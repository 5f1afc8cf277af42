//! Which values a sheet is printed with: those of a file, or tuned on the spot.

use std::path::{Path, PathBuf};

use super::open::{Chosen, open};
use super::paper::ColourMode;
use super::print::{Print, few_enough};
use super::values;
use crate::diag::{Diagnostic, Findings, Severity, Sources, Span};
use crate::range::{ColourRange, PaperSpec, SheetSpec};
use crate::sheet::palette::PrintValues;

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
    /// The file of print values: the one that the sheet names, else the one beside it.
    pub fn values_file(&self, sheet: &SheetSpec) -> PathBuf {
        let folder = sheet.file().parent().unwrap_or(Path::new(""));
        match &self.values {
            Some((file, _)) => file.clone(),
            None => folder.join(format!("{}.values.ron", self.name)),
        }
    }

    /// The file of what was read on prints of the paper, beside the sheet: of ink values another than of sRGB.
    pub fn readings_file(&self, sheet: &SheetSpec) -> PathBuf {
        let folder = sheet.file().parent().unwrap_or(Path::new(""));
        let ink = if self.paper.colour_mode() == ColourMode::Cmyk { ".ink" } else { "" };
        folder.join(format!("{}{ink}.read.ron", self.name))
    }

    /// The values of the file, where the sheet names one or one is there; else tuned now.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn print(
        &self,
        range: &ColourRange,
        sheet: &SheetSpec,
        sources: &mut Sources,
    ) -> Result<(Print, Origin), Findings> {
        let file = self.values_file(sheet);
        let named_at = self.values.as_ref().and_then(|(_, span)| span.clone());
        if self.values.is_some() && !sources.session.files.exists(&file) {
            return Err(self.not_tuned(&file, named_at, sheet).into());
        }
        if sources.session.files.exists(&file) {
            let print = values::read(&file, named_at, &self.paper, (range, sheet), sources)?;
            return Ok((print, Origin::File(file)));
        }
        few_enough(range, sheet)?;
        Ok((Print::tuned(&self.paper, range, sheet, &sources.session.work), Origin::Tuned))
    }

    fn not_tuned(&self, file: &Path, named_at: Option<Span>, sheet: &SheetSpec) -> Diagnostic {
        let (name, sheet) = (&self.name, sheet.file().display());
        let message = format!("the print values '{}' do not exist yet", file.display());
        Diagnostic::error("not-tuned", message)
            .at(named_at)
            .help(format!("make them with: shadecard tune {sheet} --paper {name}"))
    }
}

/// The print values of a sheet's colours for a page that is printed from sRGB: a paper by its name as
/// [`open`] takes it, with the values of its file or tuned now. With its name for files.
///
/// # Errors
/// A paper that does not exist or cannot be used, and what is wrong with the file.
pub fn srgb_for(
    name: &str,
    (range, sheet): (&ColourRange, &SheetSpec),
    sources: &mut Sources,
) -> Result<(String, PrintValues), Findings> {
    let chosen = open(name, sheet, None, sources)?;
    let print = match chosen.paper.colour_mode() {
        ColourMode::Srgb => chosen.print(range, sheet, sources)?.0,
        // Values that are kept as ink are of no use here.
        ColourMode::Cmyk => {
            few_enough(range, sheet)?;
            let chosen = open(name, sheet, Some(ColourMode::Srgb), sources)?;
            Print::tuned(&chosen.paper, range, sheet, &sources.session.work)
        }
    };
    Ok((chosen.name, print.srgb()))
}

/// What is wrong with the papers of a sheet: profiles that cannot be used
/// (errors), print values that are out of date (warnings).
pub fn papers(range: &ColourRange, sheet: &SheetSpec, sources: &mut Sources) -> Findings {
    let mut findings = Findings::default();
    for spec in sheet.papers() {
        let chosen = match open(spec.name(), sheet, None, sources) {
            Ok(chosen) => chosen,
            Err(faults) => {
                findings.extend(faults);
                continue;
            }
        };
        if let Some(d) = other_condition(spec, &chosen) {
            findings.push(d);
        }
        let file = chosen.values_file(sheet);
        if sources.session.files.exists(&file)
            && let Err(faults) = chosen.print(range, sheet, sources)
        {
            for d in faults.sorted() {
                findings.push(Diagnostic { severity: Severity::Warning, ..d });
            }
        }
    }
    findings
}

/// A condition different from the one that the profile states.
fn other_condition(spec: &PaperSpec, chosen: &Chosen) -> Option<Diagnostic> {
    let (said, own) = (spec.condition().as_ref()?, chosen.paper.registered()?);
    (*said != own).then(|| {
        let message =
            format!("the sheet names the condition '{said}', but the profile is for '{own}'");
        Diagnostic::warning("other-condition", message).at(spec.condition().span.clone()).help(
            format!("write condition: \"{own}\", or ask the print house which profile to use"),
        )
    })
}
