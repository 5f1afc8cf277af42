//! `capture`: colours of parts from photographs of the pages that they were laid on.

mod outlines;
mod pages;
mod pictures;
mod report;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use super::photograph::{opened, refused};
use crate::capture::colours::{PageRead, colours};
use crate::capture::page::StagePage;
use crate::capture::{PageReadings, find_code, read_seen, see, see_corners};
use crate::cli::args::CaptureArgs;
use crate::cli::choices::out_file;
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::progress::Progress;
use crate::parallel::in_parallel;
use crate::range::{Loaded, load};
use crate::session::Session;

use pages::{Colours, Pages};

/// Runs `capture`.
pub fn run(args: &CaptureArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = captured(args, &mut sources);
    finish(done, &sources, Writing { by: "capture", replace: args.replace, json: args.json })
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options, every photograph that cannot be used included.
pub fn captured(args: &CaptureArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, mut warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let out = out_file(args.out.as_deref(), &sheet, ("measured", "csv"))
        .map_err(|d| findings.push(d))
        .ok();
    let by_key: Colours<'_> = range.colours().iter().map(|c| (c.key().as_str(), c)).collect();
    let stage = pages::pages(args, (&range, &sheet), &by_key, sources);
    let stage = stage.map_err(|f| findings.extend(f)).ok();
    outlines::asked(args, stage.as_ref(), &mut findings);
    twice(&args.photographs, &mut findings);
    let (Some(out), Some(stage), false) = (out, stage, findings.failed()) else {
        return Err(findings);
    };
    let seen = photographs(args, &stage, &by_key, &sources.session)?;
    let mut pages: BTreeMap<usize, PageRead<'_>> = BTreeMap::new();
    let names: Vec<String> = args.photographs.iter().map(|p| name(p)).collect();
    let mut cuts = Vec::new();
    for (name, Shot { page, readings, cut }) in names.iter().zip(seen) {
        let empty = || PageRead {
            page: &stage.file.pages[page],
            photographs: Vec::new(),
            readings: Vec::new(),
        };
        let read = pages.entry(page).or_insert_with(empty);
        read.photographs.push(name);
        read.readings.push(readings);
        cuts.extend(cut);
    }
    let cuts = pictures::best(cuts);
    let pages: Vec<PageRead<'_>> = pages.into_values().collect();
    let (colours, doubtful) = colours(&pages);
    let reported =
        report::Report { range: &by_key, pages: &pages, colours: &colours, doubtful: &doubtful };
    warnings.extend(reported.findings());
    warnings.extend(pictures::findings(&cuts));
    let outlines = args.outlines.as_deref().map(|folder| outlines::files(folder, &cuts));
    let (outlines, doubts) = outlines.unwrap_or_default();
    warnings.extend(doubts);
    let mut printed = if args.json { reported.json() } else { reported.text(&out) };
    if !args.json {
        printed.push_str(&outlines::text(&outlines));
    }
    let table = reported.table()?;
    let mut files = vec![(out, table)];
    files.extend(outlines.into_iter().map(|o| (o.file, o.svg)));
    if let Some(folder) = &args.pictures {
        files.extend(pictures::files(folder, &cuts)?);
    }
    Ok(Done { warnings, printed, files })
}

/// The file's name: what a photograph is called in reports.
fn name(photograph: &Path) -> String {
    photograph.file_name().unwrap_or(photograph.as_os_str()).to_string_lossy().into_owned()
}

fn twice(photographs: &[PathBuf], findings: &mut Findings) {
    let double = photographs.iter().enumerate().find(|(i, p)| photographs[..*i].contains(p));
    if let Some((_, path)) = double {
        let message = format!("the photograph '{}' is given twice", path.display());
        findings.push(Diagnostic::error("double-file", message).help("give it once"));
    }
}

/// What a photograph shows: the index of its page, its readings, and its parts cut out if they are asked for.
struct Shot {
    page: usize,
    readings: PageReadings,
    cut: Vec<pictures::CutPart>,
}

fn photographs(
    args: &CaptureArgs,
    stage: &Pages,
    colours: &Colours<'_>,
    session: &Session,
) -> Result<Vec<Shot>, Findings> {
    let progress = Progress::new(args.photographs.len(), args.quiet || args.json);
    let done = AtomicUsize::new(0);
    let read = in_parallel(&args.photographs, |path| {
        progress.say(&name(path));
        let cut = (args.pictures.is_some() || args.outlines.is_some()).then_some(colours);
        let read = one(path, stage, cut, session);
        progress.at(done.fetch_add(1, Ordering::Relaxed) + 1, 0.0);
        read
    });
    progress.done();
    let mut findings = Findings::default();
    let seen = read.into_iter().filter_map(|r| r.map_err(|d| findings.push(d)).ok()).collect();
    if findings.failed() { Err(findings) } else { Ok(seen) }
}

/// Reads one photograph, and cuts its parts out where colours are given.
fn one(
    path: &Path,
    stage: &Pages,
    cut: Option<&Colours<'_>>,
    session: &Session,
) -> Result<Shot, Diagnostic> {
    let picture = opened(path, session)?;
    let (index, seen) = match stage.corners {
        Some(corners) => (0, see_corners(&picture, &corners, &stage.file.pages[0])),
        None => {
            let code = find_code(&picture).map_err(|f| refused(path, &f))?;
            let of = |page: &StagePage| page.code.text == code.text;
            let Some(index) = stage.file.pages.iter().position(of) else {
                return Err(pages::foreign(path, &code.text, &stage.file));
            };
            (index, see(&picture, &code, &stage.file.pages[index]))
        }
    };
    let (page, seen) = (&stage.file.pages[index], seen.map_err(|f| refused(path, &f))?);
    let readings = read_seen(&picture, &seen, page);
    let parts =
        |colours| pictures::cut_parts((&picture, &seen), page, &readings, colours, &name(path));
    let cut = cut.map(parts).unwrap_or_default();
    Ok(Shot { page: index, readings, cut })
}
