//! Headings of a table: found by name, in any order, in one row or in two.

use super::grid::{CellKind, Grid};
use crate::diag::{Diagnostic, Findings, Span, nearest};

/// How many rows from the top may hold the headings.
const LOOK_AT: usize = 12;

/// A column that is looked for.
#[derive(Debug, Clone)]
pub struct Head {
    /// Its name in messages and in the guide.
    pub name: String,
    /// The table is of no use without it.
    pub needed: bool,
    /// Its name and other headings that mean the same, in plain letters.
    plain: Vec<String>,
}

impl Head {
    /// A column that may be missing.
    pub fn new(name: impl Into<String>, also: &[&str]) -> Head {
        let name = name.into();
        let plain = std::iter::once(name.as_str()).chain(also.iter().copied()).map(plain).collect();
        Head { name, needed: false, plain }
    }

    /// The same column, but it has to be there.
    pub fn needed(mut self) -> Head {
        self.needed = true;
        self
    }

    /// Does a text name this column?
    pub fn goes_by(&self, text: &str) -> bool {
        self.is(&plain(text))
    }

    fn is(&self, plain: &str) -> bool {
        !plain.is_empty() && self.plain.iter().any(|own| own == plain)
    }

    /// The tag of a form of this column: 'en-US' of 'works name en-US' or 'works name (en-US)'.
    pub fn form<'a>(&self, text: &'a str) -> Option<&'a str> {
        let (front, tag) = text.trim().rsplit_once(' ')?;
        let tag = tag.trim_matches(['(', ')', '[', ']']);
        let tag_like = tag.contains('-') && tag.split('-').all(|p| !p.is_empty() && p.len() <= 8);
        (tag_like && self.goes_by(front)).then_some(tag)
    }
}

/// A custom heading and the column that it stands for; none for a column to ignore.
#[derive(Debug, Clone)]
pub struct Mapping {
    pub from: String,
    pub to: String,
    /// Where the mapping is written.
    pub at: Option<Span>,
}

/// How headings are put right.
#[derive(Debug, Clone, Copy)]
pub enum Own<'a> {
    /// They are mapped to wanted names where the table is named; to nothing for a column to ignore.
    Mapped(&'a [Mapping]),
    /// They are renamed in the table: what to do.
    Renamed(&'a str),
}

impl<'a> Own<'a> {
    fn mappings(self) -> &'a [Mapping] {
        match self {
            Own::Mapped(list) => list,
            Own::Renamed(_) => &[],
        }
    }

    /// What to do: this, where there are mappings.
    fn help(self, mapped: String) -> String {
        match self {
            Own::Mapped(_) => mapped,
            Own::Renamed(help) => help.to_owned(),
        }
    }
}

/// What a heading stands for: itself, unless it is mapped.
pub fn mapped<'a>(heading: &'a str, own: &'a [Mapping]) -> &'a str {
    own.iter().find(|m| same(&m.from, heading)).map_or(heading, |m| &m.to)
}

/// Reports mappings to a column that does not exist. `known` accepts further names.
pub fn targets(
    own: &[Mapping],
    wanted: &[Head],
    known: &dyn Fn(&str) -> bool,
    findings: &mut Findings,
) {
    for m in own.iter().filter(|m| !m.to.is_empty()) {
        let is_head = |w: &Head| w.goes_by(&m.to) || w.form(&m.to).is_some();
        if wanted.iter().any(is_head) || known(&m.to) {
            continue;
        }
        let near = nearest(&m.to, wanted.iter().map(|w| w.name.as_str()));
        let near = near.map_or(String::new(), |n| format!("did you mean '{n}'? "));
        let message = format!(
            "the heading '{}' is mapped to '{}', which is not a known column",
            m.from, m.to
        );
        findings.push(
            Diagnostic::error("unknown-column", message)
                .at(m.at.clone())
                .help(format!("{near}The known columns are: {}", names(wanted))),
        );
    }
}

/// The names of all columns, for a message.
fn names(wanted: &[Head]) -> String {
    wanted.iter().map(|w| w.name.as_str()).collect::<Vec<_>>().join(", ")
}

