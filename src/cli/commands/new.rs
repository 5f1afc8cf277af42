//! `new`: a small working range and sheet in a new folder.

use std::io::ErrorKind;
use std::path::Path;

use super::template;
use crate::cli::args::NewArgs;
use crate::cli::ending::{fail, machine, print, say};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::disk::Disk;
use crate::edition::{Editions, Filter, write};
use crate::files::Files;
use crate::plan::style::{SHIPPED_STYLES, Style};
use crate::range::load;
use crate::read::cells::{self, Grid};
use crate::session::Session;
use crate::starter::{self, Begun, Draft, Folder, Given, StarterFile};

/// Runs `new`.
pub fn run(args: &NewArgs, session: &Session) -> u8 {
    if let Some(code) = template::run(args, session) {
        return code;
    }
    let mut sources = Sources::of(session.clone());
    let dir = &args.dir;
    let there = match session.disk.entries(dir) {
        Ok(there) => there.len(),
        Err(e) if e.kind() == ErrorKind::NotFound || dir.is_file() => 0,
        Err(e) => return machine(write::trouble(dir, &e), session),
    };
    if there > 0 {
        let fault = Diagnostic::error("folder-in-use", format!("'{}' is not empty", dir.display()))
            .help("name a new folder: existing files are never overwritten");
        return fail(fault.into(), &sources, false);
    }
    if dir.is_file() {
        let message = format!("'{}' is a file, not a folder", dir.display());
        let fault = Diagnostic::error("folder-in-use", message)
            .help("name a new folder: existing files are never overwritten");
        return fail(fault.into(), &sources, false);
    }
    let mut read_as = String::new();
    let files = match &args.from {
        None => starter::files(),
        Some(from) => match around(from, args, &mut sources) {
            Ok(Around { files, taken, findings }) => {
                say(findings, &sources);
                read_as = taken.iter().map(|line| format!("Read as:  {line}\n")).collect();
                files
            }
            Err(findings) => return fail(findings, &sources, false),
        },
    };
    let was_there = dir.is_dir();
    match write::all(dir, &files, &session.disk) {
        Ok(()) => {
            let sheet = dir.join("sheet.ron");
            let reported = format!(
                "{read_as}{} files in {}\nNext:  shadecard make {}\n",
                files.len(),
                dir.display(),
                sheet.display()
            );
            print(&reported, session)
        }
        Err(fault) => {
            take_back(dir, &files, was_there, &session.disk);
            machine(fault, session)
        }
    }
}

/// Removes what was written before the disk failed: it would obstruct the next attempt.
fn take_back(dir: &Path, files: &[StarterFile], was_there: bool, disk: &Disk) {
    let paths = files.iter().map(|(name, _)| dir.join(name)).collect::<Vec<_>>();
    for path in &paths {
        let _ = disk.remove(path);
    }
    // Those that are not empty stay.
    let inner = paths.iter().filter_map(|path| path.parent()).filter(|folder| *folder != dir);
    for folder in inner.chain((!was_there).then_some(dir)) {
        let _ = disk.remove_folder(folder);
    }
}

/// The most sheets of a workbook that are read.
const MOST_SHEETS: usize = 12;

/// A range around a list, with what is to be reported of it.
struct Around {
    files: Vec<StarterFile>,
    /// What each column was read as.
    taken: Vec<String>,
    findings: Findings,
}

/// Reads a list, with its parts, and makes the files of the smallest page that the sheet fits on.
fn around(from: &Path, args: &NewArgs, sources: &mut Sources) -> Result<Around, Findings> {
    let headings = headings(&args.heading)?;
    let (mut tables, names, chosen) = tables(from, args.sheet.as_deref(), sources)?;
    let (folder, mut outside) = parts(from, args.parts.as_deref(), sources)?;
    let mut findings = Findings::default();
    for grid in tables.iter_mut().chain(&mut outside) {
        findings.extend(grid.remarks());
    }
    let begun = |style: &str| {
        let faces = Style::shipped(style).and_then(|s| s.faces()).map_err(Findings::from)?;
        starter::begin(&Given {
            tables: &tables,
            names: &names,
            chosen,
            parts: outside.as_ref(),
            folder: folder.as_ref(),
            headings: &headings,
            written: &|c| faces.iter().all(|(_, face)| face.has(c)),
        })
    };
    // The style whose fonts have the letters, the first one if no style has them all.
    let mut best: Option<Begun> = None;
    for (style, _) in SHIPPED_STYLES {
        if best.as_ref().is_none_or(|b| b.replaced > 0) {
            let mut begun = begun(style)?;
            begun.draft.style = style;
            if best.as_ref().is_none_or(|b| begun.replaced < b.replaced) {
                best = Some(begun);
            }
        }
    }
    let Some(begun) = best else { return Err(findings) };
    findings.extend(begun.findings);
    let files = fitting(&begun.draft, &sources.session)?;
    Ok(Around { files, taken: begun.taken, findings })
}

