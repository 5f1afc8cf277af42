//! The order of a family's colours on a sheet.

use super::index::Known;
use crate::colour::{Lab50, order};
use crate::diag::{Diagnostic, Findings};
use crate::range::{ColourId, ColourRange, FamilyId, Order};
use crate::read::ron::Place;
use crate::work::Work;

/// The colours of a family in an order. Values count as they should print.
pub fn rows(
    range: &ColourRange,
    listed: Vec<ColourId>,
    order: Order,
    first: Option<ColourId>,
    work: &Work,
) -> Vec<ColourId> {
    let aims = || -> Vec<Lab50> { listed.iter().map(|c| range.colour(*c).aim).collect() };
    let places = match order {
        Order::Listed => return listed,
        Order::Lightness => order::lightness(&aims()),
        Order::Hue => order::hue(&aims()),
        Order::Neighbours => {
            let first = first.and_then(|f| listed.iter().position(|c| *c == f));
            order::neighbours(&aims(), first, work)
        }
    };
    places.into_iter().map(|i| listed[i]).collect()
}

/// The family whose first colour is asked for.
pub struct Asked<'a> {
    pub known: Known<'a>,
    pub family: FamilyId,
    /// Unknown where it was written wrongly.
    pub order: Option<Order>,
    /// Its colours that the sheet shows, and whether these are all: a faulty `also` may lack some.
    pub shown: &'a [ColourId],
    pub certain: bool,
}

/// The colour that a family is to begin with: one of its own that the sheet
/// shows, in a neighbours' order. `at` is the family's place in the sheet.
pub fn first(
    key: Option<&str>,
    at: Place,
    asked: &Asked<'_>,
    findings: &mut Findings,
) -> Option<ColourId> {
    let key = key?;
    let Known { range, index, .. } = asked.known;
    let place = at.field("first");
    if let Some(order) = asked.order.filter(|o| *o != Order::Neighbours) {
        findings.push(
            Diagnostic::error(
                "first-without-neighbours",
                format!("a first colour cannot be combined with the order {}", order.word()),
            )
            .at(place.key_span())
            .help("add order: neighbours, or remove first"),
        );
    }
    let colour = ColourId(index.colours.find(key, place, findings)?);
    let own = range.colour(colour).family;
    let fault = if own != asked.family {
        let (own, here) = (&range.family(own).key, &range.family(asked.family).key);
        // After a failed look-up, the family of a colour may not be the writer's.
        (!index.families.missed() && !index.families.doubtful()).then(|| {
            Diagnostic::error(
                "first-elsewhere",
                format!("'{key}' is in the family '{own}', not in '{here}'"),
            )
            .help("name a colour of this family")
        })
    } else if !asked.shown.contains(&colour) {
        asked.certain.then(|| {
            Diagnostic::error("first-not-shown", format!("the sheet does not show '{key}'")).help(
                "name a colour that the sheet shows, or check whether year or leave_out excludes this one",
            )
        })
    } else {
        return Some(colour);
    };
    if let Some(fault) = fault {
        findings.push(fault.at(place.span()));
    }
    None
}
