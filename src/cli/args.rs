//! Arguments as typed. What they mean together is checked by the commands.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::panels::paper::{MARGIN, OVERLAP};
use crate::range::{ColourMode, Format};
use crate::read::limits::MOST_TIMES;

/// Makes printed colour reference sheets from plain files.
///
/// A range file says which colours and parts a maker offers and which part is
/// made in which colour. A sheet file says what of it to show. From both comes
/// a sheet in every size and spelling, as SVG, PDF and PNG, in one run.
#[derive(Debug, Parser)]
#[command(name = "shadecard", version, max_term_width = 100)]
#[command(after_help = "Start with:  shadecard make demo/haberdashery/sheet.ron")]
pub struct Cli {
    /// Read files up to N times as large as usual, up to 64: for input that you trust
    #[arg(long, global = true, value_name = "N", default_value_t = 1,
          value_parser = clap::value_parser!(u64).range(1..=MOST_TIMES))]
    pub raise_limits: u64,

    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Draw every edition of a sheet and write the files
    Make(MakeArgs),
    /// Solve the layout of every edition and report it; write nothing
    Plan(PlanArgs),
    /// Read and check everything; draw nothing
    Check(CheckArgs),
    /// Begin a range and a sheet in a new folder, or a layout or style of your own
    New(NewArgs),
    /// Write the range out as a workbook or as CSV files
    Export(ExportArgs),
    /// Tell what changed between two releases, and what to make again
    Compare(CompareArgs),
    /// Show every drawing of a part as it was understood, at true size
    Shapes(ShapesArgs),
    /// Count what to buy to build the sample board of a sheet
    Supplies(SuppliesArgs),
    /// Print and cut the labels of a sample board
    Labels(LabelsArgs),
    /// Map where every part and label goes on the sample board
    Board(BoardArgs),
    /// Find print values that keep close colours apart on a paper
    Tune(TuneArgs),
    /// Show and report what a paper makes of a sheet
    Proof(ProofArgs),
    /// List the colours of a sheet that are easily confused
    Lookalikes(LookalikesArgs),
    /// Print a completion script for a shell
    Completions {
        /// The shell that will read the script
        shell: clap_complete::Shell,
    },
    /// Print the manual page
    Manual,
}

/// Which editions of a sheet.
#[derive(Debug, Args)]
pub struct Choice {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Only this edition, by its name; may be given several times
    #[arg(long, value_name = "NAME")]
    pub edition: Vec<String>,

    /// Only this spelling, such as en-GB; may be given several times
    #[arg(long, value_name = "TAG")]
    pub spelling: Vec<String>,

    /// Another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE")]
    pub style: Option<String>,

    /// Print results as JSON instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `make`.
#[derive(Debug, Args)]
#[command(after_help = "\
Files are named EDITION.SPELLING.svg, .pdf, .300dpi.png and .100dpi.png; JPEG
and TIFF files .300dpi.jpg and .300dpi.tif. Each appears whole or not at all;
manifest.json lists them with their checksums and is written last.

Where the layout has bleed, SVG files and pictures show it, without marks.
Where it names pixels, a picture has exactly these.

JPEG and TIFF are made of an edition that comes out as pictures, even if the
sheet does not list them. Tiles are EDITION.SPELLING.panels-a4.pdf: an overview that says
how to put them together, then every tile with its marks and a check ruler.

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

    /// Only this kind of file; several with commas, or given several times
    #[arg(long, value_name = "KIND", value_enum, value_delimiter = ',')]
    pub format: Vec<FormatArg>,

    /// Resolution of the pictures; may be given several times
    /// [default: 300, and 100 as PNG]
    #[arg(long, value_name = "N")]
    pub dpi: Vec<u32>,

    /// Quality of JPEG files, 1 to 100 [default: 92]
    #[arg(long, value_name = "N")]
    pub quality: Option<u32>,

    /// Words of SVG files as paths, which look the same without any fonts;
    /// the files are EDITION.SPELLING.outlines.svg
    #[arg(long)]
    pub outlines: bool,

