//! What a sheet names besides its range: layouts, a style, spellings. Each is read by its name
//! or as a custom file, and everything that is wrong with it is reported at its place in its own file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::plan::{Layout, Look, Style};
use crate::read::file::read_bytes;
use crate::read::{inside, outside, read_text};
use crate::session::Session;
use crate::spelling::Spelling;
use crate::type_::OwnFonts;
use crate::units::pt_to_mm;

/// Who named a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// A sheet: the file is in its folder.
    InSheet,
    /// A person: it may be anywhere, and need not be beside the sheet.
    OnCommandLine,
}

impl Named {
    /// A name in a sheet has a place there, one on the command line has none.
    fn at(place: &Option<Span>) -> Named {
        if place.is_some() { Named::InSheet } else { Named::OnCommandLine }
    }
}

/// Does a layout or style name mean a file?
pub fn is_file(name: &str) -> bool {
    name.ends_with(".ron") || name.contains('/')
}

/// The file that a name means.
///
/// # Errors
/// A sheet names one outside its folder.
pub fn found(
    name: &str,
    folder: &Path,
    from: Named,
    session: &Session,
) -> Result<PathBuf, Diagnostic> {
    match (inside(folder, name, &session.files), from) {
        (Some(near), Named::InSheet) => Ok(near),
        (Some(near), Named::OnCommandLine) if session.files.exists(&near) => Ok(near),
        (_, Named::OnCommandLine) => Ok(PathBuf::from(name)),
        (None, Named::InSheet) => Err(outside(name, None)),
    }
}

/// A layout; `at`: where it is named.
///
/// # Errors
/// Everything that is wrong with it.
pub fn layout(
    name: &str,
    folder: &Path,
    at: &Option<Span>,
    sources: &mut Sources,
) -> Result<Layout, Findings> {
    if !is_file(name) {
        return Layout::shipped(name).map_err(|faults| placed(faults, at));
    }
    let (path, text) = own_file(name, folder, at, sources)?;
    Layout::parse(&path, &text)
}

/// A spelling; `at`: where it is named.
///
/// # Errors
/// Everything that is wrong with it.
pub fn spelling(
    tag: &str,
    folder: &Path,
    at: &Option<Span>,
    sources: &mut Sources,
) -> Result<Spelling, Findings> {
    Spelling::load(tag, folder, sources).map_err(|faults| placed(faults, at))
}

/// A style with its fonts; `at`: where it is named.
///
/// # Errors
/// Everything that is wrong with it.
pub fn style(
    name: &str,
    folder: &Path,
    at: &Option<Span>,
    sources: &mut Sources,
) -> Result<Style, Findings> {
    let shipped = Style::shipped(name);
    if shipped.is_ok() || !is_file(name) {
        return shipped.map_err(|fault| placed(fault.into(), at));
    }
    let (path, text) = own_file(name, folder, at, sources)?;
    let mut findings = Findings::default();
    let Some(mut style) = Style::read(&path, &text, &mut findings) else { return Err(findings) };
    let (fonts, unreadable) = own_fonts(&style, folder, at, &sources.session);
    style.own_fonts = fonts;
    findings.extend(style.font_faults(&unreadable.keys().cloned().collect()));
    unreadable.into_values().for_each(|fault| findings.push(fault));
    if !findings.failed() {
        let look = Look::new(&style, 210.0, 297.0, pt_to_mm(5.0));
        findings.extend(look.err().map(Findings::from).unwrap_or_default());
    }
    if findings.failed() { Err(findings) } else { Ok(style) }
}

/// A custom file.
fn own_file(
    name: &str,
    folder: &Path,
    at: &Option<Span>,
    sources: &mut Sources,
) -> Result<(PathBuf, Arc<str>), Diagnostic> {
    let path =
        found(name, folder, Named::at(at), &sources.session).map_err(|d| d.at(at.clone()))?;
    let text = read_text(&path, at.clone(), &sources.session)?;
    sources.add(&path, text.clone());
    Ok((path, text))
}

/// The fonts that a style names and that do not come with the program, files in the sheet's folder, and
/// what is wrong with others, by their names. A name that is neither a path nor a file there is left to
/// whoever knows the shipped ones.
fn own_fonts(
    style: &Style,
    folder: &Path,
    style_at: &Option<Span>,
    session: &Session,
) -> (OwnFonts, BTreeMap<String, Diagnostic>) {
    let (mut fonts, mut faults) = (OwnFonts::new(), BTreeMap::new());
    for (name, at) in style.named_fonts() {
        let is_path = name.contains(['/', '\\']);
        if !is_path
            && !inside(folder, name, &session.files).is_some_and(|near| session.files.exists(&near))
        {
            continue;
        }
        match font_file(name, folder, (Named::at(style_at), at), session) {
            Ok(bytes) => drop(fonts.insert(name.to_owned(), bytes)),
            Err(fault) => drop(faults.insert(name.to_owned(), fault)),
        }
    }
    (fonts, faults)
}

fn font_file(
    name: &str,
    folder: &Path,
    (from, at): (Named, Option<Span>),
    session: &Session,
) -> Result<Arc<[u8]>, Diagnostic> {
    let ending = Path::new(name).extension().unwrap_or_default().to_ascii_lowercase();
    if ending != "ttf" && ending != "otf" {
        let message = format!("the font '{name}' is neither a TTF nor an OTF file");
        return Err(Diagnostic::error("bad-style", message)
            .at(at)
            .help("name a file that ends in .ttf or .otf; makers of fonts offer both"));
    }
    let path = found(name, folder, from, session).map_err(|d| d.at(at.clone()))?;
    Ok(read_bytes(&path, at, session)?.into())
}

/// The same faults, each with a place.
fn placed(faults: Findings, at: &Option<Span>) -> Findings {
    let mut out = Findings::default();
    for d in faults.sorted() {
        let own = d.span.clone().or_else(|| at.clone());
        out.push(d.at(own));
    }
    out
}
