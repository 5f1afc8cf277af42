//! Lists in separate tables, not in the range file.

use std::path::{Path, PathBuf};

use super::drawings::Shapes;
use super::keys::Keys;
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

impl<T> Listed<T> {
    /// The keys of its items.
    pub fn keys(
        &self,
        kind: &'static str,
        root: Place,
        key: impl Fn(&T) -> &Option<String>,
        findings: &mut Findings,
    ) -> Keys {
        let stands = &self.stands;
        let whole = stands.written && !stands.lost;
        Keys::new(kind, stands.place(root), whole, self.items.iter().map(key), findings)
    }

    /// A list that nothing is in has a message, unless it has one already.
    pub fn not_empty(&self, root: Place, help: &str, findings: &mut Findings) {
        let Stands { name, lost, written, .. } = self.stands;
        if !self.items.is_empty() || lost || (written && self.stands.place(root).damaged()) {
            return;
        }
        let span = if written { root.field(name).key_span() } else { root.head() };
        findings.push(
            Diagnostic::error("missing-field", format!("the range has no {name}"))
                .at(span)
                .help(help),
        );
    }
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
}

/// The field of a range file in which a list is written.
#[derive(Clone, Copy)]
pub struct ListField<'a> {
    /// A guard against generated nonsense.
    pub bound: Bound,
    /// Where the range is.
    pub root: Place<'a>,
    pub name: &'static str,
}

impl ListField<'_> {
    /// A list that is always written in the range file.
    pub fn here<T>(self, list: Option<Vec<T>>, findings: &mut Findings) -> Listed<T> {
        let ListField { root, name, .. } = self;
        let (items, cut) = self.at_most(list, findings);
        let lost = cut || root.faulted(name);
        let stands = Stands { name, source: None, lost, written: root.has(name) };
        Listed { items, stands }
    }

    /// A list that may be in a table, read by `read`.
    pub fn here_or_there<T>(
        self,
        list: Option<Rows<T>>,
        files: &mut Files<'_>,
        findings: &mut Findings,
        read: impl FnOnce(&Grid, &[Mapping], &mut Findings) -> Option<(Vec<T>, Source)>,
    ) -> Listed<T> {
        let ListField { root, name, .. } = self;
        let there = match list {
            Some(Rows::Table(there)) => there,
            Some(Rows::List(list)) => return self.here(Some(list), findings),
            None => return self.here(None, findings),
        };
        let found = open(there, root.field(name), files, findings)
            .and_then(|(grid, own)| read(&grid, &own, findings));
        let lost = found.is_none();
        let (items, source) = found.map_or((Vec::new(), None), |(i, s)| (i, Some(s)));
        let (items, cut) = self.at_most(Some(items), findings);
        Listed { items, stands: Stands { name, source, lost: lost || cut, written: true } }
    }

    /// A list, cut off where it is longer than any sheet can hold, and whether it was.
    fn at_most<T>(self, list: Option<Vec<T>>, findings: &mut Findings) -> (Vec<T>, bool) {
        let ListField { bound, root, name } = self;
        let most = bound.most();
        let mut list = list.unwrap_or_default();
        let cut = list.len() > most;
        if cut {
            findings.push(
                Diagnostic::error(
                    "too-many",
                    format!("the range has {} {name}, more than {most}", list.len()),
                )
                .at(root.field(name).key_span())
                .help(bound.or_raise_to("split the range", list.len())),
            );
            list.truncate(most);
        }
        (list, cut)
    }
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
    let file = file(&there, place, files, findings)?;
    let here = place.field("file").span();
    match cells::read(&file, there.sheet.as_deref(), here, files.sources) {
        Ok(grid) => {
            findings.extend(grid.remarks());
            Some((grid, mappings(there, place)))
        }
        Err(fault) => {
            findings.push(fault);
            None
        }
    }
}

/// The file that a table is in.
pub fn file(
    there: &raw::Table,
    place: Place,
    files: &Files<'_>,
    findings: &mut Findings,
) -> Option<PathBuf> {
    let Some(name) = &there.file else {
        if !place.faulted("file") {
            findings.push(
                Diagnostic::error("missing-field", "this table does not name its file")
                    .at(place.head())
                    .help("write Table(file: \"colours.csv\")"),
            );
        }
        return None;
    };
    let folder = files.range.parent().unwrap_or(Path::new(""));
    let found = inside(folder, name, &files.sources.session.files);
    if found.is_none() {
        findings.push(outside(name, place.field("file").span()));
    }
    found
}

/// The headings of a table that are mapped.
pub fn mappings(there: raw::Table, place: Place) -> Vec<Mapping> {
    let pairs = there.headings.unwrap_or_default().0.into_iter().enumerate();
    let at = |i| place.field("headings").item(i).span();
    pairs.map(|(i, (from, to))| Mapping { from, to, at: at(i) }).collect()
}
