//! Which kind of file it is, and its readings.

use std::path::Path;
use std::sync::Arc;

use super::sample::{Reading, Sample, Scales};
use super::{cgats, cxf, rows, settle};
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::read::cells;
use crate::read::cells::heads::Mapping;
use crate::read::file::read_bytes;

/// A file of measured values, and what was said of it where it is named.
#[derive(Debug, Clone)]
pub struct Asked<'a> {
    pub file: &'a Path,
    /// The sheet of a workbook.
    pub sheet: Option<&'a str>,
    /// Headings of a table that stand for others.
    pub headings: &'a [Mapping],
    /// The place that names the file, if another file does.
    pub from: Option<Span>,
}

/// The samples of a file, and what it says of its scales.
pub type Samples = (Vec<Sample>, Scales);

/// The kinds of file.
#[derive(Clone, Copy, PartialEq)]
enum FormKind {
    Cgats,
    Cxf,
    Table,
}

/// The readings of a file; none where it cannot be read, which `findings` then say. Where these hold an error, values are
/// not to be used.
pub fn read(
    asked: &Asked<'_>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<Vec<Reading>> {
    let Asked { file, .. } = asked;
    match samples(asked, sources, findings) {
        Ok(Some((name, (samples, scales)))) => {
            Some(settle::settle(samples, scales, &name, findings))
        }
        Ok(None) => None,
        Err(fault) => {
            let whole = Some(Span { file: (*file).into(), range: 0..0 });
            let span = fault.span.clone().or(whole);
            findings.push(fault.at(span));
            None
        }
    }
}

/// The samples with the name of their file: for a workbook that of its sheet.
fn samples(
    asked: &Asked<'_>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Result<Option<(Arc<Path>, Samples)>, Diagnostic> {
    let Asked { file, sheet, headings, from } = asked;
    let Some(text) = text_of(asked, sources, findings)? else {
        let grid = cells::read(file, *sheet, from.clone(), sources)?;
        findings.extend(grid.notes.clone());
        let name = grid.file.clone();
        return Ok(rows::samples(&grid, headings, findings).map(|samples| (name, samples)));
    };
    let name: Arc<Path> = (*file).into();
    let (kind, text) = text;
    let limits = sources.session.limits;
    idle(asked, findings);
    let samples = match kind {
        FormKind::Cxf => cxf::samples(&name, &text, limits, findings),
        _ => cgats::samples(&name, &text, limits, findings),
    };
    Ok(samples.map(|samples| (name, samples)))
}

/// The text of an instrument's file, with its kind; none of a table.
fn text_of(
    asked: &Asked<'_>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Result<Option<(FormKind, Arc<str>)>, Diagnostic> {
    let Asked { file, from, .. } = asked;
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let kind = match ending.as_str() {
        "ti3" | "cgats" | "it8" | "cie" | "ti2" => FormKind::Cgats,
        "cxf" | "xml" => FormKind::Cxf,
        // Of these only the text says what they are.
        "txt" => FormKind::Table,
        _ => return Ok(None),
    };
    let bytes = read_bytes(file, from.clone(), &sources.session)?;
    let mut notes = Findings::default();
    let text: Arc<str> = cells::decode(file, bytes, &mut notes)?.into();
    let kind = if ending == "txt" { looks_like(&text) } else { kind };
    if kind == FormKind::Table {
        return Ok(None);
    }
    findings.extend(notes);
    sources.add(file, Arc::clone(&text));
    Ok(Some((kind, text)))
}

/// What a text file is, by what is in it.
fn looks_like(text: &str) -> FormKind {
    if text.lines().any(|l| l.trim_start().starts_with("BEGIN_DATA")) {
        FormKind::Cgats
    } else if text.trim_start().starts_with("<?xml") {
        FormKind::Cxf
    } else {
        FormKind::Table
    }
}

/// What was said of a file that only a table can have.
fn idle(asked: &Asked<'_>, findings: &mut Findings) {
    let shown = asked.file.display();
    let fault = |code, message: String, help| {
        Diagnostic::warning(code, message).at(asked.from.clone()).help(help)
    };
    if let Some(sheet) = asked.sheet {
        findings.push(fault(
            "no-sheets",
            format!("'{shown}' has no sheet '{sheet}'"),
            "remove sheet",
        ));
    }
    if !asked.headings.is_empty() {
        let message = format!("'{shown}' is no table, so its headings cannot be mapped");
        findings.push(fault("no-headings", message, "remove headings"));
    }
}