    /// Folder for the results; a folder named after the sheet is made in it
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long)]
    pub replace: bool,

    /// How many threads draw; all cores if not given
    #[arg(long, value_name = "N")]
    pub jobs: Option<usize>,

    /// Draw every file again, also those that are as they should be
    #[arg(long)]
    pub fresh: bool,

    /// No progress bar and no closing table
    #[arg(long, short)]
    pub quiet: bool,

    /// Mark the colours that this older range, or the range of this older sheet, has not got
    #[arg(long, value_name = "OLD.ron")]
    pub new_since: Option<PathBuf>,

    /// Print values for this paper: a name from the sheet's papers, coated,
    /// semi-gloss, matte, or an ICC profile (.icc)
    #[arg(long, value_name = "PAPER")]
    pub paper: Option<String>,

    /// What files for the paper carry, if not what the sheet says: cmyk makes a PDF for a press
    #[arg(long, value_name = "WHAT", value_enum, requires = "paper")]
    pub colour_mode: Option<ColourModeArg>,

    /// Convert as a print house would, and do not keep colours apart
    #[arg(long, requires = "paper")]
    pub plain: bool,

    /// Editions larger than this paper also in tiles to print and glue, as a
    /// PDF: a4, letter, a3, any standard size, or millimetres (210x297)
    #[arg(long, value_name = "SIZE")]
    pub panels: Option<String>,

    #[command(flatten)]
    pub split: PanelArgs,
}

/// How tiles are cut.
#[derive(Debug, Args)]
pub struct PanelArgs {
    /// What neighbouring tiles share, mm, 0 to 50 [default: 10]
    #[arg(long, value_name = "MM")]
    pub overlap: Option<f64>,

    /// What the printer leaves white at the edges of its paper, mm, 0 to 50 [default: 8]
    #[arg(long, value_name = "MM")]
    pub margin: Option<f64>,
}

impl PanelArgs {
    /// Overlap and margin, mm, as asked for or as usual.
    pub fn measures(&self) -> (f64, f64) {
        (self.overlap.unwrap_or(OVERLAP), self.margin.unwrap_or(MARGIN))
    }
}

/// What a file colour_mode.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColourModeArg {
    Cmyk,
    Srgb,
}

impl From<ColourModeArg> for ColourMode {
    fn from(arg: ColourModeArg) -> ColourMode {
        match arg {
            ColourModeArg::Cmyk => ColourMode::Cmyk,
            ColourModeArg::Srgb => ColourMode::Srgb,
        }
    }
}

/// Arguments of `proof`.
#[derive(Debug, Args)]
#[command(after_help = "\
For every paper the folder out/NAME-proof gets the edition as the paper would
show it (PNG and PDF, the report as the PDF's last page) and a picture of aim
and paper side by side; for all papers together colours.csv, pairs.csv,
totals.csv and report.json. Without --edition and --spelling it is the sheet's
first one.

The pictures show the paper's own white, as far as a screen can. Differences
are told relative to that white, since eyes take it for white; 'measured' is
what an instrument reads.

Values come from the paper's file of print values, or are tuned on the spot;
the table also tells what a plain conversion would give.

Examples:
  shadecard proof sheet.ron --paper matte
  shadecard proof sheet.ron --paper coated --paper semi-gloss --paper matte")]
pub struct ProofArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// A name from the sheet's papers, coated, semi-gloss, matte, or an ICC
    /// profile (.icc); may be given several times
    #[arg(long, value_name = "PAPER", required = true)]
    pub paper: Vec<String>,

    /// What files for the papers carry, if not what the sheet says
    #[arg(long, value_name = "WHAT", value_enum)]
    pub colour_mode: Option<ColourModeArg>,

    /// Show a plain conversion, as a print house would make it
    #[arg(long)]
    pub plain: bool,

    /// Report pairs up to this difference (CIEDE2000), 1 to 50
    #[arg(long, value_name = "N", default_value_t = 10.0)]
    pub limit: f64,

    /// The report alone: no pictures
    #[arg(long)]
    pub figures: bool,

    /// Resolution of the PNG files
    #[arg(long, value_name = "N", default_value_t = 100, conflicts_with = "figures")]
    pub dpi: u32,

    /// Folder for the results
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long)]
    pub replace: bool,

    /// No progress bar and no table
    #[arg(long, short)]
    pub quiet: bool,
}

/// Arguments of `tune`.
#[derive(Debug, Args)]
#[command(after_help = "\
A paper shows fewer colours than the parts have, and a plain conversion lets
close ones fall together. tune looks for values that keep every pair apart and
in order, and no farther from the aim on average. The file holds the values and
the figures before and after; 'make --paper' and 'proof' use it. A pair that
cannot be saved is told.

dE is CIEDE2000. Two prints under 2 can hardly be told apart; 'together' counts
the look-alikes that fall under it.

Examples:
  shadecard tune sheet.ron --paper matte
  shadecard tune sheet.ron --paper press.icc --out press.values.ron")]
