//! One look at the files: everything is read, checked and planned.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use serde_json::{Map, Value, json};

use super::changes::{self, Blocks};
use super::drawn::{Drawings, Material};
use super::findings::json_list;
use super::origins::{ByLine, origins};
use super::pieces::Shelf;
use super::state;
use super::view::{Release, View};
use crate::diag::{Findings, Sources};
use crate::edition::{Editions, Filter, PlannedEdition, faulty, remarks};
use crate::files::{Files, Seen};
use crate::press;
use crate::proofread::{self, Dictionaries};
use crate::range::{Loaded, Shapes, load_again};
use crate::session::Session;
use crate::sheet::Workshop;

/// What is watched.
#[derive(Debug, Clone, Default)]
pub struct Subject {
    pub sheet: PathBuf,
    /// The sheet of the release before.
    pub against: Option<PathBuf>,
    /// Another style than the sheet's.
    pub style: Option<String>,
    /// Hunspell dictionaries besides those of the machine.
    pub dictionaries: Vec<PathBuf>,
}

/// A sheet without errors.
pub struct Good {
    /// The look that found it.
    pub revision: u64,
    /// What of the state depends on it.
    pub state: Map<String, Value>,
    pub drawings: Drawings,
    blocks: Blocks,
    /// Keys of what is written on each line.
    lines: ByLine,
}

/// What a look came to.
pub struct Look {
    pub revision: u64,
    pub findings: Value,
    /// None where there are errors.
    pub good: Option<Arc<Good>>,
    /// Every file that it depends on.
    pub seen: Vec<Seen>,
}

/// Looks at the files again and again; what has not changed is not prepared again.
pub struct Looker {
    subject: Subject,
    session: Session,
    shapes: Shapes,
    workshop: Workshop,
    dictionaries: BTreeMap<String, Dictionaries>,
    /// Pieces of pages that were drawn.
    shelf: Shelf,
    good: Option<Arc<Good>>,
}

/// What is done as soon as a sheet is planned.
pub struct Planned<'a> {
    /// The view that was asked for last: it is drawn while the plan is at hand.
    pub view: Option<View>,
    /// Makes the look known.
    pub announce: &'a mut dyn FnMut(&Look),
}

/// A sheet that could be read.
struct ReadSheet {
    revision: u64,
    loaded: Loaded,
    before: Option<Arc<Loaded>>,
    sources: Sources,
    findings: Findings,
}

impl Looker {
    pub fn new(subject: Subject, session: Session) -> Looker {
        Looker {
            subject,
            session,
            shapes: Shapes::default(),
            workshop: Workshop::default(),
            dictionaries: BTreeMap::new(),
            shelf: Shelf::default(),
            good: None,
        }
    }

    /// Looks at all files.
    pub fn look(&mut self, revision: u64, then: Planned<'_>) {
        // What was read is this look's own.
        let files = Files::default();
        let session = Session { files, ..self.session.clone() };
        let mut sources = Sources::of(session.clone());
        let mut findings = Findings::default();
        let loaded = load_again(&self.subject.sheet, &mut sources, &self.shapes);
        let before = self.before(&mut sources, &mut findings);
        match loaded {
            Ok(loaded) => {
                self.sheet(ReadSheet { revision, loaded, before, sources, findings }, then)
            }
            Err(faults) => {
                findings.extend(faults);
                let style = self.subject.style.as_deref();
                findings.extend(faulty::of_file(&self.subject.sheet, style, &mut sources));
                (then.announce)(&self.faulty(revision, &findings, &sources));
            }
        }
    }

    fn before(&self, sources: &mut Sources, findings: &mut Findings) -> Option<Arc<Loaded>> {
        let file = self.subject.against.as_ref()?;
        let loaded = load_again(file, sources, &self.shapes);
        loaded.map_err(|faults| findings.extend(faults)).ok().map(Arc::new)
    }

