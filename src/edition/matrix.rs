//! The matrix: which editions come out, each with its layout and spelling.

use std::collections::BTreeMap;
use std::path::Path;

use super::named;
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::parallel::in_parallel;
use crate::plan::facts::{Speller, Subject};
use crate::plan::{Facts, Layout, Piece, Plan, Report, Request, Style};
use crate::range::{EditionSpec, Format, Loaded, Range, SheetSpec, Words, focus};
use crate::session::Session;
use crate::sheet::composition::composition;
use crate::sheet::furniture::Heights;
use crate::sheet::{Scene, Sheet, Workshop, place};
use crate::spelling::Spelling;

/// What is asked for besides the sheet's own choice.
#[derive(Debug, Clone, Default)]
pub struct Filter {
    /// Edition names; all when empty.
    pub editions: Vec<String>,
    /// Spellings; all when empty.
    pub spellings: Vec<String>,
    /// Kinds of files; all when empty.
    pub formats: Vec<Format>,
    /// Another style than the sheet's.
    pub style: Option<String>,
}

/// One edition: a layout and a spelling.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The edition's name.
    pub name: String,
    /// Its spelling, BCP 47.
    pub tag: String,
    /// All spellings that the sheet gives the edition: it is planned once, for all of them.
    pub spellings: Vec<String>,
    pub layout: Layout,
    pub formats: Vec<Format>,
    /// Indices into the sheet's families.
    pub shown: Vec<usize>,
}

impl Entry {
    /// `a4.en-GB`: how its files begin.
    pub fn stem(&self) -> String {
        format!("{}.{}", self.name, self.tag)
    }
}

/// All editions of a sheet, checked.
pub struct Matrix {
    pub range: Range,
    pub sheet: SheetSpec,
    pub style: Style,
    pub entries: Vec<Entry>,
    /// The run that they are for.
    pub session: Session,
    spellings: BTreeMap<String, Spelling>,
}

/// A planned edition.
pub struct Planned<'a> {
    pub entry: &'a Entry,
    pub facts: Facts<'a>,
    pub plan: Plan,
    pub spelling: &'a Spelling,
    /// All spellings of the edition; they share the plan.
    pub spellings: Vec<&'a Spelling>,
}

impl Planned<'_> {
    /// Its figures, those of the placed sheet included.
    pub fn report(&self) -> Report {
        let composition = composition(&self.scene());
        Report { composition, ..Report::new(&self.facts, &self.plan) }
    }

    /// Its positions.
    pub fn place(&self, workshop: &Workshop) -> Sheet {
        place(&self.scene(), workshop)
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            facts: &self.facts,
            plan: &self.plan,
            spelling: self.spelling,
            spellings: &self.spellings,
        }
    }
}

impl Matrix {
    /// The spellings asked for, by their tag.
    pub fn spellings(&self) -> impl Iterator<Item = (&String, &Spelling)> {
        let asked = |tag: &String| self.entries.iter().any(|e| e.tag == *tag);
        self.spellings.iter().filter(move |(tag, _)| asked(tag))
    }

    /// Draws the parts of the range in their colours.
    pub fn workshop(&self) -> Workshop {
        Workshop::new(&self.range, &self.session.work)
    }

    /// Finds layouts, style and spellings of all editions asked for.
    ///
    /// # Errors
    /// Every name that does not exist and every file that cannot be used.
    pub fn resolve(
        loaded: Loaded,
        filter: &Filter,
        sources: &mut Sources,
    ) -> Result<Matrix, Findings> {
        let Loaded { range, sheet, .. } = loaded;
        let mut findings = Findings::default();
        check_filter(&sheet, filter, &mut findings);
        let folder = sheet.file().parent().unwrap_or(Path::new("")).to_path_buf();
        let style = match &filter.style {
            Some(name) => named::style(name, &folder, &None, sources),
            None => named::style(sheet.style(), &folder, sheet.style_span(), sources),
        };
        let style = keep(style, &mut findings);
        let mut spellings = BTreeMap::new();
        let mut entries = Vec::new();
        for edition in sheet.editions().iter().filter(|e| wanted(&filter.editions, e.name())) {
            let asked = |t: &&String| wanted(&filter.spellings, t);
            if !edition.spellings().iter().any(|t| asked(&t)) {
                continue;
            }
            let layout = named::layout(edition.layout(), &folder, edition.layout_span(), sources);
            // An edition is planned for all its spellings, whichever are asked for.
            for tag in edition.spellings() {
                if !spellings.contains_key(tag) {
                    let read = named::spelling(tag, &folder, edition.spellings_span(), sources);
                    let spelling = keep(read, &mut findings);
                    spellings
                        .extend(spelling.map(|s| (tag.clone(), s.keeping(sheet.proper_names()))));
                }
            }
            let Some(layout) = keep(layout, &mut findings) else { continue };
            for tag in edition.spellings().iter().filter(asked) {
                entries.push(entry(&sheet, edition, tag, layout.clone(), filter));
            }
        }
        let focused = keep(focus(range, sheet).map_err(Findings::from), &mut findings);
        match (style, focused) {
            (Some(style), Some((range, sheet))) if !findings.failed() => {
                let session = sources.session.clone();
                Ok(Matrix { range, sheet, style, entries, session, spellings })
            }
            _ => Err(findings),
        }
    }

    /// Plans the edition of an entry.
    ///
    /// # Errors
    /// Why it does not fit, and what would.
    pub fn plan<'a>(&'a self, entry: &'a Entry) -> Result<Planned<'a>, Diagnostic> {
        let mut planned = self.plan_edition(&[entry])?;
        Ok(planned.swap_remove(0))
    }

