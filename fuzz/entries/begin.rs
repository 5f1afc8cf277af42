//! A CSV file that a range is begun with: what is written is a range that can be read.

use std::path::Path;

use shadecard::diag::Sources;
use shadecard::files::Files;
use shadecard::read::cells;
use shadecard::session::Session;
use shadecard::starter::{Given, Page, begin};

use super::desk;
use super::told::{errors, one_in, told};

pub fn entry(bytes: &[u8]) -> String {
    let mut sources = desk::sources(&[("list.csv", bytes)]);
    let Ok(grid) = cells::read(&desk::file("list.csv"), None, None, &mut sources) else {
        return String::new();
    };
    let given = Given::of(std::slice::from_ref(&grid), &|c| c.is_ascii());
    let begun = match begin(&given) {
        Ok(begun) => begun,
        Err(findings) => return errors(findings, &sources),
    };
    let mut out = told(begun.findings, &sources);
    let files = begun.draft.files(Page::Many);
    files.iter().for_each(|(name, text)| out += &format!("{name}: {text:?}"));
    if one_in(64, bytes) {
        let files = files.iter().map(|(name, text)| (name, text.as_bytes()));
        let mut sources = Sources::of(Session::of(Files::in_memory(files)));
        if let Err(findings) = desk::load(Path::new("sheet.ron"), &mut sources) {
            panic!("what was begun cannot be read:\n{}", told(findings, &sources));
        }
    }
    out
}
