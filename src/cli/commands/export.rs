//! `export`: the range as tables, in a folder that works as it is.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Component, Path, PathBuf};

use crate::cli::args::{ExportArgs, ExportTo};
use crate::cli::ending::{FAULTY, Writing, fail, print, say};
use crate::diag::{Diagnostic, Sources, Span};
use crate::edition::book::OutputFolder;
use crate::edition::outputs::Outputs;
use crate::edition::{Editions, Filter, faulty};
use crate::export::{self, To};
use crate::press;
use crate::range::{ColourRange, PaperSource, SheetSpec, load};
use crate::read::file::read_bytes;
use crate::read::{inside, outside};
use crate::session::Session;

/// Runs `export`.
pub fn run(args: &ExportArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let loaded = match load(&args.sheet, &mut sources) {
        Ok(loaded) => loaded,
        Err(mut findings) => {
            findings.extend(faulty::of_file(&args.sheet, None, &mut sources));
            return fail(findings, &sources, false);
        }
    };
    say(loaded.warnings.clone(), &sources);
    let to = match args.to {
        ExportTo::Xlsx => To::Xlsx,
        ExportTo::Csv => To::Csv,
    };
    let out = args
        .out
        .clone()
        .unwrap_or_else(|| Path::new("out").join(format!("{}-tables", loaded.sheet.name())));
    let folder = args.sheet.parent().unwrap_or(Path::new("")).to_path_buf();
    if same_folder(&folder, &out) {
        let fault =
            Diagnostic::error("same-folder", "the export would overwrite the sheet's own files")
                .help("choose another folder with --out");
        return fail(fault.into(), &sources, false);
    }
    let mut files = match export::files(&loaded.range, &loaded.sheet, to) {
        Ok(files) => files,
        Err(why) => {
            let fault =
                Diagnostic::error("not-exported", format!("the tables cannot be written: {why}"))
                    .help("use --to csv");
            return fail(fault.into(), &sources, false);
        }
    };
    // A profile that is copied must be one.
    let unfit = press::papers(&loaded.range, &loaded.sheet, &mut sources);
    if unfit.failed() {
        return fail(unfit, &sources, false);
    }
    match paper_files(&loaded.sheet, &folder, &sources.session) {
        Ok(papers) => files.extend(papers),
        Err(fault) => return fail(fault.into(), &sources, false),
    }
    let measured = measured_files(&loaded.range);
    let range_file = folder.join(loaded.sheet.range_file());
    // Custom layouts, styles and spellings are read with the editions.
    if let Err(findings) = Editions::resolve(loaded, &Filter::default(), &mut sources) {
        say(findings, &sources);
        return FAULTY;
    }
    let is_written = |path: &Path| path == range_file || measured.contains(path);
    files.extend(own_files(&sources, &folder, &is_written));
    let reported = format!("{} files in {}\n", files.len(), out.display());
    let writing = Writing { by: "export", replace: args.replace, json: false };
    match writing.all(vec![Outputs::new(OutputFolder::new(&out, "", "export"), files)], session) {
        Ok(_) => print(&reported, session),
        Err(code) => code,
    }
}

/// Files of the sheet's folder that were read, but for tables and what is written anew.
fn own_files(
    sources: &Sources,
    folder: &Path,
    is_written: &dyn Fn(&Path) -> bool,
) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    for (path, text) in sources.texts() {
        let table = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"));
        let inside = path.strip_prefix(folder).ok().filter(|_| !table && !is_written(path));
        if let Some(name) = inside.and_then(portable) {
            files.push((name, text.as_bytes().to_vec()));
        }
    }
    files
}

/// The files that measured values are read from: the export has them in a table.
fn measured_files(range: &ColourRange) -> BTreeSet<PathBuf> {
    let of = range.colours().iter().filter_map(|c| c.measured().as_ref()?.source().span.as_ref());
    of.map(|span| span.file.to_path_buf()).collect()
}

/// Profiles and print values of the sheet's papers, each once.
fn paper_files(
    sheet: &SheetSpec,
    folder: &Path,
    session: &Session,
) -> Result<Vec<(String, Vec<u8>)>, Diagnostic> {
    let mut names = BTreeMap::new();
    for paper in sheet.papers() {
        if let PaperSource::Profile(file) = &paper.source().value {
            names.insert(file, &paper.source().span);
        }
        // Values that do not exist are still to be tuned.
        if let Some(file) =
            paper.values().as_ref().filter(|f| session.files.exists(&folder.join(f)))
        {
            names.insert(file, &paper.values().span);
        }
    }
    let read = |(file, span): (&String, &Option<Span>)| {
        let path =
            inside(folder, file, &session.files).ok_or_else(|| outside(file, span.clone()))?;
        Ok((file.clone(), read_bytes(&path, span.clone(), session)?))
    };
    names.into_iter().map(read).collect()
}

fn same_folder(a: &Path, b: &Path) -> bool {
    let whole = |p: &Path| {
        let p = if p.as_os_str().is_empty() { Path::new(".") } else { p };
        std::fs::canonicalize(p).ok()
    };
    whole(b).is_some_and(|b| whole(a) == Some(b))
}

/// A path inside a folder, written with /.
fn portable(path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> = path
        .components()
        .map(|c| match c {
            Component::Normal(part) => part.to_str(),
            _ => None,
        })
        .collect();
    Some(parts?.join("/"))
}
