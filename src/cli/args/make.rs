//! Arguments of `make`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Choice, ColourModeArg, OUTPUT, PAPER, PRINTING, REPLACE, SELECTION};
use crate::panels::paper::{MARGIN, OVERLAP};
use crate::range::Format;

/// Arguments of `make`.
#[derive(Debug, Args)]
#[command(after_help = "\
Files are named EDITION.SPELLING.svg, .pdf, .300dpi.png and .100dpi.png; JPEG
and TIFF files end in .300dpi.jpg and .300dpi.tif. Each file appears whole or
not at all. manifest.json lists them with their checksums and is written last.

Where a layout has bleed, SVG files and pictures include it, without crop
marks. Where a layout gives a size in pixels, pictures have exactly that size.

--format jpeg and tiff apply to every edition that is made as pictures, even
where the sheet does not list them. --panels writes
EDITION.SPELLING.panels-a4.pdf: an overview with instructions, then every
panel with its marks and a check ruler.

Examples:
  shadecard make sheet.ron
  shadecard make sheet.ron --edition a4 --spelling en-US --format pdf
  shadecard make sheet.ron --style catalogue --out drafts
  shadecard make sheet.ron --edition poster --format jpeg,tiff
  shadecard make sheet.ron --edition poster --format svg --outlines
  shadecard make sheet.ron --edition poster --format pdf --panels a4")]
pub struct MakeArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// Make only this kind of file; may be repeated, or separated by commas
    #[arg(long, value_name = "KIND", value_enum, value_delimiter = ',')]
    pub format: Vec<FormatArg>,

    /// Resolution of the pictures; may be repeated [default: 300, and 100 as PNG]
    #[arg(long, value_name = "N", help_heading = OUTPUT)]
    pub dpi: Vec<u32>,

    /// Quality of JPEG files, 1 to 100 [default: 92]
    #[arg(long, value_name = "N", help_heading = OUTPUT)]
    pub quality: Option<u32>,

    /// Draw the words of SVG files as paths, so that no fonts are needed; writes
    /// EDITION.SPELLING.outlines.svg
    #[arg(long, help_heading = OUTPUT)]
    pub outlines: bool,

    /// Folder for the results; a folder named after the sheet is made in it
    #[arg(long, value_name = "DIR", default_value = "out", help_heading = OUTPUT)]
    pub out: PathBuf,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Number of threads [default: one for each core]
    #[arg(long, value_name = "N", help_heading = OUTPUT)]
    pub jobs: Option<usize>,

    /// Draw every file again, including those that are up to date
    #[arg(long, help_heading = OUTPUT)]
    pub fresh: bool,

    /// Show no progress bar and no final table
    #[arg(long, short, help_heading = OUTPUT)]
    pub quiet: bool,

    /// Mark the colours that are new since this older range or sheet
    #[arg(long, value_name = "OLD.ron", help_heading = SELECTION)]
    pub new_since: Option<PathBuf>,

    #[arg(long, value_name = "PAPER", help_heading = PRINTING, help = PAPER)]
    pub paper: Option<String>,

    /// Colour mode of the files for the paper [default: the sheet's]; cmyk makes a PDF for a press
    #[arg(long, value_name = "MODE", value_enum, requires = "paper", help_heading = PRINTING)]
    pub colour_mode: Option<ColourModeArg>,

    /// Convert colours as a print house would, without keeping close ones apart
    #[arg(long, requires = "paper", help_heading = PRINTING)]
    pub plain: bool,

    /// Also split editions larger than this paper into panels to print and
    /// glue: a4, letter, a3, any standard size, or millimetres (210x297)
    #[arg(long, value_name = "SIZE", help_heading = PRINTING)]
    pub panels: Option<String>,

    #[command(flatten)]
    pub split: PanelArgs,
}

/// How a page is split into panels.
#[derive(Debug, Args)]
pub struct PanelArgs {
    /// Overlap of neighbouring panels, mm, 0 to 50 [default: 10]
    #[arg(long, value_name = "MM", help_heading = PRINTING)]
    pub overlap: Option<f64>,

    /// Edge of the paper that the printer leaves white, mm, 0 to 50 [default: 8]
    #[arg(long, value_name = "MM", help_heading = PRINTING)]
    pub margin: Option<f64>,
}

impl PanelArgs {
    /// Overlap and margin, mm, as given or the defaults.
    pub fn measures(&self) -> (f64, f64) {
        (self.overlap.unwrap_or(OVERLAP), self.margin.unwrap_or(MARGIN))
    }
}

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FormatArg {
    Svg,
    Pdf,
    Png,
    #[value(alias = "jpg")]
    Jpeg,
    #[value(alias = "tif")]
    Tiff,
}

impl From<FormatArg> for Format {
    fn from(arg: FormatArg) -> Format {
        match arg {
            FormatArg::Svg => Format::Svg,
            FormatArg::Pdf => Format::Pdf,
            FormatArg::Png => Format::Png,
            FormatArg::Jpeg => Format::Jpeg,
            FormatArg::Tiff => Format::Tiff,
        }
    }
}
