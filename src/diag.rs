//! Diagnostics: what is wrong, where, and what to type instead.

mod causes;
mod characters;
mod located;
mod near;
mod sources;

use std::collections::HashSet;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

pub use causes::{CauseGroup, by_cause};
pub use characters::lacks;
pub use located::Located;
pub use near::{Suggestions, nearest};
pub use sources::{Sources, floor};

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Good to know.
    Hint,
    /// Probably a mistake; the sheet can be made.
    Warning,
    /// The sheet cannot be made.
    Error,
}

impl Severity {
    /// The word before a message.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Hint => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A place in an input file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    pub file: Arc<Path>,
    /// Byte range in the file's text; empty at 0 for the whole file.
    pub range: Range<usize>,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    pub severity: Severity,
    /// A short stable name for the kind of finding, such as `unknown-field`.
    pub code: &'static str,
    /// One plain sentence.
    pub message: String,
    pub span: Option<Span>,
    /// The suggestion, one plain sentence.
    pub help: Option<String>,
    /// What findings have in common whose messages differ, such as the row that they name: those of one
    /// code, file and cause make one message. None: the message itself.
    pub cause: Option<Box<str>>,
    /// The machine has failed, not whoever wrote the input.
    pub of_machine: bool,
}

impl Diagnostic {
    /// An error without a place.
    pub fn error(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            severity: Severity::Error,
            code,
            message: message.into(),
            span: None,
            help: None,
            cause: None,
            of_machine: false,
        }
    }

    /// A warning without a place.
    pub fn warning(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Warning, ..Diagnostic::error(code, message) }
    }

    /// A hint without a place.
    pub fn hint(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Hint, ..Diagnostic::error(code, message) }
    }

    /// Sets the place.
    pub fn at(mut self, span: Option<Span>) -> Diagnostic {
        self.span = span;
        self
    }

    /// Sets the suggestion.
    pub fn help(mut self, help: impl Into<String>) -> Diagnostic {
        self.help = Some(help.into());
        self
    }

    /// Sets that the machine has failed.
    pub fn of_machine(mut self) -> Diagnostic {
        self.of_machine = true;
        self
    }

    /// Sets what it has in common with findings of different wording; see [`Diagnostic::cause`].
    pub fn cause(mut self, cause: impl Into<String>) -> Diagnostic {
        self.cause = Some(cause.into().into_boxed_str());
        self
    }
}

/// Findings collected along the way; work goes on until all are known.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    list: Vec<Diagnostic>,
    /// What the list holds, for finding doubles. Nothing is read from it in its order.
    known: HashSet<Known>,
}

/// Place (file, start, end), code and message of a finding.
type Known = (Option<(Arc<Path>, usize, usize)>, &'static str, String);

impl Findings {
    /// Adds one finding.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        let place = diagnostic.span.as_ref().map(|s| (s.file.clone(), s.range.start, s.range.end));
        if self.known.insert((place, diagnostic.code, diagnostic.message.clone())) {
            self.list.push(diagnostic);
        }
    }

    /// Adds all of another collection.
    pub fn extend(&mut self, other: Findings) {
        other.list.into_iter().for_each(|d| self.push(d));
    }

    /// Is there any error?
    pub fn failed(&self) -> bool {
        self.list.iter().any(|d| d.severity == Severity::Error)
    }

    /// Every error, in the order in which they were found.
    pub fn errors(&self) -> impl Iterator<Item = &Diagnostic> {
        self.list.iter().filter(|d| d.severity == Severity::Error)
    }

    /// The worst there is.
    pub fn worst(&self) -> Option<Severity> {
        self.list.iter().map(|d| d.severity).max()
    }

    /// How many are of this severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.list.iter().filter(|d| d.severity == severity).count()
    }

    /// Every finding: by file, then by place, those without a place last.
    pub fn sorted(mut self) -> Vec<Diagnostic> {
        self.list.sort_by_cached_key(|d| match &d.span {
            Some(s) => (0, Some(s.file.clone()), s.range.start),
            None => (1, None, 0),
        });
        self.list
    }

    /// How many findings there are.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Is there nothing to report?
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

impl From<Diagnostic> for Findings {
    fn from(d: Diagnostic) -> Findings {
        let mut findings = Findings::default();
        findings.push(d);
        findings
    }
}