/// Headings and their meanings, as given on the command line.
fn headings(said: &[String]) -> Result<Vec<(String, String)>, Findings> {
    let mut findings = Findings::default();
    let mut out = Vec::new();
    for one in said {
        match one.rsplit_once('=') {
            Some((heading, meaning)) if !heading.trim().is_empty() => {
                out.push((heading.trim().to_owned(), meaning.trim().to_owned()));
            }
            _ => findings.push(
                Diagnostic::error(
                    "bad-heading",
                    format!("'--heading {one}' does not give the meaning of the heading"),
                )
                .help("write the heading, = and its meaning: --heading \"Shade=name\""),
            ),
        }
    }
    if findings.failed() { Err(findings) } else { Ok(out) }
}

/// The tables of a file, their names, and the one that is asked for.
type Tables = (Vec<Grid>, Vec<String>, Option<usize>);

fn tables(from: &Path, asked: Option<&str>, sources: &mut Sources) -> Result<Tables, Findings> {
    let names = cells::sheets(from, &sources.session)?;
    if names.is_empty() || asked.is_some_and(|asked| !names.iter().any(|n| n == asked)) {
        let grid = cells::read(from, asked, None, sources)?;
        return Ok((vec![grid], asked.map(str::to_owned).into_iter().collect(), None));
    }
    let (mut tables, mut known, mut chosen) = (Vec::new(), Vec::new(), None);
    for (i, name) in names.into_iter().enumerate() {
        let meant = asked == Some(name.as_str());
        if i >= MOST_SHEETS && !meant {
            continue;
        }
        chosen = if meant { Some(tables.len()) } else { chosen };
        tables.push(cells::read(from, Some(&name), None, sources)?);
        known.push(name);
    }
    Ok((tables, known, chosen))
}

/// Where drawings are searched for, and a separate table of parts.
fn parts(
    from: &Path,
    parts: Option<&Path>,
    sources: &mut Sources,
) -> Result<(Option<Folder>, Option<Grid>), Findings> {
    let session = sources.session.clone();
    let beside = |file: &Path| Folder::new(file.parent().unwrap_or(Path::new("")), &[], &session);
    let Some(parts) = parts else { return Ok((Some(beside(from)), None)) };
    if !parts.is_dir() {
        let grid = cells::read(parts, None, None, sources)?;
        return Ok((Some(beside(parts)), Some(grid)));
    }
    let entries = session.disk.entries(parts).map_err(|e| write::trouble(parts, &e))?;
    let folder = Folder::new(parts, &entries, &session);
    if folder.drawings.is_empty() {
        let message = format!("no drawings were found in '{}'", parts.display());
        let fault = Diagnostic::error("no-drawings", message);
        return Err(fault.help("save each part there as a separate SVG file").into());
    }
    Ok((Some(folder), None))
}

/// The files for the smallest page that the sheet fits on.
fn fitting(draft: &Draft, session: &Session) -> Result<Vec<StarterFile>, Findings> {
    let mut why = String::new();
    for (page, least) in starter::pages(draft.colours.len()) {
        let files = draft.files(page);
        match fits(&files, least, session) {
            Ok(()) => return Ok(files),
            Err(fault) => why = fault,
        }
    }
    let message = format!("no sheet can be made from this list: {why}");
    let fault = Diagnostic::error("cannot-be-made", message);
    Err(fault.help("correct the list and run 'new' again; nothing was written").into())
}

/// Tries a sheet in memory.
fn fits(files: &[StarterFile], least: f64, session: &Session) -> Result<(), String> {
    let first =
        |findings: &Findings| findings.errors().next().map_or(String::new(), |d| d.message.clone());
    let files = files.iter().map(|(name, text)| (name, text.as_bytes()));
    let mut sources = Sources::of(Session { files: Files::in_memory(files), ..session.clone() });
    let loaded = load(Path::new("sheet.ron"), &mut sources).map_err(|f| first(&f))?;
    let editions =
        Editions::resolve(loaded, &Filter::default(), &mut sources).map_err(|f| first(&f))?;
    let missing = editions.missing_characters();
    if missing.failed() {
        return Err(first(&missing));
    }
    let plans = editions.plan_all().map_err(|f| first(&f))?;
    if plans.iter().all(|p| p.plan.scale >= least) {
        Ok(())
    } else {
        Err("the parts are too small".into())
    }
}
