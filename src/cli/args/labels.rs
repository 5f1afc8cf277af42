//! Arguments of `labels`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{DESK_PAPER, OUTPUT, PRINTING, REPLACE, SELECTION, WORDS};

/// Sheets and the cutting machine.
const CUTTING: &str = "Sheets and cutting";

/// Arguments of `labels`.
#[derive(Debug, Args)]
#[command(after_help = "\
Every colour of the sheet gets a label, in the sheet's order, with its names and
numbers as on the sheet. Words that are too long for a label are broken, then
set smaller, down to the label sheet's smallest type. If the words of a colour
still do not fit, labels names the colour and writes nothing.

Files, in OUT/SHEET/labels: labels.SPELLING.pdf to print, with the cuts on
their own layer; .N-of-M.cut.svg to cut; .N-of-M.proof.png, print and cut laid
over each other; .csv, every label with its place and words; .used.csv, the
used places of the last sheet, for --used of the next run. With --trial:
trial.pdf to print, trial.cut.svg to cut, and trial.form.csv; fill in a copy
of it for --correction.

Places are counted along the rows from the top left. Spoiled rows are lost on
every sheet, a part-used one included. A part-used sheet already has its
registration marks, so they are not printed again.

Caution: cutting machines and knives have sharp blades. Follow the machine's
manual, keep hands, hair and sleeves away from moving parts, and switch it off
before you change a blade. Use film and adhesives as their makers direct, with
fresh air; keep small parts and blades away from children. Local rules take
precedence.

Examples:
  shadecard labels sheet.ron
  shadecard labels sheet.ron --label-sheet roll --spoiled-rows 1 --fill-spoiled
  shadecard labels sheet.ron --since spring/sheet.ron --spelling en-GB --first-free 17
  shadecard labels sheet.ron --only gannet,dulse --copies 3
  shadecard labels sheet.ron --trial
  shadecard labels sheet.ron --correction window-cutter-matt.csv")]
pub struct LabelsArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Sizes of sheet and labels: a4, letter, roll, small (for tiles of 50 x 25 mm), or your own file
    #[arg(long, value_name = "LABEL-SHEET", default_value = "a4")]
    pub label_sheet: String,

    /// Print and cut a trial sheet, to measure how far off the cutting machine is
    #[arg(long, conflicts_with_all = ["family", "listing", "spoiled_rows", "fill_spoiled", "first_free", "used", "since", "only", "copies"])]
    pub trial: bool,

    /// Correct the cuts by the measurements of a trial sheet: a table of mark, dx and dy, or a RON file
    #[arg(long, value_name = "FILE")]
    pub correction: Option<PathBuf>,

    /// Make only labels that differ from this older release: a sheet or a range
    #[arg(long, value_name = "OLD.ron", help_heading = SELECTION)]
    pub since: Option<PathBuf>,

    /// Make labels only of these colours, by their keys
    #[arg(long, value_name = "KEY,KEY", value_delimiter = ',', help_heading = SELECTION)]
    pub only: Vec<String>,

    /// Use only this family, by its key; may be repeated
    #[arg(long, value_name = "KEY", help_heading = SELECTION)]
    pub family: Vec<String>,

    /// Use only this spelling, such as en-GB; may be repeated [default: all of the sheet's]
    #[arg(long, value_name = "TAG", help_heading = SELECTION)]
    pub spelling: Vec<String>,

    /// Labels of every colour, next to each other, 1 to 1000
    #[arg(long, value_name = "N", default_value_t = 1, help_heading = SELECTION)]
    pub copies: u64,

    /// Rows that the cutting machine spoils on every sheet
    #[arg(long, value_name = "N", default_value_t = 0, help_heading = CUTTING)]
    pub spoiled_rows: u32,

    /// Fill the spoiled rows with repeats instead of leaving them empty
    #[arg(long, requires = "spoiled_rows", help_heading = CUTTING)]
    pub fill_spoiled: bool,

    /// Continue on a part-used sheet, from this place
    #[arg(long, value_name = "N", conflicts_with = "used", help_heading = CUTTING)]
    pub first_free: Option<u64>,

    /// Continue on a part-used sheet: a table of its used places, headed place
    #[arg(long, value_name = "FILE", help_heading = CUTTING)]
    pub used: Option<PathBuf>,

    /// How the cut files describe round corners
    #[arg(long, value_enum, value_name = "FORM", default_value_t = CornersArg::Arcs, help_heading = CUTTING)]
    pub corners: CornersArg,

    /// The listings whose names and numbers are given, in this order; may be
    /// repeated [default: as on the sheet]
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Vec<String>,

    /// On every label a square code that opens its colour on the page for buyers, whose address is in the sheet
    #[arg(long, conflicts_with = "trial", help_heading = WORDS)]
    pub codes: bool,

    /// Use another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    #[arg(long = "paper", value_name = "PAPER", conflicts_with = "trial", help_heading = PRINTING, help = DESK_PAPER)]
    pub print_on: Option<String>,

    /// Folder for the results; SHEET/labels is made in it, SHEET-PAPER/labels for a paper
    #[arg(long, value_name = "DIR", default_value = "out", help_heading = OUTPUT)]
    pub out: PathBuf,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Print what was made as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,

    /// Show no warnings and no table
    #[arg(long, short, help_heading = OUTPUT)]
    pub quiet: bool,
}

/// Round corners in cut files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CornersArg {
    /// Arcs of circles, within 0.002 mm
    Arcs,
    /// Short straight lines, within 0.004 mm, for machines that do not support arcs
    Lines,
}