/// Where the columns are.
#[derive(Debug)]
pub struct Heads {
    /// The row of the (lower) headings.
    pub row: usize,
    /// Per wanted column: where it is.
    pub columns: Vec<Option<usize>>,
    /// Columns whose heading nobody wanted, with it.
    pub others: Vec<(usize, String)>,
}

impl Heads {
    /// The rows under the headings that hold something and do not repeat the headings, as lists of several
    /// pages do.
    pub fn rows<'a>(&'a self, grid: &'a Grid) -> impl Iterator<Item = usize> + 'a {
        let under = (self.row + 1..grid.rows.len()).filter(|r| !grid.is_empty(*r));
        under.filter(|r| !self.repeated_in(grid, *r))
    }

    fn repeated_in(&self, grid: &Grid, row: usize) -> bool {
        let filled = || (0..grid.rows[row].len()).filter(|c| !grid.at(row, *c).is_empty());
        filled().nth(1).is_some() && filled().all(|c| same(grid.at(self.row, c), grid.at(row, c)))
    }
}

/// Finds the columns.
///
/// # Errors
/// Returns none when a needed column is missing or a heading appears
/// twice, which `findings` then reports.
pub fn find(grid: &Grid, wanted: &[Head], own: Own<'_>, findings: &mut Findings) -> Option<Heads> {
    let mappings = own.mappings();
    let rows = (0..grid.rows.len()).filter(|r| !grid.is_empty(*r)).take(LOOK_AT);
    let candidates: Vec<(usize, Vec<Heading>)> = rows
        .flat_map(|row| {
            let one = (row, headings(grid, row, None, mappings));
            let above = row.checked_sub(1).filter(|above| !grid.is_empty(*above));
            let two = above.map(|above| (row, headings(grid, row, Some(above), mappings)));
            [Some(one), two].into_iter().flatten()
        })
        .collect();
    let hits = |c: &(usize, Vec<Heading>)| {
        wanted.iter().filter(|w| c.1.iter().any(|h| h.means(w))).count()
    };
    // Of equals the first one, the plainer one.
    let Some((row, headings)) = candidates.iter().rev().max_by_key(|c| hits(c)) else {
        let whole = Some(Span { file: grid.file.clone(), range: 0..0 });
        let d = Diagnostic::error("empty-table", "this table is empty").at(whole);
        let help = "write its headings and rows, or name a different sheet".to_owned();
        findings.push(d.help(own.help(help)));
        return None;
    };
    let mut faults = Findings::default();
    let found = assigned(grid, (*row, headings), wanted, own, &mut faults);
    missing_columns(grid, &found, wanted, own, &mut faults);
    let failed = faults.failed();
    findings.extend(faults);
    if failed {
        slips(grid, &found, wanted, findings);
        return None;
    }
    Some(found)
}

/// Which column each heading is for.
fn assigned(
    grid: &Grid,
    (row, headings): (usize, &[Heading]),
    wanted: &[Head],
    own: Own<'_>,
    findings: &mut Findings,
) -> Heads {
    let mappings = own.mappings();
    let mut found = Heads { row, columns: vec![None; wanted.len()], others: Vec::new() };
    for (column, heading) in headings.iter().enumerate() {
        let Some(w) = wanted.iter().position(|w| heading.means(w)) else {
            let passed = |h: &str| mappings.iter().any(|m| m.to.is_empty() && same(&m.from, h));
            let Heading { here, both } = heading;
            if !here.text.is_empty() && !passed(&here.text) && !passed(&both.text) {
                found.others.push((column, here.text.clone()));
            }
            continue;
        };
        if let Some(first) = found.columns[w].replace(column) {
            let (first, second) = (first + 1, column + 1);
            let name = &wanted[w].name;
            let message = format!("the columns {first} and {second} are both headed '{name}'");
            let help = "rename one of them, or map it to \"\" in headings".to_owned();
            findings.push(
                Diagnostic::error("double-heading", message)
                    .at(grid.span(row, column))
                    .help(own.help(help)),
            );
        }
    }
    found
}

