//! Which editions, spellings and kinds of files a run asks for.

use crate::diag::{Diagnostic, Findings, nearest};
use crate::range::{Format, SheetSpec};

/// What is asked for besides the sheet's own choice.
#[derive(Debug, Clone, Default)]
pub struct Filter {
    /// Edition names; all when empty.
    pub editions: Vec<String>,
    /// Spellings; all when empty.
    pub spellings: Vec<String>,
    /// Kinds of files; all when empty.
    pub formats: Vec<Format>,
    /// Another style than the sheet's.
    pub style: Option<String>,
}

impl Filter {
    /// Is the edition asked for?
    pub(super) fn edition(&self, name: &str) -> bool {
        wanted(&self.editions, name)
    }

    /// Is the spelling asked for?
    pub(super) fn spelling(&self, tag: &str) -> bool {
        wanted(&self.spellings, tag)
    }

    /// The kinds of files that an edition comes out as: its own, or those of them that are asked
    /// for. A JPEG or TIFF that is asked for is made of whatever comes out as pictures.
    pub(super) fn of(&self, own: &[Format]) -> Vec<Format> {
        let asked = &self.formats;
        let pictures = own.iter().any(|f| f.is_picture());
        let also = |f: &Format| pictures && matches!(f, Format::Jpeg | Format::Tiff);
        let made = |f: &Format| match asked.is_empty() {
            true => own.contains(f),
            false => asked.contains(f) && (own.contains(f) || also(f)),
        };
        Format::ALL.into_iter().filter(made).collect()
    }

    /// Names on the command line that the sheet does not have.
    pub(super) fn check(&self, sheet: &SheetSpec, findings: &mut Findings) {
        let editions: Vec<&str> = sheet.editions().iter().map(|e| e.name().as_str()).collect();
        let mut tags: Vec<&str> =
            sheet.editions().iter().flat_map(|e| e.spellings()).map(String::as_str).collect();
        tags.sort_unstable();
        tags.dedup();
        let mut known = |kind: &str, names: &[String], all: &[&str]| {
            for name in names.iter().filter(|n| !all.contains(&n.as_str())) {
                let help = match nearest(name, all.iter().copied()) {
                    Some(near) => format!("did you mean '{near}'?"),
                    None => format!("the sheet has {}", all.join(", ")),
                };
                findings.push(
                    Diagnostic::error(
                        "unknown-choice",
                        format!("the sheet has no {kind} '{name}'"),
                    )
                    .help(help),
                );
            }
        };
        known("edition", &self.editions, &editions);
        known("spelling", &self.spellings, &tags);
    }
}

fn wanted(names: &[String], name: &str) -> bool {
    names.is_empty() || names.iter().any(|n| n == name)
}
