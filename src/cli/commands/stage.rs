//! `stage`: pages to lay parts on and to photograph.

use std::path::Path;

use serde::Serialize;

use crate::cli::args::StageArgs;
use crate::cli::choices::{families, listing_or_headings, out_file, part, spelling, style};
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::labels::choose;
use crate::paint::pdf;
use crate::panels::paper::{Desk, size_of};
use crate::range::{ColourId, ColourRange, Loaded, PartId, SheetSpec, load};
use crate::session::Session;
use crate::stage::chart::{ChartRequest, chart};
use crate::stage::{StageChart, StageFile, Staging, samples, stage};
use crate::supplies::Naming;

/// Runs `stage`.
pub fn run(args: &StageArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = staged(args, &mut sources);
    finish(done, &sources, Writing { by: "stage", replace: args.replace, json: args.json })
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn staged(args: &StageArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let listing = listing_or_headings(args.listing.as_deref(), &range, &sheet, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &sheet, sources, &mut findings);
    let style = style(args.style.as_deref(), &sheet, sources);
    let style = style.map_err(|faults| findings.extend(faults)).ok();
    let paper = Desk::parse("--page", &args.page).map_err(|d| findings.push(d)).ok();
    let out =
        out_file(args.out.as_deref(), &sheet, ("stage", "pdf")).map_err(|d| findings.push(d)).ok();
    let chart = chart_of(args, sources, &mut findings);
    let colours = colours(args, &range, &sheet, &mut findings);
    let parts = parts(args, &range, &sheet, &mut findings);
    let (Some(listing), Some(spelling), Some(style), Some(paper), Some(out), false) =
        (listing, spelling, style, paper, out, findings.failed())
    else {
        return Err(findings);
    };
    let samples = samples(&range, &colours, &parts, args.one_each);
    if samples.is_empty() {
        let d =
            Diagnostic::error("nothing-to-stage", "none of these parts is made in these colours");
        return Err(d.help("leave out --part or --only").into());
    }
    let naming = Naming { range: &range, sheet: &sheet, listing, spelling: &spelling };
    let staging = Staging { naming, style: &style, size: paper.size(), chart };
    let (pages, printed) = stage(&samples, &staging)?;
    let pdf = pdf::pdf(printed.coloured(&printed.palette.published()));
    let release = spelling.apply(range.release());
    let file = StageFile { sheet: sheet.name().clone(), release, paper: None, pages };
    let described = out.with_extension("json");
    let summary = Summary::new(&file, &out, &described);
    let printed = if args.json {
        // Texts and whole numbers always serialise.
        serde_json::to_string_pretty(&summary).unwrap_or_default() + "\n"
    } else {
        summary.text()
    };
    let files = vec![(out, pdf), (described, file.json().into_bytes())];
    Ok(Done { warnings, printed, files })
}

/// The chart that is asked for.
fn chart_of(
    args: &StageArgs,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<StageChart> {
    let (file, size) = (args.chart.as_ref()?, args.chart_size.as_ref()?);
    let before = findings.len();
    let fits = |(w, h): &(f64, f64)| [w, h].iter().all(|s| (10.0..=1000.0).contains(*s));
    let sides = size_of(size).filter(fits);
    if sides.is_none() {
        let message = format!("--chart-size must be two sides from 10 to 1000 mm, not {size}");
        let help = "measure from edge to edge of the outermost patches: width x height in mm, for example --chart-size 63x41";
        findings.push(Diagnostic::error("bad-chart-size", message).help(help));
    }
    let grid = args.chart_grid.as_ref().and_then(|text| {
        let count =
            |text: &str| text.trim().parse::<usize>().ok().filter(|n| (1..=200).contains(n));
        let both = text.split_once(['x', '×']).and_then(|(c, r)| Some((count(c)?, count(r)?)));
        if both.is_none() {
            let message = format!("--chart-grid must be columns x rows, not {text}");
            let help = "count the patches across and down, for example --chart-grid 6x4";
            findings.push(Diagnostic::error("bad-chart-grid", message).help(help));
        }
        both
    });
    let size = sides.filter(|_| findings.len() == before)?;
    chart(file, ChartRequest { size, grid }, sources).map_err(|f| findings.extend(f)).ok()
}

/// What is reported.
#[derive(Serialize)]
struct Summary {
    pages: usize,
    places: usize,
    colours: usize,
    /// Places whose colour has a measured value, from which the camera can be judged.
    known: usize,
    /// Patches of the chart that is laid on each page.
    chart: usize,
    files: Vec<String>,
}

impl Summary {
    fn new(file: &StageFile, pdf: &Path, described: &Path) -> Summary {
        let places = || file.pages.iter().flat_map(|page| &page.places);
        let mut colours: Vec<&str> = places().map(|place| place.colour.as_str()).collect();
        colours.sort_unstable();
        colours.dedup();
        Summary {
            pages: file.pages.len(),
            places: places().count(),
            colours: colours.len(),
            known: places().filter(|place| place.known.is_some()).count(),
            chart: file
                .pages
                .iter()
                .filter_map(|p| p.chart.as_ref())
                .map(|c| c.patches.len())
                .max()
                .unwrap_or(0),
            files: [pdf, described].map(|path| path.display().to_string()).to_vec(),
        }
    }

    fn text(&self) -> String {
        let Summary { pages, places, colours, known, chart, files } = self;
        let s = |n: usize| if n == 1 { "" } else { "s" };
        let known = match known {
            0 if *chart > 0 => format!("Room for a chart of {chart} patches on each page."),
            n if *chart > 0 => format!(
                "{n} place{} of colours with a measured value, and room for a chart of {chart} patches on each page.",
                s(*n)
            ),
            0 => "No colour has a measured value: readings will be relative.".to_owned(),
            n => format!("{n} place{} of colours with a measured value.", s(*n)),
        };
        let written: String = files.iter().map(|file| format!("Written: {file}\n")).collect();
        format!(
            "{places} place{} for {colours} colour{} on {pages} page{}. {known}\n{written}",
            s(*places),
            s(*colours),
            s(*pages)
        )
    }
}

fn colours(
    args: &StageArgs,
    range: &ColourRange,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Vec<ColourId> {
    let families = families(&args.family, range, sheet, findings);
    let choice = choose::Choice { families, only: args.only.clone() };
    let found = choose::colours(range, sheet, &choice).map_err(|faults| findings.extend(faults));
    found.unwrap_or_default()
}

/// The parts asked for, in the range's order; all by default.
fn parts(
    args: &StageArgs,
    range: &ColourRange,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Vec<PartId> {
    let asked = args.part.iter().map(|word| part(word, range, sheet));
    let asked: Vec<PartId> = asked.filter_map(|p| p.map_err(|d| findings.push(d)).ok()).collect();
    let all = (0..range.parts().len()).map(PartId);
    all.filter(|p| args.part.is_empty() || asked.contains(p)).collect()
}
