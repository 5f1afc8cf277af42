//! What a sheet that has faults itself names besides its range: all faults are reported in one run.

use std::path::Path;

use super::named;
use crate::diag::{Findings, Sources};
use crate::plan::Style;
use crate::range::SheetSpec;
use crate::read::ron::{Document, decode};
use crate::read::{raw, read_text, tag};

/// Faults of what a sheet names that has faults itself: those are reported elsewhere.
pub fn of_file(sheet: &Path, style: Option<&str>, sources: &mut Sources) -> Findings {
    let mut findings = Findings::default();
    let elsewhere = &mut Findings::default();
    let doc: Option<Document<raw::Sheet>> = read_text(sheet, None, &sources.session)
        .ok()
        .and_then(|text| decode(sheet, &text, "Sheet", elsewhere));
    let Some(doc) = doc else { return findings };
    let root = doc.source.root();
    let folder = sheet.parent().unwrap_or(Path::new(""));
    let named = match (style, &doc.value.style) {
        (Some(style), _) => Some((style, None)),
        (None, own) => own.as_deref().map(|own| (own, root.field("style").span())),
    };
    if let Some((name, at)) = named {
        findings.extend(named::style(name, folder, &at, sources).err().unwrap_or_default());
    }
    let editions = doc.value.editions.unwrap_or_default();
    let mut spellings: Vec<_> = doc.value.spellings.iter().map(|list| (list, root)).collect();
    for (i, edition) in editions.iter().enumerate() {
        let at = root.field("editions").item(i);
        if let Some(layout) = &edition.layout {
            let at = at.field("layout").span();
            findings.extend(named::layout(layout, folder, &at, sources).err().unwrap_or_default());
        }
        spellings.extend(edition.spellings.as_ref().map(|list| (list, at)));
    }
    for (list, at) in spellings {
        for (i, tag) in list.iter().enumerate().filter(|(_, tag)| tag::well_formed(tag)) {
            let at = at.field("spellings").item(i).span();
            findings.extend(named::spelling(tag, folder, &at, sources).err().unwrap_or_default());
        }
    }
    findings
}

/// The style that is asked for on the command line, else that of the sheet.
///
/// # Errors
/// Everything that is wrong with it.
pub fn style(
    asked: Option<&str>,
    sheet: &SheetSpec,
    folder: &Path,
    sources: &mut Sources,
) -> Result<Style, Findings> {
    match asked {
        Some(name) => named::style(name, folder, &None, sources),
        None => named::style(sheet.style(), folder, &sheet.style().span, sources),
    }
}