/// Columns that are needed and not there.
fn missing_columns(
    grid: &Grid,
    found: &Heads,
    wanted: &[Head],
    own: Own<'_>,
    findings: &mut Findings,
) {
    for (w, _) in wanted.iter().zip(&found.columns).filter(|(w, c)| w.needed && c.is_none()) {
        let near = nearest(&w.name, found.others.iter().map(|o| o.1.as_str()));
        let place = near
            .and_then(|n| found.others.iter().find(|o| o.1 == n))
            .map_or(0, |(column, _)| *column);
        let help = match (near, own) {
            (Some(n), Own::Renamed(_)) => format!("is it '{n}'? Then rename it"),
            (Some(n), Own::Mapped(_)) => {
                format!("is it '{n}'? Then map it: headings: {{\"{n}\": \"{}\"}}", w.name)
            }
            (None, _) => own.help(format!(
                "name a column '{0}', or map yours: headings: {{\"your heading\": \"{0}\"}}; the known columns are: {1}",
                w.name,
                names(wanted)
            )),
        };
        findings.push(
            Diagnostic::error("missing-column", format!("this table has no column '{}'", w.name))
                .at(grid.span(found.row, place))
                .help(help),
        );
    }
}

/// Headings close to those of optional columns: reported together with the missing ones.
fn slips(grid: &Grid, found: &Heads, wanted: &[Head], findings: &mut Findings) {
    let open = wanted.iter().zip(&found.columns).filter(|(w, c)| !w.needed && c.is_none());
    let open: Vec<&str> = open.map(|(w, _)| w.name.as_str()).collect();
    let near = |heading: &str| nearest(heading, open.iter().copied());
    let others = found.others.iter().filter(|(_, heading)| near(heading).is_some());
    let near = Heads { row: found.row, columns: Vec::new(), others: others.cloned().collect() };
    unknown(grid, &near, wanted, &[], findings);
}

/// Reports rows of a CSV file that have more cells than there are headings: a comma that belongs to a
/// number or a text has cut it in two, and the following cells are in the wrong columns.
pub fn surplus(grid: &Grid, heads: &Heads, findings: &mut Findings) {
    if !grid.parted {
        return;
    }
    // Headings may take two rows.
    let above = heads.row.saturating_sub(1);
    let width = |row: usize| {
        let cells = grid.rows.get(row).map_or(0, Vec::len);
        (0..cells).rev().find(|c| !grid.at(row, *c).is_empty()).map_or(0, |c| c + 1)
    };
    let headed = width(heads.row).max(width(above));
    for row in heads.rows(grid).filter(|row| width(*row) > headed) {
        findings.push(
            Diagnostic::error("surplus-cell", "this row has more cells than there are headings")
                .at(grid.span(row, headed))
                .help(
                    "use a decimal point in numbers, and put quotes around a text that contains a comma; an additional column needs a heading",
                ),
        );
    }
}

/// Reports unknown headings: those close to a known one separately, the others together.
/// `also`: other headings that could be meant.
pub fn unknown(
    grid: &Grid,
    heads: &Heads,
    wanted: &[Head],
    also: &[&str],
    findings: &mut Findings,
) {
    let mut strange = Vec::new();
    for (column, heading) in &heads.others {
        let known = wanted.iter().map(|w| w.name.as_str()).chain(also.iter().copied());
        let Some(near) = nearest(heading, known) else {
            strange.push((*column, heading.as_str()));
            continue;
        };
        let message = format!("unknown column '{heading}'; it is ignored");
        findings.push(
            Diagnostic::warning("unknown-column", message)
                .at(grid.span(heads.row, *column))
                .help(format!("did you mean '{near}'?")),
        );
    }
    passed_over(grid, heads.row, &strange, &names(wanted), findings);
}

