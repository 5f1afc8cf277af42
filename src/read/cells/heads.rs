//! Headings of a table: found by name, in any order, in one row or in two.

use super::{Grid, Kind};
use crate::diag::{Diagnostic, Findings, Span, nearest};

/// How many rows from the top may hold the headings.
const LOOK_AT: usize = 12;

/// A column that is looked for.
#[derive(Debug, Clone)]
pub struct Head {
    /// Its name as messages and the guide say it.
    pub name: String,
    /// Other headings that mean the same.
    pub also: Vec<String>,
    /// The table is of no use without it.
    pub needed: bool,
}

impl Head {
    /// A column that may be missing.
    pub fn new(name: impl Into<String>, also: &[&str]) -> Head {
        let also = also.iter().map(|a| (*a).to_owned()).collect();
        Head { name: name.into(), also, needed: false }
    }

    /// The same column, but it has to be there.
    pub fn needed(mut self) -> Head {
        self.needed = true;
        self
    }
}

/// Where the columns are.
#[derive(Debug)]
pub struct Heads {
    /// The row of the (lower) headings.
    pub row: usize,
    /// Per wanted column: where it stands.
    pub columns: Vec<Option<usize>>,
    /// Columns whose heading nobody wanted, with it.
    pub others: Vec<(usize, String)>,
}

impl Heads {
    /// The rows under the headings that hold something.
    pub fn rows<'a>(&'a self, grid: &'a Grid) -> impl Iterator<Item = usize> + 'a {
        (self.row + 1..grid.rows.len()).filter(|r| !grid.is_empty(*r))
    }
}

/// Finds the columns. `own` maps headings of one's own to wanted names; to
/// nothing, where a column is to be passed over.
///
/// # Errors
/// None comes back when a needed column is missing or a heading stands there
/// twice; `findings` then says so.
pub fn find(
    grid: &Grid,
    wanted: &[Head],
    own: &[(String, String)],
    findings: &mut Findings,
) -> Option<Heads> {
    let rows = (0..grid.rows.len()).filter(|r| !grid.is_empty(*r)).take(LOOK_AT);
    let candidates: Vec<(usize, Vec<Heading>)> = rows
        .flat_map(|row| {
            let one = (row, headings(grid, row, None));
            let above = row.checked_sub(1).filter(|above| !grid.is_empty(*above));
            let two = above.map(|above| (row, headings(grid, row, Some(above))));
            [Some(one), two].into_iter().flatten()
        })
        .collect();
    let hits = |c: &(usize, Vec<Heading>)| {
        wanted.iter().filter(|w| c.1.iter().any(|h| h.means(w, own))).count()
    };
    // Of equals the first one, the plainer one.
    let Some(best) = candidates.iter().rev().max_by_key(|c| hits(c)) else {
        let whole = Some(Span { file: grid.file.clone(), range: 0..0 });
        let d = Diagnostic::error("empty-table", "this table is empty").at(whole);
        findings.push(d.help("write its headings and rows, or name another sheet"));
        return None;
    };
    let mut found = Heads { row: best.0, columns: vec![None; wanted.len()], others: Vec::new() };
    let mut failed = false;
    for (column, heading) in best.1.iter().enumerate() {
        let Some(w) = wanted.iter().position(|w| heading.means(w, own)) else {
            let passed = |h: &str| own.iter().any(|(o, to)| to.is_empty() && same(o, h));
            if !heading.here.is_empty() && !passed(&heading.here) && !passed(&heading.both) {
                found.others.push((column, heading.here.clone()));
            }
            continue;
        };
        if let Some(first) = found.columns[w].replace(column) {
            failed = true;
            findings.push(
                Diagnostic::error(
                    "double-heading",
                    format!(
                        "the columns {} and {} both hold '{}'",
                        first + 1,
                        column + 1,
                        wanted[w].name
                    ),
                )
                .at(grid.span(best.0, column))
                .help("rename one of them, or map it to \"\" in headings"),
            );
        }
    }
    for (w, _) in wanted.iter().zip(&found.columns).filter(|(w, c)| w.needed && c.is_none()) {
        failed = true;
        let near = nearest(&w.name, found.others.iter().map(|o| o.1.as_str()));
        let place = near
            .and_then(|n| found.others.iter().find(|o| o.1 == n))
            .map_or(0, |(column, _)| *column);
        let help = match near {
            Some(n) => format!("is it '{n}'? Then map it: headings: {{\"{n}\": \"{}\"}}", w.name),
            None => format!(
                "name a column '{0}', or map yours: headings: {{\"your heading\": \"{0}\"}}",
                w.name
            ),
        };
        findings.push(
            Diagnostic::error("missing-column", format!("this table has no column '{}'", w.name))
                .at(grid.span(best.0, place))
                .help(help),
        );
    }
    if failed {
        slips(grid, &found, wanted, findings);
        return None;
    }
    Some(found)
}

