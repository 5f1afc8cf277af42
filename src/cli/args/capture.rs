//! Arguments of `capture`.

use std::path::PathBuf;

use clap::Args;

use super::{OUTPUT, REPLACE};

/// Arguments of `capture`.
#[derive(Debug, Args)]
#[command(after_help = "\
capture reads the colours of parts from photographs of the pages that 'stage'
prints: JPEG, PNG or TIFF, 8 or 16 bits, any way up, with or without a colour
profile. The pages may come in any order, and each more than once: their
readings are averaged.

Colours of the range that have a measured value (Lab(...) or Spectrum(...)) are
used to model the camera, and the report gives how far off it is on colours that
it was not fitted to. Ten of them are the least that helps, 24 to 48 are good.
Without any, readings are relative: close colours can be compared, but a value
may be off by much, and the report and the table say so.

With --pictures every part is cut out along its outline, at its true size, its
flat face brought to the value of its colour. A sheet shows the pictures with
pictures: 'FOLDER' in its file (with double quotes).

With --outlines the parts without a drawing, of which the range gives only width
and height (shape: '18x9', with double quotes), get one: the outline that their
pieces show together, in millimetres.

A photograph that cannot be used is refused with its reason: blurred, glare,
clipped, a shadow across the page, too small, a part of the page only, another
page. Then nothing is written.

Examples:
  shadecard capture sheet.ron photos/*.jpg
  shadecard capture sheet.ron page1.jpg page1-again.jpg --out measured.csv
  shadecard capture sheet.ron shot.tif --stage nacre.json --json
  shadecard capture sheet.ron photos/*.jpg --outlines shapes
  shadecard capture sheet.ron old.jpg --stage old.ron")]
pub struct CaptureArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Photographs of the pages
    #[arg(value_name = "PHOTOGRAPH", required = true)]
    pub photographs: Vec<PathBuf>,

    /// What is on the pages, as 'stage' or 'board --marks' wrote it, or a description
    /// of a picture without marks (FILE.ron); default: out/NAME/stage.json
    #[arg(long, value_name = "FILE")]
    pub stage: Option<PathBuf>,

    /// Use the values given for screens (#rrggbb) as measured ones too
    #[arg(long)]
    pub trust_screen_values: bool,

    /// Cut the parts out, and write their pictures and a table of them into this folder
    #[arg(long, value_name = "FOLDER", help_heading = OUTPUT)]
    pub pictures: Option<PathBuf>,

    /// Trace the outlines of parts without a drawing, and write them as SVG into this folder
    #[arg(long, value_name = "FOLDER", help_heading = OUTPUT)]
    pub outlines: Option<PathBuf>,

    /// Write the colours to this table; default: out/NAME/measured.csv
    #[arg(long, value_name = "FILE.csv", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// No progress bar
    #[arg(long, help_heading = OUTPUT)]
    pub quiet: bool,

    /// Print the result as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,
}
