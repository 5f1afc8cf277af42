//! Arguments of `proof` and `tune`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Choice, OUTPUT, PAPER, PRINTING, REPLACE};
use crate::range::ColourMode;

/// The colour mode of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColourModeArg {
    Cmyk,
    Srgb,
}

impl From<ColourModeArg> for ColourMode {
    fn from(arg: ColourModeArg) -> ColourMode {
        match arg {
            ColourModeArg::Cmyk => ColourMode::Cmyk,
            ColourModeArg::Srgb => ColourMode::Srgb,
        }
    }
}

/// Arguments of `proof`.
#[derive(Debug, Args)]
#[command(after_help = "\
For every paper, the folder out/NAME-proof gets the edition as the paper would
show it (PNG, and PDF with the report as its last page) and a picture of target
and print side by side. colours.csv, pairs.csv, totals.csv and report.json
cover all papers together. Default: the sheet's first edition and spelling.

The pictures show the paper's own white as far as a screen can. Differences
are given relative to that white, because the eye adapts to it; the column
'measured' gives what an instrument reads.

Values come from the paper's file of print values; where there is none, they
are tuned for this run. The table also gives the result of a plain conversion.

Examples:
  shadecard proof sheet.ron --paper matte
  shadecard proof sheet.ron --paper coated --paper semi-gloss --paper matte")]
pub struct ProofArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// The paper: a name from the sheet's papers, one of coated, semi-gloss and
    /// matte, or an ICC profile (.icc); may be repeated
    #[arg(long, value_name = "PAPER", required = true)]
    pub paper: Vec<String>,

    /// Colour mode of the files for the papers [default: the sheet's]
    #[arg(long, value_name = "MODE", value_enum, help_heading = PRINTING)]
    pub colour_mode: Option<ColourModeArg>,

    /// Show a plain conversion, as a print house would make it
    #[arg(long, help_heading = PRINTING)]
    pub plain: bool,

    /// Report pairs up to this difference (CIEDE2000), 1 to 50
    #[arg(long, value_name = "N", default_value_t = 10.0, help_heading = OUTPUT)]
    pub limit: f64,

    /// Write the report only, without pictures
    #[arg(long, help_heading = OUTPUT)]
    pub figures: bool,

    /// Resolution of the PNG files
    #[arg(long, value_name = "N", default_value_t = 100, conflicts_with = "figures", help_heading = OUTPUT)]
    pub dpi: u32,

    /// Folder for the results
    #[arg(long, value_name = "DIR", default_value = "out", help_heading = OUTPUT)]
    pub out: PathBuf,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Show no progress bar and no table
    #[arg(long, short, help_heading = OUTPUT)]
    pub quiet: bool,
}

/// Arguments of `tune`.
#[derive(Debug, Args)]
#[command(after_help = "\
A paper shows fewer colours than the parts have, and a plain conversion lets
close colours fall together. tune looks for values that keep every pair apart
and in order, and that are no farther from the targets on average. The file
holds the values and the figures before and after; 'make --paper' and 'proof'
use it. Pairs that cannot be kept apart are listed.

dE is CIEDE2000. Two prints less than 2 apart are hard to tell apart; the
column 'together' counts the look-alikes that fall below 2.

Examples:
  shadecard tune sheet.ron --paper matte
  shadecard tune sheet.ron --paper press.icc --out press.values.ron")]
pub struct TuneArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    #[arg(long, value_name = "PAPER", help = PAPER)]
    pub paper: String,

    /// Colour mode of the files for the paper [default: the sheet's]
    #[arg(long, value_name = "MODE", value_enum)]
    pub colour_mode: Option<ColourModeArg>,

    /// The file to write [default: the file that the sheet names, or PAPER.values.ron beside the sheet]
    #[arg(long, value_name = "FILE", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Report pairs up to this difference (CIEDE2000), 1 to 50
    #[arg(long, value_name = "N", default_value_t = 10.0, help_heading = OUTPUT)]
    pub limit: f64,

    /// Print the report before and after as JSON
    #[arg(long, conflicts_with = "csv", help_heading = OUTPUT)]
    pub json: bool,

    /// Print every pair before and after as CSV
    #[arg(long, help_heading = OUTPUT)]
    pub csv: bool,
}
