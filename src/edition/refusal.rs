//! What is reported of files that would be lost.

use std::path::PathBuf;

use super::owner::Owner;
use crate::diag::{Diagnostic, Findings};

/// Why nothing was written.
#[derive(Debug)]
pub enum Refused {
    /// Files that are not the program's own would be replaced.
    Foreign(Findings),
    /// The machine failed.
    Machine(Diagnostic),
}

impl From<Diagnostic> for Refused {
    fn from(d: Diagnostic) -> Refused {
        Refused::Machine(d)
    }
}

/// Files that are not to be replaced, by the reason.
#[derive(Debug, Default)]
pub struct Found {
    somebodys: Vec<PathBuf>,
    changed: Vec<PathBuf>,
    others: Vec<(String, PathBuf)>,
}

impl Found {
    /// Notes a file, unless it may be replaced.
    pub fn add(&mut self, owner: Owner, path: PathBuf) {
        match owner {
            Owner::Nobody | Owner::Us => {}
            Owner::Somebody => self.somebodys.push(path),
            Owner::Changed => self.changed.push(path),
            Owner::Other(by) => self.others.push((by, path)),
        }
    }

    /// Reports them, if there are any.
    ///
    /// # Errors
    /// One message for each reason, with all files.
    pub fn refuse(self, by: &str) -> Result<(), Refused> {
        let mut findings = Findings::default();
        if !self.somebodys.is_empty() {
            let (files, were, them) = counted(&self.somebodys);
            let message = format!("{files} {were} not written by shadecard: nothing is replaced");
            findings.push(Diagnostic::error("not-ours", message).help(way_out(them)));
        }
        if !self.changed.is_empty() {
            let (files, were, them) = counted(&self.changed);
            let message =
                format!("{files} {were} changed since shadecard wrote {them}: nothing is replaced");
            findings.push(Diagnostic::error("changed-since", message).help(way_out(them)));
        }
        let mut others = self.others;
        others.sort();
        for same in others.chunk_by(|a, b| a.0 == b.0) {
            let paths: Vec<PathBuf> = same.iter().map(|(_, path)| path.clone()).collect();
            let (files, were, them) = counted(&paths);
            let message = format!(
                "{files} {were} written by '{}', and '{by}' would replace {them}: nothing is replaced",
                same[0].0
            );
            findings.push(Diagnostic::error("other-output", message).help(way_out(them)));
        }
        if findings.failed() { Err(Refused::Foreign(findings)) } else { Ok(()) }
    }
}

/// The files as a subject, 'was' or 'were', and 'it' or 'them'.
fn counted(paths: &[PathBuf]) -> (String, &'static str, &'static str) {
    let names: Vec<String> = paths.iter().map(|p| p.display().to_string()).collect();
    match names.as_slice() {
        [one] => (one.clone(), "was", "it"),
        [all @ .., last] => (format!("{} and {last}", all.join(", ")), "were", "them"),
        [] => (String::new(), "were", "them"),
    }
}

fn way_out(them: &str) -> String {
    format!("move {them} away, write elsewhere with --out, or add --replace to replace {them}")
}
