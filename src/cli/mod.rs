//! The command line: arguments to calls, results to text and exit codes.

pub mod args;
pub mod commands;
mod interrupt;
pub mod named;
mod picture;
mod usage;

use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

pub use crate::edition::cancel::{MESSAGE, STOPPED};

use self::args::{Choice, Cli, Command, FormatArg};
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::diag_print;
use crate::edition::book::Refused;
use crate::edition::outputs::{self, Outputs};
use crate::edition::{Filter, Matrix, write};
use crate::limits::Limits;
use crate::range::{FamilyId, ListingId, Loaded, Range, SheetSpec, load};
use crate::session::Session;

/// The input has faults.
pub const FAULTY: u8 = 1;
/// The machine failed: disk, permission.
pub const MACHINE: u8 = 2;

/// What a command line that asks for no work gets.
#[derive(Debug)]
pub enum Answer {
    /// Help or the version, as asked for.
    Shown(clap::Error),
    /// The list of commands, where none is given.
    Commands(clap::Error),
    /// What is wrong with it.
    Fault(Diagnostic),
}

/// Reads a command line, the program's name first.
///
/// # Errors
/// See [`Answer`].
pub fn understood(words: &[OsString]) -> Result<Cli, Answer> {
    Cli::try_parse_from(words).map_err(|answer| match answer.kind() {
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => Answer::Commands(answer),
        _ if !answer.use_stderr() => Answer::Shown(answer),
        _ => {
            let words: Vec<String> =
                words.iter().map(|w| w.to_string_lossy().into_owned()).collect();
            Answer::Fault(usage::explain(&answer, &words))
        }
    })
}

/// The result of a command that does all its work before it writes, for those that do.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn unwritten(command: &Command, sources: &mut Sources) -> Option<Result<Done, Findings>> {
    Some(match command {
        Command::Supplies(args) => commands::supplies::counted(args, sources),
        Command::Shapes(args) => commands::shapes::shown(args, sources),
        Command::Board(args) => commands::board::mapped(args, sources),
        Command::Tune(args) => commands::tune::tuned(args, sources),
        Command::Lookalikes(args) => commands::lookalikes::listed(args, sources),
        _ => return None,
    })
}

/// Runs the program with the arguments of the process.
pub fn run() -> ExitCode {
    let session = Session::default();
    interrupt::listen(&session);
    let code = run_with(std::env::args_os().collect(), &session);
    if code == STOPPED {
        session.console.err(&format!("{MESSAGE}\n"));
    }
    ExitCode::from(code)
}

/// Runs the program with these words, its own name first; the exit code. The words have the last word on
/// the limits of the session.
pub fn run_with(words: Vec<OsString>, session: &Session) -> u8 {
    let cli = match understood(&words) {
        Ok(cli) => cli,
        Err(Answer::Shown(help)) => return outcome(help.print(), session),
        // A wrong argument is a fault of the input, and so is a missing one.
        Err(Answer::Commands(help)) => {
            let _ = help.print();
            return FAULTY;
        }
        Err(Answer::Fault(fault)) => {
            return fail(fault.into(), &Sources::of(session.clone()), false);
        }
    };
    let session = &Session { limits: Limits::raised(cli.raise_limits), ..session.clone() };
    match cli.command {
        Command::Make(args) => commands::make::run(&args, session),
        Command::Plan(args) => commands::plan::run(&args, session),
        Command::Check(args) => commands::check::run(&args, session),
        Command::New(args) => commands::new::run(&args, session),
        Command::Export(args) => commands::export::run(&args, session),
        Command::Compare(args) => commands::compare::run(&args, session),
        Command::Supplies(args) => commands::supplies::run(&args, session),
        Command::Shapes(args) => commands::shapes::run(&args, session),
        Command::Board(args) => commands::board::run(&args, session),
        Command::Labels(args) => commands::labels::run(&args, session),
        Command::Tune(args) => commands::tune::run(&args, session),
        Command::Proof(args) => commands::proof::run(&args, session),
        Command::Lookalikes(args) => commands::lookalikes::run(&args, session),
        Command::Completions { shell } => commands::manual::completions(shell, session),
        Command::Manual => commands::manual::manual(session),
    }
}

