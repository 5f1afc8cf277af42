//! All editions of a sheet: each a layout, with the spellings that it comes out in.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use super::filter::Filter;
use super::named;
use super::planned::{Planned, PlannedEdition};
use super::variant::{Edition, Variant};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::parallel::in_parallel;
use crate::plan::facts::{Speller, Subject};
use crate::plan::{Facts, Piece, Plan, Request, Style};
use crate::range::{ColourRange, Loaded, SheetSpec, Words, focus};
use crate::session::Session;
use crate::sheet::Workshop;
use crate::sheet::furniture::Heights;
use crate::spelling::Spelling;

/// All editions of a sheet, checked.
pub struct Editions {
    pub range: ColourRange,
    pub sheet: SheetSpec,
    pub style: Style,
    pub list: Vec<Edition>,
    /// The run that they are for.
    pub session: Session,
    spellings: BTreeMap<String, Spelling>,
}

impl Editions {
    /// The spellings asked for, by their tag.
    pub fn spellings(&self) -> impl Iterator<Item = (&String, &Spelling)> {
        let asked = |tag: &String| self.list.iter().any(|e| e.wanted.contains(tag));
        self.spellings.iter().filter(move |(tag, _)| asked(tag))
    }

    /// What comes out: every edition in every spelling asked for.
    pub fn variants(&self) -> impl Iterator<Item = Variant<'_>> {
        self.list.iter().flat_map(Edition::variants)
    }

    /// Draws the parts of the range in their colours.
    pub fn workshop(&self) -> Workshop {
        Workshop::new(&self.range, &self.session.work).with(self.sheet.pictures().as_ref())
    }

    /// The same for a sheet that was read again, with what an earlier workshop prepared.
    pub fn workshop_after(&self, earlier: &Workshop) -> Workshop {
        earlier.renewed(&self.range, &self.session.work).with(self.sheet.pictures().as_ref())
    }

    /// Finds layouts, style and spellings of all editions asked for.
    ///
    /// # Errors
    /// Every name that does not exist and every file that cannot be used.
    pub fn resolve(
        loaded: Loaded,
        filter: &Filter,
        sources: &mut Sources,
    ) -> Result<Editions, Findings> {
        let Loaded { range, sheet, .. } = loaded;
        let mut findings = Findings::default();
        filter.check(&sheet, &mut findings);
        let folder = sheet.file().parent().unwrap_or(Path::new("")).to_path_buf();
        let style = match &filter.style {
            Some(name) => named::style(name, &folder, &None, sources),
            None => named::style(sheet.style(), &folder, &sheet.style().span, sources),
        };
        let style = keep(style, &mut findings);
        let mut spellings = BTreeMap::new();
        let mut list = Vec::new();
        for spec in sheet.editions().iter().filter(|e| filter.edition(e.name())) {
            if !spec.spellings().iter().any(|tag| filter.spelling(tag)) {
                continue;
            }
            let layout = named::layout(spec.layout(), &folder, &spec.layout().span, sources);
            // An edition is planned for all its spellings, whichever are asked for.
            for tag in spec.spellings() {
                if !spellings.contains_key(tag) {
                    let read = named::spelling(tag, &folder, &spec.spellings().span, sources);
                    let spelling = keep(read, &mut findings);
                    spellings
                        .extend(spelling.map(|s| (tag.clone(), s.keeping(sheet.proper_names()))));
                }
            }
            let layout = keep(layout, &mut findings);
            list.extend(layout.map(|layout| Edition::new(&sheet, spec, layout, filter)));
        }
        let focused = keep(focus(range, sheet).map_err(Findings::from), &mut findings);
        match (style, focused) {
            (Some(style), Some((range, sheet))) if !findings.failed() => {
                let session = sources.session.clone();
                Ok(Editions { range, sheet, style, list, session, spellings })
            }
            _ => Err(findings),
        }
    }

    /// Plans the edition of a variant.
    ///
    /// # Errors
    /// Why it does not fit, and what would.
    pub fn plan<'a>(&'a self, variant: Variant<'a>) -> Result<Planned<'a>, Diagnostic> {
        let mut planned = self.plan_edition(variant.edition, vec![variant])?;
        Ok(planned.variants.swap_remove(0))
    }

    /// Plans an edition once for all its spellings, for at least one variant.
    fn plan_edition<'a>(
        &'a self,
        edition: &'a Edition,
        variants: Vec<Variant<'a>>,
    ) -> Result<PlannedEdition<'a>, Diagnostic> {
        let spellings: Vec<&Spelling> =
            edition.spellings.iter().map(|tag| &self.spellings[tag]).collect();
        let (spelled, plan) = self.solve(edition, &spellings)?;
        let plan = Arc::new(plan);
        let mut spelled: Vec<Option<Facts<'a>>> = spelled.into_iter().map(Some).collect();
        let planned = |variant: Variant<'a>| {
            let own = edition.spellings.iter().position(|tag| tag == variant.tag)?;
            Some(Planned {
                variant,
                facts: spelled[own].take()?,
                plan: plan.clone(),
                spelling: spellings[own],
                spellings: spellings.clone(),
            })
        };
        let variants = variants.into_iter().filter_map(planned).collect();
        Ok(PlannedEdition { edition, plan, variants })
    }

    /// What is measured in each spelling, and the plan for all of them.
    fn solve<'a>(
        &'a self,
        edition: &'a Edition,
        spellings: &[&'a Spelling],
    ) -> Result<(Vec<Facts<'a>>, Plan), Diagnostic> {
        let heights = Heights::new(spellings);
        let furniture = |facts: &Facts<'_>, width: f64, scale: f64, piece: Piece| {
            heights.of(facts, width, scale, piece)
        };
        let voices: Vec<_> = spellings.iter().map(|s| |words: &Words| s.apply(words)).collect();
        let says: Vec<Speller<'_>> = voices.iter().map(|say| say as Speller<'_>).collect();
        let request = Request {
            subject: Subject {
                range: &self.range,
                sheet: &self.sheet,
                shown: &edition.shown,
                work: &self.session.work,
            },
            style: &self.style,
            layout: &edition.layout,
            says: &says,
            furniture: &furniture,
        };
        request.plan().map_err(|d| {
            let message = format!("edition '{}': {}", edition.name, d.message);
            let spec = self.sheet.editions().iter().find(|e| *e.name() == edition.name);
            let span = d.span.clone().or_else(|| spec.and_then(|e| e.span().clone()));
            Diagnostic { message, ..d }.at(span)
        })
    }

    /// Plans every edition, as many at a time as the machine has processors;
    /// all that do not fit are reported together.
    ///
    /// # Errors
    /// As [`Editions::plan`], for each edition.
    pub fn plan_all(&self) -> Result<Vec<PlannedEdition<'_>>, Findings> {
        let (planned, findings) = self.plan_each();
        if findings.failed() { Err(findings) } else { Ok(planned) }
    }

    /// The same, and those that fit are not lost with those that do not.
    pub fn plan_each(&self) -> (Vec<PlannedEdition<'_>>, Findings) {
        let mut findings = Findings::default();
        let list: Vec<&Edition> = self.list.iter().collect();
        let planned =
            in_parallel(&list, |edition| self.plan_edition(edition, edition.variants().collect()));
        let fitting = planned.into_iter().filter_map(|p| p.map_err(|d| findings.push(d)).ok());
        (fitting.collect(), findings)
    }
}

fn keep<T>(result: Result<T, Findings>, findings: &mut Findings) -> Option<T> {
    result.map_err(|faults| findings.extend(faults)).ok()
}
