//! What is in hand: a table of part, colour and count, with lines for tiles and label sheets.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use super::naming::Naming;
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::range::{ColourId, PartId};
use crate::read::cells::heads::{self, Head, Heads};
use crate::read::cells::{self, Grid};

/// The largest count that is accepted.
pub const MOST: u64 = 1_000_000;

/// Pieces in hand; lines about the same thing are added up.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stock {
    pub pieces: BTreeMap<(PartId, ColourId), u64>,
    pub tiles: u64,
    pub sheets: u64,
}

/// The columns, by what may head them.
const COLUMNS: [(&str, &[&str]); 3] = [
    ("part", &["part number", "part key"]),
    ("colour", &["color", "colour number", "colour key", "colour name"]),
    ("count", &["quantity", "pieces", "in hand"]),
];
/// Lines without a colour.
const TILES: [&str; 4] = ["tile", "tiles", "blank tile", "blank tiles"];
const SHEETS: [&str; 4] = ["sheet", "sheets", "label sheet", "label sheets"];

impl Stock {
    /// Reads a table; parts and colours go by key, number or name.
    ///
    /// # Errors
    /// Every line that cannot be understood, with its place.
    pub fn read(
        file: &Path,
        naming: &Naming<'_>,
        sources: &mut Sources,
    ) -> Result<(Stock, Findings), Findings> {
        let grid = cells::read(file, None, None, sources)?;
        let mut findings = grid.remarks();
        let stock = Reader::new(naming, &grid, &mut findings).map(|mut reader| reader.stock());
        match stock {
            Some(stock) if !findings.failed() => Ok((stock, findings)),
            _ => Err(findings),
        }
    }
}

/// What a word can mean: those of an earlier tier come first.
struct Words<T>(Vec<BTreeMap<String, Word<T>>>);

/// A word as it is written, and what it can mean.
#[derive(Clone)]
struct Word<T> {
    written: String,
    things: BTreeSet<T>,
}

/// The result for a word.
enum Meaning<T> {
    One(T),
    Several(usize),
    Nothing,
}

impl<T: Copy + Ord> Words<T> {
    fn with_tiers(count: usize) -> Words<T> {
        Words(vec![BTreeMap::new(); count])
    }

    fn add(&mut self, tier: usize, word: &str, thing: T) {
        let new = || Word { written: word.to_owned(), things: BTreeSet::new() };
        self.0[tier].entry(folded(word)).or_insert_with(new).things.insert(thing);
    }

    fn meaning(&self, word: &str) -> Meaning<T> {
        let found = self.0.iter().find_map(|tier| tier.get(&folded(word)));
        match found.map(|w| (w.things.len(), w.things.first())) {
            Some((1, Some(thing))) => Meaning::One(*thing),
            Some((n, _)) => Meaning::Several(n),
            None => Meaning::Nothing,
        }
    }

    /// None for a word so short that any other would be near.
    fn nearest(&self, word: &str) -> Option<&str> {
        if word.chars().count() < 3 {
            return None;
        }
        nearest(word, self.0.iter().flat_map(|t| t.values().map(|w| w.written.as_str())))
    }
}

/// Letter case and runs of blanks do not count.
fn folded(word: &str) -> String {
    word.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

struct Reader<'a> {
    grid: &'a Grid,
    heads: Heads,
    /// Columns of part, colour and count.
    columns: [usize; 3],
    parts: Words<PartId>,
    colours: Words<ColourId>,
    findings: &'a mut Findings,
}