pub struct TuneArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// A name from the sheet's papers, coated, semi-gloss, matte, or an ICC profile (.icc)
    #[arg(long, value_name = "PAPER")]
    pub paper: String,

    /// What files for the paper carry, if not what the sheet says
    #[arg(long, value_name = "WHAT", value_enum)]
    pub colour_mode: Option<ColourModeArg>,

    /// The file to write; PAPER.values.ron beside the sheet if neither this nor the sheet says
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long)]
    pub replace: bool,

    /// Report pairs up to this difference (CIEDE2000), 1 to 50
    #[arg(long, value_name = "N", default_value_t = 10.0)]
    pub limit: f64,

    /// Print the report before and after as JSON
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,

    /// Print every pair before and after as CSV
    #[arg(long)]
    pub csv: bool,
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
#[command(after_help = "\
The scale is the parts' size on the page: 1 is true size. The bound is a scale
that no arrangement of the same content can exceed; the gap says how far under
it the plan stays. Fill is the share of the page columns that is used.

--only and --without plan the sheet as if it had those parts only; nothing is
changed in its files. --coverage prints the figures by which parts can be
chosen instead of a plan: in how many colours each is made, how many of them no
other part shows, and the order in which the parts add most.

Examples:
  shadecard plan sheet.ron
  shadecard plan sheet.ron --coverage
  shadecard plan sheet.ron --without 2609,1210
  shadecard plan sheet.ron --only 2060,1102,2080 --edition a4")]
pub struct PlanArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// Plan with these parts alone, by number or key
    #[arg(long, value_name = "PART,PART", value_delimiter = ',')]
    pub only: Vec<String>,

    /// Plan without these parts, by number or key
    #[arg(long, value_name = "PART,PART", value_delimiter = ',')]
    pub without: Vec<String>,

    /// Say how many colours each part is made in and adds, instead of a plan
    #[arg(long)]
    pub coverage: bool,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(after_help = "\
Findings come with file, line and column (in a workbook row and column) and a
way out. Errors stop the sheet; warnings are probably mistakes; notes are good
to know. The exit code is 1 if there is any error, else 0; --fail-on makes it 1
for warnings, or for notes too.

Examples:
  shadecard check sheet.ron
  shadecard check sheet.ron --fail-on warnings
  shadecard check sheet.ron --out findings.csv
  shadecard check sheet.ron --against published.csv --listing dealer")]
pub struct CheckArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// Fail on these findings too
    #[arg(long, value_name = "WHAT", value_enum)]
    pub fail_on: Option<FailOn>,

    /// A listing as published: a table with the columns number and name
    #[arg(long, value_name = "FILE")]
    pub against: Option<PathBuf>,

    /// The listing that --against is compared with; the first one if not given
    #[arg(long, value_name = "KEY", requires = "against")]
    pub listing: Option<String>,

    /// One finding a line, for spreadsheets
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,

    /// Write the findings to this file; its ending chooses the form: .txt .csv .json
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long, requires = "out")]
    pub replace: bool,

    /// A Hunspell dictionary (.dic, the .aff beside it) or a folder of them, for
    /// unknown words; the system's if not given; may be given several times
    #[arg(long, value_name = "FILE")]
    pub dictionary: Vec<PathBuf>,
}

/// From which findings on a check fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FailOn {
    Warnings,
    Notes,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "\
Without --from: ten colours, three parts and two listings, with comments that
say what may be written.

With --from: your own list. Columns are known by their headings, in English or
German, in one row or in two: names and numbers of one list or several, values
(#rrggbb, #rgb, Lab, L* a* b*, r g b), families, finishes, years, notes, and
crosses for the parts that are made. A workbook may have sheets of its own for
the parts and for the crosses. It says what it took each column for, and what
it did not understand. Parts without a drawing get a plain outline.

With --layout, --style, --label-sheet or --spelling: one file, exactly as it comes
with the program, comments included, to change as you like. Nothing that is
there is overwritten.

  layouts:        poster-610x914, poster-457x610, poster-305x406,
                  poster-24x36in, poster-18x24in, poster-12x16in, letter, a4,
                  a3, letter-pages, a4-pages
  styles:         plate, catalogue
  label sheets:  a4, letter, roll
  spellings:      en-GB, en-US

Examples:
  shadecard new spring
  shadecard new spring --from colours.xlsx
  shadecard new spring/shop.ron --layout a4
  shadecard new spring/mine.style.ron --style plate
  shadecard new spring/mine.labels.ron --label-sheet roll
  shadecard new spring/spelling/de-DE.ron --spelling en-GB
  shadecard new spring --from colours.xlsx --parts drawings
  shadecard new spring --from list.csv --heading \"Shade=name\" --heading \"Price=\"")]
