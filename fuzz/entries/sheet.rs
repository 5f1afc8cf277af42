//! A sheet file and what it names: layout, style, spelling, print values; everything up to planning.
//!
//! The bytes are the sheet. Further files follow, each after a line `== NAME`.

use shadecard::edition::faulty;
use shadecard::edition::{Editions, Filter};
use shadecard::labels::LabelSheet;
use shadecard::press;

use super::desk;
use super::told::{errors, told};

/// Files that may follow.
const NAMES: [&str; 5] =
    ["own.ron", "own.style.ron", "spelling/xx.ron", "own.labels.ron", "matte.values.ron"];

pub fn entry(bytes: &[u8]) -> String {
    let mut files = sections("sheet.ron", bytes);
    files.retain(|(name, _)| *name == "sheet.ron" || NAMES.contains(name));
    opened(&files)
}

/// Files in one: the first is called `first`, each other one after a line `== NAME`.
pub fn sections<'a>(first: &'a str, bytes: &'a [u8]) -> Vec<(&'a str, &'a [u8])> {
    let mut files = Vec::new();
    let (mut name, mut rest) = (first, bytes);
    while let Some(at) = rest.windows(4).position(|w| w == b"\n== ") {
        files.push((name, &rest[..at + 1]));
        let tail = &rest[at + 4..];
        let end = tail.iter().position(|b| *b == b'\n').unwrap_or(tail.len());
        name = std::str::from_utf8(&tail[..end]).unwrap_or_default();
        // The line's end may be that before the next title.
        rest = &tail[end..];
    }
    files.push((name, rest));
    files
}

fn opened(files: &[(&str, &[u8])]) -> String {
    let file = desk::file("sheet.ron");
    let mut sources = desk::sources(files);
    let mut out = String::new();
    match desk::load(&file, &mut sources) {
        Err(mut findings) => {
            findings.extend(faulty::of_file(&file, None, &mut sources));
            out += &errors(findings, &sources);
        }
        Ok(loaded) => {
            out += &told(loaded.warnings.clone(), &sources);
            let filter = Filter::default();
            let papers = press::papers(&loaded.range, &loaded.sheet, &mut sources);
            out += &told(papers, &sources);
            match Editions::resolve(loaded, &filter, &mut sources) {
                Ok(editions) => out += &told(editions.missing_characters(), &sources),
                Err(findings) => out += &errors(findings, &sources),
            }
        }
    }
    if sources.session.files.is_file(&desk::file("own.labels.ron")) {
        let label_sheet = LabelSheet::find("own.labels.ron", &desk::file(""), &mut sources);
        out += &told(label_sheet.err().unwrap_or_default(), &sources);
    }
    out
}
