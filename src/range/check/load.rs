//! Reads a sheet or a range with the files that it names, and checks them.

use std::path::Path;
use std::sync::Arc;

use super::drawings::Shapes;
use super::index::Known;
use super::pictures;
use super::range::{self, Checked, RangeFile};
use super::sheet;
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::range::{ColourRange, Light, SheetSpec};
use crate::read::{inside, outside, raw, read_text, ron};

/// What a sheet file and the files it names come to.
#[derive(Debug, Clone)]
pub struct Loaded {
    pub range: ColourRange,
    pub sheet: SheetSpec,
    /// Findings that do not stop the sheet.
    pub warnings: Findings,
}

/// Reads a sheet file, the range file and the shape files it names, and checks them.
///
/// # Errors
/// Everything that stops the sheet, together with the warnings.
pub fn load(sheet_file: &Path, sources: &mut Sources) -> Result<Loaded, Findings> {
    load_again(sheet_file, sources, &Shapes::default())
}

/// The same, where some of the drawings may be known from an earlier time.
///
/// # Errors
/// As [`load`].
pub fn load_again(
    sheet_file: &Path,
    sources: &mut Sources,
    shapes: &Shapes,
) -> Result<Loaded, Findings> {
    let mut findings = Findings::default();
    let loaded = load_all(sheet_file, sources, shapes, &mut findings);
    match loaded {
        Some((range, sheet)) if !findings.failed() => {
            Ok(Loaded { range, sheet, warnings: findings })
        }
        _ => Err(findings),
    }
}

/// What a range file or a sheet file comes to: with a sheet, only its year counts.
#[derive(Debug)]
pub struct Described {
    pub range: ColourRange,
    /// Where the file was a sheet.
    pub sheet: Option<SheetSpec>,
    /// Findings that do not stop anything.
    pub warnings: Findings,
}

/// Reads a range file, or a sheet file with its range.
///
/// # Errors
/// Everything that is wrong, together with the warnings.
pub fn load_either(file: &Path, sources: &mut Sources) -> Result<Described, Findings> {
    if !is_range(file, sources)? {
        let Loaded { range, sheet, warnings } = load(file, sources)?;
        return Ok(Described { range, sheet: Some(sheet), warnings });
    }
    let mut findings = Findings::default();
    let range = open::<raw::Range>(file, None, "Range", sources, &mut findings)
        .map(|doc| whole(RangeFile { file: file.to_path_buf(), doc }, sources, &mut findings));
    match range {
        Some(range) if !findings.failed() => {
            Ok(Described { range, sheet: None, warnings: findings })
        }
        _ => Err(findings),
    }
}

/// Reads the whole range of a range file or of a sheet file, whatever the sheet chooses of it.
///
/// # Errors
/// Everything that is wrong with it, together with the warnings.
pub fn load_range(file: &Path, sources: &mut Sources) -> Result<ColourRange, Findings> {
    if is_range(file, sources)? {
        return load_either(file, sources).map(|described| described.range);
    }
    let mut findings = Findings::default();
    let range = open(file, None, "Sheet", sources, &mut findings)
        .and_then(|doc| range_of(file, &doc, sources, &mut findings))
        .map(|range| whole(range, sources, &mut findings));
    match range {
        Some(range) if !findings.failed() => Ok(range),
        _ => Err(findings),
    }
}

/// A range of which no sheet chooses anything.
fn whole(range: RangeFile, sources: &mut Sources, findings: &mut Findings) -> ColourRange {
    range::check(range, Light::D50, &Shapes::default(), sources, findings).range
}

/// Does the file start with 'Range('? One that cannot be read does not: reading it as a sheet reports why.
///
/// # Errors
/// It is a file of a third kind.
fn is_range(file: &Path, sources: &mut Sources) -> Result<bool, Findings> {
    let Ok(text) = read_text(file, None, &sources.session) else { return Ok(false) };
    match ron::other_kind(file, &text, "Sheet") {
        None => Ok(false),
        Some(_) if ron::other_kind(file, &text, "Range").is_none() => Ok(true),
        Some(fault) => {
            sources.add(file, text);
            Err(fault.help("name a range file or a sheet file").into())
        }
    }
}

fn load_all(
    sheet_file: &Path,
    sources: &mut Sources,
    shapes: &Shapes,
    findings: &mut Findings,
) -> Option<(ColourRange, SheetSpec)> {
    let doc: ron::Document<raw::Sheet> = open(sheet_file, None, "Sheet", sources, findings)?;
    let range_file = range_of(sheet_file, &doc, sources, findings)?;
    // An unknown light is reported by the check of the sheet.
    let light = doc.value.light.as_deref().and_then(Light::parse).unwrap_or_default();
    let Checked { mut range, index } = range::check(range_file, light, shapes, sources, findings);
    let known = Known { range: &range, index: &index, work: &sources.session.work };
    let mut sheet = sheet::check(sheet_file, doc, known, findings);
    if let Some(year) = sheet.year {
        for y in range.years.iter().filter(|y| !y.holds(year)) {
            range.made[y.colour.0][y.part.0] = false;
        }
    }
    without_parts(&range, &sheet, findings);
    if let Some(folder) = sheet.pictures.take().map(|pictures| pictures.folder) {
        let read = pictures::read(folder, &sheet, (&range, &index), sources, findings);
        sheet.pictures = Some(read);
    }
    Some((range, sheet))
}

/// The range file that a sheet names.
fn range_of(
    sheet_file: &Path,
    doc: &ron::Document<raw::Sheet>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<RangeFile> {
    let place = doc.source.root();
    let Some(name) = &doc.value.range else {
        if !place.faulted("range") {
            findings.push(
                Diagnostic::error("missing-field", "the sheet does not name its range file")
                    .at(place.head())
                    .help("add range: \"range.ron\""),
            );
        }
        return None;
    };
    let here = place.field("range").span();
    let folder = sheet_file.parent().unwrap_or(Path::new(""));
    let Some(range_file) = inside(folder, name, &sources.session.files) else {
        findings.push(outside(name, here));
        return None;
    };
    let doc = open(&range_file, here, "Range", sources, findings)?;
    Some(RangeFile { file: range_file, doc })
}

fn open<T: serde::de::DeserializeOwned>(
    file: &Path,
    from: Option<Span>,
    top: &str,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<ron::Document<T>> {
    match read_text(file, from, &sources.session) {
        Ok(text) => {
            sources.add(file, Arc::clone(&text));
            ron::decode(file, &text, top, findings)
        }
        Err(d) => {
            findings.push(d);
            None
        }
    }
}

/// Colours of the sheet that no part shows.
fn without_parts(range: &ColourRange, sheet: &SheetSpec, findings: &mut Findings) {
    // After an error the matrix may have holes that are not the writer's.
    if findings.failed() {
        return;
    }
    for id in sheet.families.iter().flat_map(|f| f.rows.iter()) {
        let colour = range.colour(*id);
        if !range.made[id.0].contains(&true) {
            findings.push(
                Diagnostic::warning(
                    "no-part",
                    format!("no part is made in '{}'", colour.any_name()),
                )
                .at(colour.span().clone())
                .help("mark its parts in made, or omit the colour from the sheet"),
            );
        }
    }
}
