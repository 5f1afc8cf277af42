//! `new`: a small working range and sheet in a new folder.

use std::io::ErrorKind;
use std::path::Path;

use super::template;
use crate::cli::args::NewArgs;
use crate::cli::{fail, machine, print, say};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::{Filter, Matrix, disk, write};
use crate::range::load;
use crate::read::cells::{self, Grid};
use crate::starter::{self, File, Page};

/// Runs `new`.
pub fn run(args: &NewArgs) -> u8 {
    if let Some(code) = template::run(args) {
        return code;
    }
    let mut sources = Sources::default();
    let dir = &args.dir;
    let there = match disk::entries(dir) {
        Ok(there) => there.len(),
        Err(e) if e.kind() == ErrorKind::NotFound || dir.is_file() => 0,
        Err(e) => return machine(write::trouble(dir, &e)),
    };
    if there > 0 {
        let fault = Diagnostic::error("folder-in-use", format!("'{}' is not empty", dir.display()))
            .help("name a folder that is not there yet: nothing is overwritten");
        return fail(fault.into(), &sources, false);
    }
    if dir.is_file() {
        let message = format!("'{}' is a file, not a folder", dir.display());
        let fault = Diagnostic::error("folder-in-use", message)
            .help("name a folder that is not there yet: nothing is overwritten");
        return fail(fault.into(), &sources, false);
    }
    let files = match &args.from {
        None => starter::files(),
        Some(table) => {
            let grid = match cells::read(table, args.sheet.as_deref(), None, &mut sources) {
                Ok(grid) => grid,
                Err(fault) => return fail(fault.into(), &sources, false),
            };
            match fitting(&grid) {
                Ok((files, notes)) => {
                    say(notes, &sources);
                    files
                }
                Err(findings) => return fail(findings, &sources, false),
            }
        }
    };
    let was_there = dir.is_dir();
    match write::all(dir, &files) {
        Ok(()) => {
            let sheet = dir.join("sheet.ron");
            print(&format!(
                "{} files in {}\nNext:  shadecard make {}\n",
                files.len(),
                dir.display(),
                sheet.display()
            ))
        }
        Err(fault) => {
            take_back(dir, &files, was_there);
            machine(fault)
        }
    }
}

/// Removes what was written before the disk failed: it would be in the way of the next try.
fn take_back(dir: &Path, files: &[File], was_there: bool) {
    let paths = files.iter().map(|(name, _)| dir.join(name)).collect::<Vec<_>>();
    for path in &paths {
        let _ = disk::remove(path);
    }
    // Those that are not empty stay.
    let inner = paths.iter().filter_map(|path| path.parent()).filter(|folder| *folder != dir);
    for folder in inner.chain((!was_there).then_some(dir)) {
        let _ = disk::remove_folder(folder);
    }
}

/// Least scale at which parts are still worth looking at.
const LEAST_SCALE: f64 = 0.6;

/// The files for the smallest page that the sheet fits on.
fn fitting(grid: &Grid) -> Result<(Vec<File>, Findings), Findings> {
    for paper in starter::PAPERS {
        let made = starter::from_table(grid, Page::One(paper))?;
        if fits(&made.0) {
            return Ok(made);
        }
    }
    starter::from_table(grid, Page::Many)
}

/// Tries a sheet in a folder of its own.
fn fits(files: &[File]) -> bool {
    let Ok(folder) = tempfile::tempdir() else { return false };
    if write::all(folder.path(), files).is_err() {
        return false;
    }
    let mut sources = Sources::default();
    let Ok(loaded) = load(&folder.path().join("sheet.ron"), &mut sources) else { return false };
    let Ok(matrix) = Matrix::resolve(loaded, &Filter::default(), &mut sources) else {
        return false;
    };
    matrix.plan_all().is_ok_and(|all| all.iter().all(|p| p.plan.scale >= LEAST_SCALE))
}
