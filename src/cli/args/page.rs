//! Arguments of `page`.

use std::path::PathBuf;

use clap::Args;

use super::{OUTPUT, REPLACE, WORDS};

/// Arguments of `page`.
#[derive(Debug, Args)]
#[command(after_help = "\
page writes a folder that any web host, or a double click, can show: one HTML
file, which needs no server and asks nobody for anything, and the picture of
the sheet at 100 dpi to download. Buyers search it, compare colours and write
an order with the numbers of the listing that they order by.

The sheet may name a shop and a licence:
  page: (shop: \"https://...\", licence: \"...\")

Examples:
  shadecard page demo/haberdashery/sheet.ron
  shadecard page sheet.ron --listing dealer --picture a4 --out site")]
pub struct PageArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Offer the picture of this edition; may be repeated [default: the first edition]
    #[arg(long, value_name = "EDITION")]
    pub picture: Vec<String>,

    /// Offer no picture
    #[arg(long, conflicts_with = "picture")]
    pub no_picture: bool,

    /// The listing that buyers order by at first [default: the sheet's headings]
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Option<String>,

    /// Use only this spelling, such as en-GB; may be repeated
    #[arg(long, value_name = "TAG", help_heading = WORDS)]
    pub spelling: Vec<String>,

    /// Use another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    /// Folder for the results
    #[arg(long, value_name = "DIR", default_value = "out", help_heading = OUTPUT)]
    pub out: PathBuf,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,

    /// Show no progress bar and no summary
    #[arg(long, short, help_heading = OUTPUT)]
    pub quiet: bool,

    /// Print the list of files as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,
}
