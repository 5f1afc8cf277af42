//! Arguments of `plan`, `check` and `lookalikes`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Choice, OUTPUT, REPLACE, SELECTION, WORDS};

/// Arguments of `plan`.
#[derive(Debug, Args)]
#[command(after_help = "\
Scale is the size of the parts on the page; 1 is true size. Best possible is a
scale that no arrangement of the same content can exceed, and 'short of it' is
how far the plan stays below it. Page used is the share of the type area that
the content covers.

--only and --without plan the sheet as if it had only those parts; no file is
changed. --coverage prints figures for choosing parts instead of a plan: the
number of colours each part is made in, the number that no other part shows,
and the order in which the parts add most.

Examples:
  shadecard plan sheet.ron
  shadecard plan sheet.ron --coverage
  shadecard plan sheet.ron --without 2609,1210
  shadecard plan sheet.ron --only 2060,1102,2080 --edition a4")]
pub struct PlanArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// Report the colours that each part is made in and adds, instead of a plan
    #[arg(long)]
    pub coverage: bool,

    /// Plan with these parts only, by number or key
    #[arg(long, value_name = "PART,PART", value_delimiter = ',', help_heading = SELECTION)]
    pub only: Vec<String>,

    /// Plan without these parts, by number or key
    #[arg(long, value_name = "PART,PART", value_delimiter = ',', help_heading = SELECTION)]
    pub without: Vec<String>,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(after_help = "\
check reports errors, warnings and notes, each with file, line and column (in
a workbook, the cell) and a suggestion. An error means that the sheet cannot be
made, a warning is probably a mistake, and a note is information. The exit
code is 1 if there is an error, otherwise 0; --fail-on makes it 1 for warnings,
or for notes too.

Examples:
  shadecard check sheet.ron
  shadecard check sheet.ron --fail-on warnings
  shadecard check sheet.ron --out findings.csv
  shadecard check sheet.ron --against published.csv --listing dealer")]
pub struct CheckArgs {
    #[command(flatten)]
    pub choice: Choice,

    /// Exit with 1 for these findings too
    #[arg(long, value_name = "WHAT", value_enum)]
    pub fail_on: Option<FailOn>,

    /// Compare with a published list: a table with the columns number and name
    #[arg(long, value_name = "FILE", help_heading = WORDS)]
    pub against: Option<PathBuf>,

    /// The listing that --against is compared with [default: the first]
    #[arg(long, value_name = "KEY", requires = "against", help_heading = WORDS)]
    pub listing: Option<String>,

    /// A Hunspell dictionary (.dic, with its .aff beside it), or a folder of
    /// them; may be repeated [default: the system's]
    #[arg(long, value_name = "FILE", help_heading = WORDS)]
    pub dictionary: Vec<PathBuf>,

    /// Print one finding per line as CSV
    #[arg(long, conflicts_with = "json", help_heading = OUTPUT)]
    pub csv: bool,

    /// Write the findings to this file, in the form of its ending: .txt, .csv or .json
    #[arg(long, value_name = "FILE", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, requires = "out", help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,
}

/// The least severe finding that makes a check fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FailOn {
    Warnings,
    Notes,
}

/// Arguments of `lookalikes`.
#[derive(Debug, Args)]
#[command(after_help = "\
dE00 is the CIEDE2000 difference: about 1 is just visible where two colours
touch, 2 to 3 where they lie apart, and 10 is obvious. The last columns give
the difference for protan, deutan and tritan vision; a pair that is distinct
otherwise but 2 or less there can be told apart by name and number only.

Pairs of two finishes are included, since a clear and an opaque part often
share a value; --same-finish leaves them out.

--light compares pairs whose two colours are given as spectra under a second
light: a pair closes up or opens where its difference changes by 0.5 or more.
Other values carry no information about other lights; the last line reports
how many pairs could not be compared.

Examples:
  shadecard lookalikes sheet.ron
  shadecard lookalikes sheet.ron --limit 4 --same-finish
  shadecard lookalikes sheet.ron --listing dealer --out lookalikes.csv
  shadecard lookalikes sheet.ron --light A")]
pub struct LookalikesArgs {
    /// The sheet file
    #[arg(value_name = "SHEET.ron")]
    pub sheet: PathBuf,

    /// List pairs up to this difference, above 0 and up to 100 [default: 10]
    #[arg(long, value_name = "N")]
    pub limit: Option<f64>,

    /// List only pairs of one finish
    #[arg(long)]
    pub same_finish: bool,

    /// Also compare spectra under this light: D50, D65, A or LED-B3
    #[arg(long, value_name = "LIGHT")]
    pub light: Option<String>,

    /// Use only colours of this family, by its key; may be repeated
    #[arg(long, value_name = "KEY", help_heading = SELECTION)]
    pub family: Vec<String>,

    /// The listing whose names and numbers are given [default: that of the sheet's headings]
    #[arg(long, value_name = "KEY", help_heading = WORDS)]
    pub listing: Option<String>,

    /// Spelling of names, such as en-GB [default: the sheet's first]
    #[arg(long, value_name = "TAG", help_heading = WORDS)]
    pub spelling: Option<String>,

    /// Print everything as JSON
    #[arg(long, conflicts_with = "csv", help_heading = OUTPUT)]
    pub json: bool,

    /// Print one pair per line as CSV
    #[arg(long, help_heading = OUTPUT)]
    pub csv: bool,

    /// Write to this file, in the form of its ending: .txt, .csv or .json
    #[arg(long, value_name = "FILE", help_heading = OUTPUT)]
    pub out: Option<PathBuf>,

    #[arg(long, requires = "out", help_heading = OUTPUT, help = REPLACE)]
    pub replace: bool,
}
