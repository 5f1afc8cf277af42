//! Lists in separate tables, not in the range file.

use std::path::Path;

use super::at_most;
use super::keys::Keys;
use super::parts::Shapes;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::limits::Bound;
use crate::read::cells::heads::Mapping;
use crate::read::cells::{self, Grid};
use crate::read::raw::{MadeIn, Rows};
use crate::read::ron::{Place, Source};
use crate::read::{inside, outside, raw, table};

/// Where tables are looked for, and what is read.
pub struct Files<'a> {
    /// The range file: names of tables start in its folder.
    pub range: &'a Path,
    pub sources: &'a mut Sources,
    /// Drawings that were read before.
    pub shapes: &'a Shapes,
}

/// A list of the range, wherever it was written.
pub struct Listed<T> {
    pub items: Vec<T>,
    pub stands: Stands,
}

/// Where a list is.
pub struct Stands {
    name: &'static str,
    /// The table's places, if it is in one.
    source: Option<Source>,
    /// It could not be read, or only in part: what it lacks is not reported.
    lost: bool,
    written: bool,
}

impl Stands {
    /// Is something missing that the writer may well have given?
    pub fn lost(&self) -> bool {
        self.lost
    }

    /// Where its items are.
    pub fn place<'a>(&'a self, root: Place<'a>) -> Place<'a> {
        self.source.as_ref().map_or(root.field(self.name), Source::root)
    }

    /// The keys of its items.
    pub fn keys<'a>(
        &self,
        kind: &'static str,
        root: Place,
        keys: impl Iterator<Item = &'a Option<String>>,
        findings: &mut Findings,
    ) -> Keys {
        Keys::new(kind, self.place(root), self.written && !self.lost, keys, findings)
    }

    /// A list that nothing is in has a message, unless it has one already.
    pub fn not_empty(&self, empty: bool, root: Place, help: &str, findings: &mut Findings) {
        let place = self.place(root);
        if !empty || self.lost || (self.written && place.damaged()) {
            return;
        }
        let span = if self.written { root.field(self.name).key_span() } else { root.head() };
        findings.push(
            Diagnostic::error("missing-field", format!("the range has no {}", self.name))
                .at(span)
                .help(help),
        );
    }
}

/// A list that is always written in the range file.
pub fn here<T>(
    most: Bound,
    list: Option<Vec<T>>,
    root: Place,
    name: &'static str,
    findings: &mut Findings,
) -> Listed<T> {
    let (items, cut) = at_most(most, list, root, name, findings);
    let lost = cut || root.faulted(name);
    let stands = Stands { name, source: None, lost, written: root.has(name) };
    Listed { items, stands }
}

/// A list that may be in a table, read by `read`.
pub fn here_or_there<T>(
    most: Bound,
    list: Option<Rows<T>>,
    root: Place,
    name: &'static str,
    files: &mut Files<'_>,
    findings: &mut Findings,
    read: impl FnOnce(&Grid, &[Mapping], &mut Findings) -> Option<(Vec<T>, Source)>,
) -> Listed<T> {
    let there = match list {
        Some(Rows::Table(there)) => there,
        Some(Rows::List(list)) => return here(most, Some(list), root, name, findings),
        None => return here(most, None, root, name, findings),
    };
    let found = open(there, root.field(name), files, findings)
        .and_then(|(grid, own)| read(&grid, &own, findings));
    let lost = found.is_none();
    let (items, source) = found.map_or((Vec::new(), None), |(i, s)| (i, Some(s)));
    let (items, cut) = at_most(most, Some(items), root, name, findings);
    Listed { items, stands: Stands { name, source, lost: lost || cut, written: true } }
}

/// The matrix, if one is given, and its places if it is in a table.
pub fn made(
    made: Option<MadeIn>,
    root: Place,
    files: &mut Files<'_>,
    known: &table::Known<'_>,
    findings: &mut Findings,
) -> (Option<raw::Made>, Option<Source>) {
    match made {
        None => (None, None),
        Some(MadeIn::Here(made)) => (Some(made), None),
        Some(MadeIn::Table(there)) => {
            let found = open(there, root.field("made"), files, findings)
                .and_then(|(grid, own)| table::made(&grid, &own, known, findings));
            found.map_or((None, None), |(made, source)| (Some(made), Some(source)))
        }
    }
}

/// Opens a table, with the headings that are mapped.
fn open(
    there: raw::Table,
    place: Place,
    files: &mut Files<'_>,
    findings: &mut Findings,
) -> Option<(Grid, Vec<Mapping>)> {
    let Some(name) = there.file else {
        if !place.faulted("file") {
            findings.push(
                Diagnostic::error("missing-field", "this table does not name its file")
                    .at(place.head())
                    .help("write Table(file: \"colours.csv\")"),
            );
        }
        return None;
    };
    let here = place.field("file").span();
    let folder = files.range.parent().unwrap_or(Path::new(""));
    let Some(file) = inside(folder, &name, &files.sources.session.files) else {
        findings.push(outside(&name, here));
        return None;
    };
    match cells::read(&file, there.sheet.as_deref(), here, files.sources) {
        Ok(grid) => {
            findings.extend(grid.remarks());
            let pairs = there.headings.unwrap_or_default().0.into_iter().enumerate();
            let at = |i| place.field("headings").item(i).span();
            Some((grid, pairs.map(|(i, (from, to))| Mapping { from, to, at: at(i) }).collect()))
        }
        Err(fault) => {
            findings.push(fault);
            None
        }
    }
}
