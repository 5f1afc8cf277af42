//! A command line, one word a line: understood or refused.

use std::ffi::OsString;

use shadecard::cli::args::Command;
use shadecard::cli::{Answer, commands, understood};
use shadecard::diag::Sources;
use shadecard::panels::Split;

use super::told::{errors, one};

pub fn entry(bytes: &[u8]) -> String {
    let sources = Sources::default();
    let command = match understood(&words(bytes)) {
        Ok(cli) => cli.command,
        Err(Answer::Shown(help) | Answer::Commands(help)) => {
            let text = help.to_string();
            assert!(!text.trim().is_empty(), "an empty help");
            return text;
        }
        Err(Answer::Fault(fault)) => {
            one(&fault, &sources);
            return errors(fault.into(), &sources);
        }
    };
    format!("{command:?}") + &checked(&command)
}

/// The words of a command line, the program's name first.
pub fn words(bytes: &[u8]) -> Vec<OsString> {
    let words = bytes.split(|b| *b == b'\n').map(word);
    std::iter::once("shadecard".into()).chain(words).collect()
}

#[cfg(unix)]
fn word(bytes: &[u8]) -> OsString {
    std::os::unix::ffi::OsStringExt::from_vec(bytes.to_vec())
}

#[cfg(not(unix))]
fn word(bytes: &[u8]) -> OsString {
    String::from_utf8_lossy(bytes).into_owned().into()
}

/// What can be checked of the options alone.
fn checked(command: &Command) -> String {
    let sources = Sources::default();
    let split =
        |paper: &str, (overlap, margin)| match Split::new("--panels", paper, overlap, margin) {
            Ok(split) => {
                let (width, height) = split.desk().size();
                assert!(0.0 < width && width <= height, "no paper: {width} x {height}");
                format!("{split:?}")
            }
            Err(findings) => errors(findings, &sources),
        };
    match command {
        Command::Make(args) => {
            let dpi = match commands::make::resolutions(&args.dpi) {
                Ok(dpi) => format!("{dpi:?}"),
                Err(findings) => errors(findings, &sources),
            };
            dpi + &args.panels.as_ref().map_or(String::new(), |t| split(t, args.split.measures()))
        }
        Command::Board(args) => split(&args.panels, args.split.measures()),
        _ => String::new(),
    }
}
