//! Arguments of `new` and `export`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{OUTPUT, REPLACE};

/// Options of a new range.
const FROM_LIST: &str = "From your own list";
/// Options that copy a file which comes with the program.
const COPY: &str = "Copy a file that comes with the program";

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "\
Without --from, the folder gets ten colours, three parts and two listings, with
comments that explain every field.

With --from, it gets your own list. Columns are recognised by their headings,
in English or German, in one row or in two: names and numbers of one or several
lists, values (#rrggbb, #rgb, Lab, L* a* b*, r g b), families, finishes, years,
notes, and crosses for the parts that are made. A workbook may have separate
sheets for the parts and for the crosses. new reports how it read each column
and what it did not understand. Parts without a drawing get a plain outline.

With --layout, --style, --label-sheet or --spelling, it writes one file exactly
as it comes with the program, with its comments, for you to change. Existing
files are never overwritten.

  layouts:       poster-610x914, poster-457x610, poster-305x406,
                 poster-24x36in, poster-18x24in, poster-12x16in, letter, a4,
                 a3, letter-pages, a4-pages
  styles:        plate, catalogue
  label sheets:  a4, letter, roll, small
  spellings:     en-GB, en-US

Examples:
  shadecard new spring
  shadecard new spring --from colours.xlsx
  shadecard new spring --from colours.xlsx --parts drawings
  shadecard new spring --from list.csv --heading \"Shade=name\" --heading \"Price=\"
  shadecard new spring/shop.ron --layout a4
  shadecard new spring/mine.style.ron --style plate
  shadecard new spring/mine.labels.ron --label-sheet roll
  shadecard new spring/spelling/de-DE.ron --spelling en-GB")]
pub struct NewArgs {
    /// The folder or file to make
    #[arg(value_name = "DIR|FILE.ron")]
    pub dir: PathBuf,

    /// A spreadsheet of colours: .csv, .xlsx or .ods
    #[arg(long, value_name = "FILE", help_heading = FROM_LIST)]
    pub from: Option<PathBuf>,

    /// The parts: a folder of SVG drawings, or a table that names them
    #[arg(long, value_name = "PATH", requires = "from", help_heading = FROM_LIST)]
    pub parts: Option<PathBuf>,

    /// The sheet of the workbook that holds the colours [default: found by its headings]
    #[arg(long, value_name = "NAME", requires = "from", help_heading = FROM_LIST)]
    pub sheet: Option<String>,

    /// The meaning of a heading, such as "Shade=name"; "Price=" ignores the column
    #[arg(long, value_name = "HEADING=MEANING", requires = "from", help_heading = FROM_LIST)]
    pub heading: Vec<String>,

    /// Copy this layout
    #[arg(long, value_name = "NAME", group = "template", conflicts_with = "from", help_heading = COPY)]
    pub layout: Option<String>,

    /// Copy this style
    #[arg(long, value_name = "NAME", group = "template", conflicts_with = "from", help_heading = COPY)]
    pub style: Option<String>,

    /// Copy this label sheet
    #[arg(long, value_name = "NAME", group = "template", conflicts_with = "from", help_heading = COPY)]
    pub label_sheet: Option<String>,

    /// Copy the words of this spelling, to translate them
    #[arg(long, value_name = "TAG", group = "template", conflicts_with = "from", help_heading = COPY)]
    pub spelling: Option<String>,
}

/// Arguments of `export`.
#[derive(Debug, Args)]
#[command(after_help = "\
The folder gets the sheet, a range file that names the tables, the tables
(colours, parts, made), and the drawings and other files that the sheet uses.
The exported sheet can be made as it is and gives the same result.

Examples:
  shadecard export sheet.ron --to xlsx
  shadecard export sheet.ron --to csv --out tables")]
pub struct ExportArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// xlsx: one workbook with three sheets; csv: three files
    #[arg(long, value_name = "KIND", value_enum)]
    pub to: ExportTo,

    /// The folder to write [default: out/NAME-tables, NAME being the sheet's]
    #[arg(long, value_name = "DIR", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,
}

/// The form of exported tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExportTo {
    Xlsx,
    Csv,
}
