//! `new`: a small working range and sheet in a new folder.

use crate::cli::args::NewArgs;
use crate::cli::{fail, machine, print, say};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::{Filter, Matrix, write};
use crate::range::load;
use crate::read::cells::{self, Grid};
use crate::starter::{self, File, Page};

/// Runs `new`.
pub fn run(args: &NewArgs) -> u8 {
    let mut sources = Sources::default();
    let dir = &args.dir;
    if std::fs::read_dir(dir).is_ok_and(|mut list| list.next().is_some()) {
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
                    say(notes, &sources, false);
                    files
                }
                Err(findings) => return fail(findings, &sources, false),
            }
        }
    };
    match write::all(dir, &files) {
        Ok(()) => {
            let sheet = dir.join("sheet.ron");
            print(&format!(
                "{} files in {}\nNext:  shadecard make {}\n",
                files.len(),
                dir.display(),
                sheet.display()
            ));
            0
        }
        Err(fault) => machine(fault),
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
