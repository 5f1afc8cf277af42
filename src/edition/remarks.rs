//! What may deserve attention in a plan that works.

use std::collections::BTreeSet;

use super::planned::{Planned, PlannedEdition};
use crate::diag::{Diagnostic, Findings};
use crate::plan::menu::best_density;
use crate::plan::{Arrangement, PlannedFamily, Report};
use crate::range::{ColourId, Columns};
use crate::units::mm_to_pt;

/// A family in loose rows whose columns would be filled this near to what the
/// layout asks for just misses a grid.
const JUST: f64 = 0.8;
/// Type within this share of its floor is near it.
const NEAR_FLOOR: f64 = 1.02;
/// Dots per inch under which a picture looks soft. Common practice, no source.
const COARSE: f64 = 200.0;

/// Hints on planned editions: once for each family, once for each layout.
pub fn remarks(planned: &[PlannedEdition<'_>]) -> Findings {
    let mut findings = Findings::default();
    for p in planned.iter().flat_map(|e| &e.variants) {
        for family in &p.plan.families {
            if let Some(remark) = just_loose(p, family) {
                findings.push(remark);
            }
        }
        if let Some(remark) = half_empty(p) {
            findings.push(remark);
        }
        if let Some(remark) = not_shown(p) {
            findings.push(remark);
        }
        if let Some(remark) = small_type(p) {
            findings.push(remark);
        }
    }
    planned.iter().for_each(|edition| coarse_pictures(edition, &mut findings));
    findings
}

fn just_loose(p: &Planned<'_>, planned: &PlannedFamily) -> Option<Diagnostic> {
    let facts = &p.facts.families[planned.index];
    let chosen = matches!(facts.columns, Columns::Choose { .. });
    if planned.choice.arrangement != Arrangement::Loose || !chosen {
        return None;
    }
    let asked = p.facts.layout.minimum.density;
    let best = best_density(&p.facts, facts);
    if best < asked * JUST {
        return None;
    }
    let on_sheet = &p.facts.sheet.families()[facts.index];
    let key = p.facts.range.family(on_sheet.family()).key();
    Some(
        Diagnostic::hint(
            "nearly-a-grid",
            format!(
                "the family '{key}' is in loose rows: its columns would be {:.0} % filled, and the layout asks for {:.0} %",
                best * 100.0,
                asked * 100.0
            ),
        )
        .at(on_sheet.span().clone())
        .help(format!(
            "to get columns, write columns: Choose(from: [...]) with the parts made in most of its colours, or lower density in the layout to {:.2}",
            (best * 100.0).floor() / 100.0
        )),
    )
}

/// Pictures of too few pixels for the size at which an edition shows them, the worst first.
fn coarse_pictures(planned: &PlannedEdition<'_>, findings: &mut Findings) {
    let Some(p) = planned.variants.first().filter(|_| planned.edition.only.is_none()) else {
        return;
    };
    let Some(pictures) = p.facts.sheet.pictures() else { return };
    let families = p.facts.sheet.families();
    let shown: BTreeSet<ColourId> =
        planned.edition.shown.iter().flat_map(|f| families[*f].rows()).copied().collect();
    let all = pictures.by_sample().iter().filter(|((_, colour), _)| shown.contains(colour));
    let dpi = all.map(|(_, picture)| (picture.dpi(planned.plan.scale), picture));
    let mut coarse: Vec<_> = dpi.filter(|(dpi, _)| *dpi < COARSE).collect();
    coarse.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (dpi, picture) in coarse {
        let edition = &planned.edition.name;
        let file = format!("{}/{}", pictures.folder(), picture.file());
        findings.push(
            Diagnostic::hint(
                "picture-resolution",
                format!("the picture '{file}' has {dpi:.0} dpi in the edition '{edition}'"),
            )
            .at(picture.span().clone())
            .cause(edition)
            .help(format!("take it from nearer; under {COARSE:.0} dpi a print looks soft, and more than 300 are not used")),
        );
    }
}

fn not_shown(p: &Planned<'_>) -> Option<Diagnostic> {
    let left = Report::new(&p.facts, &p.plan).not_shown()?;
    let edition = p.facts.sheet.editions().iter().find(|e| *e.name() == p.variant.name());
    let message =
        format!("the edition '{}' does not show, for lack of a column, {left}", p.variant.name());
    Some(
        Diagnostic::hint("not-shown", message)
            .at(edition.and_then(|e| e.span().clone()))
            .help("give their family columns: Given(...) with these parts, set minimum: (coverage: 1.0) in the layout, or choose a larger page"),
    )
}

fn small_type(p: &Planned<'_>) -> Option<Diagnostic> {
    let floor = p.facts.layout.type_floor;
    let least = Report::new(&p.facts, &p.plan).least_type_mm;
    if least > floor * NEAR_FLOOR {
        return None;
    }
    let edition = p.facts.sheet.editions().iter().find(|e| *e.name() == p.variant.name());
    Some(
        Diagnostic::hint(
            "small-type",
            format!(
                "the smallest type of the edition '{}' is {:.2} pt, close to its minimum of {:.2} pt",
                p.variant.name(),
                mm_to_pt(least),
                mm_to_pt(floor)
            ),
        )
        .at(edition.and_then(|e| e.span().clone()))
        .help("check that a print can be read at arm's length; a larger page or fewer listings in the centre give larger type"),
    )
}

fn half_empty(p: &Planned<'_>) -> Option<Diagnostic> {
    let paper = p.plan.smaller?;
    let edition = p.facts.sheet.editions().iter().find(|e| *e.name() == p.variant.name());
    Some(
        Diagnostic::hint(
            "half-empty-page",
            format!(
                "the edition '{}' uses {:.0} % of its page of {:.0} x {:.0} mm",
                p.variant.name(),
                p.plan.used * 100.0,
                p.plan.width,
                p.plan.height
            ),
        )
        .at(edition.and_then(|e| e.span().clone()))
        .help(format!("{paper} is large enough for the same parts at the same scale")),
    )
}
