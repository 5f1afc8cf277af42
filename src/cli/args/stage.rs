//! Arguments of `stage`.

use std::path::PathBuf;

use clap::Args;

use super::{OUTPUT, REPLACE, SELECTION, WORDS};

/// Arguments of `stage`.
#[derive(Debug, Args)]
#[command(after_help = "\
stage prints pages to lay real parts on and to photograph: a place for every
part in every colour that it is made in, with its outline at true size and its
number, on white, grey or black paper so that its edge shows. Dots, grey patches
and a square code let 'capture' find every place in the photograph again.

Print the pages at 100 % on plain matt paper; the ruler at the foot must measure
100 mm. Lay the page flat, lay each part within its outline, and leave the dots
and the paper between the places free. Use even light from two sides or an
overcast sky, no flash, and photograph the whole page from straight above, a page
a photograph. Each page may be photographed more than once.

A chart of reference colours makes readings absolute where no colour of the
range is measured: give its reference file and the size of its patches, and lay
it within the corners that are printed on every page.

Beside the PDF, stage writes what is on its pages (the same name, ending in
.json): 'capture' needs this file.

Examples:
  shadecard stage sheet.ron
  shadecard stage sheet.ron --one-each --page letter
  shadecard stage sheet.ron --family nacre --part 1104 --out nacre.pdf
  shadecard stage sheet.ron --page 297x420
  shadecard stage sheet.ron --chart chart.txt --chart-size 63x41")]
pub struct StageArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Page size: a4, letter, another standard size, or width x height in mm
    #[arg(long, value_name = "SIZE", default_value = "a4")]
    pub page: String,

    /// Lay out one part of each colour only, the largest that is made in it
    #[arg(long)]
    pub one_each: bool,

    /// Keep room on every page for a chart of reference colours with this reference
    /// file (CGATS, CxF or a table)
    #[arg(long, value_name = "FILE", requires = "chart_size", help_heading = "Chart")]
    pub chart: Option<PathBuf>,

    /// Width x height of all patches of the chart together, mm
    #[arg(long, value_name = "WxH", requires = "chart", help_heading = "Chart")]
    pub chart_size: Option<String>,

    /// Columns x rows of its patches; default: by their names or the size
    #[arg(long, value_name = "CxR", requires = "chart", help_heading = "Chart")]
    pub chart_grid: Option<String>,

    /// Write the pages to this PDF; default: out/NAME/stage.pdf
    #[arg(long, value_name = "FILE.pdf", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Print the result as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,

    /// Use only the colours of this family; may be repeated
    #[arg(long, value_name = "KEY", help_heading = SELECTION)]
    pub family: Vec<String>,

    /// Use only this part, by its key or a number; may be repeated
    #[arg(long, value_name = "PART", help_heading = SELECTION)]
    pub part: Vec<String>,

    /// Use only these colours, by key, separated by commas
    #[arg(long, value_name = "KEYS", value_delimiter = ',', help_heading = SELECTION)]
    pub only: Vec<String>,

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
