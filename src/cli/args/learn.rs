//! Arguments of `target` and `learn`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{ColourModeArg, OUTPUT, PRINTING, REPLACE, WORDS};

/// By what a print is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ByArg {
    /// Which of the patches around it a part is like
    Eye,
    /// Parts and patches in one photograph
    Photograph,
    /// A chart to be measured
    Instrument,
}

/// Arguments of `target`.
#[derive(Debug, Args)]
#[command(after_help = "\
target prints what shows how your printer or print house really prints on a
paper: the value of every colour of the sheet, and values a small step away.

Pages for parts have a place for a part of every colour, eight patches around
it, and a form (CSV) that asks which patch is most like the part. The same pages
can be photographed with the parts on them. Pages of a chart are for a measuring
instrument, with their reference as CGATS.17.

Print the PDF exactly as the sheet is printed: the same house, paper and
settings, at 100 %. Then read it: 'shadecard learn'.

Examples:
  shadecard target sheet.ron --paper matte
  shadecard target sheet.ron --paper matte --by eye --page letter
  shadecard target sheet.ron --paper shop.icc --by instrument --page 305x406")]
pub struct TargetArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// The paper: a name from the sheet's papers, one of coated, semi-gloss and
    /// matte, or an ICC profile (.icc)
    #[arg(long, value_name = "PAPER")]
    pub paper: String,

    /// How it will be read; default: all
    #[arg(long, value_name = "WAY", value_enum, value_delimiter = ',')]
    pub by: Vec<ByArg>,

    /// How far patches are from each other (difference in CIELAB), 1 to 10
    #[arg(long, value_name = "N", default_value_t = 3.0)]
    pub step: f64,

    /// Page size: a4, letter, another standard size, or width x height in mm
    #[arg(long, value_name = "SIZE", default_value = "a4")]
    pub page: String,

    /// Colour mode of the file [default: the paper's]
    #[arg(long, value_name = "MODE", value_enum, help_heading = PRINTING)]
    pub colour_mode: Option<ColourModeArg>,

    /// Write the pages to this PDF; default: out/NAME-PAPER-target/target.pdf
    #[arg(long, value_name = "FILE.pdf", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Print the result as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,

    /// Use another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    /// Use this spelling, such as en-GB; default: the sheet's first
    #[arg(long, value_name = "TAG", help_heading = WORDS)]
    pub spelling: Option<String>,

    /// Use the numbers of this listing; default: that of the headings
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Option<String>,
}

/// Arguments of `learn`.
#[derive(Debug, Args)]
#[command(after_help = "\
learn reads a print of 'target': the form that somebody filled in (.csv, .xlsx,
.ods), photographs of its pages with the parts on them (.jpg, .png, .tif), or the
file of an instrument (CGATS, CxF, or a table with L*, a*, b*). Everything that
is named in one run is one round.

The readings of all rounds are kept beside the sheet, in PAPER.read.ron, with the
printer they are of. 'tune', 'proof' and 'make' then reckon with the printer as it
is. learn reports how far off the model was, which colours are spot on, what new
values would bring, and when you can stop. What is noisy leans on its neighbours,
and colours that were never printed profit as well.

Examples:
  shadecard learn sheet.ron --paper matte --printer \"Desk printer\" form.csv
  shadecard learn sheet.ron --paper matte page1.jpg page2.jpg page3.jpg
  shadecard learn sheet.ron --paper matte measured.ti3 --about \"March, white backing\"
  shadecard learn sheet.ron --paper matte --remove-round 1
  shadecard learn sheet.ron --paper matte --merge other/matte.read.ron")]
pub struct LearnArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// The form, photographs or an instrument's file
    #[arg(value_name = "FILE")]
    pub files: Vec<PathBuf>,

    /// The paper, as for 'target'
    #[arg(long, value_name = "PAPER")]
    pub paper: String,

    /// What was printed, as 'target' wrote it; default: out/NAME-PAPER-target/target.json
    #[arg(long, value_name = "FILE.json")]
    pub target: Option<PathBuf>,

    /// The print house or printer, in your own words: readings of different ones are not mixed
    #[arg(long, value_name = "TEXT")]
    pub printer: Option<String>,

    /// A note on this round: the date, the batch of paper, the instrument's backing
    #[arg(long, value_name = "TEXT")]
    pub about: Option<String>,

    /// Forget all rounds before this one
    #[arg(long, conflicts_with = "merge")]
    pub start_again: bool,

    /// Take a round out; the first is 1
    #[arg(long, value_name = "N", conflicts_with_all = ["start_again", "merge"])]
    pub remove_round: Option<usize>,

    /// Add the rounds of another file of readings
    #[arg(long, value_name = "FILE.read.ron")]
    pub merge: Option<PathBuf>,

    /// Use the values given for screens (#rrggbb) as measured ones too, for the camera
    #[arg(long)]
    pub trust_screen_values: bool,

    /// Colour mode of the print [default: the paper's]
    #[arg(long, value_name = "MODE", value_enum, help_heading = PRINTING)]
    pub colour_mode: Option<ColourModeArg>,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// No progress bar
    #[arg(long, help_heading = OUTPUT)]
    pub quiet: bool,

    /// Print the result as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,
}
