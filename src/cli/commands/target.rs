//! `target`: a print that shows how a printer really prints on a paper.

use std::path::{Path, PathBuf};

use serde_json::json;

use crate::cli::args::{ByArg, TargetArgs};
use crate::cli::choices::{listing_or_headings, spelling, style};
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::ForPaper;
use crate::paint::pdf;
use crate::panels::paper::Desk;
use crate::press::{Chosen, few_enough, open};
use crate::range::{Loaded, SheetSpec, load};
use crate::session::Session;
use crate::stage::StageFile;
use crate::supplies::Naming;
use crate::target::{Target, TargetRequest, cgats, form, target};

/// Runs `target`.
pub fn run(args: &TargetArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = targeted(args, &mut sources);
    finish(done, &sources, Writing { by: "target", replace: args.replace, json: args.json })
}

/// Where the files of a target are by default.
pub(super) fn usual(sheet: &SheetSpec, paper: &str) -> PathBuf {
    Path::new("out").join(format!("{}-{paper}-target", sheet.name())).join("target.pdf")
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn targeted(args: &TargetArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let listing = listing_or_headings(args.listing.as_deref(), &range, &sheet, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &sheet, sources, &mut findings);
    let style = style(args.style.as_deref(), &sheet, sources);
    let style = style.map_err(|faults| findings.extend(faults)).ok();
    let page = Desk::parse("--page", &args.page).map_err(|d| findings.push(d)).ok();
    if !(1.0..=10.0).contains(&args.step) {
        let message = format!("--step must be from 1 to 10, not {}", args.step);
        let help = "3 is usual: a difference that is just plain to see";
        findings.push(Diagnostic::error("out-of-bounds", message).help(help));
    }
    let chosen = open(&args.paper, &sheet, args.colour_mode.map(Into::into), sources);
    let chosen = chosen.map_err(|faults| findings.extend(faults)).ok();
    let (Some(listing), Some(spelling), Some(style), Some(page), Some(chosen), false) =
        (listing, spelling, style, page, chosen, findings.failed())
    else {
        return Err(findings);
    };
    few_enough(&range, &sheet)?;
    let (print, origin) = chosen.print(&range, &sheet, sources)?;
    let naming = Naming { range: &range, sheet: &sheet, listing, spelling: &spelling };
    let by = |way: ByArg| args.by.is_empty() || args.by.contains(&way);
    let request = TargetRequest {
        naming,
        style: &style,
        paper: &chosen.paper,
        name: &chosen.name,
        print: &print,
        size: page.size(),
        step: args.step,
        cells: by(ByArg::Eye) || by(ByArg::Photograph),
        chart: by(ByArg::Instrument),
    };
    let made = target(&request)?;
    let out = args.out.clone().unwrap_or_else(|| usual(&sheet, &chosen.name));
    let mut files = side_files(&out, &made, &request)?;
    let release = spelling.apply(range.release());
    let paper = Some(chosen.name.clone());
    let stage =
        StageFile { sheet: sheet.name().clone(), release, paper, pages: made.pages.clone() };
    files.push((out.with_extension("json"), stage.json().into_bytes()));
    let for_paper = ForPaper { chosen, print: print.clone(), origin };
    let painted = match for_paper.press(&made.sheet.palette) {
        Some(press) => pdf::press(&made.sheet, &press),
        None => pdf::pdf(made.sheet.coloured(&made.sheet.palette.published())),
    };
    files.insert(0, (out, painted));
    let printed = printed(args, &made, &files, &for_paper.chosen);
    Ok(Done { warnings, printed, files })
}

/// The form and the reference, as far as there are pages for them.
fn side_files(
    out: &Path,
    made: &Target,
    request: &TargetRequest<'_>,
) -> Result<Vec<(PathBuf, Vec<u8>)>, Diagnostic> {
    let unwritten = |why: String| {
        Diagnostic::error("not-written", format!("the form cannot be written: {why}"))
    };
    let mut files = Vec::new();
    if request.cells {
        let text = form(&made.wanted.cells, &request.naming).map_err(unwritten)?;
        files.push((out.with_extension("csv"), text));
    }
    if request.chart {
        let about = format!("{}, {}", request.naming.sheet.name(), request.name);
        let text = cgats(&made.wanted.patches, request.paper, &about);
        files.push((out.with_extension("txt"), text.into_bytes()));
    }
    Ok(files)
}

fn printed(
    args: &TargetArgs,
    made: &Target,
    files: &[(PathBuf, Vec<u8>)],
    chosen: &Chosen,
) -> String {
    let names: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    let (pages, places) = (made.pages.len(), made.wanted.cells.len());
    let patches: usize = made.pages.iter().map(|page| page.prints.len()).sum();
    if args.json {
        let all = json!({"paper": chosen.name, "pages": pages, "places": places, "patches": patches, "files": names});
        // Texts and whole numbers always serialise.
        return serde_json::to_string_pretty(&all).unwrap_or_default() + "\n";
    }
    let s = |n: usize| if n == 1 { "" } else { "s" };
    let mut text = format!(
        "{patches} patch{} and {places} place{} for parts on {pages} page{}, for the paper '{}'.\n",
        if patches == 1 { "" } else { "es" },
        s(places),
        s(pages),
        chosen.name
    );
    names.iter().for_each(|name| text += &format!("Written: {name}\n"));
    text
}
