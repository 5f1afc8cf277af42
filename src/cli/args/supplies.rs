//! Arguments of `supplies`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{DESK_PAPER, OUTPUT, PRINTING, PageArg, REPLACE, SELECTION, WORDS};

/// How many of what.
const AMOUNTS: &str = "Amounts";
/// Sheets of labels.
const LABEL_SHEETS: &str = "Label sheets";

/// Arguments of `supplies`.
#[derive(Debug, Args)]
#[command(after_help = "\
supplies counts every colour of the sheet in every part that its family shows
(the candidates, the given columns, or all parts in loose rows) and that is
made, including substitutes for missing parts. A sheet may leave out a column
where the page is small; a board has room for all.

Spares are counted per line, a line being one part in one colour: a spare of
another colour replaces nothing. A share is rounded up to whole pieces, so 5%
of a single piece is one more piece, and with --each 40 it is two. Blank tiles
are identical and make one line. Nothing is rounded down.

Defaults for label sheets: 7 rows of 3, no spoiled rows, no part-used sheet.
Places are counted along the rows from the top left. Spoiled rows are lost on
every sheet, a part-used one included.

The stock file is a table with the columns part, colour and count. Parts and
colours are given by key, number or name; numbers of --listing take precedence.
Two lines have no colour: 'blank tiles' and 'label sheets'. Lines about the
same thing are added up.

Examples:
  shadecard supplies sheet.ron
  shadecard supplies sheet.ron --listing dealer --spares 1 --out buy.pdf
  shadecard supplies sheet.ron --stock stock.csv --out buy.md
  shadecard supplies sheet.ron --label-grid 8x3 --spoiled-rows 1 --first-free 11
  shadecard supplies sheet.ron --each 40 --spares 5% --csv")]
pub struct SuppliesArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Spares of every part in every colour: a count (2) or a share rounded up (5%)
    #[arg(long, value_name = "N|N%", default_value = "0")]
    pub spares: String,

    /// What is in stock: a table of part, colour and count
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,

    /// Write a file too: a tick list as .pdf or .md, the lines as .csv, everything as .json
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Pieces of every part in every colour, 1 to 10000
    #[arg(long, value_name = "N", default_value_t = 1, help_heading = AMOUNTS)]
    pub each: u64,

    /// Labels of every colour, each with a blank tile, 0 to 10000
    #[arg(long, value_name = "N", default_value_t = 1, help_heading = AMOUNTS)]
    pub labels_each: u64,

    /// Spare blank tiles in all: a count or a share [default: as --spares]
    #[arg(long, value_name = "N|N%", help_heading = AMOUNTS)]
    pub tile_spares: Option<String>,

    /// Use only this family, by its key; may be repeated
    #[arg(long, value_name = "KEY", help_heading = SELECTION)]
    pub family: Vec<String>,

    /// Leave out substitutes for missing parts
    #[arg(long, help_heading = SELECTION)]
    pub no_stand_ins: bool,

    /// Rows x columns of labels on a sheet [default: 7x3]
    #[arg(long, value_name = "RxC", conflicts_with = "labels_per_sheet", help_heading = LABEL_SHEETS)]
    pub label_grid: Option<String>,

    /// Labels on a sheet, where rows do not matter, 1 to 1000
    #[arg(long, value_name = "N", conflicts_with = "spoiled_rows", help_heading = LABEL_SHEETS)]
    pub labels_per_sheet: Option<u32>,

    /// Rows that the cutting machine spoils on every sheet [default: 0]
    #[arg(long, value_name = "N", help_heading = LABEL_SHEETS)]
    pub spoiled_rows: Option<u32>,

    /// The first free place of a part-used sheet
    #[arg(long, value_name = "N", default_value_t = 1, help_heading = LABEL_SHEETS)]
    pub first_free: u64,

    /// The listing whose numbers and names are given [default: that of the sheet's headings]
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB [default: the sheet's first]
    #[arg(long, value_name = "TAG", help_heading = WORDS)]
    pub spelling: Option<String>,

    /// Style of the PDF: plate, catalogue, or a style file [default: the sheet's]
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    /// Totals to print; may be repeated [default: part and family]
    #[arg(long, value_name = "WHAT", value_enum, help_heading = OUTPUT)]
    pub per: Vec<PerArg>,

    /// Print everything as JSON
    #[arg(long, conflicts_with = "csv", help_heading = OUTPUT)]
    pub json: bool,

    /// Print the lines as CSV
    #[arg(long, help_heading = OUTPUT)]
    pub csv: bool,

    #[arg(long, requires = "out", help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Page size of the PDF [default: a4]
    #[arg(long, value_name = "SIZE", value_enum, help_heading = PRINTING)]
    pub page: Option<PageArg>,

    #[arg(long = "paper", value_name = "PAPER", help_heading = PRINTING, help = DESK_PAPER)]
    pub print_on: Option<String>,
}

/// A kind of total.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PerArg {
    Part,
    Family,
    Colour,
}