pub struct NewArgs {
    /// The folder to make, or the file
    #[arg(value_name = "DIR|FILE.ron")]
    pub dir: PathBuf,

    /// A spreadsheet of colours: .csv, .xlsx or .ods
    #[arg(long, value_name = "FILE")]
    pub from: Option<PathBuf>,

    /// The sheet of the workbook that holds the colours; looked for if not given
    #[arg(long, value_name = "NAME", requires = "from")]
    pub sheet: Option<String>,

    /// Write out this layout to start your own from
    #[arg(long, value_name = "NAME", group = "template", conflicts_with = "from")]
    pub layout: Option<String>,

    /// Write out this style to start your own from
    #[arg(long, value_name = "NAME", group = "template", conflicts_with = "from")]
    pub style: Option<String>,

    /// Write out this label sheet to start your own from
    #[arg(long, value_name = "NAME", group = "template", conflicts_with = "from")]
    pub label_sheet: Option<String>,

    /// Write out the words of this spelling to start another language from
    #[arg(long, value_name = "TAG", group = "template", conflicts_with = "from")]
    pub spelling: Option<String>,
    /// Your parts: a folder of SVG drawings, or a table with their files
    #[arg(long, value_name = "PATH", requires = "from")]
    pub parts: Option<PathBuf>,

    /// What a heading means, such as "Shade=name"; "Price=" passes over it
    #[arg(long, value_name = "HEADING=MEANING", requires = "from")]
    pub heading: Vec<String>,
}

/// Arguments of `export`.
#[derive(Debug, Args)]
#[command(after_help = "\
The folder gets the sheet, a range file that names the tables, the tables
(colours, parts, made), and the shapes and other files that the sheet uses: it
can be made as it is, and reading it gives the same range.

Examples:
  shadecard export sheet.ron --to xlsx
  shadecard export sheet.ron --to csv --out tables")]
pub struct ExportArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// xlsx: one workbook with three sheets; csv: three files
    #[arg(long, value_name = "KIND", value_enum)]
    pub to: ExportTo,

    /// The folder to write; out/NAME-tables if not given, NAME being the sheet's
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long)]
    pub replace: bool,
}

/// What tables are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExportTo {
    Xlsx,
    Csv,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
#[command(after_help = "\
Of two ranges it tells which colours and parts are new, withdrawn, renamed,
renumbered or otherwise, and which part is newly made in which colour. Of two
sheets it also tells what they show, their words and editions, and which
editions to make again. Of a range and a sheet it compares the ranges.

A colour is known by its key. One whose key changed is known by its number in
a listing, or by its name and value, where only one other colour has them.

--for buyers makes a note that can be sent to those who order: what is new,
renamed or gone, with chips, names and numbers as the sheet prints them, and
nothing of keys or files. --out note.md also makes the folder note-chips with
the chips as pictures; --out note.pdf is set in the sheet's style. A sheet in
several spellings gives a note in each: note.en-GB.pdf, note.en-US.pdf.

The exit code is 0 whether or not anything changed, 1 if a file has faults.

Examples:
  shadecard compare spring/range.ron range.ron
  shadecard compare spring/sheet.ron sheet.ron --markdown
  shadecard compare spring/sheet.ron sheet.ron --out release-note.md
  shadecard compare spring/range.ron range.ron --csv > changes.csv
  shadecard compare spring/sheet.ron sheet.ron --for buyers --out note.pdf")]
pub struct CompareArgs {
    /// The older release: a range file or a sheet file
    #[arg(value_name = "OLD.ron")]
    pub old: PathBuf,

    /// The newer release: a range file or a sheet file
    #[arg(value_name = "NEW.ron")]
    pub new: PathBuf,

    /// Everything, for machines
    #[arg(long, group = "form")]
    pub json: bool,

    /// One change a line, for spreadsheets
    #[arg(long, group = "form")]
    pub csv: bool,

    /// A release note in plain words
    #[arg(long, group = "form")]
    pub markdown: bool,

