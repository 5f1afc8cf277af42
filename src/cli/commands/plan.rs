//! `plan`: solves every edition and reports, writes nothing.

use serde::Serialize;

use super::coverage::{Taken, covered, taken};
use crate::cli::args::PlanArgs;
use crate::cli::ending::{fail, misfit, print};
use crate::cli::opened::{Opened, open_changed};
use crate::plan::Report;
use crate::plan::report::Composition;
use crate::range::keep_parts;
use crate::session::Session;
use crate::table::{Align, Table};

#[derive(Serialize)]
struct PlanLine<'a> {
    edition: &'a str,
    spelling: &'a str,
    plan: Report,
    /// Where not all parts are planned with.
    #[serde(skip_serializing_if = "Option::is_none")]
    parts: Option<&'a Taken>,
}

/// Runs `plan`.
pub fn run(args: &PlanArgs, session: &Session) -> u8 {
    if args.coverage {
        return covered(args, session);
    }
    let mut parts = None;
    let opened = open_changed(&args.choice, &[], args.choice.json, session, |loaded| {
        parts = taken(args, loaded)?;
        if let Some(taken) = &parts {
            keep_parts(&mut loaded.range, &mut loaded.sheet, &taken.kept);
        }
        Ok(())
    });
    let Opened { editions, sources, .. } = match opened {
        Ok(opened) => opened,
        Err(code) => return code,
    };
    let (planned, misfits) = editions.plan_each();
    if planned.is_empty() && misfits.failed() {
        return fail(misfits, &sources, args.choice.json);
    }
    let lines: Vec<PlanLine<'_>> = planned
        .iter()
        .flat_map(|edition| &edition.variants)
        .map(|p| PlanLine {
            edition: p.variant.name(),
            spelling: p.variant.tag,
            plan: p.report(),
            parts: parts.as_ref(),
        })
        .collect();
    let code = if args.choice.json {
        print(&serde_json::to_string_pretty(&lines).unwrap_or_default(), session)
    } else {
        let reported = parts.as_ref().map(Taken::sentence).unwrap_or_default();
        print(&(text(&lines) + &reported), session)
    };
    code.max(misfit(misfits, &sources))
}

fn text(lines: &[PlanLine<'_>]) -> String {
    let mut table = Table::new(&[
        ("edition", Align::Left),
        ("spelling", Align::Left),
        ("page mm", Align::Right),
        ("pages", Align::Right),
        ("scale", Align::Right),
        ("best possible", Align::Right),
        ("short of it", Align::Right),
        ("page used", Align::Right),
        ("columns", Align::Right),
        ("splits", Align::Right),
        ("samples", Align::Right),
        ("gaps", Align::Right),
        ("stand-ins", Align::Right),
        ("least type", Align::Right),
    ]);
    for PlanLine { edition, spelling, plan, .. } in lines {
        table.row([
            (*edition).to_owned(),
            (*spelling).to_owned(),
            format!("{:.0} x {:.0}", plan.page_mm[0], plan.page_mm[1]),
            plan.pages.to_string(),
            format!("{:.3}", plan.scale),
            format!("{:.3}", plan.bound),
            percent(plan.gap),
            percent(plan.page_used),
            plan.page_columns.to_string(),
            plan.splits.to_string(),
            plan.samples.to_string(),
            plan.empty_cells.to_string(),
            plan.stand_ins.to_string(),
            format!("{:.2} pt", crate::units::mm_to_pt(plan.least_type_mm)),
        ]);
    }
    let mut out = table.text();
    for PlanLine { edition, spelling, plan, .. } in lines {
        out.push_str(&format!("\n{edition} {spelling}: {}.\n", notes(plan).join("; ")));
    }
    out
}

/// What a plan shows and leaves out, in words.
fn notes(plan: &Report) -> Vec<String> {
    let mut notes = vec![
        format!("{} of the parts made are shown", percent(plan.coverage)),
        format!("families in the order {}", plan.family_order.join(", ")),
    ];
    notes.extend(composed(&plan.composition));
    let mut list = |what: &str, names: &[String]| {
        if !names.is_empty() {
            notes.push(format!("{what} {}", names.join(", ")));
        }
    };
    list("in loose rows", &plan.loose_families);
    list("no column for", &plan.parts_without_column);
    list("not shown", plan.not_shown().as_slice());
    list("left out", &plan.left_out_colours);
    if let Some(paper) = &plan.smaller_page {
        let used = percent(plan.page_used);
        notes.push(format!("{used} of the page is used; {paper} is large enough"));
    }
    notes.push(format!("the best possible scale is limited by {}", plan.bound_by));
    notes
}

/// How the pages are used, in words.
fn composed(figures: &Composition) -> Vec<String> {
    let [wide, tall] = figures.largest_empty_mm;
    vec![
        format!("blocks, legend and notes cover {} of the type area", percent(figures.covered)),
        format!("the largest empty rectangle is {wide:.0} x {tall:.0} mm"),
        format!("the column ends differ by {:.1} mm", figures.feet_mm),
        format!(
            "the largest space between blocks is {:.1} mm, the usual one {:.1} mm",
            figures.largest_gap_mm, figures.usual_gap_mm
        ),
    ]
}

fn percent(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}