/// Reports unknown columns. `known`: the possible headings, for the suggestion.
pub fn passed_over(
    grid: &Grid,
    row: usize,
    strange: &[(usize, &str)],
    known: &str,
    findings: &mut Findings,
) {
    /// So many are named.
    const NAMED: usize = 8;
    let Some((first, _)) = strange.first() else { return };
    let named = || strange.iter().map(|s| s.1).take(NAMED);
    let quoted: Vec<String> = named().map(|h| format!("'{h}'")).collect();
    let map: Vec<String> = named().map(|h| format!("\"{h}\": \"\"")).collect();
    let more = strange.len() - quoted.len();
    let message = match (quoted.as_slice(), more) {
        ([one], 0) => format!("unknown column {one}; it is ignored"),
        ([all @ .., last], 0) => {
            format!("unknown columns {} and {last}; they are ignored", all.join(", "))
        }
        (all, _) => format!("unknown columns {} and {more} more; they are ignored", all.join(", ")),
    };
    let help = format!(
        "the known columns are: {known}; to ignore a column without this message, map it to nothing: headings: {{{}}}",
        map.join(", ")
    );
    findings
        .push(Diagnostic::warning("unknown-column", message).at(grid.span(row, *first)).help(help));
}

/// A heading: its own cell, and together with the cell above.
struct Heading {
    here: Said,
    both: Said,
}

impl Heading {
    fn means(&self, wanted: &Head) -> bool {
        wanted.is(&self.both.meant) || wanted.is(&self.here.meant)
    }
}

/// A text, and in plain letters what it is mapped to, or itself.
struct Said {
    text: String,
    meant: String,
}

impl Said {
    fn new(text: &str, own: &[Mapping]) -> Said {
        Said { text: text.to_owned(), meant: plain(mapped(text, own)) }
    }
}

/// The headings of a row; the cells of a row above may be merged to the right.
fn headings(grid: &Grid, row: usize, above: Option<usize>, own: &[Mapping]) -> Vec<Heading> {
    let columns = grid.rows[row].len().max(above.map_or(0, |a| grid.rows[a].len()));
    let mut over = "";
    (0..columns)
        .map(|column| {
            let here = grid.at(row, column);
            let upper = above.map_or("", |above| grid.at(above, column));
            if !upper.is_empty() {
                over = upper;
            }
            let both = format!("{over} {here}");
            Heading { here: Said::new(here, own), both: Said::new(both.trim(), own) }
        })
        .collect()
}

/// Alike but for case, blanks and signs.
pub fn same(a: &str, b: &str) -> bool {
    let mut a = letters(a).peekable();
    a.peek().is_some() && a.eq(letters(b))
}

/// Letters and digits alone, in lower case.
fn letters(text: &str) -> impl Iterator<Item = char> {
    // A byte-order mark that another program took for three letters.
    let text = text.strip_prefix("ï»¿").unwrap_or(text);
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase)
}

fn plain(text: &str) -> String {
    letters(text).collect()
}

/// The message for a cell whose text a spreadsheet has taken for something
/// else: an error where the text is lost, a warning where it may be.
pub fn spoiled(grid: &Grid, row: usize, column: usize) -> Option<Diagnostic> {
    let cell = grid.cell(row, column)?;
    let shown = grid.text_of(cell);
    let (code, message, help) = match cell.kind {
        CellKind::Text | CellKind::Number => return None,
        CellKind::Date => (
            "date-cell",
            format!("the spreadsheet turned this cell into a date, {shown}"),
            "format the column as text, then type the cell again",
        ),
        CellKind::DateLike => {
            return Some(
                Diagnostic::warning("date-like", format!("'{shown}' looks like a date"))
                    .at(grid.span(row, column))
                    .help("if the spreadsheet converted it, format the column as text and type the cell again"),
            );
        }
        CellKind::Unresolved => (
            "formula-empty",
            "this cell contains a formula that was saved without its result".to_owned(),
            "open the file in a spreadsheet program and save it again, or type the value",
        ),
        CellKind::Fault => (
            "formula-fault",
            format!("the formula in this cell failed: {shown}"),
            "correct the formula, or type the value",
        ),
    };
    Some(Diagnostic::error(code, message).at(grid.span(row, column)).help(help))
}