    /// Write to this file; its ending chooses the form: .md .json .csv .txt, for buyers .md .pdf
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long, requires = "out")]
    pub replace: bool,
    /// For whom: buyers get a note that can be sent, without keys and files
    #[arg(long = "for", value_name = "WHOM", value_enum, conflicts_with_all = ["json", "csv"])]
    pub whom: Option<Whom>,

    /// Spelling of the note, such as en-GB; may be given several times; all of the sheet's if not given
    #[arg(long, value_name = "TAG", requires = "whom")]
    pub spelling: Vec<String>,

    /// Whose names and numbers the note gives; as the sheet does if not given
    #[arg(long, value_name = "KEY", requires = "whom")]
    pub listing: Option<String>,

    /// Size of the PDF's pages [default: a4]
    #[arg(long, value_name = "SIZE", value_enum, requires = "whom")]
    pub page: Option<PageArg>,

    /// Print values for this paper: a name from the sheet's papers, coated,
    /// semi-gloss, matte, or an ICC profile (.icc); pages are sRGB, so values for sRGB
    #[arg(long = "paper", value_name = "PAPER", requires = "whom")]
    pub print_on: Option<String>,

    /// Style of the PDF: plate, catalogue, or a style file; the sheet's if not given
    #[arg(long, value_name = "STYLE", requires = "whom")]
    pub style: Option<String>,
}

/// Who reads what changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Whom {
    Buyers,
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

/// Arguments of `supplies`.
#[derive(Debug, Args)]
#[command(after_help = "\
What is counted: every colour of the sheet in every part that its family shows
(the parts to choose from, the columns given, or all parts in loose rows) and
that is made, with the parts that stand in for missing ones. A sheet may leave
a column out where the page is small; a board has room for all.

Spares are of each line, one part in one colour: a spare of another colour
replaces nothing. A share is rounded up to whole pieces, so 5% of a single
piece is one more piece; with --each 40 it is two. Blank tiles are alike and
make one line. Nothing is ever rounded down.

Label sheets hold 7 rows of 3 if you say nothing else, none spoiled, none
begun. Places count along the rows from the top left. The machine spoils the
first rows of every sheet, a begun one included.

The stock is a table headed part, colour and count. Parts and colours go by
key, number or name; the numbers of --listing come before those of others.
Two lines have no colour: 'blank tiles' and 'label sheets'. Lines about the
same thing are added up.

Examples:
  shadecard supplies sheet.ron
  shadecard supplies sheet.ron --listing dealer --spares 1 --out buy.pdf
  shadecard supplies sheet.ron --stock stock.csv --out buy.md
  shadecard supplies sheet.ron --label-grid 8x3 --spoiled-rows 1 --first-free 11
  shadecard supplies sheet.ron --each 40 --spares 5% --csv")]
pub struct SuppliesArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Whose numbers and names the list gives; those of the sheet's headings if not given
    #[arg(long, value_name = "KEY")]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB; the sheet's first if not given
    #[arg(long, value_name = "TAG")]
    pub spelling: Option<String>,

    /// Only this family, by its key; may be given several times
    #[arg(long, value_name = "KEY")]
    pub family: Vec<String>,

    /// Pieces of every part x colour, 1 to 10000
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub each: u64,

    /// Spares of every part x colour: a count (2) or a share rounded up (5%)
    #[arg(long, value_name = "N|N%", default_value = "0")]
    pub spares: String,

    /// Leave out the parts that stand in for missing ones
    #[arg(long)]
    pub no_stand_ins: bool,

    /// Labels of every colour, each with a blank tile, 0 to 10000
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub labels_each: u64,

    /// Spare blank tiles in all: a count or a share; as --spares if not given
    #[arg(long, value_name = "N|N%")]
    pub tile_spares: Option<String>,

    /// Rows x columns of labels on a sheet [default: 7x3]
    #[arg(long, value_name = "RxC", conflicts_with = "labels_per_sheet")]
    pub label_grid: Option<String>,

    /// Labels on a sheet, where rows do not matter, 1 to 1000
    #[arg(long, value_name = "N", conflicts_with = "spoiled_rows")]
    pub labels_per_sheet: Option<u32>,

    /// Rows that the cutting machine spoils on every sheet [default: 0]
    #[arg(long, value_name = "N")]
    pub spoiled_rows: Option<u32>,

    /// The first free place of a part-used label sheet, counted along the rows
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub first_free: u64,

    /// What is in hand: a table of part, colour and count
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,

    /// Which totals the terminal shows; may be given several times [default: part and family]
    #[arg(long, value_name = "WHAT", value_enum)]
    pub per: Vec<PerArg>,

    /// Print everything as JSON
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,

    /// Print the lines as CSV
    #[arg(long)]
    pub csv: bool,

    /// Write a file too: .pdf or .md is a tick-list, .csv the lines, .json everything
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long, requires = "out")]
    pub replace: bool,

    /// Size of the PDF's pages [default: a4]
    #[arg(long, value_name = "SIZE", value_enum)]
    pub page: Option<PageArg>,

    /// Print values for this paper: a name from the sheet's papers, coated,
    /// semi-gloss, matte, or an ICC profile (.icc); pages are sRGB, so values for sRGB
    #[arg(long = "paper", value_name = "PAPER")]
    pub print_on: Option<String>,

    /// Style of the PDF: plate, catalogue, or a style file; the sheet's if not given
    #[arg(long, value_name = "STYLE")]
    pub style: Option<String>,
}

