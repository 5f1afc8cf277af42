//! The command line: arguments to calls, results to text and exit codes.

pub mod args;
mod choices;
pub mod commands;
pub mod ending;
mod interrupt;
mod opened;
mod picture;
mod usage;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

pub use crate::edition::cancel::{MESSAGE, STOPPED};

pub use self::ending::{Done, FAULTY, MACHINE};

use self::args::{Cli, Command};
use self::ending::{fail, outcome};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::limits::Limits;
use crate::session::Session;

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
        Command::Stage(args) => commands::stage::staged(args, sources),
        Command::Target(args) => commands::target::targeted(args, sources),
        Command::Learn(args) => commands::learn::learned(args, sources),
        Command::Capture(args) => commands::capture::captured(args, sources),
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
        Command::Watch(args) => commands::watch::run(&args, session),
        Command::New(args) => commands::new::run(&args, session),
        Command::Export(args) => commands::export::run(&args, session),
        Command::Compare(args) => commands::compare::run(&args, session),
        Command::Stage(args) => commands::stage::run(&args, session),
        Command::Target(args) => commands::target::run(&args, session),
        Command::Learn(args) => commands::learn::run(&args, session),
        Command::Capture(args) => commands::capture::run(&args, session),
        Command::Supplies(args) => commands::supplies::run(&args, session),
        Command::Shapes(args) => commands::shapes::run(&args, session),
        Command::Board(args) => commands::board::run(&args, session),
        Command::Labels(args) => commands::labels::run(&args, session),
        Command::Tune(args) => commands::tune::run(&args, session),
        Command::Proof(args) => commands::proof::run(&args, session),
        Command::Lookalikes(args) => commands::lookalikes::run(&args, session),
        Command::Page(args) => commands::page::run(&args, session),
        Command::Completions { shell } => commands::manual::completions(shell, session),
        Command::Manual => commands::manual::manual(session),
    }
}
