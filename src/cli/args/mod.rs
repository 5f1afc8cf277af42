//! Arguments as typed. What they mean together is checked by the commands.

mod begin;
mod board;
mod capture;
mod check;
mod compare;
mod labels;
mod learn;
mod make;
mod page;
mod papers;
mod stage;
mod supplies;
mod watch;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

pub use self::begin::{ExportArgs, ExportTo, NewArgs};
pub use self::board::{BoardArgs, ShapesArgs};
pub use self::capture::CaptureArgs;
pub use self::check::{CheckArgs, FailOn, LookalikesArgs, PlanArgs};
pub use self::compare::{CompareArgs, Whom};
pub use self::labels::{CornersArg, LabelsArgs};
pub use self::learn::{ByArg, LearnArgs, TargetArgs};
pub use self::make::{FormatArg, MakeArgs, PanelArgs};
pub use self::page::PageArgs;
pub use self::papers::{ColourModeArg, ProofArgs, TuneArgs};
pub use self::stage::StageArgs;
pub use self::supplies::{PerArg, SuppliesArgs};
pub use self::watch::WatchArgs;
use crate::limits::MOST_TIMES;

/// Groups of options in the help.
const SELECTION: &str = "Selection";
const OUTPUT: &str = "Output";
const PRINTING: &str = "Printing";
const WORDS: &str = "Names and style";

/// What `--paper` accepts.
const PAPER: &str = "Use print values for this paper: a name from the sheet's papers, one of coated, semi-gloss and \
     matte, or an ICC profile (.icc)";
/// The same for pages that are printed at a desk.
const DESK_PAPER: &str = "Use sRGB print values for this paper: a name from the sheet's papers, one of coated, \
     semi-gloss and matte, or an ICC profile (.icc)";
/// What `--replace` does.
const REPLACE: &str = "Replace files that shadecard did not write or that were changed since";

/// Makes printed colour reference sheets from plain files.
///
/// A range file lists the colours and parts that a maker offers and which part
/// is made in which colour. A sheet file selects what to show. From the two,
/// shadecard lays out a sheet in every size and spelling and writes it as SVG,
/// PDF and PNG in one run.
#[derive(Debug, Parser)]
#[command(name = "shadecard", version, max_term_width = 100)]
#[command(after_help = "Start with:  shadecard make demo/haberdashery/sheet.ron")]
pub struct Cli {
    /// Accept input files up to N times the usual size, up to 64. Use it only for files you trust
    #[arg(long, global = true, value_name = "N", default_value_t = 1, help_heading = "Limits",
          value_parser = clap::value_parser!(u64).range(1..=MOST_TIMES))]
    pub raise_limits: u64,

    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Lay out and write every edition of a sheet
    Make(MakeArgs),
    /// Report the layout of every edition without drawing it
    Plan(PlanArgs),
    /// Check all input files and proofread the words
    Check(CheckArgs),
    /// Show the sheet in a browser while you edit its files
    Watch(WatchArgs),
    /// Start a range and a sheet, or copy a layout or style to change
    New(NewArgs),
    /// Export the range as a workbook or as CSV files
    Export(ExportArgs),
    /// Report what changed between two releases and what to make again
    Compare(CompareArgs),
    /// Draw every part as its drawing was understood, at true size
    Shapes(ShapesArgs),
    /// Print pages to lay parts on and to photograph
    Stage(StageArgs),
    /// Read the colours of parts from photographs of these pages
    Capture(CaptureArgs),
    /// Count the parts, tiles and label sheets that a sample board needs
    Supplies(SuppliesArgs),
    /// Print and cut the labels of a sample board
    Labels(LabelsArgs),
    /// Map where every part and label goes on a sample board
    Board(BoardArgs),
    /// Find print values that keep close colours apart on a paper
    Tune(TuneArgs),
    /// Show and report how a sheet looks when printed on a paper
    Proof(ProofArgs),
    /// Print a page that shows how a printer really prints on a paper
    Target(TargetArgs),
    /// Learn from that print, read by eye, by photograph or by instrument
    Learn(LearnArgs),
    /// List the colours of a sheet that are easily confused
    Lookalikes(LookalikesArgs),
    /// Write a page for buyers, to put on the web
    Page(PageArgs),
    /// Print a completion script for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page
    Manual,
}

/// The editions of a sheet.
#[derive(Debug, Args)]
pub struct Choice {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Use only this edition; may be repeated
    #[arg(long, value_name = "NAME")]
    pub edition: Vec<String>,

    /// Use only this spelling, such as en-GB; may be repeated
    #[arg(long, value_name = "TAG")]
    pub spelling: Vec<String>,

    /// Use another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    /// Print the result as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,
}

/// A page size of a desk printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PageArg {
    A4,
    Letter,
}
