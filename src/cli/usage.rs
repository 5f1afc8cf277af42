//! What is wrong with a command line, in plain words.

use std::num::{ParseFloatError, ParseIntError};

use clap::error::{ContextKind, ContextValue, Error, ErrorKind};
use clap::{Arg, Command, CommandFactory};

use super::args::Cli;
use crate::diag::{Diagnostic, nearest};

/// The fault that the parser of the command line found. `words` are what was typed, the program's name first.
pub fn explain(error: &Error, words: &[String]) -> Diagnostic {
    let typed = Typed::new(words);
    let of = |kind| texts(error, kind);
    let (about, value) = (of(ContextKind::InvalidArg), of(ContextKind::InvalidValue));
    let first = |list: &[String]| list.first().cloned().unwrap_or_default();
    match error.kind() {
        ErrorKind::InvalidSubcommand => {
            typed.no_command(&first(&of(ContextKind::InvalidSubcommand)))
        }
        ErrorKind::UnknownArgument => typed.unknown(&first(&about)),
        ErrorKind::InvalidValue if first(&value).is_empty() => typed.no_value(&first(&about)),
        ErrorKind::InvalidValue => {
            other_value(&first(&about), &first(&value), &of(ContextKind::ValidValue))
        }
        ErrorKind::ValueValidation => {
            let source = std::error::Error::source(error);
            let whole = source.is_some_and(|s| s.is::<ParseIntError>());
            let number = whole || source.is_some_and(|s| s.is::<ParseFloatError>());
            let bounds = source.and_then(|s| bounds(&s.to_string()));
            let fault = odd_number(&first(&about), &first(&value), (whole, number));
            match bounds.filter(|_| !number) {
                Some((from, to)) => {
                    let (option, value) = (first(&about), first(&value));
                    let message =
                        format!("{} must be from {from} to {to}, not {value}", name(&option));
                    let help =
                        format!("write a whole number, for example {} {from}", name(&option));
                    Diagnostic { message, ..fault }.help(help)
                }
                None => fault,
            }
        }
        ErrorKind::MissingRequiredArgument => typed.missing(&first(&about)),
        ErrorKind::ArgumentConflict => together(&first(&about), &first(&of(ContextKind::PriorArg))),
        ErrorKind::InvalidUtf8 => {
            Diagnostic::error("odd-words", "a word of this command line is not valid text")
                .help("use file names of plain letters, digits and hyphens")
        }
        _ => Diagnostic::error("odd-command-line", "this command line cannot be understood")
            .help(typed.see()),
    }
}

/// From and to of the parser's '100 is not in 1..=64'.
fn bounds(said: &str) -> Option<(i128, i128)> {
    let (from, to) = said.split_once(" is not in ")?.1.split_once("..=")?;
    let (from, to) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
    // The largest number that a type can hold is not useful advice.
    (to <= 1_000_000).then_some((from, to))
}

fn texts(error: &Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(text)) => vec![text.clone()],
        Some(ContextValue::Strings(list)) => list.clone(),
        _ => Vec::new(),
    }
}

/// `--format` of `--format <KIND>`; `SHEET.ron` of `<SHEET.ron>`.
fn name(about: &str) -> &str {
    about.split(' ').next().unwrap_or(about).trim_matches(['<', '>', '[', ']', '.'])
}

/// What was typed, and the command that it is for.
struct Typed<'a> {
    words: &'a [String],
    command: Option<Command>,
}

