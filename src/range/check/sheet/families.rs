//! Which families and colours a sheet shows, and in which order.

use std::collections::BTreeSet;

use super::columns::columns;
use super::lists::ids;
use crate::diag::{Diagnostic, Findings, Located};
use crate::range::check::index::Known;
use crate::range::check::keys::words;
use crate::range::check::order::{self, Asked};
use crate::range::{ColourId, ColourRange, Columns, FamilyId, LeftOut, Order, SheetFamily};
use crate::read::raw;
use crate::read::ron::Place;

/// What a sheet shows of a range, and what it leaves out.
pub(super) struct Picked {
    pub(super) families: Vec<SheetFamily>,
    pub(super) left_out: Vec<LeftOut>,
}

impl Picked {
    /// Takes what is picked out of a sheet.
    pub(super) fn check(
        raw: &mut raw::Sheet,
        year: Option<u16>,
        root: Place,
        known: Known<'_>,
        findings: &mut Findings,
    ) -> Picked {
        let also = ids(
            raw.extra_colours.take(),
            root.field("extra_colours"),
            &known.index.colours,
            findings,
        );
        let also_at = root.has("extra_colours").then(|| root.field("extra_colours"));
        let doubtful = root.faulted("extra_colours") || also_at.is_some_and(Place::damaged);
        let certain = !doubtful && !known.index.colours.missed();
        let left_out = left_out(raw.leave_out.take(), root.field("leave_out"), known, findings);
        let shown = Shown {
            known,
            root,
            order: raw.order.unwrap_or_default(),
            year,
            also: &also,
            left_out: left_out.iter().map(|o| o.colour.0).collect(),
            certain,
        };
        let families = families(raw.families.take(), &shown, findings);
        extra_and_left_out(&also, &left_out, known.range, root, findings);
        if families.iter().all(|f| f.rows.is_empty()) && !findings.failed() {
            let span =
                if root.has("families") { root.field("families").key_span() } else { root.head() };
            findings.push(
                Diagnostic::error("empty-sheet", "the sheet shows no colours")
                    .at(span)
                    .help("check whether year, leave_out or families exclude every colour"),
            );
        }
        Picked { families, left_out }
    }
}

fn left_out(
    raw: Option<Vec<raw::LeaveOut>>,
    place: Place,
    known: Known<'_>,
    findings: &mut Findings,
) -> Vec<LeftOut> {
    let mut out: Vec<LeftOut> = Vec::new();
    for (i, group) in raw.unwrap_or_default().into_iter().enumerate() {
        let at = place.item(i);
        let reason = group.reason.map(|r| words(r, at.field("reason"), findings));
        if group.colours.is_none() && !at.faulted("colours") {
            findings.push(
                Diagnostic::error(
                    "missing-field",
                    "this entry does not name the colours to leave out",
                )
                .at(at.head())
                .help("add colours: [\"...\"]"),
            );
        }
        let keys = &known.index.colours;
        let found = ids(group.colours, at.field("colours"), keys, findings);
        for colour in found {
            if out.iter().any(|o| o.colour.0 == colour) {
                findings.push(
                    Diagnostic::error(
                        "double-key",
                        format!("'{}' is left out twice", known.range.colours[colour].key),
                    )
                    .at(at.field("colours").span())
                    .help("keep one of them"),
                );
                continue;
            }
            out.push(LeftOut {
                colour: ColourId(colour),
                reason: Located::new(reason.clone(), at.or_head("reason")),
            });
        }
    }
    out
}

fn extra_and_left_out(
    also: &[usize],
    left_out: &[LeftOut],
    range: &ColourRange,
    root: Place,
    findings: &mut Findings,
) {
    for id in also.iter().filter(|id| left_out.iter().any(|o| o.colour.0 == **id)) {
        findings.push(
            Diagnostic::error(
                "extra-and-left-out",
                format!("'{}' is in extra_colours and in leave_out", range.colours[*id].key),
            )
            .at(root.field("extra_colours").span())
            .help("remove it from one of them"),
        );
    }
}