/// Arguments of `shapes`.
#[derive(Debug, Args)]
#[command(after_help = "\
Every part of the range stands on the page at true size with its size in mm,
in every finish of the range, on a pale and a dark colour of it. Beside it:
what was taken for the body, how many holes it has, whether its light and
shade are drawn or added, and how much of its face is exactly the colour. Look
at this before anything else; measure the ruler at the foot before you compare.

The table that is printed says the same in figures.

Examples:
  shadecard shapes sheet.ron
  shadecard shapes sheet.ron --page letter --out shapes.pdf
  shadecard shapes sheet.ron --json")]
pub struct ShapesArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// File to write; its ending chooses the kind: .pdf, .svg or .png; of the last two
    /// a file a page [default: out/SHEET/shapes.pdf]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long)]
    pub replace: bool,

    /// Size of the pages
    #[arg(long, value_name = "SIZE", value_enum, default_value_t = PageArg::A4)]
    pub page: PageArg,

    /// Print values for this paper: a name from the sheet's papers, coated,
    /// semi-gloss, matte, or an ICC profile (.icc); pages are sRGB, so values for sRGB
    #[arg(long = "paper", value_name = "PAPER")]
    pub print_on: Option<String>,

    /// Whose numbers are given; those of the sheet's headings if not given
    #[arg(long, value_name = "KEY")]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB; the sheet's first if not given
    #[arg(long, value_name = "TAG")]
    pub spelling: Option<String>,

    /// Style of the pages: plate, catalogue, or a style file; the sheet's if not given
    #[arg(long, value_name = "STYLE")]
    pub style: Option<String>,

    /// Print the table as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `board`.
#[derive(Debug, Args)]
#[command(before_help = "\
Cutting and gluing: blades are sharp. Cut on a mat, along a metal rule, away
from your hand. Read what the glue's maker says, air the room, and keep glue
off skin and eyes. Lay everything out dry before anything is glued.")]
#[command(after_help = "\
The map shows the board at true size: every part as a thin outline with its
number, a blank tile for every colour with number, name, chip and place,
family by family in the sheet's order. It holds the very pieces that
'supplies' counts with one piece and one label of each.

--out board.pdf is the map to print, in tiles with an overview first, or on
one page with --whole. --out board.csv and board.json tell each position: the
place (12) for a blank tile, 12.1, 12.2 and so on for its parts from the left,
line by line; with part, colour, label, and the middle in mm from the board's
upper left corner.

Examples:
  shadecard board sheet.ron --out board.pdf --out board.csv
  shadecard board sheet.ron --panels letter --listing dealer --out board.pdf
  shadecard board sheet.ron --width 900 --tile-size 60x40 --out board.pdf
  shadecard board sheet.ron --label-sheet small --tile-size 50x25 --out board.pdf
  shadecard board sheet.ron --family gloss --whole --out gloss.pdf")]
