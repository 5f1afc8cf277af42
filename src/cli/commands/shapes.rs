//! `shapes`: every drawing of a part as it was understood, on pages to look at.

use std::path::{Path, PathBuf};

use crate::cli::args::ShapesArgs;
use crate::cli::choices::{listing_or_headings, page, print_values, spelling, style};
use crate::cli::ending::{Done, Writing, finish};
use crate::cli::picture::pictures;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::paint::{pdf, svg};
use crate::range::{Loaded, load};
use crate::session::Session;
use crate::shape_page::{DrawnParts, report, sheet};
use crate::sheet::{Coloured, Rgb};
use crate::supplies::Naming;
use crate::units::Dpi;

/// What kind of file is asked for, by its ending.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ShapesFile {
    Pdf,
    Svg,
    Png,
}

/// Runs `shapes`.
pub fn run(args: &ShapesArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = shown(args, &mut sources);
    finish(done, &sources, Writing { by: "shapes", replace: args.replace, json: args.json })
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn shown(args: &ShapesArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet: spec, warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let values = print_values(args.print_on.as_deref(), (&range, &spec), sources, &mut findings).1;
    let listing = listing_or_headings(args.listing.as_deref(), &range, &spec, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &spec, sources, &mut findings);
    let out = match &args.out {
        Some(out) => out.clone(),
        None => Path::new("out").join(spec.name()).join("shapes.pdf"),
    };
    let kind = kind(&out).map_err(|d| findings.push(d)).ok();
    let style = style(args.style.as_deref(), &spec, sources);
    let style = style.map_err(|faults| findings.extend(faults)).ok();
    let (Some(listing), Some(spelling), Some(kind), Some(style), false) =
        (listing, spelling, kind, style, findings.failed())
    else {
        return Err(findings);
    };
    let naming = Naming { range: &range, sheet: &spec, listing, spelling: &spelling };
    let shown = DrawnParts::new(&range, &sources.session.work);
    let pages = sheet(&shown, &naming, &style, page(args.page))?;
    let files = painted(pages.coloured(&pages.palette.printed(&values)), &out, kind)?;
    let printed = if args.json {
        // Texts and finite numbers always serialise.
        serde_json::to_string_pretty(&report::json(&shown, &naming)).unwrap_or_default() + "\n"
    } else {
        let written = files.iter().map(|(path, _)| format!("Written: {}\n", path.display()));
        format!("{}\n{}", report::text(&shown, &naming), written.collect::<String>())
    };
    Ok(Done { warnings, printed, files })
}

fn kind(out: &Path) -> Result<ShapesFile, Diagnostic> {
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    match ending.as_str() {
        "pdf" => Ok(ShapesFile::Pdf),
        "svg" => Ok(ShapesFile::Svg),
        "png" => Ok(ShapesFile::Png),
        _ => {
            let message = format!("'{}' does not have a supported ending", out.display());
            Err(Diagnostic::error("unknown-ending", message)
                .help("end its name with .pdf, .svg or .png"))
        }
    }
}

/// The files, of pictures one a page.
fn painted(
    pages: Coloured<'_, Rgb>,
    out: &Path,
    kind: ShapesFile,
) -> Result<Vec<(PathBuf, Vec<u8>)>, Diagnostic> {
    let count = pages.sheet.pages.len();
    let painted = match kind {
        ShapesFile::Pdf => return Ok(vec![(out.to_owned(), pdf::pdf(pages))]),
        ShapesFile::Svg => (0..count).map(|page| svg::svg(pages, page)).collect(),
        ShapesFile::Png => pictures(pages, Dpi::PRINT)?,
    };
    let named = painted.into_iter().enumerate();
    Ok(named.map(|(page, bytes)| (numbered(out, page, count), bytes)).collect())
}

/// 'shapes.p2.svg'; the name itself where there is one page.
fn numbered(out: &Path, page: usize, count: usize) -> PathBuf {
    if count == 1 {
        return out.to_owned();
    }
    let ending = out.extension().map(|e| e.to_string_lossy().into_owned()).unwrap_or_default();
    out.with_extension(format!("p{}.{ending}", page + 1))
}
