//! What a sheet names besides its range: layouts, a style, spellings. Everything wrong with them is reported together,
//! at its place in their own files, whether or not the rest of the sheet can be read.

use std::path::{Path, PathBuf};

use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::edition::{self, Filter, find_style, found, is_file, own_fonts};
use crate::plan::layout::LayoutFile;
use crate::plan::{Layout, Look, Style};
use crate::range::SheetSpec;
use crate::read::ron::{Document, decode};
use crate::read::{raw, read_text, tag};
use crate::spelling::Spelling;
use crate::units::pt_to_mm;

/// A name with its place in the sheet.
type Name = (String, Option<Span>);

/// The names that a sheet gives.
struct Named {
    folder: PathBuf,
    layouts: Vec<Name>,
    spellings: Vec<Name>,
    style: Option<Name>,
}

/// Faults of what a checked sheet names, as far as it is asked for.
pub fn of_sheet(sheet: &SheetSpec, filter: &Filter, sources: &mut Sources) -> Findings {
    let asked = |list: &[String], name: &String| list.is_empty() || list.contains(name);
    let editions = sheet.editions().iter().filter(|e| asked(&filter.editions, e.name()));
    let editions: Vec<_> = editions
        .filter(|e| e.spellings().iter().any(|tag| asked(&filter.spellings, tag)))
        .collect();
    let style = match &filter.style {
        Some(style) => (style.clone(), None),
        None => (sheet.style().clone(), sheet.style_span().clone()),
    };
    let tags = editions.iter().flat_map(|e| e.spellings().iter().map(move |t| (t, *e)));
    let named = Named {
        folder: folder(sheet.file()),
        layouts: editions.iter().map(|e| (e.layout().clone(), e.layout_span().clone())).collect(),
        spellings: tags.map(|(tag, e)| (tag.clone(), e.spellings_span().clone())).collect(),
        style: Some(style),
    };
    named.faults(sources)
}

/// Faults of what a sheet names that has faults itself: those are reported elsewhere.
pub fn of_file(sheet: &Path, style: Option<&str>, sources: &mut Sources) -> Findings {
    let told = &mut Findings::default();
    let doc: Option<Document<raw::Sheet>> = read_text(sheet, None, &sources.session)
        .ok()
        .and_then(|text| decode(sheet, &text, "Sheet", told));
    let Some(doc) = doc else { return Findings::default() };
    let root = doc.source.root();
    let editions = doc.value.editions.unwrap_or_default();
    let place = |i: usize| root.field("editions").item(i);
    let layout =
        |(i, e): (usize, &raw::Edition)| Some((e.layout.clone()?, place(i).field("layout").span()));
    let mut spellings = Vec::new();
    let whole = doc.value.spellings.as_ref().map(|list| (list, root));
    let own = editions.iter().enumerate();
    let own = own.filter_map(|(i, e)| Some((e.spellings.as_ref()?, place(i))));
    for (list, at) in whole.into_iter().chain(own) {
        let at = at.field("spellings");
        let good = list.iter().enumerate().filter(|(_, tag)| tag::well_formed(tag));
        spellings.extend(good.map(|(i, tag)| (tag.clone(), at.item(i).span())));
    }
    let sheets = doc.value.style.map(|style| (style, root.field("style").span()));
    let named = Named {
        folder: folder(sheet),
        layouts: editions.iter().enumerate().filter_map(layout).collect(),
        spellings,
        style: style.map(|style| (style.to_owned(), None)).or(sheets),
    };
    named.faults(sources)
}

/// A style with all that is wrong with it.
///
/// # Errors
/// It does not exist or cannot be used.
pub fn style(
    name: &str,
    folder: &Path,
    named_at: Option<Span>,
    sources: &mut Sources,
) -> Result<Style, Findings> {
    let faults = style_faults(name, folder, &named_at, sources);
    match find_style(name, folder, named_by(&named_at), sources) {
        Ok(style) if !faults.failed() => Ok(style),
        Err(d) if !faults.failed() => Err(d.at(named_at).into()),
        _ => Err(faults),
    }
}