pub struct BoardArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Paper of the tiles: a4, letter, a3, any standard size, or millimetres (210x297)
    #[arg(long, value_name = "SIZE", default_value = "a4")]
    pub panels: String,

    #[command(flatten)]
    pub split: PanelArgs,

    /// The map on one page of the board's size instead of tiles
    #[arg(long, conflicts_with_all = ["panels", "overlap", "margin"])]
    pub whole: bool,

    /// Whose numbers and names the map gives; those of the sheet's headings if not given
    #[arg(long, value_name = "KEY")]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB; the sheet's first if not given
    #[arg(long, value_name = "TAG")]
    pub spelling: Option<String>,

    /// Only this family, by its key; may be given several times
    #[arg(long, value_name = "KEY")]
    pub family: Vec<String>,

    /// Leave out the parts that stand in for missing ones
    #[arg(long)]
    pub no_stand_ins: bool,

    /// Columns of colours, 1 to 50; as many as make the board nearest to a square if not given
    #[arg(long, value_name = "N", conflicts_with = "width")]
    pub columns: Option<usize>,

    /// Width of the board, mm, up to 5000
    #[arg(long, value_name = "MM")]
    pub width: Option<f64>,

    /// Label sheet of the labels that the blank tiles carry, as for 'labels'
    #[arg(long, value_name = "LABEL-SHEET", default_value = "a4")]
    pub label_sheet: String,

    /// Width x height of a blank tile, mm; a label of the label sheet with 1 mm round it if not given
    #[arg(long, value_name = "WxH")]
    pub tile_size: Option<String>,

    /// Style of the map: plate, catalogue, or a style file; the sheet's if not given
    #[arg(long, value_name = "STYLE")]
    pub style: Option<String>,

    /// Print values for this paper: a name from the sheet's papers, coated,
    /// semi-gloss, matte, or an ICC profile (.icc); pages are sRGB, so values for sRGB
    #[arg(long = "paper", value_name = "PAPER")]
    pub print_on: Option<String>,

    /// Write to this file; its ending chooses what: .pdf the map, .csv the
    /// positions, .json everything; may be given several times
    #[arg(long, value_name = "FILE")]
    pub out: Vec<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long, requires = "out")]
    pub replace: bool,

    /// Print everything as JSON
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,

    /// Print the positions as CSV
    #[arg(long)]
    pub csv: bool,
}

/// Arguments of `labels`.
#[derive(Debug, Args)]
#[command(before_help = LABELS_CAUTION)]
#[command(after_help = "\
Every colour of the sheet gets a label, in the sheet's order, with its names and
numbers as on the sheet. Words that are too long for a label are broken, then
made smaller down to the label sheet's least type; a colour whose words still do not
fit is told, and nothing is written.

Files, in OUT/SHEET/labels: labels.SPELLING.pdf to print, with the cuts on a
layer of their own; .N-of-M.cut.svg to cut; .N-of-M.proof.png, print and cut
over each other; .csv, every label with its place and words; .used.csv, the
places that are gone of the last sheet, for --used of the next run. With
--trial: trial.pdf to print, trial.cut.svg to cut, and trial.form.csv; a copy
of it, filled in, is what --correction reads.

Places count along the rows from the top left. Spoiled rows are lost on every
sheet, a begun one included. A begun sheet has its registration marks already:
they are not printed again.

Label sheets: a4, letter, roll, or the path of a file of your own.

Examples:
  shadecard labels sheet.ron
  shadecard labels sheet.ron --label-sheet roll --spoiled-rows 1 --fill-spoiled
  shadecard labels sheet.ron --since spring/sheet.ron --spelling en-GB --first-free 17
  shadecard labels sheet.ron --only gannet,dulse --copies 3
  shadecard labels sheet.ron --trial
  shadecard labels sheet.ron --correction window-cutter-matt.csv")]
