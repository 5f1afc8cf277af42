//! What the photographs may show: the pages of 'stage', or a picture without marks.

use std::collections::BTreeMap;
use std::path::Path;

use crate::capture::Corners;
use crate::cli::args::CaptureArgs;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::range::{Colour, ColourRange, SheetSpec};
use crate::stage::{GivenPicture, StageFile, given, know, known};

/// The colours of a range by their keys.
pub(super) type Colours<'a> = BTreeMap<&'a str, &'a Colour>;

/// What may be in the photographs.
pub(super) struct Pages {
    pub(super) file: StageFile,
    /// Where the corners of the one page are, of a picture without marks.
    pub(super) corners: Option<Corners>,
}

/// The pages of the sheet, with the values that the range has now.
pub(super) fn pages(
    args: &CaptureArgs,
    (range, sheet): (&ColourRange, &SheetSpec),
    colours: &Colours<'_>,
    sources: &mut Sources,
) -> Result<Pages, Findings> {
    let usual = Path::new("out").join(sheet.name()).join("stage.json");
    let file = args.stage.as_ref().unwrap_or(&usual);
    if file.extension().is_some_and(|e| e.eq_ignore_ascii_case("ron")) {
        return without_marks(file, args, (range, sheet), sources);
    }
    let mut stage = StageFile::read(file, &sources.session)?;
    let mut findings = Findings::default();
    if stage.sheet != *sheet.name() {
        let message = format!(
            "'{}' describes pages of the sheet '{}', not of '{}'",
            file.display(),
            stage.sheet,
            sheet.name()
        );
        let help =
            "name the file of this sheet with --stage, or print its pages with 'shadecard stage'";
        findings.push(Diagnostic::error("other-stage", message).help(help));
        return Err(findings);
    }
    let mut gone: Vec<String> = Vec::new();
    for place in stage.pages.iter_mut().flat_map(|page| &mut page.places) {
        match colours.get(place.colour.as_str()) {
            Some(colour) => place.known = known(colour, args.trust_screen_values),
            None if gone.contains(&place.colour) => {}
            None => gone.push(place.colour.clone()),
        }
    }
    if gone.is_empty() {
        return Ok(Pages { file: stage, corners: None });
    }
    let message = format!(
        "the pages are of another release ({}): the range has no colour '{}' any more",
        stage.release,
        gone.join("', '")
    );
    let help = "use the range that the pages were printed from, or print them again with 'shadecard stage'";
    findings.push(Diagnostic::error("other-stage", message).help(help));
    Err(findings)
}

/// A picture without marks, as a file describes it.
fn without_marks(
    file: &Path,
    args: &CaptureArgs,
    (range, sheet): (&ColourRange, &SheetSpec),
    sources: &mut Sources,
) -> Result<Pages, Findings> {
    let GivenPicture { mut page, corners } = given(file, range, sources)?;
    if args.photographs.len() > 1 {
        let message = format!(
            "'{}' gives the corners of one picture, and {} are named",
            file.display(),
            args.photographs.len()
        );
        let help = "read pictures without marks one at a time, each with its own file";
        return Err(Diagnostic::error("too-many-pictures", message).help(help).into());
    }
    know(&mut page, range, args.trust_screen_values);
    let file = StageFile {
        sheet: sheet.name().clone(),
        release: String::new(),
        paper: None,
        pages: vec![page],
    };
    Ok(Pages { file, corners: Some(corners) })
}

/// A code that none of the pages has.
pub(super) fn foreign(path: &Path, code: &str, stage: &StageFile) -> Diagnostic {
    let mut parts = code.splitn(4, ':');
    let (mark, _, page, release) = (parts.next(), parts.next(), parts.next(), parts.next());
    let message = match (mark, page, release) {
        (Some("SC1"), Some(page), Some(release)) => format!(
            "'{}': this is page {page} of other pages, of release '{release}', not of these ({} of release '{}')",
            path.display(),
            stage.pages.len(),
            stage.release
        ),
        _ => format!("'{}': its square code is not that of a page of 'stage'", path.display()),
    };
    let help = "name the file that 'stage' wrote with these pages: --stage FILE.json";
    Diagnostic::error("other-page", message).help(help)
}
