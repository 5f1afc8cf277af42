//! A listing as published against the same listing here.

use std::collections::BTreeMap;

use crate::diag::{Diagnostic, Findings, Suggestions};
use crate::range::{Colour, ColourRange, ListingId, Words};
use crate::read::cells::Grid;
use crate::read::cells::heads::{Head, Own, find, surplus};

/// One colour of the published list.
struct PublishedColour<'a> {
    row: usize,
    number: &'a str,
    name: &'a str,
}

/// The published list.
struct Published<'a> {
    colours: Vec<PublishedColour<'a>>,
    grid: &'a Grid,
    /// The column of the numbers.
    numbers: usize,
}

impl<'a> Published<'a> {
    /// Finds the columns of a table of the listing of this key.
    fn new(grid: &'a Grid, key: &str, findings: &mut Findings) -> Option<Published<'a>> {
        let wanted = [
            Head::new("number", &["no", "nr", "code", "id", &format!("{key} number")]).needed(),
            Head::new("name", &["colour", "color", "title", "description", &format!("{key} name")])
                .needed(),
        ];
        let own = Own::Renamed("name the columns 'number' and 'name', each once");
        let heads = find(grid, &wanted, own, findings)?;
        surplus(grid, &heads, findings);
        let (numbers, names) = (heads.columns[0]?, heads.columns[1]?);
        let colour =
            |row| PublishedColour { row, number: grid.at(row, numbers), name: grid.at(row, names) };
        let colours = heads.rows(grid).map(colour).filter(|c| !c.number.is_empty()).collect();
        Some(Published { colours, grid, numbers })
    }
}

/// Compares by number: names that differ, numbers that the published list does
/// not have, and its colours that are missing here.
pub fn against(range: &ColourRange, listing: ListingId, published: &Grid) -> Findings {
    let mut findings = Findings::default();
    let key = range.listings()[listing.0].key();
    let Some(published) = Published::new(published, key, &mut findings) else { return findings };
    let lines = &published.colours;
    let by_number: BTreeMap<&str, &PublishedColour<'_>> =
        lines.iter().map(|l| (l.number, l)).collect();
    let by_name: BTreeMap<String, &PublishedColour<'_>> =
        lines.iter().map(|l| (l.name.to_lowercase(), l)).collect();
    let published_names: Vec<&str> = lines.iter().map(|l| l.name).collect();
    let mut suggestions = Suggestions::default();
    let mut here: BTreeMap<&str, &Colour> = BTreeMap::new();
    for colour in range.colours() {
        let Some(number) = &colour.numbers()[listing.0].value else { continue };
        here.insert(number, colour);
        let name = colour.names()[listing.0].as_ref();
        match by_number.get(number.as_str()) {
            Some(line) => names_agree(colour, name, line, listing, &mut findings),
            None => {
                let text = name.map_or("", |n| n.text.as_str());
                let same = by_name.get(&text.to_lowercase()).copied();
                let line = match same {
                    None if !text.is_empty() => suggestions
                        .nearest(text, &published_names)
                        .and_then(|near| by_name.get(&near.to_lowercase()).copied()),
                    same => same,
                };
                findings.push(not_listed(colour, number, listing, line));
            }
        }
    }
    let ours: Vec<&str> = range
        .colours()
        .iter()
        .filter_map(|c| Some(c.names()[listing.0].as_ref()?.text.as_str()))
        .collect();
    for line in lines.iter().filter(|l| !here.contains_key(l.number)) {
        let near = suggestions.nearest(line.name, &ours);
        findings.push(not_here(&published, line, near));
    }
    findings
}

/// A published colour that the range lacks; `near` is the nearest name here.
fn not_here(
    published: &Published<'_>,
    line: &PublishedColour<'_>,
    near: Option<&str>,
) -> Diagnostic {
    let help = match near {
        Some(near) => {
            format!("the nearest name here is '{near}'; correct its number, or add the colour")
        }
        None => "add the colour, unless it is omitted on purpose".to_owned(),
    };
    Diagnostic::hint(
        "not-here",
        format!("the published colour {} '{}' is not in the range", line.number, line.name),
    )
    .at(published.grid.span(line.row, published.numbers))
    .help(help)
}

fn names_agree(
    colour: &Colour,
    name: Option<&Words>,
    line: &PublishedColour<'_>,
    listing: ListingId,
    findings: &mut Findings,
) {
    let Some(name) = name else { return };
    if line.name.is_empty() || name.text == line.name || name.forms.values().any(|f| f == line.name)
    {
        return;
    }
    findings.push(
        Diagnostic::warning(
            "other-name",
            format!(
                "number {} is published as '{}', but here it is '{}'",
                line.number, line.name, name.text
            ),
        )
        .at(colour.names()[listing.0].span.clone())
        .help(format!("write '{}', or check the number", line.name)),
    );
}

/// `line`: the published one that is probably meant.
fn not_listed(
    colour: &Colour,
    number: &str,
    listing: ListingId,
    line: Option<&PublishedColour<'_>>,
) -> Diagnostic {
    let help = match line {
        Some(line) => format!("'{}' is published as number {}", line.name, line.number),
        None => "check whether the number is wrong or the colour not yet published".to_owned(),
    };
    Diagnostic::warning(
        "not-published",
        format!("number {number} ('{}') is not in the published list", colour.any_name()),
    )
    .at(colour.numbers()[listing.0].span.clone())
    .help(help)
}