    /// Plans an edition once for all its spellings. `entries` are those of its
    /// entries that are wanted, at least one; all are given in that order.
    fn plan_edition<'a>(&'a self, entries: &[&'a Entry]) -> Result<Vec<Planned<'a>>, Diagnostic> {
        let entry = entries[0];
        let spellings: Vec<&Spelling> =
            entry.spellings.iter().map(|tag| &self.spellings[tag]).collect();
        let heights = Heights::new(&spellings);
        let furniture = |facts: &Facts<'_>, width: f64, scale: f64, piece: Piece| {
            heights.of(facts, width, scale, piece)
        };
        let voices: Vec<_> = spellings.iter().map(|s| |words: &Words| s.apply(words)).collect();
        let says: Vec<Speller<'_>> = voices.iter().map(|say| say as Speller<'_>).collect();
        let request = Request {
            subject: Subject {
                range: &self.range,
                sheet: &self.sheet,
                shown: &entry.shown,
                work: &self.session.work,
            },
            style: &self.style,
            layout: &entry.layout,
            says: &says,
            furniture: &furniture,
        };
        let (spelled, plan) = request.plan().map_err(|d| {
            let message = format!("edition '{}': {}", entry.name, d.message);
            let edition = self.sheet.editions().iter().find(|e| *e.name() == entry.name);
            let span = d.span.clone().or_else(|| edition.and_then(|e| e.span().clone()));
            Diagnostic { message, ..d }.at(span)
        })?;
        let mut spelled: Vec<Option<Facts<'a>>> = spelled.into_iter().map(Some).collect();
        let planned = |entry: &&'a Entry| {
            let own = entry.spellings.iter().position(|tag| *tag == entry.tag)?;
            Some(Planned {
                entry,
                facts: spelled[own].take()?,
                plan: plan.clone(),
                spelling: spellings[own],
                spellings: spellings.clone(),
            })
        };
        Ok(entries.iter().filter_map(planned).collect())
    }

    /// Plans every edition, as many at a time as the machine has processors;
    /// all that do not fit are reported together.
    ///
    /// # Errors
    /// As [`Matrix::plan`], for each edition.
    pub fn plan_all(&self) -> Result<Vec<Planned<'_>>, Findings> {
        let (planned, findings) = self.plan_each();
        if findings.failed() { Err(findings) } else { Ok(planned) }
    }

    /// The same, and those that fit are not lost with those that do not.
    pub fn plan_each(&self) -> (Vec<Planned<'_>>, Findings) {
        let editions: Vec<Vec<&Entry>> =
            self.entries.chunk_by(|a, b| a.name == b.name).map(|e| e.iter().collect()).collect();
        let mut findings = Findings::default();
        let mut out = Vec::new();
        for planned in in_parallel(&editions, |entries| self.plan_edition(entries)) {
            match planned {
                Ok(planned) => out.extend(planned),
                Err(d) => findings.push(d),
            }
        }
        (out, findings)
    }
}

fn wanted(names: &[String], name: &str) -> bool {
    names.is_empty() || names.iter().any(|n| n == name)
}

fn entry(
    sheet: &SheetSpec,
    edition: &EditionSpec,
    tag: &str,
    layout: Layout,
    filter: &Filter,
) -> Entry {
    let formats = formats(edition.formats(), &filter.formats);
    let shown = (0..sheet.families().len())
        .filter(|&i| {
            edition.families().is_empty()
                || edition.families().contains(&sheet.families()[i].family())
        })
        .collect();
    Entry {
        name: edition.name().clone(),
        tag: tag.to_owned(),
        spellings: edition.spellings().clone(),
        layout,
        formats,
        shown,
    }
}

/// The kinds of files that an edition comes out as: its own, or those of them that are asked
/// for. A JPEG or TIFF that is asked for is made of whatever comes out as pictures.
fn formats(own: &[Format], asked: &[Format]) -> Vec<Format> {
    let pictures = own.iter().any(|f| f.is_picture());
    let also = |f: &Format| pictures && matches!(f, Format::Jpeg | Format::Tiff);
    let made = |f: &Format| match asked.is_empty() {
        true => own.contains(f),
        false => asked.contains(f) && (own.contains(f) || also(f)),
    };
    Format::ALL.into_iter().filter(made).collect()
}

/// Names on the command line that the sheet does not have.
fn check_filter(sheet: &SheetSpec, filter: &Filter, findings: &mut Findings) {
    let editions: Vec<&str> = sheet.editions().iter().map(|e| e.name().as_str()).collect();
    let mut tags: Vec<&str> =
        sheet.editions().iter().flat_map(|e| e.spellings()).map(String::as_str).collect();
    tags.sort_unstable();
    tags.dedup();
    let mut known = |kind: &str, names: &[String], all: &[&str]| {
        for name in names.iter().filter(|n| !all.contains(&n.as_str())) {
            let help = match nearest(name, all.iter().copied()) {
                Some(near) => format!("did you mean '{near}'?"),
                None => format!("the sheet has {}", all.join(", ")),
            };
            findings.push(
                Diagnostic::error("unknown-choice", format!("the sheet has no {kind} '{name}'"))
                    .help(help),
            );
        }
    };
    known("edition", &filter.editions, &editions);
    known("spelling", &filter.spellings, &tags);
}

fn keep<T>(result: Result<T, Findings>, findings: &mut Findings) -> Option<T> {
    result.map_err(|faults| findings.extend(faults)).ok()
}