/// A sheet with all it names.
struct Opened {
    matrix: Matrix,
    /// The style's name.
    style: String,
    /// What was read, for messages that come later.
    sources: Sources,
    /// There were warnings.
    warned: bool,
}

/// Reads a sheet and finds its layouts, style and spellings. Findings are
/// printed; the exit code when there is an error among them.
fn open(
    choice: &Choice,
    formats: &[FormatArg],
    quiet: bool,
    session: &Session,
) -> Result<Opened, u8> {
    open_changed(choice, formats, quiet, session, |_| Ok(()))
}

/// The same of a sheet that is changed once it is read.
fn open_changed(
    choice: &Choice,
    formats: &[FormatArg],
    quiet: bool,
    session: &Session,
    change: impl FnOnce(&mut Loaded) -> Result<(), Findings>,
) -> Result<Opened, u8> {
    let mut sources = Sources::of(session.clone());
    let mut loaded = match load(&choice.sheet, &mut sources) {
        Ok(loaded) => loaded,
        Err(mut findings) => {
            findings.extend(named::of_file(&choice.sheet, choice.style.as_deref(), &mut sources));
            return Err(fail(findings, &sources, choice.json));
        }
    };
    if let Err(findings) = change(&mut loaded) {
        return Err(fail(findings, &sources, choice.json));
    }
    let warned = !loaded.warnings.is_empty();
    if !quiet {
        say(loaded.warnings.clone(), &sources);
    }
    let style = choice.style.clone().unwrap_or_else(|| loaded.sheet.style().clone());
    let filter = Filter {
        editions: choice.edition.clone(),
        spellings: choice.spelling.clone(),
        formats: formats.iter().map(|f| (*f).into()).collect(),
        style: choice.style.clone(),
    };
    match Matrix::resolve(loaded, &filter, &mut sources) {
        Ok(matrix) => {
            let characters = matrix.missing_characters();
            if characters.failed() {
                return Err(fail(characters, &sources, choice.json));
            }
            Ok(Opened { matrix, style, sources, warned })
        }
        Err(findings) => Err(fail(findings, &sources, choice.json)),
    }
}

/// The listing of a key given on the command line.
fn listing(key: &str, range: &Range) -> Result<ListingId, Diagnostic> {
    let keys = || range.listings().iter().map(|l| l.key().as_str());
    let found = keys().position(|k| k == key).map(ListingId);
    found.ok_or_else(|| unknown("unknown-listing", "listing", key, keys()))
}

/// The families of these keys; every one that the sheet lacks is reported.
fn families(
    asked: &[String],
    range: &Range,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Vec<FamilyId> {
    let shown: Vec<FamilyId> = sheet.families().iter().map(|f| f.family()).collect();
    let mut out = Vec::new();
    for key in asked {
        match shown.iter().find(|f| range.family(**f).key() == key) {
            Some(family) => out.push(*family),
            None => findings.push(
                Diagnostic::error("unknown-family", format!("this sheet shows no family '{key}'"))
                    .help(another_family(key, range, &shown)),
            ),
        }
    }
    out
}

/// The family most like the one asked for, by its key, its title or a part of either.
fn another_family(asked: &str, range: &Range, shown: &[FamilyId]) -> String {
    let near = |families: &mut dyn Iterator<Item = FamilyId>| {
        let names: Vec<(&str, &str)> = families
            .map(|f| range.family(f))
            .flat_map(|f| {
                let (key, title) = (f.key().as_str(), f.title().text.as_str());
                let words = title.split_whitespace().chain(key.split('-'));
                words.chain([title, key]).map(move |name| (name, key))
            })
            .collect();
        let near = nearest(asked, names.iter().rev().map(|n| n.0))?;
        names.iter().rev().find(|n| n.0 == near).map(|n| n.1)
    };
    let keys: Vec<&str> = shown.iter().map(|f| range.family(*f).key().as_str()).collect();
    if let Some(key) = near(&mut shown.iter().copied()) {
        return format!("did you mean '{key}'?");
    }
    match near(&mut (0..range.families().len()).map(FamilyId)) {
        Some(key) => format!("the sheet does not show '{key}'; it shows {}", keys.join(", ")),
        None => format!("use {}", keys.join(", ")),
    }
}

/// The answer to a key given on the command line that does not exist.
fn unknown<'a>(
    code: &'static str,
    kind: &str,
    key: &str,
    keys: impl Iterator<Item = &'a str>,
) -> Diagnostic {
    let keys: Vec<&str> = keys.collect();
    let help = match nearest(key, keys.iter().copied()) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use {}", keys.join(", ")),
    };
    Diagnostic::error(code, format!("there is no {kind} '{key}'")).help(help)
}

