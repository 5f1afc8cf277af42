//! A range around a spreadsheet of colours: what it lacks is filled in.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::{File, with};
use crate::diag::{Diagnostic, Findings};
use crate::read::cells::Grid;
use crate::read::cells::heads::{Head, find, own_help, spoiled, surplus};

/// Stands in where the table has no value.
const NO_VALUE: &str = "#bbbbbb";

/// What a sheet from a table is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Page {
    /// One page of this standard size.
    One(&'static str),
    /// As many A4 pages as it takes.
    Many,
}

/// Sizes to try, from the smallest: the first that a sheet fits on is the one to take.
pub const PAPERS: [&str; 4] = ["A6", "A5", "A4", "A3"];

/// The files of a range whose colours are those of the table, and what had to
/// be made up.
///
/// # Errors
/// The table has no column of names, or no row.
pub fn from_table(grid: &Grid, page: Page) -> Result<(Vec<File>, Findings), Findings> {
    let mut findings = Findings::default();
    let wanted = [
        Head::new("name", &["colour", "color", "works name", "title"]).needed(),
        Head::new("number", &["no", "nr", "code", "id", "works number"]),
        Head::new("value", &["hex", "colour value", "color value", "srgb", "rgb"]),
        Head::new("family", &["group", "range", "finish family"]),
        Head::new("key", &[]),
    ];
    let Some(heads) = find(grid, &wanted, &[], &mut findings) else {
        return Err(own_help(findings, "head the column of names 'name', once"));
    };
    surplus(grid, &heads, &mut findings);
    let mut keys = BTreeSet::new();
    let mut families: Vec<(String, String)> = Vec::new();
    let (mut rows, mut no_value) = (Vec::new(), Vec::new());
    for row in heads.rows(grid) {
        let cell = |i: usize| heads.columns[i].map_or("", |c| grid.at(row, c));
        for column in heads.columns.iter().flatten() {
            findings.extend(spoiled(grid, row, *column).map(Findings::from).unwrap_or_default());
        }
        if cell(0).is_empty() {
            let d = Diagnostic::error("missing-name", "this row has no name");
            let d = d.at(grid.span(row, heads.columns[0].unwrap_or(0)));
            findings.push(d.help("name the colour, or take the row away"));
            continue;
        }
        let key = unused(if cell(4).is_empty() { cell(0) } else { cell(4) }, &mut keys);
        let group = if cell(3).is_empty() { "Colours" } else { cell(3) };
        let family = match families.iter().find(|(_, title)| title == group) {
            Some((key, _)) => key.clone(),
            None => {
                let mut known = families.iter().map(|f| f.0.clone()).collect();
                let key = unused(group, &mut known);
                families.push((key.clone(), group.to_owned()));
                key
            }
        };
        let value = value(cell(2));
        if value.is_none() {
            let column = heads.columns[2].unwrap_or(0);
            if !cell(2).is_empty() && spoiled(grid, row, column).is_none() {
                let message = format!("'{}' is no colour value; {NO_VALUE} stands in", cell(2));
                findings.push(
                    Diagnostic::warning("bad-value", message)
                        .at(grid.span(row, column))
                        .help("write # and six digits 0-9 or letters a-f, such as \"#f8f7f3\""),
                );
            }
            no_value.push((row, cell(0).to_owned()));
        }
        let value = value.unwrap_or_else(|| NO_VALUE.to_owned());
        rows.push([key, family, cell(1).to_owned(), cell(0).to_owned(), value]);
    }
    if rows.is_empty() && !findings.failed() {
        findings.push(
            Diagnostic::error("empty-table", "there is no colour under the headings")
                .at(grid.span(heads.row, 0))
                .help("write one row a colour, with its name"),
        );
    }
    if findings.failed() {
        return Err(findings);
    }
    if let Some((row, name)) = no_value.first() {
        findings.push(
            Diagnostic::warning(
                "no-values",
                format!(
                    "{} of {} colours have no value, '{name}' first; {NO_VALUE} stands in",
                    no_value.len(),
                    rows.len()
                ),
            )
            .at(grid.span(*row, heads.columns[2].or(heads.columns[0]).unwrap_or(0)))
            .help("fill the column 'value' of colours.csv with #rrggbb"),
        );
    }
    let table = table(&rows);
    let mut files = vec![("range.ron", range(&families)), ("colours.csv", table)];
    match page {
        Page::One(paper) => {
            files.push(("sheet.ron", sheet("page", "page.ron")));
            files.push(("page.ron", layout(paper)));
        }
        Page::Many => files.push(("sheet.ron", sheet("pages", "a4-pages"))),
    }
    Ok((with(files), findings))
}

