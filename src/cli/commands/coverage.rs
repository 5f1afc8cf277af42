//! `plan --only`, `--without` and `--coverage`: which parts to use.

use serde::Serialize;

use crate::cli::args::PlanArgs;
use crate::cli::choices::{idle, part, spelling, unknown};
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::plan::coverage::{Coverage, Named, coverage};
use crate::plan::facts::part_label;
use crate::range::{ColourRange, Loaded, PartId, SheetSpec, Words, load};
use crate::session::Session;
use crate::table::{Align, Table};

/// So many colours are named where a list could be long.
const NAMED: usize = 12;

/// The parts that are planned with.
#[derive(Debug, Serialize)]
pub struct Taken {
    /// Per part of the range: is it taken?
    #[serde(skip)]
    pub kept: Vec<bool>,
    /// Numbers of the parts taken.
    taken: Vec<String>,
    parts_of_the_range: usize,
    colours_shown_by_none: usize,
}

impl Taken {
    /// The sentence under a plan of some parts.
    pub fn sentence(&self) -> String {
        let parts = format!("{} of {} parts", self.taken.len(), self.parts_of_the_range);
        let none = match self.colours_shown_by_none {
            0 => "they show every colour".to_owned(),
            1 => "1 colour is not shown by any of them".to_owned(),
            n => format!("{n} colours are not shown by any of them"),
        };
        let help = "add --coverage to see which";
        let help = if self.colours_shown_by_none > 0 { format!("; {help}") } else { String::new() };
        format!("\nPlanned with {parts}: {}; {none}{help}.\n", self.taken.join(", "))
    }
}

/// What --only and --without leave; none where neither is given.
///
/// # Errors
/// Parts that do not exist, that are both taken and left out, and a choice that leaves none.
pub fn taken(args: &PlanArgs, loaded: &Loaded) -> Result<Option<Taken>, Findings> {
    if args.only.is_empty() && args.without.is_empty() {
        return Ok(None);
    }
    let (range, sheet) = (&loaded.range, &loaded.sheet);
    let kept = kept(args, range, sheet)?;
    let shown: Vec<usize> = (0..sheet.families().len()).collect();
    let figures = coverage(range, sheet, &shown, &kept, &|w: &Words| w.text.clone());
    let of = range.parts().iter().zip(&kept).filter(|(_, kept)| **kept);
    Ok(Some(Taken {
        taken: of.map(|(part, _)| part_label(part, sheet)).collect(),
        parts_of_the_range: range.parts().len(),
        colours_shown_by_none: figures.shown_by_none.len(),
        kept,
    }))
}

fn kept(args: &PlanArgs, range: &ColourRange, sheet: &SheetSpec) -> Result<Vec<bool>, Findings> {
    let mut findings = Findings::default();
    let mut found = |asked: &[String]| -> Vec<PartId> {
        let parts = asked.iter().map(|word| part(word, range, sheet));
        parts.filter_map(|p| p.map_err(|d| findings.push(d)).ok()).collect()
    };
    let (only, without) = (found(&args.only), found(&args.without));
    for p in only.iter().filter(|p| without.contains(p)) {
        let message =
            format!("part '{}' is in --only and in --without", part_label(range.part(*p), sheet));
        findings.push(
            Diagnostic::error("options-apart", message).help("remove it from one of the two"),
        );
    }
    if findings.failed() {
        return Err(findings);
    }
    let kept = |p: PartId| (only.is_empty() || only.contains(&p)) && !without.contains(&p);
    let kept: Vec<bool> = (0..range.parts().len()).map(|p| kept(PartId(p))).collect();
    if kept.iter().any(|k| *k) {
        return Ok(kept);
    }
    let fault = Diagnostic::error("no-parts-left", "--without leaves no parts");
    Err(fault.help("leave out fewer parts").into())
}

/// Runs `plan --coverage`.
pub fn covered(args: &PlanArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = figures(args, &mut sources);
    finish(done, &sources, Writing { by: "plan", replace: false, json: args.choice.json })
}

