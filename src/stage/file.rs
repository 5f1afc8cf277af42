//! The file that says what is on the pages, for whoever reads their photographs.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::staging::{LEAST_PAGE, MOST_PAGE};
use crate::capture::page::StagePage;
use crate::diag::{Diagnostic, Findings, Span};
use crate::read::read_text;
use crate::session::Session;

/// Pages, places on a page and points of an outline at most.
const MOST_PAGES: usize = 2_000;
const MOST_PLACES: usize = 5_000;
const MOST_POINTS: usize = 100_000;

/// The pages of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StageFile {
    /// The sheet's name, and the release of its range.
    pub sheet: String,
    pub release: String,
    /// The paper of a print that is to be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paper: Option<String>,
    pub pages: Vec<StagePage>,
}

impl StageFile {
    /// As text.
    pub fn json(&self) -> String {
        // Numbers and texts always serialise.
        serde_json::to_string(self).unwrap_or_default() + "\n"
    }

    /// Reads the file that `stage` wrote.
    ///
    /// # Errors
    /// It is not there, or it is not such a file any more.
    pub fn read(file: &Path, session: &Session) -> Result<StageFile, Findings> {
        let text = read_text(file, None, session)?;
        let whole = |message: String| {
            let at = Some(Span { file: file.into(), range: 0..0 });
            let help = "make it again with 'shadecard stage', and print its pages again";
            Diagnostic::error("bad-stage", message).at(at).help(help)
        };
        let shown = file.display();
        let read: StageFile = serde_json::from_str(&text)
            .map_err(|e| whole(format!("'{shown}' does not describe pages of 'stage': {e}")))?;
        match read.odd() {
            None => Ok(read),
            Some(what) => {
                Err(whole(format!("'{shown}' does not describe pages of 'stage': {what}")).into())
            }
        }
    }

    /// What cannot have been written by `stage`.
    fn odd(&self) -> Option<&'static str> {
        if self.pages.is_empty() || self.pages.len() > MOST_PAGES {
            return Some("it has no pages, or too many");
        }
        self.pages.iter().find_map(odd_page)
    }
}

fn odd_page(page: &StagePage) -> Option<&'static str> {
    let (width, height) = page.size;
    let is_side = |side: f64| (LEAST_PAGE..=MOST_PAGE).contains(&side);
    if !is_side(width) || !is_side(height) {
        return Some("a page has an impossible size");
    }
    let is_on = |&(x, y): &(f64, f64)| (0.0..=width).contains(&x) && (0.0..=height).contains(&y);
    let code = page.code.rect();
    let frames = page.places.iter().map(|p| p.frame).chain(page.patches.iter().map(|p| p.rect));
    let charts = page.chart.iter().map(|c| c.rect).chain(page.prints.iter().map(|p| p.frame));
    let mut rects = frames.chain(charts).chain(page.covered.iter().copied()).chain([code]);
    let has_room = |r: &crate::capture::page::Rect| {
        r.width > 0.0
            && r.height > 0.0
            && is_on(&(r.left, r.top))
            && is_on(&(r.left + r.width, r.top + r.height))
    };
    if !page.dots.iter().all(is_on) || !rects.all(|r| has_room(&r)) {
        return Some("a mark or a place is not on its page");
    }
    if page.dots.len() > MOST_PLACES || page.places.len() > MOST_PLACES {
        return Some("a page has too many places or dots");
    }
    if !(0.2..=10.0).contains(&page.dot_radius) {
        return Some("the dots have an impossible size");
    }
    let printed = || page.prints.iter().flat_map(|p| &p.outline);
    let points = || page.places.iter().flat_map(|p| &p.outline).chain(printed()).flatten();
    if points().count() > MOST_POINTS || !points().all(is_on) {
        return Some("an outline is not on its page");
    }
    let beside = page.prints.iter().filter_map(|p| p.beside);
    if page.prints.len() > MOST_PLACES || beside.into_iter().any(|i| i >= page.places.len()) {
        return Some("a page has too many patches, or one beside no place");
    }
    if page.covered.len() > MOST_PLACES {
        return Some("a page has too many labels");
    }
    if page.chart.as_ref().is_some_and(|c| c.columns == 0 || c.patches.len() > MOST_PLACES) {
        return Some("its chart has no patches, or too many");
    }
    let patches = page.chart.iter().flat_map(|c| &c.patches).copied();
    let known = page.places.iter().filter_map(|p| p.known).chain(patches).flatten();
    let is_lab = |v: f64| v.is_finite() && v.abs() <= 200.0;
    if !known.into_iter().all(is_lab) { Some("a known value is no colour") } else { None }
}
