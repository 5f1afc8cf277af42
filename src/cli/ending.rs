//! How a command ends: what it found, wrote and printed, and its exit code.

use std::io;
use std::path::{Path, PathBuf};

use crate::diag::{Diagnostic, Findings, Sources};
use crate::diag_print;
use crate::edition::cancel::STOPPED;
use crate::edition::outputs::{self, Outputs};
use crate::edition::refusal::Refused;
use crate::edition::write;
use crate::session::Session;

/// The input has faults.
pub const FAULTY: u8 = 1;
/// The machine failed: disk, permission.
pub const MACHINE: u8 = 2;

pub(super) fn fail(findings: Findings, sources: &Sources, json: bool) -> u8 {
    if sources.session.stop().asked() {
        // What was found may be incomplete or wrong.
        return STOPPED;
    }
    let code = code_of(&findings);
    if json {
        let reported = diag_print::json(&findings.sorted(), sources);
        return print(&reported, &sources.session).max(code);
    }
    say(findings, sources);
    code
}

/// Reports which editions do not fit, where others do: the exit code.
pub(super) fn misfit(misfits: Findings, sources: &Sources) -> u8 {
    let code = if misfits.failed() { FAULTY } else { 0 };
    say(misfits, sources);
    code
}

/// The exit code of findings with an error: the machine's where existing files could not be read, and nothing else
/// is wrong.
pub(super) fn code_of(findings: &Findings) -> u8 {
    if findings.errors().all(|d| d.of_machine) { MACHINE } else { FAULTY }
}

/// Prints findings to standard error.
pub(super) fn say(findings: Findings, sources: &Sources) {
    let findings: Vec<Diagnostic> = findings.sorted();
    let session = &sources.session;
    if !session.stop().asked() && !findings.is_empty() {
        let colour = session.console.err_is_terminal();
        session.console.err(&diag_print::render(&findings, sources, colour));
    }
}

/// Prints a failure of the machine.
pub(super) fn machine(d: Diagnostic, session: &Session) -> u8 {
    say(d.into(), &Sources::of(session.clone()));
    MACHINE
}

/// All that is left to do is to write and print it.
#[derive(Debug)]
pub struct Done {
    pub warnings: Findings,
    /// For standard output.
    pub printed: String,
    /// Paths and bytes.
    pub files: Vec<(PathBuf, Vec<u8>)>,
}

/// How a command's files are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Writing {
    /// The command.
    pub(super) by: &'static str,
    /// Files that the program did not write may be replaced.
    pub(super) replace: bool,
    /// Messages as JSON.
    pub(super) json: bool,
}

impl Writing {
    /// Writes the files; missing folders are made.
    ///
    /// # Errors
    /// The exit code, once the reason is reported.
    pub(super) fn each(self, files: Vec<(PathBuf, Vec<u8>)>, session: &Session) -> Result<(), u8> {
        self.all(Outputs::each(self.by, files), session).map(drop)
    }

    /// The same with separate places; stale files that are not removed are returned.
    ///
    /// # Errors
    /// As [`Writing::each`].
    pub(super) fn all(self, outputs: Vec<Outputs>, session: &Session) -> Result<Vec<PathBuf>, u8> {
        if session.stop().asked() {
            return Err(STOPPED);
        }
        outputs::write_all(outputs, self.replace, session).map_err(|refused| match refused {
            Refused::Foreign(findings) => fail(findings, &Sources::of(session.clone()), self.json),
            Refused::Machine(d) => machine(d, session),
        })
    }
}

/// Writes and prints what was done, or reports what is wrong; the exit code.
pub(super) fn finish(done: Result<Done, Findings>, sources: &Sources, writing: Writing) -> u8 {
    let Done { warnings, printed, files } = match done {
        Ok(done) => done,
        Err(findings) => return fail(findings, sources, writing.json),
    };
    say(warnings, sources);
    match writing.each(files, &sources.session) {
        Ok(()) => print(&printed, &sources.session),
        Err(code) => code,
    }
}

/// Prints to standard output; the exit code. A closed pipe is not a failure.
#[must_use]
pub(super) fn print(text: &str, session: &Session) -> u8 {
    if session.stop().asked() {
        return STOPPED;
    }
    let end = if text.ends_with('\n') { "" } else { "\n" };
    outcome(session.console.out(&[text, end].concat()), session)
}

/// The exit code of printing.
pub(super) fn outcome(done: io::Result<()>, session: &Session) -> u8 {
    match done {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => {
            machine(write::trouble(Path::new(write::STANDARD_OUTPUT), &e), session)
        }
        _ => 0,
    }
}
