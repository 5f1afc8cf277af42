//! From a paper's name to the paper.

use std::path::{Path, PathBuf};

use super::paper::{ColourMode, NoPaper, Paper, PaperModel, RenderingIntent};
use super::readings;
use crate::diag::{Diagnostic, Findings, Sources, Span, nearest};
use crate::range::{PaperSource, PaperSpec, SheetSpec};
use crate::read::file::read_bytes;
use crate::read::{inside, outside};
use crate::session::Session;

/// A paper with its settings in the sheet.
pub struct Chosen {
    /// Letters, digits and hyphens, for file names.
    pub name: String,
    pub paper: Paper,
    /// The reference name of its output condition in the ICC registry: the sheet's word, else the profile's.
    pub condition: Option<String>,
    /// The file of its print values, where the sheet names one, and where it does.
    pub values: Option<(PathBuf, Option<Span>)>,
}

/// The paper of a name with what readings of its prints add, where the sheet has such readings beside it.
/// `colour_mode` has the last word on what files carry.
///
/// # Errors
/// As [`open_plain`]; everything that is wrong with the readings.
pub fn open(
    name: &str,
    sheet: &SheetSpec,
    colour_mode: Option<ColourMode>,
    sources: &mut Sources,
) -> Result<Chosen, Findings> {
    let mut chosen = open_plain(name, sheet, colour_mode, &sources.session)?;
    let file = chosen.readings_file(sheet);
    if sources.session.files.exists(&file) {
        let readings = readings::read(&file, &chosen.paper, sources)?;
        chosen.paper = readings.correct(chosen.paper);
    }
    Ok(chosen)
}

/// The paper of that name in the sheet, else a built-in one, else the one of a profile's file, by its model alone.
///
/// # Errors
/// An unknown name; a profile that cannot be read or used.
pub fn open_plain(
    name: &str,
    sheet: &SheetSpec,
    colour_mode: Option<ColourMode>,
    session: &Session,
) -> Result<Chosen, Diagnostic> {
    if let Some(spec) = sheet.papers().iter().find(|p| p.name() == name) {
        return of_sheet(spec, sheet, colour_mode, session);
    }
    if let Some(model) = PaperModel::ALL.into_iter().find(|m| m.name() == name) {
        let colour_mode = colour_mode.unwrap_or(ColourMode::Srgb);
        let paper = Paper::model(model, colour_mode, RenderingIntent::default());
        let paper = paper.map_err(|e| unfit(name, &e, None))?;
        return Ok(Chosen { name: name.to_owned(), paper, condition: None, values: None });
    }
    let path = Path::new(name);
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or_default();
    if matches!(ending.to_ascii_lowercase().as_str(), "icc" | "icm") {
        let bytes = read_bytes(path, None, session)?;
        let paper = Paper::profile(&bytes, colour_mode, RenderingIntent::default());
        let paper = paper.map_err(|e| unfit(name, &e, None))?;
        let condition = paper.registered();
        return Ok(Chosen { name: stem(path), paper, condition, values: None });
    }
    Err(unknown(name, sheet))
}

fn of_sheet(
    spec: &PaperSpec,
    sheet: &SheetSpec,
    colour_mode: Option<ColourMode>,
    session: &Session,
) -> Result<Chosen, Diagnostic> {
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    let colour_mode = colour_mode.or(spec.colour_mode());
    let paper = match &spec.source().value {
        PaperSource::Model(model) => {
            Paper::model(*model, colour_mode.unwrap_or(ColourMode::Srgb), spec.rendering_intent())
                .map_err(|e| unfit(spec.name(), &e, spec.source().span.clone()))?
        }
        PaperSource::Profile(file) => {
            let at = || spec.source().span.clone();
            let path = inside(folder, file, &session.files).ok_or_else(|| outside(file, at()))?;
            let bytes = read_bytes(&path, at(), session)?;
            Paper::profile(&bytes, colour_mode, spec.rendering_intent())
                .map_err(|e| unfit(file, &e, spec.source().span.clone()))?
        }
    };
    let paper = match spec.ink_limit() {
        Some(limit) => paper.with_ink_limit(limit),
        None => paper,
    };
    let values = spec.values().as_ref().map(|file| {
        let at = spec.values().span.clone();
        let path = inside(folder, file, &session.files).ok_or_else(|| outside(file, at.clone()))?;
        Ok::<_, Diagnostic>((path, at))
    });
    let values = values.transpose()?;
    let own = match &spec.source().value {
        PaperSource::Model(_) => None,
        PaperSource::Profile(_) => paper.registered(),
    };
    let condition = spec.condition().value.clone().or(own);
    Ok(Chosen { name: spec.name().clone(), paper, condition, values })
}

fn unfit(name: &str, why: &NoPaper, span: Option<Span>) -> Diagnostic {
    match why {
        NoPaper::Profile(unfit) => Diagnostic::error(
            "unfit-profile",
            format!("the profile '{name}' cannot be used: {unfit}"),
        )
        .help("ask the print house for the ICC output profile of the paper"),
        NoPaper::NotCmyk => Diagnostic::error(
            "not-cmyk",
            format!("the profile of the paper '{name}' is RGB, so its file cannot be CMYK"),
        )
        .help("write colour_mode: srgb, or remove colour_mode"),
    }
    .at(span)
}

fn unknown(name: &str, sheet: &SheetSpec) -> Diagnostic {
    let own = sheet.papers().iter().map(|p| p.name().as_str());
    let mut all: Vec<&str> = own.collect();
    let models = PaperModel::ALL.map(PaperModel::name);
    all.extend(models.into_iter().filter(|m| sheet.papers().iter().all(|p| p.name() != m)));
    let help = match nearest(name, all.iter().copied()) {
        _ if is_size(name) => {
            format!(
                "'{name}' is a page size, for --page or --panels; the papers are {}",
                all.join(", ")
            )
        }
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use {}, or the path of an ICC profile (.icc)", all.join(", ")),
    };
    Diagnostic::error("unknown-paper", format!("there is no paper '{name}'")).help(help)
}

/// Is it the name of a page size?
fn is_size(name: &str) -> bool {
    let name = name.to_ascii_lowercase();
    let is_iso = matches!(name.as_bytes(), [b'a' | b'b', b'0'..=b'9']);
    is_iso || matches!(name.as_str(), "letter" | "legal" | "tabloid")
}

/// The file's name without folder and ending, of letters, digits and hyphens.
fn stem(path: &Path) -> String {
    let stem = path.file_stem().and_then(|s| s.to_str()).unwrap_or("paper");
    let plain: String =
        stem.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    let plain = plain.trim_matches('-').to_ascii_lowercase();
    if plain.is_empty() { "paper".to_owned() } else { plain }
}
