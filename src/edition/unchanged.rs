//! The quick check before a run: the same request as before, of the same
//! files, by the same program, with all results still present.
//!
//! In the folder of the results `.shadecard/reuse/` holds a note for each thing that was
//! asked. It may be deleted at any time.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::book::NOTES;
use super::reuse::{PROGRAM, Stamp, memory};
use super::{disk, reuse, write};
use crate::diag::Diagnostic;
use crate::files::{Seen, from_here};
use crate::sheet::identity::{Digest, Digester};

/// What a run was asked, read, wrote and reported.
#[derive(Debug, Serialize, Deserialize)]
pub struct Note {
    program: String,
    inputs: Vec<Seen>,
    outputs: Vec<(PathBuf, Stamp)>,
    told: String,
}

/// Digest of what is asked: the arguments, and where.
pub fn asked(arguments: &str) -> Digest {
    let mut digester = Digester::new("asked");
    digester.text(arguments);
    let here = std::env::current_dir().unwrap_or_default();
    digester.text(&here.to_string_lossy());
    digester.done()
}

/// What the earlier run reported, where a new one could only do the same.
pub fn told(out: &Path, asked: &Digest) -> Option<String> {
    let text = disk::bytes(&file(out, asked)).ok()?;
    let note: Note = serde_json::from_slice(&text).ok()?;
    let same = note.program == PROGRAM
        && note.outputs.iter().all(|(path, stamp)| Stamp::of(path) == Some(*stamp))
        && note.inputs.iter().all(Seen::is_still_so)
        // A run that was killed since has left something to be removed.
        && folders(out, &note.outputs).into_iter().all(|folder| write::is_swept(&folder));
    same.then_some(note.told)
}

/// Where results and notes are.
fn folders(out: &Path, outputs: &[(PathBuf, Stamp)]) -> BTreeSet<PathBuf> {
    let of_results = outputs.iter().filter_map(|(path, _)| Some(path.parent()?.to_owned()));
    of_results.chain([out.join(NOTES), memory(out)]).collect()
}

/// Leaves a note for the next run.
///
/// # Errors
/// Those of the disk.
pub fn remember(
    out: &Path,
    asked: &Digest,
    inputs: Vec<Seen>,
    outputs: &[PathBuf],
    told: &str,
) -> Result<(), Diagnostic> {
    let stamps = outputs.iter().map(|path| Some((from_here(path), Stamp::of(path)?)));
    // A result that cannot be examined would not be missed either: no note then.
    let Some(outputs) = stamps.collect() else { return Ok(()) };
    let note = Note { program: PROGRAM.to_owned(), inputs, outputs, told: told.to_owned() };
    let text = serde_json::to_string(&note).unwrap_or_default();
    reuse::remember(&file(out, asked), &text)
}

fn file(out: &Path, asked: &Digest) -> PathBuf {
    memory(out).join(format!("{}.json", asked.hex()))
}