impl<'a> Typed<'a> {
    fn new(words: &'a [String]) -> Typed<'a> {
        let command = words.get(1).and_then(|w| Cli::command().find_subcommand(w).cloned());
        Typed { words, command }
    }

    fn command(&self) -> &str {
        self.command.as_ref().map_or("shadecard", Command::get_name)
    }

    /// Where everything that a command accepts is listed.
    fn see(&self) -> String {
        match &self.command {
            Some(command) => format!("see 'shadecard {} --help'", command.get_name()),
            None => "see 'shadecard --help'".to_owned(),
        }
    }

    fn no_command(&self, word: &str) -> Diagnostic {
        let all = Cli::command();
        let names: Vec<&str> = all.get_subcommands().map(Command::get_name).collect();
        let help = match nearest(word, names.iter().copied()) {
            Some(near) => format!("did you mean '{near}'?"),
            None if word.ends_with(".ron") => {
                format!("write the command before the file: shadecard make {word}")
            }
            None => format!("the commands are {}", names.join(", ")),
        };
        Diagnostic::error("unknown-command", format!("there is no command '{word}'")).help(help)
    }

    /// An argument that the command does not accept: an option, a negative number, or one argument too many.
    fn unknown(&self, word: &str) -> Diagnostic {
        // The parser knows '-e' of '-edition'.
        let at = self.words.iter().position(|w| w.starts_with(word)).unwrap_or(0);
        let full = self.words.get(at).map_or(word, String::as_str);
        let full = full.split('=').next().unwrap_or(full);
        let before = at.checked_sub(1).and_then(|i| self.words.get(i));
        if full.starts_with('-') && full.parse::<f64>().is_ok() {
            let option = before.filter(|w| w.starts_with("--")).map_or("an option", |w| w);
            return Diagnostic::error(
                "out-of-bounds",
                format!("{option} must not be negative, but is {full}"),
            )
            .help("write 0 or a positive number");
        }
        let dashes = ['-', '–', '—', '−'];
        if !full.starts_with(dashes) {
            let message = format!("'{full}' is one word too many");
            return Diagnostic::error("extra-word", message).help(
                "remove it; a name with spaces needs quotes around it, and a list has no spaces after its commas",
            );
        }
        let plain = full.trim_start_matches(dashes);
        let own: Vec<&str> = self.options().collect();
        let message = format!("'{}' has no option '{full}'", self.command());
        let help = match nearest(plain, own.iter().copied()) {
            Some(near) if near == plain => format!("write two short dashes: --{near}"),
            Some(near) => format!("did you mean '--{near}'?"),
            None => match elsewhere(plain).as_slice() {
                [] => self.see(),
                commands => format!("it is an option of {}; {}", commands.join(", "), self.see()),
            },
        };
        Diagnostic::error("unknown-option", message).help(help)
    }

    fn options(&self) -> impl Iterator<Item = &str> {
        self.command.iter().flat_map(Command::get_arguments).filter_map(Arg::get_long)
    }

    fn no_value(&self, about: &str) -> Diagnostic {
        let message = format!("{} needs a value", name(about));
        Diagnostic::error("missing-value", message).help(format!("write {about}; {}", self.see()))
    }

    fn missing(&self, about: &str) -> Diagnostic {
        let argument = self.command.iter().flat_map(Command::get_arguments).find(|a| {
            let long = a.get_long().map(|l| format!("--{l}"));
            let values = a.get_value_names().unwrap_or_default();
            long.as_deref()
                .map_or_else(|| values.iter().any(|v| v == name(about)), |l| l == name(about))
        });
        let reported = argument.and_then(Arg::get_help).map(|h| format!("{}: {h}", name(about)));
        let reported = reported.unwrap_or_else(|| self.see());
        let needed = argument.is_none_or(Arg::is_required_set);
        let help = match needed {
            true => format!("add it; {reported}"),
            false => format!("add it, or leave out the option that needs it; {reported}"),
        };
        let message = format!("'{}' needs {}", self.command(), name(about));
        Diagnostic::error("missing-word", message).help(help)
    }
}

/// The commands that have an option.
fn elsewhere(option: &str) -> Vec<String> {
    let has = |c: &&Command| c.get_arguments().any(|a| a.get_long() == Some(option));
    let all = Cli::command();
    all.get_subcommands().filter(has).map(|c| format!("'{}'", c.get_name())).collect()
}

/// A value that is not one of the choices.
fn other_value(about: &str, value: &str, valid: &[String]) -> Diagnostic {
    let option = name(about);
    let option = if about.starts_with('<') { option.to_lowercase() } else { option.to_owned() };
    let pieces: Vec<&str> = value.split(',').map(str::trim).collect();
    let all = pieces.len() > 1 && pieces.iter().all(|p| valid.iter().any(|v| v == p));
    let help = match nearest(value, valid.iter().map(String::as_str)) {
        _ if all => {
            let each: Vec<String> = pieces.iter().map(|p| format!("{option} {p}")).collect();
            format!("give the option once for each: {}", each.join(" "))
        }
        Some(near) => format!("did you mean '{near}'? The choices are {}", valid.join(", ")),
        None => format!("the choices are {}", valid.join(", ")),
    };
    Diagnostic::error("unknown-value", format!("{option} does not accept '{value}'")).help(help)
}

/// A value that is not a number, or is out of range.
fn odd_number(about: &str, value: &str, (whole, number): (bool, bool)) -> Diagnostic {
    let message = format!("{} does not accept '{value}'", name(about));
    let point = value.replace(',', ".");
    let sign = |c: char| !(c.is_ascii_digit() || c == '.');
    let begin = point.split(sign).next().unwrap_or("").to_owned();
    let help = match (number, whole) {
        (false, _) => "write a smaller number".to_owned(),
        (_, true) => match begin.split('.').next().filter(|b| !b.is_empty()) {
            Some(begin) => format!("write a whole number, in digits only: {begin}"),
            None => "write a whole number, in digits only".to_owned(),
        },
        _ if point.parse::<f64>().is_ok() => format!("write a point before decimals: {point}"),
        _ if !begin.is_empty() => format!("write only the number: {begin}"),
        _ => "write a number, with a point before decimals: 7.5".to_owned(),
    };
    Diagnostic::error("bad-number", message).help(help)
}

/// Options that exclude each other, or one that is given twice.
fn together(one: &str, other: &str) -> Diagnostic {
    let (one, other) = (name(one), name(other));
    let message = match one == other {
        true => format!("{one} is given twice"),
        false => format!("{one} and {other} cannot be used together"),
    };
    Diagnostic::error("options-apart", message).help("keep one of the two")
}