fn figures(args: &PlanArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, warnings } = load(&args.choice.sheet, sources)?;
    let mut findings = Findings::default();
    if args.choice.style.is_some() {
        let why = "does not affect --coverage";
        findings.push(idle("--style", why, "leave out --coverage"));
    }
    let tags = match &args.choice.spelling[..] {
        [] => None,
        [tag] => Some(tag.as_str()),
        [_, second, ..] => {
            let message = format!("--coverage uses one spelling, but '{second}' is given as well");
            findings.push(Diagnostic::error("options-apart", message).help("give --spelling once"));
            None
        }
    };
    let spelling = spelling(tags, &sheet, sources, &mut findings);
    let kept = kept(args, &range, &sheet).unwrap_or_else(|faults| {
        findings.extend(faults);
        Vec::new()
    });
    let shown = shown(&args.choice.edition, &sheet, &mut findings);
    let Some(spelling) = spelling.filter(|_| !findings.failed()) else { return Err(findings) };
    let figures = coverage(&range, &sheet, &shown, &kept, &|words: &Words| spelling.apply(words));
    let printed = match args.choice.json {
        // Texts and numbers always serialise.
        true => serde_json::to_string_pretty(&figures).unwrap_or_default() + "\n",
        false => text(&figures, sheet.name()),
    };
    let warnings = if args.choice.json { Findings::default() } else { warnings };
    Ok(Done { warnings, printed, files: Vec::new() })
}

/// The sheet's families that the editions asked for show.
fn shown(asked: &[String], sheet: &SheetSpec, findings: &mut Findings) -> Vec<usize> {
    let names = || sheet.editions().iter().map(|e| e.name().as_str());
    for name in asked.iter().filter(|name| !names().any(|n| n == *name)) {
        findings.push(unknown("unknown-choice", "edition", name, names()));
    }
    let editions = || sheet.editions().iter().filter(|e| asked.contains(e.name()));
    let shows = |i: &usize| {
        let family = sheet.families()[*i].family();
        asked.is_empty()
            || editions().any(|e| e.families().is_empty() || e.families().contains(&family))
    };
    (0..sheet.families().len()).filter(shows).collect()
}

fn text(figures: &Coverage, sheet: &str) -> String {
    let all = figures.parts.iter().all(|p| p.taken);
    let count = figures.parts.iter().filter(|p| p.taken).count();
    let parts = match all {
        true => format!("{} parts", figures.parts.len()),
        false => format!("{count} of {} parts selected", figures.parts.len()),
    };
    let mut out = format!("Parts of '{sheet}': {} colours, {parts}\n\n", figures.colours);
    let mut head = vec![
        ("part", Align::Left),
        ("title", Align::Left),
        ("size", Align::Left),
        ("made in", Align::Right),
        ("share", Align::Right),
        ("families", Align::Right),
        ("nowhere else", Align::Right),
    ];
    head.extend((!all).then_some(("selected", Align::Left)));
    let mut table = Table::new(&head);
    for p in &figures.parts {
        table.row([
            p.part.number.clone(),
            p.part.name.clone(),
            p.part.size.clone(),
            p.colours.to_string(),
            percent(p.share),
            p.families.to_string(),
            p.nowhere_else.to_string(),
            if p.taken { "yes" } else { "no" }.to_owned(),
        ]);
    }
    out += &table.text();
    out += "\nMade in: colours of the sheet in which the part is made. Nowhere else: those that no other selected part shows.\n";
    out +=
        "\nThe most useful parts first: each one adds the most colours, then the most samples.\n\n";
    out += &order(figures).text();
    out + &none(&figures.shown_by_none)
}

fn order(figures: &Coverage) -> Table {
    let mut table = Table::new(&[
        ("", Align::Right),
        ("part", Align::Left),
        ("title", Align::Left),
        ("size", Align::Left),
        ("adds colours", Align::Right),
        ("colours", Align::Right),
        ("share", Align::Right),
        ("adds samples", Align::Right),
        ("samples", Align::Right),
    ]);
    for (i, step) in figures.order.iter().enumerate() {
        table.row([
            (i + 1).to_string(),
            step.part.number.clone(),
            step.part.name.clone(),
            step.part.size.clone(),
            step.adds_colours.to_string(),
            step.colours.to_string(),
            percent(step.share),
            step.adds_samples.to_string(),
            step.samples.to_string(),
        ]);
    }
    table
}

/// The colours that nothing shows.
fn none(colours: &[Named]) -> String {
    if colours.is_empty() {
        return "\nEvery colour is shown by a part.\n".to_owned();
    }
    let named =
        colours.iter().take(NAMED).map(|c| format!("{} {}", c.number, c.name).trim().to_owned());
    let more = match colours.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let s = if colours.len() == 1 { "" } else { "s" };
    let named = named.collect::<Vec<_>>().join(", ");
    format!("\nNo selected part shows {} colour{s}: {named}{more}.\n", colours.len())
}

fn percent(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}
