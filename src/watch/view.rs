//! What of a sheet is looked at.

use super::query::Query;

/// Which release of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Release {
    Now,
    /// The one that it is held against.
    Before,
}

impl Release {
    pub const ALL: [Release; 2] = [Release::Now, Release::Before];

    pub fn word(self) -> &'static str {
        match self {
            Release::Now => "now",
            Release::Before => "before",
        }
    }
}

/// One page of an edition in a spelling and a style.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct View {
    pub edition: String,
    pub spelling: String,
    pub style: String,
    pub release: Release,
    /// From 0.
    pub page: usize,
    /// In the colours that this paper shows, printed plainly.
    pub paper: Option<String>,
}

impl View {
    /// As an address asks for it; none of an unknown release or a page 0.
    pub fn of(query: &Query) -> Option<View> {
        let text = |name: &str| query.get(name).unwrap_or_default().to_owned();
        let release = query.get("release").unwrap_or("now");
        let page = query.get("page").map_or(Some(1), |page| page.parse::<usize>().ok())?;
        Some(View {
            edition: text("edition"),
            spelling: text("spelling"),
            style: text("style"),
            release: Release::ALL.into_iter().find(|r| r.word() == release)?,
            page: page.checked_sub(1)?,
            paper: query.get("paper").map(str::to_owned),
        })
    }
}
