//! Arguments of `compare`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{DESK_PAPER, OUTPUT, PageArg, REPLACE};

/// Options of a note for buyers.
const NOTE: &str = "Note for buyers";

/// Arguments of `compare`.
#[derive(Debug, Args)]
#[command(after_help = "\
Of two ranges, compare reports which colours and parts are new, withdrawn,
renamed, renumbered or changed, and which part is newly made in which colour.
Of two sheets it also reports changes in what they show, in their words and
editions, and which editions to make again. Given a range and a sheet, it
compares the ranges.

A colour is identified by its key. Where a key has changed, the colour is
matched by its number in a listing, or by its name and value, if only one other
colour has them.

--for buyers writes a note to send to customers: what is new, renamed or gone,
with colour chips, names and numbers as the sheet prints them, and without keys
or file names. --out note.md also makes the folder note-chips with the chips
as pictures; --out note.pdf is set in the sheet's style. A sheet in several
spellings gives one note for each: note.en-GB.pdf, note.en-US.pdf.

The exit code is 0 whether or not anything changed, and 1 if a file has errors.

Examples:
  shadecard compare spring/range.ron range.ron
  shadecard compare spring/sheet.ron sheet.ron --markdown
  shadecard compare spring/sheet.ron sheet.ron --out release-note.md
  shadecard compare spring/range.ron range.ron --csv > changes.csv
  shadecard compare spring/sheet.ron sheet.ron --for buyers --out note.pdf")]
pub struct CompareArgs {
    /// The older release: a range file or a sheet file
    #[arg(value_name = "OLD.ron")]
    pub old: PathBuf,

    /// The newer release: a range file or a sheet file
    #[arg(value_name = "NEW.ron")]
    pub new: PathBuf,

    /// Print everything as JSON
    #[arg(long, group = "form", help_heading = OUTPUT)]
    pub json: bool,

    /// Print one change per line as CSV
    #[arg(long, group = "form", help_heading = OUTPUT)]
    pub csv: bool,

    /// Print a release note as Markdown
    #[arg(long, group = "form", help_heading = OUTPUT)]
    pub markdown: bool,

    /// Write to this file, in the form of its ending: .md, .json, .csv or .txt; for buyers .md or .pdf
    #[arg(long, value_name = "FILE", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, requires = "out", help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Write a note for these readers, without keys and file names
    #[arg(long = "for", value_name = "WHOM", value_enum, conflicts_with_all = ["json", "csv"], help_heading = NOTE)]
    pub whom: Option<Whom>,

    /// Spelling of the note, such as en-GB; may be repeated [default: all of the sheet's]
    #[arg(long, value_name = "TAG", requires = "whom", help_heading = NOTE)]
    pub spelling: Vec<String>,

    /// The listing whose names and numbers are given [default: as on the sheet]
    #[arg(long, value_name = "KEY", requires = "whom", help_heading = NOTE)]
    pub listing: Option<String>,

    /// Page size of the PDF [default: a4]
    #[arg(long, value_name = "SIZE", value_enum, requires = "whom", help_heading = NOTE)]
    pub page: Option<PageArg>,

    #[arg(long = "paper", value_name = "PAPER", requires = "whom", help_heading = NOTE, help = DESK_PAPER)]
    pub print_on: Option<String>,

    /// Style of the PDF: plate, catalogue, or a style file [default: the sheet's]
    #[arg(long, value_name = "STYLE", requires = "whom", help_heading = NOTE)]
    pub style: Option<String>,
}

/// The readers of a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Whom {
    Buyers,
}