/// An option without effect, and what to do about it.
fn idle(option: &str, why: &str, instead: &str) -> Diagnostic {
    Diagnostic::error("idle-option", format!("{option} {why}"))
        .help(format!("{instead}, or leave {option} out"))
}

/// An option asks for one form and the file's ending for another.
fn two_forms(option: &str, form: &str, out: Option<&Path>) -> Result<(), Diagnostic> {
    let ending = out.and_then(Path::extension).map(|e| e.to_string_lossy().to_lowercase());
    match ending {
        Some(ending) if ["csv", "json", "md", "txt"].contains(&&*ending) && ending != form => {
            let file = out.map(|o| o.display().to_string()).unwrap_or_default();
            let message = format!("{option} does not match the ending of '{file}'");
            let help = format!("end its name in .{form}, or leave {option} out");
            Err(Diagnostic::error("two-forms", message).help(help))
        }
        _ => Ok(()),
    }
}

fn fail(findings: Findings, sources: &Sources, json: bool) -> u8 {
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
fn misfit(misfits: Findings, sources: &Sources) -> u8 {
    let code = if misfits.failed() { FAULTY } else { 0 };
    say(misfits, sources);
    code
}

/// The exit code of findings with an error: the machine's where existing files could not be read, and nothing else
/// is wrong.
fn code_of(findings: &Findings) -> u8 {
    if findings.errors().all(|d| d.of_machine) { MACHINE } else { FAULTY }
}

/// Prints findings to standard error.
fn say(findings: Findings, sources: &Sources) {
    let findings: Vec<Diagnostic> = findings.sorted();
    let session = &sources.session;
    if !session.stop().asked() && !findings.is_empty() {
        let colour = session.console.err_is_terminal();
        session.console.err(&diag_print::render(&findings, sources, colour));
    }
}

/// Prints a failure of the machine.
fn machine(d: Diagnostic, session: &Session) -> u8 {
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
struct Writing {
    /// The command.
    by: &'static str,
    /// Files that the program did not write may be replaced.
    replace: bool,
    /// Messages as JSON.
    json: bool,
}

impl Writing {
    /// Writes the files; missing folders are made.
    ///
    /// # Errors
    /// The exit code, once the reason is reported.
    fn each(self, files: Vec<(PathBuf, Vec<u8>)>, session: &Session) -> Result<(), u8> {
        self.all(Outputs::each(self.by, files), session).map(drop)
    }

    /// The same with separate places; stale files that are not removed are returned.
    ///
    /// # Errors
    /// As [`Writing::each`].
    fn all(self, outputs: Vec<Outputs>, session: &Session) -> Result<Vec<PathBuf>, u8> {
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
fn finish(done: Result<Done, Findings>, sources: &Sources, writing: Writing) -> u8 {
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
fn print(text: &str, session: &Session) -> u8 {
    if session.stop().asked() {
        return STOPPED;
    }
    let end = if text.ends_with('\n') { "" } else { "\n" };
    outcome(session.console.out(&[text, end].concat()), session)
}

/// The exit code of printing.
fn outcome(done: io::Result<()>, session: &Session) -> u8 {
    match done {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => {
            machine(write::trouble(Path::new(write::STANDARD_OUTPUT), &e), session)
        }
        _ => 0,
    }
}
