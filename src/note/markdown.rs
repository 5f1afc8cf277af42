//! The note as Markdown. A chip is a picture beside the file, and its value is in the text: where a pasted text
//! loses its pictures, the value is left.

use std::fmt::Write as _;

use super::chips::Chips;
use super::content::{Entry, Note};
use crate::compare::report::escaped;
use crate::sheet::Sample;

/// The note; `chips` names the pictures and `folder` is where they are, relative to the file. Without, there are none.
pub fn markdown(note: &Note, chips: Option<(&mut Chips, &str)>) -> String {
    let mut out = format!("# {}\n", escaped(&note.title));
    let about = [&note.maker, &note.releases].into_iter().filter(|t| !t.is_empty());
    let about: Vec<String> = about.map(|t| escaped(t)).collect();
    if !about.is_empty() {
        let _ = write!(out, "\n{}\n", about.join(" · "));
    }
    let mut chips = chips;
    for section in &note.sections {
        let _ = write!(out, "\n## {} ({})\n", escaped(&section.title), section.count());
        if !section.note.is_empty() {
            let _ = write!(out, "\n{}\n", escaped(&section.note));
        }
        for group in &section.groups {
            if !group.title.is_empty() {
                let _ = write!(out, "\n### {}\n", escaped(&group.title));
            }
            out.push('\n');
            for entry in &group.entries {
                let pictures = match &mut chips {
                    Some((chips, folder)) => pictures(entry, chips, folder),
                    None => String::new(),
                };
                let _ = writeln!(out, "- {pictures}{}", line(entry));
            }
        }
    }
    let _ = write!(out, "\n{}\n", escaped(&note.remark));
    out
}

fn pictures(entry: &Entry, chips: &mut Chips, folder: &str) -> String {
    let each = entry.chips.iter().map(|c| format!("![]({folder}/{}.png) ", chips.name(entry, *c)));
    each.collect()
}

fn line(entry: &Entry) -> String {
    let name = format!("{} {}", entry.number, entry.name);
    let mut words = vec![format!("**{}**", escaped(name.trim()))];
    words.extend(entry.lines.iter().map(|l| escaped(l)));
    let value = |chip: &Sample| format!("`{}`", chip.published.hex());
    let values: Vec<String> = entry.chips.iter().map(value).collect();
    words.extend((!values.is_empty()).then(|| values.join(" → ")));
    words.join(" · ")
}
