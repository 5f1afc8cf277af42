//! What an instrument measured: the patches of the chart by their names.

use std::collections::BTreeMap;
use std::path::Path;

use super::ReadFile;
use super::white::beside;
use crate::capture::page::{PrintPatch, StagePage};
use crate::colour::Lab50;
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::measured::{Asked, read};
use crate::press::{Paper, PrintReading, ReadBy};
use crate::range::parsed_value;

/// The readings of a file of an instrument (CGATS, CxF or a table).
///
/// # Errors
/// What is wrong with the file; none of its samples is a patch of the target.
pub fn by_instrument(
    file: &Path,
    pages: &[StagePage],
    paper: &Paper,
    sources: &mut Sources,
) -> Result<(ReadFile, Findings), Findings> {
    let mut findings = Findings::default();
    let asked = Asked { file, sheet: None, headings: &[], from: None };
    let readings = read(&asked, sources, &mut findings).unwrap_or_default();
    let patches: BTreeMap<&str, &PrintPatch> =
        pages.iter().flat_map(|page| &page.prints).map(|p| (p.name.as_str(), p)).collect();
    let printed = pages.iter().flat_map(|page| &page.prints);
    let chart: Vec<&PrintPatch> = printed.filter(|p| p.beside.is_none()).collect();
    let mut seen: Vec<(&PrintPatch, Lab50)> = Vec::new();
    let mut unknown = 0;
    for reading in &readings {
        let named = reading.names.iter().find_map(|name| patches.get(name.trim()).copied());
        // Some programs keep nothing but the number of a sample.
        let numbered = || {
            let number = |name: &str| name.trim().parse::<usize>().ok()?.checked_sub(1);
            reading.names.iter().find_map(|name| chart.get(number(name)?).copied())
        };
        let Some(patch) = named.or_else(numbered) else {
            unknown += 1;
            continue;
        };
        match parsed_value(reading.value.value.clone()) {
            Ok(value) if value.is_known() => seen.push((patch, value.aim())),
            Ok(_) => {}
            Err(fault) => findings.push(fault.at(reading.value.span.clone())),
        }
    }
    let whole = || Some(Span { file: file.into(), range: 0..0 });
    if seen.is_empty() && !findings.failed() {
        let message =
            format!("none of the {} samples in this file is a patch of the target", readings.len());
        let help = "name the samples as the patches are named on the page: A1, A2 and so on; or name the target's file with --target";
        findings.push(Diagnostic::error("no-patches", message).at(whole()).help(help));
    }
    if findings.failed() {
        return Err(findings);
    }
    if unknown > 0 {
        let message = format!("{unknown} samples in this file are no patches of the target");
        findings
            .push(Diagnostic::hint("other-samples", message).at(whole()).help("they are ignored"));
    }
    let white = white(&seen, paper);
    let mut out = ReadFile::default();
    let by = ReadBy::Instrument;
    for (patch, lab) in seen {
        let shown = beside(lab, white);
        let reading = PrintReading { value: patch.value, shown, by, sigma: by.sigma() };
        out.push(format!("patch {}", patch.name), reading);
    }
    Ok((out, findings))
}

/// The paper's own white: the mean of its bare patches, else what is known of it.
fn white(seen: &[(&PrintPatch, Lab50)], paper: &Paper) -> Lab50 {
    let bare: Vec<Lab50> =
        seen.iter().filter(|(p, _)| p.value == paper.nothing()).map(|(_, lab)| *lab).collect();
    if bare.is_empty() {
        return paper.measured(Lab50::new(100.0, 0.0, 0.0));
    }
    let mean = |of: fn(&Lab50) -> f64| bare.iter().map(of).sum::<f64>() / bare.len() as f64;
    Lab50::new(mean(|c| c.l), mean(|c| c.a), mean(|c| c.b))
}
