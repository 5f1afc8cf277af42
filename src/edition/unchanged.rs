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
use super::{reuse, write};
use crate::diag::Diagnostic;
use crate::disk::Disk;
use crate::files::{Seen, from_here};
use crate::sheet::identity::{Digest, Digester};

/// What a run was asked, read, wrote and reported.
#[derive(Debug, Serialize, Deserialize)]
pub struct Note {
    program: String,
    inputs: Vec<Seen>,
    outputs: Vec<(PathBuf, Stamp)>,
    reported: String,
}

/// What is asked of a run, and where it would be known from an earlier one.
pub struct Asked<'a> {
    /// Of the arguments, and of where they are given.
    digest: Digest,
    out: &'a Path,
    disk: &'a Disk,
}

impl<'a> Asked<'a> {
    /// The arguments of a run whose results go to `out`.
    pub fn new(arguments: &str, out: &'a Path, disk: &'a Disk) -> Asked<'a> {
        let mut digester = Digester::new("asked");
        digester.text(arguments);
        let here = std::env::current_dir().unwrap_or_default();
        digester.text(&here.to_string_lossy());
        Asked { digest: digester.done(), out, disk }
    }

    /// What the earlier run reported, where a new one could only do the same.
    pub fn reported(&self) -> Option<String> {
        let text = self.disk.bytes(&self.file()).ok()?;
        let note: Note = serde_json::from_slice(&text).ok()?;
        let is_same = |(path, stamp): &(PathBuf, Stamp)| Stamp::of(path, self.disk) == Some(*stamp);
        let is_swept = |folder: PathBuf| write::is_swept(&folder, self.disk);
        let same = note.program == PROGRAM
            && note.outputs.iter().all(is_same)
            && note.inputs.iter().all(Seen::is_still_so)
            // A run that was killed since has left something to be removed.
            && self.folders(&note.outputs).into_iter().all(is_swept);
        same.then_some(note.reported)
    }

    /// Where results and notes are.
    fn folders(&self, outputs: &[(PathBuf, Stamp)]) -> BTreeSet<PathBuf> {
        let of_results = outputs.iter().filter_map(|(path, _)| Some(path.parent()?.to_owned()));
        of_results.chain([self.out.join(NOTES), memory(self.out)]).collect()
    }

    /// Leaves a note for the next run.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn remember(
        &self,
        inputs: Vec<Seen>,
        outputs: &[PathBuf],
        reported: &str,
    ) -> Result<(), Diagnostic> {
        let stamp = |path: &PathBuf| Some((from_here(path), Stamp::of(path, self.disk)?));
        // A result that cannot be examined would not be missed either: no note then.
        let Some(outputs) = outputs.iter().map(stamp).collect() else { return Ok(()) };
        let note =
            Note { program: PROGRAM.to_owned(), inputs, outputs, reported: reported.to_owned() };
        let text = serde_json::to_string(&note).unwrap_or_default();
        reuse::remember(&self.file(), &text, self.disk)
    }

    fn file(&self) -> PathBuf {
        memory(self.out).join(format!("{}.json", self.digest.hex()))
    }
}
