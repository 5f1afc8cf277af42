//! Two releases compared: every kind of change, what is due, and what a person sees.

mod again;
mod buyers;
mod changes;
mod commands;
mod marks;
mod properties;
mod scale;

use std::path::{Path, PathBuf};

use shadecard::compare::{Changes, ComparedSheet, ranges, sheets};
use shadecard::diag::Sources;
use shadecard::diag_print::render;
use shadecard::range::{Described, load_either};
use shadecard::spelling::Spelling;

/// A square part of this many millimetres; `more` is drawn in it.
pub fn square(size: f64, more: &str) -> String {
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{size}mm' height='{size}mm' viewBox='0 0 {size} {size}'>\
         <rect class='body' width='{size}' height='{size}' fill='#808080'/>{more}</svg>"
    )
}

/// Writes a file and the folders above it.
pub fn write(folder: &Path, name: &str, text: &str) -> PathBuf {
    let file = folder.join(name);
    std::fs::create_dir_all(file.parent().expect("a folder")).expect("made");
    std::fs::write(&file, text).expect("written");
    file
}

pub fn load(file: &Path) -> Described {
    let mut sources = Sources::default();
    load_either(file, &mut sources)
        .unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)))
}

pub fn compare_ranges(old: &Path, new: &Path) -> Changes {
    ranges(&load(old).range, &load(new).range)
}

pub fn compare_sheets(old: &Path, new: &Path) -> Changes {
    let (old, new) = (load(old), load(new));
    sheets(&shown(&old), &shown(&new))
}

fn shown(described: &Described) -> ComparedSheet<'_> {
    let sheet = described.sheet.as_ref().expect("a sheet");
    let tags = sheet.editions().iter().flat_map(|e| e.spellings());
    let spellings =
        tags.map(|t| (t.clone(), Spelling::shipped(t).expect("a shipped spelling"))).collect();
    let (texts, work) = Default::default();
    ComparedSheet { range: &described.range, sheet, spellings, texts, work }
}

/// Replaces a text that has to be there.
pub fn edit(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "'{from}' is not in the text");
        text.replacen(from, to, 1)
    })
}
