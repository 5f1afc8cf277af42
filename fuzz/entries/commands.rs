//! A command line, one word a line, of a command that writes at its end alone: worked out on the base.

use std::ffi::OsString;
use std::path::{Component, PathBuf};

use shadecard::cli::args::Command;
use shadecard::cli::{understood, unwritten};

use super::arguments;
use super::desk;
use super::told::{errors, told};

pub fn entry(bytes: &[u8]) -> String {
    let words = arguments::words(bytes);
    let Ok(cli) = understood(&words) else { return String::new() };
    let mut command = cli.command;
    if !is_tame(&words) {
        return String::new();
    }
    at_desk(&mut command);
    let mut sources = desk::sources(&[]);
    match unwritten(&command, &mut sources) {
        None => String::new(),
        Some(Ok(done)) => {
            assert!(!done.printed.is_empty() || !done.files.is_empty(), "comes to nothing");
            let files: Vec<_> = done.files.iter().map(|(p, b)| (p, b.len())).collect();
            format!("{} {files:?}", done.printed) + &told(done.warnings, &sources)
        }
        Some(Err(findings)) => errors(findings, &sources),
    }
}

/// No word leads out of a folder.
fn is_tame(words: &[OsString]) -> bool {
    words.iter().all(|w| {
        let w = w.to_string_lossy();
        !w.contains(['/', '\\']) && !w.contains("..")
    })
}

/// The files that a command reads are on the desk.
fn at_desk(command: &mut Command) {
    let place = |file: &mut PathBuf| {
        let name = file.to_string_lossy().into_owned();
        let normal = file.components().all(|c| matches!(c, Component::Normal(_)));
        *file = desk::file(if normal { &name } else { "sheet.ron" });
    };
    match command {
        Command::Supplies(args) => {
            place(&mut args.sheet);
            args.stock.iter_mut().for_each(place);
        }
        Command::Shapes(args) => place(&mut args.sheet),
        Command::Board(args) => place(&mut args.sheet),
        Command::Tune(args) => place(&mut args.sheet),
        Command::Lookalikes(args) => place(&mut args.sheet),
        _ => {}
    }
}