    /// Of a sheet that could be read.
    fn sheet(&mut self, read: ReadSheet, then: Planned<'_>) {
        let ReadSheet { revision, loaded, before, mut sources, mut findings } = read;
        findings.extend(loaded.warnings.clone());
        findings.extend(proofread::all(&loaded.range, &loaded.sheet, &self.session.work));
        findings.extend(press::papers(&loaded.range, &loaded.sheet, &mut sources));
        let style = self.subject.style.clone();
        let style = style.unwrap_or_else(|| loaded.sheet.style().value.clone());
        let filter = Filter { style: self.subject.style.clone(), ..Filter::default() };
        let editions = match Editions::resolve(loaded.clone(), &filter, &mut sources) {
            Ok(editions) => Arc::new(editions),
            Err(faults) => {
                findings.extend(faults);
                return (then.announce)(&self.faulty(revision, &findings, &sources));
            }
        };
        self.words(&editions, &mut findings);
        let (planned, misfits) = editions.plan_each();
        findings.extend(remarks(&planned));
        findings.extend(misfits);
        if findings.failed() {
            return (then.announce)(&self.faulty(revision, &findings, &sources));
        }
        let all = origins(&editions, &sources);
        let blocks = changes::blocks(&editions, &planned);
        let mut fields = state::of_sheet(&editions, &planned, &all, &style);
        let releases = if before.is_some() { json!(["now", "before"]) } else { json!(["now"]) };
        fields.insert("releases".into(), releases);
        if let Some(was) = &self.good {
            let list =
                changes::changes((&was.drawings.of.editions, &was.blocks), (&editions, &blocks));
            fields.insert("changes".into(), list);
            fields.insert("changes_from".into(), was.revision.into());
        }
        self.workshop = editions.workshop_after(&self.workshop);
        let lines = all.by_line();
        let listed = json_list(&findings, &sources, &lines);
        let seen = sources.session.files.seen();
        let session = sources.session.clone();
        let shelf = self.shelf.clone();
        let (editions, workshop) = (Arc::clone(&editions), self.workshop.clone());
        let of = Material { editions, workshop, style, loaded, before, session, shelf };
        let drawings = Drawings::new(of);
        let good = Arc::new(Good { revision, state: fields, drawings, blocks, lines });
        self.good = Some(Arc::clone(&good));
        (then.announce)(&Look { revision, findings: listed, good: Some(Arc::clone(&good)), seen });
        draw_first(&good, &planned, then.view);
    }

    /// A look that found errors: what they are about is known by the lines of the last good sheet.
    fn faulty(&self, revision: u64, findings: &Findings, sources: &Sources) -> Look {
        let none = ByLine::new();
        let lines = self.good.as_ref().map_or(&none, |good| &good.lines);
        let findings = json_list(findings, sources, lines);
        Look { revision, findings, good: None, seen: sources.session.files.seen() }
    }

    /// What is not in a dictionary, and what no font has.
    fn words(&mut self, editions: &Editions, findings: &mut Findings) {
        findings.extend(editions.missing_characters());
        for (tag, spelling) in editions.spellings() {
            if !self.dictionaries.contains_key(tag) {
                match Dictionaries::find(tag, &self.subject.dictionaries) {
                    Ok(found) => drop(self.dictionaries.insert(tag.clone(), found)),
                    Err(fault) => findings.push(fault),
                }
            }
            if let Some(dictionaries) = self.dictionaries.get(tag) {
                let (range, sheet) = (&editions.range, &editions.sheet);
                findings.extend(proofread::words(range, sheet, tag, spelling, dictionaries));
            }
        }
    }
}

/// Draws the view that was asked for last, if it is in the style of the sheet, while its plan is at hand.
fn draw_first(good: &Good, planned: &[PlannedEdition<'_>], view: Option<View>) {
    let Some(view) = view else { return };
    if view.release != Release::Now || view.style != good.drawings.of.style {
        return;
    }
    let mut variants = planned.iter().flat_map(|edition| &edition.variants);
    let own = variants.find(|v| v.variant.name() == view.edition && v.variant.tag == view.spelling);
    if let Some(planned) = own {
        good.drawings.begin(&view, planned);
    }
}