pub struct LabelsArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// Sizes of sheets and labels: a4, letter, roll, small (for tiles of 50 x 25 mm), or a label-sheet file
    #[arg(long, value_name = "LABEL-SHEET", default_value = "a4")]
    pub label_sheet: String,

    /// Only this spelling, such as en-GB; may be given several times; all of the sheet's if not given
    #[arg(long, value_name = "TAG")]
    pub spelling: Vec<String>,

    /// Only this family, by its key; may be given several times
    #[arg(long, value_name = "KEY")]
    pub family: Vec<String>,

    /// Whose names and numbers the labels give, in this order; may be given
    /// several times; as the sheet does if not given
    #[arg(long, value_name = "KEY")]
    pub listing: Vec<String>,

    /// Rows that the cutting machine spoils on every sheet
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub spoiled_rows: u32,

    /// Fill the spoiled rows with repeats instead of leaving them empty
    #[arg(long, requires = "spoiled_rows")]
    pub fill_spoiled: bool,

    /// Go on with a begun sheet, from this place
    #[arg(long, value_name = "N", conflicts_with = "used")]
    pub first_free: Option<u64>,

    /// Go on with a begun sheet: a table of the places that are used, headed place
    #[arg(long, value_name = "FILE")]
    pub used: Option<PathBuf>,

    /// Only labels that are others than in this older release: a sheet or a range
    #[arg(long, value_name = "OLD.ron")]
    pub since: Option<PathBuf>,

    /// Only these colours, by their keys
    #[arg(long, value_name = "KEY,KEY", value_delimiter = ',')]
    pub only: Vec<String>,

    /// Labels of every colour, next to each other, 1 to 1000
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub copies: u64,

    /// Print and cut a trial sheet instead, to measure how far the cutting machine is off
    #[arg(long, conflicts_with_all = ["family", "listing", "spoiled_rows", "fill_spoiled", "first_free", "used", "since", "only", "copies"])]
    pub trial: bool,

    /// Correct the cuts by what was measured on a trial sheet: a table headed mark, dx, dy, or a RON file
    #[arg(long, value_name = "FILE")]
    pub correction: Option<PathBuf>,

    /// What round corners are made of in the cut files
    #[arg(long, value_enum, value_name = "FORM", default_value_t = CornersArg::Arcs)]
    pub corners: CornersArg,

    /// Another style than the sheet's: plate, catalogue, or a style file
    #[arg(long, value_name = "STYLE")]
    pub style: Option<String>,

    /// Print values for this paper: a name from the sheet's papers, coated,
    /// semi-gloss, matte, or an ICC profile (.icc); pages are sRGB, so values for sRGB
    #[arg(long = "paper", value_name = "PAPER", conflicts_with = "trial")]
    pub print_on: Option<String>,

    /// Folder for the results; SHEET/labels is made in it, SHEET-PAPER/labels for a paper
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long)]
    pub replace: bool,

    /// Print what was made as JSON
    #[arg(long)]
    pub json: bool,

    /// No warnings and no table
    #[arg(long, short)]
    pub quiet: bool,
}

/// Corners in cut files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CornersArg {
    /// Arcs of circles, within 0.002 mm
    Arcs,
    /// Short straight lines, within 0.004 mm, for machines that know no arcs
    Lines,
}

/// What a maker reads before anything is cut.
const LABELS_CAUTION: &str = "\
Caution: cutting machines and knives have sharp blades. Follow the machine's
manual, keep hands, hair and sleeves away from moving parts, and switch it off
before you change a blade. Use film and adhesives as their makers say, with
fresh air; keep small parts and blades from children. Local rules come first.";

/// Arguments of `lookalikes`.
#[derive(Debug, Args)]
#[command(after_help = "\
dE00 is the CIEDE2000 distance: about 1 is just seen where two colours touch,
about 2 to 3 where they lie apart, 10 is clear to anybody. The last columns
give it as protan, deutan and tritan eyes see it; a pair that is apart for
others, but 2 or less for them, can be told by name and number only.

Pairs of two finishes are listed too: a clear and an opaque part of one value
are usual. --same-finish leaves them out.

With --light, pairs whose two colours are given as spectra are compared under
another light than the sheet's: a pair closes up or opens where its distance
changes by 0.5 or more. Other values say nothing about other lights: how many
pairs that leaves open is told in the last line.

Examples:
  shadecard lookalikes sheet.ron
  shadecard lookalikes sheet.ron --limit 4 --same-finish
  shadecard lookalikes sheet.ron --listing dealer --out lookalikes.csv
  shadecard lookalikes sheet.ron --light A")]
pub struct LookalikesArgs {
    /// The sheet's description
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// List pairs up to this far apart, over 0 and up to 100 [default: 10]
    #[arg(long, value_name = "N")]
    pub limit: Option<f64>,

    /// Whose names and numbers are given; those of the sheet's headings if not given
    #[arg(long, value_name = "KEY")]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB; the sheet's first if not given
    #[arg(long, value_name = "TAG")]
    pub spelling: Option<String>,

    /// Only colours of this family, by its key; may be given several times
    #[arg(long, value_name = "KEY")]
    pub family: Vec<String>,

    /// Only pairs of one finish
    #[arg(long)]
    pub same_finish: bool,

    /// Compare spectra under this light too: D50, D65, A or LED-B3
    #[arg(long, value_name = "LIGHT")]
    pub light: Option<String>,

    /// Print everything as JSON
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,

    /// Print one pair a line, for spreadsheets
    #[arg(long)]
    pub csv: bool,

    /// Write to this file; its ending chooses the form: .txt .csv .json
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,

    /// Replace files that shadecard did not write, or that were changed since
    #[arg(long, requires = "out")]
    pub replace: bool,
}

/// A kind of total.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PerArg {
    Part,
    Family,
    Colour,
}

/// A page of a desk printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PageArg {
    A4,
    Letter,
}
