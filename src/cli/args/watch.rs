//! Arguments of `watch`.

use std::path::PathBuf;

use clap::Args;

use super::WORDS;

/// Groups of options in the help.
const PAGE: &str = "The page";

/// Shows a sheet in a browser while its files are edited.
#[derive(Debug, Args)]
#[command(
    long_about = "Shows the sheet in a browser while you edit its files.\n\n\
The page is for this machine alone: the address holds a word that only you see, nothing is written, and nothing\n\
is fetched from anywhere. After each save it shows the new sheet, what is wrong, and what has changed.\n\
While there are errors it keeps the last good sheet. Ctrl-C ends it.",
    after_help = "Example:  shadecard watch demo/haberdashery/sheet.ron"
)]
pub struct WatchArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Show the sheet of an earlier release beside it
    #[arg(long, value_name = "OLD.ron")]
    pub against: Option<PathBuf>,

    /// Use another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    /// Look words up in this Hunspell dictionary too; may be repeated
    #[arg(long, value_name = "FILE.dic", help_heading = WORDS)]
    pub dictionary: Vec<PathBuf>,

    /// Print the address and open nothing
    #[arg(long, help_heading = PAGE)]
    pub no_open: bool,

    /// Serve the page on this port
    #[arg(long, value_name = "N", help_heading = PAGE, value_parser = clap::value_parser!(u16).range(1..))]
    pub port: Option<u16>,
}
