//! A sheet with all it names, for a command.

use super::args::{Choice, FormatArg};
use super::ending::{fail, say};
use crate::diag::{Findings, Sources};
use crate::edition::{Editions, Filter, faulty};
use crate::range::{Loaded, load};
use crate::session::Session;

/// A sheet with all it names.
pub(super) struct Opened {
    pub(super) editions: Editions,
    /// The style's name.
    pub(super) style: String,
    /// What was read, for messages that come later.
    pub(super) sources: Sources,
    /// There were warnings.
    pub(super) warned: bool,
}

/// Reads a sheet and finds its layouts, style and spellings. Findings are
/// printed; the exit code when there is an error among them.
pub(super) fn open(
    choice: &Choice,
    formats: &[FormatArg],
    quiet: bool,
    session: &Session,
) -> Result<Opened, u8> {
    open_changed(choice, formats, quiet, session, |_| Ok(()))
}

/// The same of a sheet that is changed once it is read.
pub(super) fn open_changed(
    choice: &Choice,
    formats: &[FormatArg],
    quiet: bool,
    session: &Session,
    change: impl FnOnce(&mut Loaded) -> Result<(), Findings>,
) -> Result<Opened, u8> {
    let mut sources = Sources::of(session.clone());
    let mut loaded = match load(&choice.sheet, &mut sources) {
        Ok(loaded) => loaded,
        Err(mut findings) => {
            findings.extend(faulty::of_file(&choice.sheet, choice.style.as_deref(), &mut sources));
            return Err(fail(findings, &sources, choice.json));
        }
    };
    if let Err(findings) = change(&mut loaded) {
        return Err(fail(findings, &sources, choice.json));
    }
    let warned = !loaded.warnings.is_empty();
    if !quiet {
        say(loaded.warnings.clone(), &sources);
    }
    let style = choice.style.clone().unwrap_or_else(|| loaded.sheet.style().value.clone());
    let filter = Filter {
        editions: choice.edition.clone(),
        spellings: choice.spelling.clone(),
        formats: formats.iter().map(|f| (*f).into()).collect(),
        style: choice.style.clone(),
    };
    match Editions::resolve(loaded, &filter, &mut sources) {
        Ok(editions) => {
            let characters = editions.missing_characters();
            if characters.failed() {
                return Err(fail(characters, &sources, choice.json));
            }
            Ok(Opened { editions, style, sources, warned })
        }
        Err(findings) => Err(fail(findings, &sources, choice.json)),
    }
}
