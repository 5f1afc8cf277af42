//! The range file of an export: what is not in the tables.

use std::fmt::Write;

use super::To;
use crate::range::{ColourRange, Words};

/// `values`: there is a table of measured values as well.
pub fn text(range: &ColourRange, to: To, values: bool) -> String {
    let mut out = String::from("// The lists are in separate tables.\nRange(\n");
    field(&mut out, "maker", range.maker());
    field(&mut out, "release", range.release());
    if !range.proper_names().is_empty() {
        let names: Vec<String> = range.proper_names().iter().map(|n| quoted(n)).collect();
        let _ = writeln!(out, "    proper_names: [{}],", names.join(", "));
    }
    out += "    listings: [\n";
    for l in range.listings() {
        let _ = writeln!(out, "        (key: {}, title: {}),", quoted(l.key()), words(l.title()));
    }
    out += "    ],\n    families: [\n";
    for f in range.families() {
        let (key, title) = (quoted(f.key()), words(f.title()));
        let (note, legend) = (words(f.note()), words(f.legend()));
        let finish = f.finish().word();
        let _ = writeln!(
            out,
            "        (key: {key}, title: {title}, note: {note}, legend: {legend}, finish: {finish}),"
        );
    }
    out += "    ],\n";
    for name in ["parts", "colours", "made", "values"].iter().take(if values { 4 } else { 3 }) {
        let table = match to {
            To::Csv => format!("Table(file: \"{name}.csv\")"),
            To::Xlsx => format!("Table(file: \"range.xlsx\", sheet: \"{name}\")"),
        };
        let _ = writeln!(out, "    {name}: {table},");
    }
    out + ")\n"
}

fn field(out: &mut String, name: &str, text: &Words) {
    if !text.text.is_empty() || !text.forms.is_empty() {
        let _ = writeln!(out, "    {name}: {},", words(text));
    }
}

fn words(words: &Words) -> String {
    if words.forms.is_empty() {
        return quoted(&words.text);
    }
    let forms: Vec<String> = words
        .forms
        .iter()
        .map(|(tag, form)| format!("{}: {}", quoted(tag), quoted(form)))
        .collect();
    format!("Forms({}, {{{}}})", quoted(&words.text), forms.join(", "))
}

/// A text as RON writes it.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out += "\\n",
            '\t' => out += "\\t",
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
