//! A command line, one word a line: understood or refused; what writes at its end alone is also worked out.

use std::ffi::OsString;
use std::path::{Component, Path, PathBuf};

use shadecard::cli::args::Command;
use shadecard::cli::{Answer, commands, understood, unwritten};
use shadecard::diag::Sources;
use shadecard::tile::Tiling;

use super::desk::{self, Desk, plain};
use super::told::{errors, one, told};

pub fn entry(bytes: &[u8]) -> String {
    let words: Vec<OsString> = bytes.split(|b| *b == b'\n').map(word).collect();
    let words: Vec<OsString> = std::iter::once("shadecard".into()).chain(words).collect();
    let sources = Sources::default();
    let mut command = match understood(&words) {
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
    let out = format!("{command:?}") + &checked(&command);
    if !is_tame(&words) {
        return out;
    }
    desk::with(&[], |desk| {
        at_desk(&mut command, desk);
        let mut sources = Sources::default();
        let worked = match unwritten(&command, &mut sources) {
            None => String::new(),
            Some(Ok(done)) => {
                assert!(!done.printed.is_empty() || !done.files.is_empty(), "comes to nothing");
                let files: Vec<_> = done.files.iter().map(|(p, b)| (p, b.len())).collect();
                format!("{} {files:?}", done.printed) + &told(done.warnings, &sources)
            }
            Some(Err(findings)) => errors(findings, &sources),
        };
        plain(&(out + &worked), desk)
    })
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
    let tiling =
        |paper: &str, (overlap, margin)| match Tiling::new("--tile", paper, overlap, margin) {
            Ok(tiling) => {
                let (width, height) = tiling.desk().size();
                assert!(0.0 < width && width <= height, "no paper: {width} x {height}");
                format!("{tiling:?}")
            }
            Err(findings) => errors(findings, &sources),
        };
    match command {
        Command::Make(args) => {
            let dpi = match commands::make::resolutions(&args.dpi) {
                Ok(dpi) => format!("{dpi:?}"),
                Err(findings) => errors(findings, &sources),
            };
            dpi + &args.tile.as_ref().map_or(String::new(), |t| tiling(t, args.tiling.measures()))
        }
        Command::Board(args) => tiling(&args.tile, args.tiling.measures()),
        _ => String::new(),
    }
}

/// No word leads out of a folder.
fn is_tame(words: &[OsString]) -> bool {
    words.iter().all(|w| {
        let w = w.to_string_lossy();
        !w.contains(['/', '\\']) && !w.contains("..")
    })
}

/// The files that a command reads stand on the desk.
fn at_desk(command: &mut Command, desk: &Desk) {
    let place = |file: &mut PathBuf| {
        let normal = file.components().all(|c| matches!(c, Component::Normal(_)));
        *file = desk.at().join(if normal { file.as_path() } else { Path::new("sheet.ron") });
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