impl<'a> Reader<'a> {
    fn new(naming: &Naming<'_>, grid: &'a Grid, findings: &'a mut Findings) -> Option<Reader<'a>> {
        let (heads, columns) = headings(grid, findings)?;
        let range = naming.range;
        // Keys first, then the listing of the order, then the others.
        let tier = |listing: usize| if listing == naming.listing.0 { 1 } else { 2 };
        let mut parts = Words::with_tiers(3);
        for (i, part) in range.parts().iter().enumerate() {
            parts.add(0, part.key(), PartId(i));
            for (listing, number) in part.numbers().iter().enumerate() {
                number.iter().for_each(|n| parts.add(tier(listing), n, PartId(i)));
            }
        }
        let mut colours = Words::with_tiers(3);
        for (i, colour) in range.colours().iter().enumerate() {
            colours.add(0, colour.key(), ColourId(i));
            for (listing, number) in colour.numbers().iter().enumerate() {
                number.iter().for_each(|n| colours.add(tier(listing), n, ColourId(i)));
            }
            for (listing, words) in colour.names().iter().enumerate() {
                let Some(words) = &words.value else { continue };
                let spelt = naming.spelling.apply(words);
                for name in [&words.text, &spelt].into_iter().chain(words.forms.values()) {
                    colours.add(tier(listing), name, ColourId(i));
                }
            }
        }
        Some(Reader { grid, heads, columns, parts, colours, findings })
    }

    fn stock(&mut self) -> Stock {
        let mut stock = Stock::default();
        let rows: Vec<usize> = self.heads.rows(self.grid).collect();
        rows.into_iter().for_each(|row| self.row(row, &mut stock));
        stock
    }

    fn row(&mut self, row: usize, stock: &mut Stock) {
        let [part, colour, count] = self.columns;
        let count = self.count(row, count);
        let word = folded(self.grid.at(row, part));
        if self.grid.at(row, colour).is_empty() {
            if TILES.contains(&word.as_str()) {
                return stock.tiles += count.unwrap_or(0);
            }
            if SHEETS.contains(&word.as_str()) {
                return stock.sheets += count.unwrap_or(0);
            }
        } else if [&TILES[..], &SHEETS[..]].iter().any(|words| words.contains(&word.as_str())) {
            let d = Diagnostic::error("colour-of-all", format!("'{word}' do not have a colour"));
            let d = d.at(self.grid.span(row, colour)).help("leave the colour of this line empty");
            return self.findings.push(d);
        }
        let part =
            find(&self.parts, self.grid, CellAt { row, column: part }, "part", self.findings);
        let colour =
            find(&self.colours, self.grid, CellAt { row, column: colour }, "colour", self.findings);
        if let (Some(part), Some(colour), Some(count)) = (part, colour, count) {
            *stock.pieces.entry((part, colour)).or_default() += count;
        }
    }

    fn count(&mut self, row: usize, column: usize) -> Option<u64> {
        if let Some(d) = heads::spoiled(self.grid, row, column) {
            self.findings.push(d);
            return None;
        }
        let text = self.grid.at(row, column);
        let digits = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        let count = text.parse().ok().filter(|n| digits && *n <= MOST);
        if count.is_none() {
            let message = match text {
                "" => "this line gives no count".to_owned(),
                _ => format!("'{text}' is not a count of pieces"),
            };
            self.findings.push(
                Diagnostic::error("bad-count", message)
                    .at(self.grid.span(row, column))
                    .help(format!("write a whole number from 0 to {MOST}")),
            );
        }
        count
    }
}

/// The columns of part, colour and count, in this order.
fn headings(grid: &Grid, findings: &mut Findings) -> Option<(Heads, [usize; 3])> {
    let wanted = COLUMNS.map(|(name, also)| Head::new(name, also).needed());
    let own =
        heads::Own::Renamed("give the columns the headings part, colour and count, each once");
    let heads = heads::find(grid, &wanted, own, findings)?;
    heads::surplus(grid, &heads, findings);
    match heads.columns[..] {
        [Some(part), Some(colour), Some(count)] => Some((heads, [part, colour, count])),
        _ => None,
    }
}

/// A cell of the table.
#[derive(Clone, Copy)]
struct CellAt {
    row: usize,
    column: usize,
}

fn find<T: Copy + Ord>(
    words: &Words<T>,
    grid: &Grid,
    at: CellAt,
    kind: &str,
    findings: &mut Findings,
) -> Option<T> {
    let CellAt { row, column } = at;
    if let Some(d) = heads::spoiled(grid, row, column) {
        findings.push(d);
        return None;
    }
    let word = grid.at(row, column);
    let fault = |code, message: String, help: String| {
        Diagnostic::error(code, message).at(grid.span(row, column)).help(help)
    };
    let finding = match words.meaning(word) {
        Meaning::One(thing) => return Some(thing),
        Meaning::Several(n) => fault(
            "ambiguous",
            format!("'{word}' matches {n} {kind}s"),
            "write its key from the range file".to_owned(),
        ),
        Meaning::Nothing if word.is_empty() => fault(
            "missing-cell",
            format!("this line names no {kind}"),
            match kind {
                "colour" => "name it; only 'blank tiles' and 'label sheets' have none".to_owned(),
                _ => "name it by its key or its number".to_owned(),
            },
        ),
        Meaning::Nothing => fault(
            if kind == "part" { "unknown-part" } else { "unknown-colour" },
            format!("there is no {kind} '{word}'"),
            match words.nearest(word) {
                Some(near) => format!("did you mean '{near}'?"),
                None if kind == "part" => "write its key or its number".to_owned(),
                None => "write its key, its number or its name".to_owned(),
            },
        ),
    };
    findings.push(finding);
    None
}
