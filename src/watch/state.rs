//! All that the page shows beside the sheet.

use serde_json::{Map, Value, json};

use super::drawn::styles;
use super::origins::Origins;
use super::paper;
use crate::edition::{Editions, PlannedEdition};
use crate::lookalikes::{LookalikesRequest, find};
use crate::plan::Report;
use crate::sheet::words::difference_words;
use crate::spelling::Spelling;
use crate::supplies::Naming;
use crate::units::mm_to_pt;

/// So many look-alikes are listed.
const MOST: usize = 200;

/// The part of the state that is of a good sheet.
pub fn of_sheet(
    editions: &Editions,
    planned: &[PlannedEdition<'_>],
    origins: &Origins<'_>,
    style: &str,
) -> Map<String, Value> {
    let mut out = Map::new();
    let spelling = editions.spellings().next().map(|(_, spelling)| spelling);
    out.insert("title".into(), json!(title(editions, spelling)));
    out.insert("pieces".into(), true.into());
    out.insert("editions".into(), planned.iter().map(edition).collect());
    let spellings = editions.spellings();
    let spellings: Value =
        spellings.map(|(tag, s)| json!({"tag": tag, "name": s.name()})).collect();
    out.insert("spellings".into(), spellings);
    out.insert("styles".into(), json!(styles(style)));
    out.insert("papers".into(), json!(paper::names(editions)));
    out.insert("look_alikes".into(), look_alikes(editions, spelling));
    out.insert("origins".into(), origins.json());
    out
}

fn naming<'a>(editions: &'a Editions, spelling: &'a Spelling) -> Naming<'a> {
    let (range, sheet) = (&editions.range, &editions.sheet);
    Naming { range, sheet, listing: sheet.headings(), spelling }
}

fn title(editions: &Editions, spelling: Option<&Spelling>) -> String {
    spelling.map(|spelling| naming(editions, spelling).title()).unwrap_or_default()
}

fn edition(planned: &PlannedEdition<'_>) -> Value {
    let tags: Vec<&str> = planned.variants.iter().map(|v| v.variant.tag).collect();
    let report = planned.variants.first().map(|v| v.report()).unwrap_or_default();
    json!({
        "name": planned.edition.name, "pages": report.pages,
        "width": report.page_mm[0], "height": report.page_mm[1],
        "spellings": tags, "figures": figures(&report),
    })
}

/// The plan's figures as `plan` words them.
fn figures(report: &Report) -> Value {
    let percent = |share: f64| format!("{:.1} %", share * 100.0);
    let mut all = vec![
        ("Scale", format!("{:.3}", report.scale)),
        ("Best possible", format!("{:.3}", report.bound)),
        ("Short of it", percent(report.gap)),
        ("Page used", percent(report.page_used)),
        ("Covered", percent(report.composition.covered)),
        ("Page columns", report.page_columns.to_string()),
        ("Splits", report.splits.to_string()),
        ("Samples", report.samples.to_string()),
        ("Gaps", report.empty_cells.to_string()),
        ("Stand-ins", report.stand_ins.to_string()),
        ("Parts shown", percent(report.coverage)),
        ("Least type", format!("{:.2} pt", mm_to_pt(report.least_type_mm))),
    ];
    all.extend(report.not_shown().map(|parts| ("Not shown", parts)));
    all.into_iter().map(|(label, value)| json!({"label": label, "value": value})).collect()
}

fn look_alikes(editions: &Editions, spelling: Option<&Spelling>) -> Value {
    let Some(spelling) = spelling else { return json!([]) };
    let wish = LookalikesRequest::default();
    let found = find(&editions.range, &editions.sheet, &wish, &editions.session.work);
    let naming = naming(editions, spelling);
    let one = |pair: &crate::lookalikes::Pair| {
        let colour = |id| editions.range.colour(id);
        json!({
            "first": format!("colour:{}", colour(pair.first).key()),
            "second": format!("colour:{}", colour(pair.second).key()),
            "first_name": naming.colour_name(pair.first),
            "second_name": naming.colour_name(pair.second),
            "difference": (pair.distance * 100.0).round() / 100.0,
            "words": difference_words(spelling, &pair.words),
        })
    };
    found.pairs.iter().take(MOST).map(one).collect()
}
