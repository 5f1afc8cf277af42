//! What a paper makes of the sheet, printed plainly.

use serde_json::{Value, json};

use super::answer::Answer;
use crate::diag::{Findings, Sources};
use crate::edition::Editions;
use crate::press::report::LIMIT;
use crate::press::{self, PaperModel, Print, Report, tell};
use crate::session::Session;

/// So many pairs are listed.
const MOST: usize = 200;

/// The papers that can be asked for: the sheet's own first.
pub fn names(editions: &Editions) -> Vec<String> {
    let own = editions.sheet.papers().iter().map(|p| p.name().to_string());
    let mut names: Vec<String> = own.collect();
    for model in PaperModel::ALL {
        if !names.iter().any(|name| name == model.name()) {
            names.push(model.name().to_owned());
        }
    }
    names
}

/// The figures and the pairs of a paper.
///
/// # Errors
/// A paper that does not exist or cannot be used.
pub fn figures(
    name: &str,
    revision: u64,
    editions: &Editions,
    session: &Session,
) -> Result<Answer, Findings> {
    let mut sources = Sources::of(session.clone());
    let chosen = press::open(name, &editions.sheet, None, &mut sources)?;
    let print = Print::plain(&chosen.paper, &editions.range, &editions.sheet);
    print.few_pairs(LIMIT, &session.work)?;
    let report = Report::new(&chosen.paper, &print, LIMIT, &session.work);
    let t = &report.totals;
    let figure = |label: &str, value: String| json!({"label": label, "value": value});
    let figures = [
        figure("Colours in the gamut", format!("{} of {}", t.in_gamut, t.colours)),
        figure("Mean difference", format!("{:.2}", t.mean)),
        figure("Largest difference", format!("{:.2}", t.most)),
        figure("Pairs that fall together", format!("{} of {}", t.together, t.pairs)),
        figure("Order of lightness lost", t.lightness_swapped.to_string()),
        figure("Order of hue lost", t.hue_swapped.to_string()),
    ];
    let round = |v: f64| (v * 100.0).round() / 100.0;
    let colour = |i: usize| editions.range.colour(print.colours[i]);
    let pair = |line: &press::report::PairLine| -> Value {
        let (first, second) = (colour(line.first), colour(line.second));
        json!({
            "first": format!("colour:{}", first.key()), "second": format!("colour:{}", second.key()),
            "first_name": first.any_name(), "second_name": second.any_name(),
            "before": round(line.aimed), "after": round(line.shown), "verdict": tell::verdict(line),
        })
    };
    let broken = report.pairs.iter().filter(|line| !line.kept()).take(MOST);
    let pairs: Vec<Value> = broken.map(pair).collect();
    Ok(Answer::json(
        &json!({"name": name, "revision": revision, "figures": figures, "pairs": pairs}),
    ))
}