/// '#rrggbb' of a cell that holds it, with or without its mark.
fn value(text: &str) -> Option<String> {
    let digits = text.strip_prefix('#').unwrap_or(text);
    let hex = digits.len() == 6 && digits.bytes().all(|b| b.is_ascii_hexdigit());
    if hex {
        return Some(format!("#{}", digits.to_lowercase()));
    }
    (text.starts_with("Lab(") || text.starts_with("Spectrum(")).then(|| text.to_owned())
}

/// A key from a name: letters, digits and hyphens; numbered where it is taken.
fn unused(name: &str, taken: &mut BTreeSet<String>) -> String {
    // Crème becomes creme.
    let plain: String = deunicode::deunicode(name)
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let words: Vec<&str> = plain.split('-').filter(|w| !w.is_empty()).collect();
    let mut stem: String = words.join("-").chars().take(50).collect();
    if stem.is_empty() {
        stem = "colour".to_owned();
    }
    let mut key = stem.clone();
    let mut n = 2;
    while !taken.insert(key.clone()) {
        key = format!("{stem}-{n}");
        n += 1;
    }
    key
}

fn table(rows: &[[String; 5]]) -> String {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    let head = ["key", "family", "works number", "works name", "value"];
    // Writing into memory cannot fail.
    let _ = writer.write_record(head);
    for row in rows {
        let _ = writer.write_record(row);
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn range(families: &[(String, String)]) -> String {
    let mut list = String::new();
    for (key, title) in families {
        let _ = writeln!(list, "        (key: {key:?}, title: {title:?}, finish: opaque),");
    }
    format!(
        r#"// The range. Its colours stand in colours.csv: correct them there; columns may be added for more listings.
Range(
    maker: "Your name here",
    release: "First release",
    listings: [(key: "works", title: "Works list")],

    // Finishes: opaque, clear, flecked, metal, pearl, satin or glow.
    families: [
{list}    ],

    // Replace these by your own parts; shapes are drawings in real millimetres.
    parts: [
        (key: "button", numbers: {{"works": "10"}}, title: "Button", side: left,  shape: "shapes/button.svg"),
        (key: "toggle", numbers: {{"works": "11"}}, title: "Toggle", side: left,  shape: "shapes/toggle.svg"),
        (key: "bead",   numbers: {{"works": "20"}}, title: "Bead",   side: right, shape: "shapes/bead.svg"),
    ],
    colours: Table(file: "colours.csv"),

    // Without made, every part is made in every colour. A table of crosses:  made: Table(file: "made.csv"),
)
"#
    )
}

fn sheet(edition: &str, layout: &str) -> String {
    format!(
        r#"// A sheet: what to show of the range, and in which sizes. `shadecard make sheet.ron` makes it.
Sheet(
    range: "range.ron",
    title: "Our colours",
    subtitle: "{{colours_words}} colours, {{scale}}",
    imprint: ["{{release}} · {{spelling}} · {{maker}}"],
    style: "plate",
    spellings: ["en-GB", "en-US"],

    // A layout is a file of your own, or shipped: a4, letter, a3, a4-pages, letter-pages, poster-305x406 ...
    editions: [(name: "{edition}", layout: "{layout}")],
)
"#
    )
}

fn layout(paper: &str) -> String {
    format!(
        r#"// The smallest standard page that the colours fit on. Other sizes: Paper("Letter"), Mm(100, 150), Inch(4, 6).
Layout(
    title: "One page",
    page: Paper("{paper}"),
    scale: Fit,
    contract: (columns: 1),
)
"#
    )
}
