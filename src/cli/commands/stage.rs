//! `stage`: pages to lay parts on and to photograph.

use std::path::Path;

use serde::Serialize;

use crate::cli::args::StageArgs;
use crate::cli::choices::{families, listing_or_headings, out_file, part, spelling, style};
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::labels::choose;
use crate::paint::pdf;
use crate::panels::paper::Desk;
use crate::range::{ColourId, ColourRange, Loaded, PartId, SheetSpec, load};
use crate::session::Session;
use crate::stage::{StageFile, Staging, samples, stage};
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
    let (pages, printed) = stage(&samples, &Staging { naming, style: &style, size: paper.size() })?;
    let pdf = pdf::pdf(printed.coloured(&printed.palette.published()));
    let release = spelling.apply(range.release());
    let file = StageFile { sheet: sheet.name().clone(), release, pages };
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

/// What is reported.
#[derive(Serialize)]
struct Summary {
    pages: usize,
    places: usize,
    colours: usize,
    /// Places whose colour has a measured value, from which the camera can be judged.
    known: usize,
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
            files: [pdf, described].map(|path| path.display().to_string()).to_vec(),
        }
    }

    fn text(&self) -> String {
        let Summary { pages, places, colours, known, files } = self;
        let s = |n: usize| if n == 1 { "" } else { "s" };
        let known = match known {
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
