//! `compare`: what changed between two releases, and what to make again.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::releases::{both, whole};
use crate::cli::args::{CompareArgs, Whom};
use crate::cli::choices::two_forms;
use crate::cli::ending::{Writing, fail, print};
use crate::compare::report::{Titles, csv, json, markdown, text};
use crate::compare::{Changes, ComparedSheet, ranges, sheets};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::{Named, found, is_file};
use crate::range::{ColourRange, SheetSpec, load_either};
use crate::read::read_text;
use crate::session::Session;
use crate::spelling::Spelling;

/// The form in which the changes are reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Text,
    Json,
    Csv,
    Markdown,
}

/// Runs `compare`.
pub fn run(args: &CompareArgs, session: &Session) -> u8 {
    if args.whom == Some(Whom::Buyers) {
        return super::buyers::run(args, session);
    }
    let mut sources = Sources::of(session.clone());
    let form = match form(args) {
        Ok(form) => form,
        Err(d) => return fail(d.into(), &sources, args.json),
    };
    let (changes, titles) = match compared(&args.old, &args.new, &mut sources) {
        Ok(compared) => compared,
        Err(findings) => return fail(findings, &sources, args.json),
    };
    let reported = match form {
        Form::Text => text(&changes),
        Form::Json => json(&changes),
        Form::Csv => csv(&changes),
        Form::Markdown => markdown(&changes, &titles),
    };
    match &args.out {
        None => print(&reported, session),
        Some(file) => {
            let writing = Writing { by: "compare", replace: args.replace, json: args.json };
            match writing.each(vec![(file.clone(), reported.into_bytes())], session) {
                Ok(()) => print(&format!("Written: {}\n", file.display()), session),
                Err(code) => code,
            }
        }
    }
}

/// As asked for, else by the file's ending, else text.
fn form(args: &CompareArgs) -> Result<Form, Diagnostic> {
    let asked = [(args.json, Form::Json), (args.csv, Form::Csv), (args.markdown, Form::Markdown)];
    if let Some((_, form)) = asked.into_iter().find(|(asked, _)| *asked) {
        let (option, ending) = match form {
            Form::Json => ("--json", "json"),
            Form::Csv => ("--csv", "csv"),
            _ => ("--markdown", "md"),
        };
        return two_forms(option, ending, args.out.as_deref()).map(|()| form);
    }
    let Some(file) = &args.out else { return Ok(Form::Text) };
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("md") => Ok(Form::Markdown),
        Some("json") => Ok(Form::Json),
        Some("csv") => Ok(Form::Csv),
        Some("txt") => Ok(Form::Text),
        _ => Err(Diagnostic::error(
            "unknown-ending",
            format!("'{}' does not have a supported ending", file.display()),
        )
        .help("end its name in .md, .json, .csv or .txt, or add --markdown, --json or --csv")),
    }
}

/// Reads both files; the faults of both are reported together.
fn compared(old: &Path, new: &Path, sources: &mut Sources) -> Result<(Changes, Titles), Findings> {
    let (old_file, new_file) = (old, new);
    let (old, new) = both(load_either(old_file, sources), load_either(new_file, sources))?;
    match (&old.sheet, &new.sheet) {
        (Some(old_sheet), Some(new_sheet)) => {
            let (old, new) =
                both(shown(&old.range, old_sheet, sources), shown(&new.range, new_sheet, sources))?;
            Ok((sheets(&old, &new), Titles::new(old.range, new.range)))
        }
        _ => {
            // What a sheet chooses, and its year, are not changes of the range.
            let (old, new) = both(whole(old, old_file, sources), whole(new, new_file, sources))?;
            Ok((ranges(&old, &new), Titles::new(&old, &new)))
        }
    }
}

/// A sheet with its spellings and the texts of its custom files.
fn shown<'a>(
    range: &'a ColourRange,
    sheet: &'a SheetSpec,
    sources: &mut Sources,
) -> Result<ComparedSheet<'a>, Findings> {
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    let mut findings = Findings::default();
    let mut spellings = BTreeMap::new();
    let mut files: Vec<(&String, PathBuf)> = Vec::new();
    let layouts = sheet.editions().iter().map(|e| (e.layout(), &e.layout().span));
    let named = [(sheet.style(), &sheet.style().span)].into_iter().chain(layouts);
    for (name, span) in named.filter(|(name, _)| is_file(name)) {
        match found(name, folder, Named::InSheet, &sources.session) {
            Ok(path) => files.push((name, path)),
            Err(d) => findings.push(d.at(span.clone())),
        }
    }
    for edition in sheet.editions() {
        for tag in edition.spellings() {
            if spellings.contains_key(tag) {
                continue;
            }
            match Spelling::load(tag, folder, sources) {
                Ok(spelling) => {
                    let spelling = spelling.keeping(sheet.proper_names());
                    spellings.insert(tag.clone(), spelling);
                }
                Err(faults) => findings.extend(faults),
            }
            let file = folder.join("spelling").join(format!("{tag}.ron"));
            if sources.session.files.exists(&file) {
                files.push((tag, file));
            }
        }
    }
    let mut texts = BTreeMap::new();
    for (name, file) in files {
        match read_text(&file, None, &sources.session) {
            Ok(text) => drop(texts.insert(name.clone(), text.to_string())),
            Err(d) => findings.push(d),
        }
    }
    if findings.failed() {
        return Err(findings);
    }
    let work = sources.session.work.clone();
    Ok(ComparedSheet { range, sheet, spellings, texts, work })
}