/// Headings that are nearly those of columns that may be missing: told along with what is missing.
fn slips(grid: &Grid, found: &Heads, wanted: &[Head], findings: &mut Findings) {
    let open = wanted.iter().zip(&found.columns).filter(|(w, c)| !w.needed && c.is_none());
    let open: Vec<&str> = open.map(|(w, _)| w.name.as_str()).collect();
    let near = |heading: &str| nearest(heading, open.iter().copied());
    let others = found.others.iter().filter(|(_, heading)| near(heading).is_some());
    let near = Heads { row: found.row, columns: Vec::new(), others: others.cloned().collect() };
    unknown(grid, &near, wanted, findings);
}

/// Faults of headings where there is no mapping of them: they are to be renamed.
pub fn own_help(faults: Findings, help: &str) -> Findings {
    let mut out = Findings::default();
    for fault in faults.sorted() {
        if fault.code == "unknown-column" {
            out.push(fault);
            continue;
        }
        let help = match fault.help.as_deref().and_then(|h| h.split_once("? Then map")) {
            Some((near, _)) => format!("{near}? Then rename it"),
            None => help.to_owned(),
        };
        out.push(fault.help(help));
    }
    out
}

/// Says which rows of a CSV file have more cells than there are headings: a comma that belongs to a
/// number or a text has cut it in two, and what follows stands in the wrong columns.
pub fn surplus(grid: &Grid, heads: &Heads, findings: &mut Findings) {
    if !grid.parted {
        return;
    }
    // Headings may stand in two rows.
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
                    "write numbers with a point, and put quotes around a text with a comma; a further column needs a heading",
                ),
        );
    }
}

/// Says which headings were not understood.
pub fn unknown(grid: &Grid, heads: &Heads, wanted: &[Head], findings: &mut Findings) {
    for (column, heading) in &heads.others {
        let help = match nearest(heading, wanted.iter().map(|w| w.name.as_str())) {
            Some(near) => format!("did you mean '{near}'?"),
            None => format!(
                "to pass over it without this message, map it to nothing: headings: {{\"{heading}\": \"\"}}"
            ),
        };
        findings.push(
            Diagnostic::warning(
                "unknown-column",
                format!("the column '{heading}' is not known; it was passed over"),
            )
            .at(grid.span(heads.row, *column))
            .help(help),
        );
    }
}

/// A heading: its own cell, and together with the cell above.
struct Heading {
    here: String,
    both: String,
}

impl Heading {
    fn means(&self, wanted: &Head, own: &[(String, String)]) -> bool {
        means(wanted, &self.both, own) || means(wanted, &self.here, own)
    }
}

/// The headings of a row; the cells of a row above may be merged to the right.
fn headings(grid: &Grid, row: usize, above: Option<usize>) -> Vec<Heading> {
    let columns = grid.rows[row].len().max(above.map_or(0, |a| grid.rows[a].len()));
    let mut over = "";
    (0..columns)
        .map(|column| {
            let here = grid.at(row, column);
            let upper = above.map_or("", |above| grid.at(above, column));
            if !upper.is_empty() {
                over = upper;
            }
            Heading { here: here.to_owned(), both: format!("{over} {here}").trim().to_owned() }
        })
        .collect()
}

fn means(wanted: &Head, heading: &str, own: &[(String, String)]) -> bool {
    if heading.is_empty() {
        return false;
    }
    match own.iter().find(|(o, _)| same(o, heading)) {
        Some((_, to)) => same(to, &wanted.name),
        None => same(&wanted.name, heading) || wanted.also.iter().any(|a| same(a, heading)),
    }
}

/// Alike but for case, blanks and signs.
pub fn same(a: &str, b: &str) -> bool {
    let plain = |s: &str| -> String {
        // A byte-order mark that another program took for three letters.
        let s = s.strip_prefix("ï»¿").unwrap_or(s);
        s.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
    };
    let (a, b) = (plain(a), plain(b));
    !a.is_empty() && a == b
}

/// The message for a cell whose text a spreadsheet has taken for something
/// else: an error where the text is lost, a warning where it may be.
pub fn spoiled(grid: &Grid, row: usize, column: usize) -> Option<Diagnostic> {
    let cell = grid.cell(row, column)?;
    let shown = grid.text_of(cell);
    let (code, message, help) = match cell.kind {
        Kind::Text | Kind::Number => return None,
        Kind::Date => (
            "date-cell",
            format!("the spreadsheet took this cell for a date, {shown}"),
            "format the column as text, then type the cell again",
        ),
        Kind::DateLike => {
            return Some(
                Diagnostic::warning("date-like", format!("'{shown}' looks like a date"))
                    .at(grid.span(row, column))
                    .help("if the spreadsheet made it from something else, format the column as text and type the cell again"),
            );
        }
        Kind::Fault => (
            "formula-fault",
            format!("the formula of this cell has failed: {shown}"),
            "repair the formula, or type the value",
        ),
    };
    Some(Diagnostic::error(code, message).at(grid.span(row, column)).help(help))
}
