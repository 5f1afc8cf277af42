//! Arguments of `shapes` and `board`.

use std::path::PathBuf;

use clap::Args;

use super::{DESK_PAPER, OUTPUT, PRINTING, PageArg, PanelArgs, REPLACE, SELECTION, WORDS};

/// Arguments of `shapes`.
#[derive(Debug, Args)]
#[command(after_help = "\
Every part of the range is drawn at true size with its measurements in mm, in
every finish of the range, on a pale and on a dark colour. Beside it: what was
taken as the body, the number of holes, whether light and shade are drawn or
added, and how much of the face shows exactly the colour. Look at this page
first, and measure the ruler at its foot before you compare sizes.

The printed table gives the same figures.

Examples:
  shadecard shapes sheet.ron
  shadecard shapes sheet.ron --page letter --out shapes.pdf
  shadecard shapes sheet.ron --json")]
pub struct ShapesArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// The file to write, of the kind of its ending: .pdf, or .svg or .png with
    /// one file per page [default: out/SHEET/shapes.pdf]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Size of the pages
    #[arg(long, value_name = "SIZE", value_enum, default_value_t = PageArg::A4)]
    pub page: PageArg,

    /// The listing whose numbers are given [default: that of the sheet's headings]
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB [default: the sheet's first]
    #[arg(long, value_name = "TAG", help_heading = WORDS)]
    pub spelling: Option<String>,

    /// Style of the pages: plate, catalogue, or a style file [default: the sheet's]
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    #[arg(long = "paper", value_name = "PAPER", help_heading = PRINTING, help = DESK_PAPER)]
    pub print_on: Option<String>,

    /// Print the table as JSON
    #[arg(long, help_heading = OUTPUT)]
    pub json: bool,

    #[arg(long, help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,
}

/// Arguments of `board`.
#[derive(Debug, Args)]
#[command(after_help = "\
The map shows the board at true size: every part as a thin outline with its
number, and for every colour a blank tile with number, name, chip and place,
family by family in the sheet's order. It holds exactly the pieces that
'supplies' counts with one piece and one label of each.

--out board.pdf is the map to print, in panels with an overview first, or on
one page with --whole. --out board.csv and board.json list each position: the
place (12) of a blank tile, 12.1, 12.2 and so on of its parts from the left,
line by line, with part, colour, label, and the centre in mm from the board's
top left corner.

Caution when cutting and gluing: blades are sharp. Cut on a mat, along a metal
rule, away from your hand. Follow the instructions of the glue's maker, air the
room, and keep glue off skin and eyes. Lay everything out dry before you glue.

Examples:
  shadecard board sheet.ron --out board.pdf --out board.csv
  shadecard board sheet.ron --panels letter --listing dealer --out board.pdf
  shadecard board sheet.ron --width 900 --tile-size 60x40 --out board.pdf
  shadecard board sheet.ron --label-sheet small --tile-size 50x25 --out board.pdf
  shadecard board sheet.ron --family gloss --whole --out gloss.pdf
  shadecard board sheet.ron --whole --out board.pdf --marks board-marks.json")]
pub struct BoardArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// The file to write, by its ending: .pdf the map, .csv the positions, .json
    /// everything; may be repeated
    #[arg(long, value_name = "FILE")]
    pub out: Vec<PathBuf>,

    /// Draw marks by which a photograph of the finished board is read, and write what
    /// is where into this file: 'capture --stage FILE.json' needs it
    #[arg(long, value_name = "FILE.json", requires = "out")]
    pub marks: Option<PathBuf>,

    /// Width of the board, mm, up to 5000
    #[arg(long, value_name = "MM")]
    pub width: Option<f64>,

    /// Columns of colours, 1 to 50 [default: as many as make the board nearly square]
    #[arg(long, value_name = "N", conflicts_with = "width")]
    pub columns: Option<usize>,

    /// The label sheet of the labels on the blank tiles, as for 'labels'
    #[arg(long, value_name = "LABEL-SHEET", default_value = "a4", help_heading = "Blank tiles")]
    pub label_sheet: String,

    /// Width x height of a blank tile, mm [default: a label with 1 mm around it]
    #[arg(long, value_name = "WxH", help_heading = "Blank tiles")]
    pub tile_size: Option<String>,

    /// Use only this family, by its key; may be repeated
    #[arg(long, value_name = "KEY", help_heading = SELECTION)]
    pub family: Vec<String>,

    /// Leave out substitutes for missing parts
    #[arg(long, help_heading = SELECTION)]
    pub no_stand_ins: bool,

    /// Paper of the panels: a4, letter, a3, any standard size, or millimetres (210x297)
    #[arg(long, value_name = "SIZE", default_value = "a4", help_heading = PRINTING)]
    pub panels: String,

    #[command(flatten)]
    pub split: PanelArgs,

    /// Put the map on one page of the board's size instead of panels
    #[arg(long, conflicts_with_all = ["panels", "overlap", "margin"], help_heading = PRINTING)]
    pub whole: bool,

    #[arg(long = "paper", value_name = "PAPER", help_heading = PRINTING, help = DESK_PAPER)]
    pub print_on: Option<String>,

    /// The listing whose numbers and names are given [default: that of the sheet's headings]
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB [default: the sheet's first]
    #[arg(long, value_name = "TAG", help_heading = WORDS)]
    pub spelling: Option<String>,

    /// Style of the map: plate, catalogue, or a style file [default: the sheet's]
    #[arg(long, value_name = "STYLE", help_heading = WORDS)]
    pub style: Option<String>,

    /// Print everything as JSON
    #[arg(long, conflicts_with = "csv", help_heading = OUTPUT)]
    pub json: bool,

    /// Print the positions as CSV
    #[arg(long, help_heading = OUTPUT)]
    pub csv: bool,

    #[arg(long, requires = "out", help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,
}