impl Named {
    fn faults(&self, sources: &mut Sources) -> Findings {
        let mut findings = Findings::default();
        if let Some((name, span)) = &self.style {
            findings.extend(style_faults(name, &self.folder, span, sources));
        }
        for (name, span) in &self.layouts {
            findings.extend(layout_faults(name, &self.folder, span, sources));
        }
        for (tag, span) in &self.spellings {
            for d in Spelling::faults(tag, &self.folder, sources).sorted() {
                findings.push(placed(d, span));
            }
        }
        findings
    }
}

fn layout_faults(
    name: &str,
    folder: &Path,
    span: &Option<Span>,
    sources: &mut Sources,
) -> Findings {
    let mut findings = Findings::default();
    if !is_file(name) {
        let faults = Layout::shipped(name).err().unwrap_or_default();
        faults.into_iter().for_each(|d| findings.push(placed(d, span)));
    } else if let Some((path, text)) = own_file(name, folder, span, sources, &mut findings) {
        let doc = decode::<LayoutFile>(&path, &text, "Layout", &mut findings);
        if let Some(doc) = doc.filter(|_| !findings.failed()) {
            for fault in Layout::of(doc.value).err().unwrap_or_default() {
                let here = doc.source.root().or_head(fault.field);
                findings.push(placed(fault.what, &here));
            }
        }
    }
    findings
}

fn style_faults(name: &str, folder: &Path, span: &Option<Span>, sources: &mut Sources) -> Findings {
    let mut findings = Findings::default();
    if Style::shipped(name).is_ok() {
        return findings;
    }
    if !is_file(name) {
        let fault = Style::shipped(name).err();
        fault.into_iter().for_each(|d| findings.push(placed(d, span)));
    } else if let Some((path, text)) = own_file(name, folder, span, sources, &mut findings)
        && let Some(doc) = decode::<Style>(&path, &text, "Style", &mut findings)
        && !findings.failed()
    {
        let mut style = doc.value;
        let (fonts, files) = own_fonts(&style, folder, named_by(span), &sources.session);
        style.own_fonts = fonts;
        // A font whose file has a fault is not reported as missing too.
        let mut faults = style.faults();
        faults.retain(|d| !files.keys().any(|name| d.message.contains(name.as_str())));
        faults.extend(files.into_values());
        if faults.is_empty() {
            faults.extend(Look::new(&style, 210.0, 297.0, pt_to_mm(5.0)).err());
        }
        for d in faults {
            // An ink that every style needs may be named nowhere.
            let inks = || doc.source.root().field("inks").key_span();
            let here = quoted(&d.message, &path, &text).filter(|s| s.range != (0..0));
            findings.push(placed(d, &here.or_else(inks)));
        }
    }
    findings
}

/// A custom file, whose name has this place.
fn own_file(
    name: &str,
    folder: &Path,
    span: &Option<Span>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<(PathBuf, String)> {
    let text = found(name, folder, named_by(span), &sources.session)
        .map_err(|d| d.at(span.clone()))
        .and_then(|path| Ok((read_text(&path, span.clone(), &sources.session)?, path)));
    match text {
        Ok((text, path)) => {
            sources.add(&path, text.clone());
            Some((path, text.to_string()))
        }
        Err(d) => {
            findings.push(d);
            None
        }
    }
}

/// A name in a sheet has a place there, one on the command line has none.
fn named_by(span: &Option<Span>) -> edition::Named {
    match span {
        Some(_) => edition::Named::InSheet,
        None => edition::Named::OnCommandLine,
    }
}

/// The place of the first word that a message quotes; the whole file where it is not written there.
fn quoted(message: &str, file: &Path, text: &str) -> Option<Span> {
    let word = message.split('\'').nth(1).map(|word| format!("\"{word}\""));
    let found = word.as_ref().and_then(|w| Some((text.find(w.as_str())?, w.len())));
    let range = found.map_or(0..0, |(start, length)| start..start + length);
    Some(Span { file: file.into(), range })
}

/// With a place of its own, else this one.
fn placed(d: Diagnostic, span: &Option<Span>) -> Diagnostic {
    let own = d.span.clone();
    d.at(own.or_else(|| span.clone()))
}

fn folder(sheet: &Path) -> PathBuf {
    sheet.parent().unwrap_or(Path::new("")).to_path_buf()
}