/// Which colours the sheet shows.
struct Shown<'a> {
    known: Known<'a>,
    /// The sheet.
    root: Place<'a>,
    /// Of the families that have none of their own.
    order: Order,
    year: Option<u16>,
    also: &'a [usize],
    left_out: BTreeSet<usize>,
    /// Is `also` whole?
    certain: bool,
}

/// Rows, and what their order goes by.
struct Ordered {
    rows: Vec<ColourId>,
    order: Order,
    first: Option<ColourId>,
}

impl Shown<'_> {
    fn rows(&self, family: usize) -> Vec<ColourId> {
        let all = self.known.range.colours.iter().enumerate();
        all.filter(|(i, c)| c.family.0 == family && self.holds(*i))
            .map(|(i, _)| ColourId(i))
            .collect()
    }

    /// The rows of a picked family, in its own order or the sheet's.
    fn ordered(
        &self,
        family: FamilyId,
        pick: &raw::FamilyFields,
        at: Place,
        findings: &mut Findings,
    ) -> Ordered {
        let rows = self.rows(family.0);
        if rows.is_empty() && !findings.failed() {
            let key = &self.known.range.family(family).key;
            let key_at = if at.has("family") { at.field("family") } else { at };
            findings.push(
                Diagnostic::warning(
                    "empty-family",
                    format!("the sheet shows no colours of the family '{key}'"),
                )
                .at(key_at.span())
                .help("remove the family from the sheet, or check what excludes its colours"),
            );
        }
        let known = !at.faulted("order") && (pick.order.is_some() || !self.root.faulted("order"));
        let order = pick.order.unwrap_or(self.order);
        let asked = Asked {
            known: self.known,
            family,
            order: known.then_some(order),
            shown: &rows,
            certain: self.certain,
        };
        let first = order::first(pick.first.as_deref(), at, &asked, findings);
        let rows = order::rows(self.known.range, rows, order, first, self.known.work);
        Ordered { rows, order, first }
    }

    fn holds(&self, colour: usize) -> bool {
        let c = &self.known.range.colours[colour];
        let sold = self.year.is_none_or(|y| {
            c.first_year.is_none_or(|f| f <= y) && c.last_year.is_none_or(|l| y <= l)
        });
        (sold || self.also.contains(&colour)) && !self.left_out.contains(&colour)
    }
}

fn families(
    raw: Option<Vec<raw::FamilyPick>>,
    shown: &Shown,
    findings: &mut Findings,
) -> Vec<SheetFamily> {
    let root = shown.root;
    let Some(raw) = raw else {
        let range = shown.known.range;
        return (0..range.families.len())
            .map(|i| SheetFamily {
                family: FamilyId(i),
                rows: order::rows(range, shown.rows(i), shown.order, None, shown.known.work),
                order: shown.order,
                first: None,
                columns: Columns::Choose { from: None },
                span: root.head(),
            })
            .collect();
    };
    let mut out: Vec<SheetFamily> = Vec::new();
    for (i, pick) in raw.into_iter().enumerate() {
        let (at, mut pick) = (root.field("families").item(i), pick.fields());
        let key_at = if at.has("family") { at.field("family") } else { at };
        let Some(key) = pick.family.clone() else {
            if !at.faulted("family") {
                findings.push(
                    Diagnostic::error("missing-field", "this entry does not name its family")
                        .at(at.head())
                        .help("add family: \"...\""),
                );
            }
            continue;
        };
        let columns = columns(pick.columns.take(), at.field("columns"), shown.known, findings);
        let families = &shown.known.index.families;
        let Some(family) = families.find(&key, key_at, findings) else { continue };
        if out.iter().any(|f| f.family.0 == family) {
            findings.push(
                Diagnostic::error("double-key", format!("the family '{key}' is shown twice"))
                    .at(key_at.span())
                    .help("keep one of them"),
            );
            continue;
        }
        let family = FamilyId(family);
        let Ordered { rows, order, first } = shown.ordered(family, &pick, at, findings);
        out.push(SheetFamily { family, rows, columns, order, first, span: key_at.span() });
    }
    out
}
