//! `supplies`: counts what to buy for the sample board of a sheet.

use std::path::Path;

use crate::cli::args::{PageArg, PerArg, SuppliesArgs};
use crate::cli::choices::{
    families, idle_without_pdf, listing_or_headings, page, print_values, spelling, style,
};
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::paint::pdf;
use crate::range::{ColourRange, Loaded, SheetSpec, load};
use crate::session::Session;
use crate::sheet::Setting;
use crate::sheet::palette::PrintValues;
use crate::supplies::report::{self, Per};
use crate::supplies::{
    LabelGrid, Naming, Spares, Stock, Supplies, SuppliesRequest, markdown, tick_list,
};

/// The largest number of pieces, or labels, of each.
const MOST_EACH: u64 = 10_000;
/// Default rows x columns of labels (A4 labels of 63.5 x 38.1 mm; common practice, no source).
const USUAL_GRID: (u32, u32) = (7, 3);

/// What kind of file is asked for, by its ending.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SuppliesFile {
    Pdf,
    Markdown,
    Csv,
    Json,
}

/// Runs `supplies`.
pub fn run(args: &SuppliesArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = counted(args, &mut sources);
    let writing = Writing { by: "supplies", replace: args.replace, json: args.json };
    finish(done, &sources, writing)
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn counted(args: &SuppliesArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, mut warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let on = args.print_on.as_deref();
    let values = print_values(on, (&range, &sheet), sources, &mut findings).1;
    let wish = wish(args, &range, &sheet, &mut findings);
    let listing = listing_or_headings(args.listing.as_deref(), &range, &sheet, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &sheet, sources, &mut findings);
    let kind = args.out.as_deref().and_then(|out| kind(out, &mut findings));
    if kind.is_none_or(|kind| kind != SuppliesFile::Pdf) {
        let style = args.style.as_deref();
        findings.extend(idle_without_pdf(args.page, on, style, "add --out FILE.pdf"));
    }
    let (Some(wish), Some(listing), Some(spelling)) = (wish, listing, spelling) else {
        return Err(findings);
    };
    let naming = Naming { range: &range, sheet: &sheet, listing, spelling: &spelling };
    let stock = args.stock.as_deref().map(|file| Stock::read(file, &naming, sources));
    let stock = match stock.transpose() {
        Ok(read) => {
            let (stock, notes) = read.unwrap_or_default();
            warnings.extend(notes);
            stock
        }
        Err(faults) => {
            findings.extend(faults);
            Stock::default()
        }
    };
    if findings.failed() {
        return Err(findings);
    }
    let supplies = Supplies::new(&range, &sheet, &wish, &stock);
    warnings.extend(naming.not_listed(&supplies));
    let list = List { supplies: &supplies, naming: &naming, wish: &wish };
    let file = match (&args.out, kind) {
        (Some(path), Some(SuppliesFile::Pdf)) => {
            Some((path.clone(), list.pdf(args, &values, sources)?))
        }
        (Some(path), Some(kind)) => Some((path.clone(), list.text(kind).into_bytes())),
        _ => None,
    };
    let printed = list.printed(args, file.as_ref().map(|(path, _)| path.as_path()));
    Ok(Done { warnings, printed, files: file.into_iter().collect() })
}

/// What was counted, in its forms.
struct List<'a> {
    supplies: &'a Supplies,
    naming: &'a Naming<'a>,
    wish: &'a SuppliesRequest,
}

impl List<'_> {
    /// The tick list as a PDF.
    fn pdf(
        &self,
        args: &SuppliesArgs,
        values: &PrintValues,
        sources: &mut Sources,
    ) -> Result<Vec<u8>, Findings> {
        let style = style(args.style.as_deref(), self.naming.sheet, sources)?;
        let paper = page(args.page.unwrap_or(PageArg::A4));
        let setting = Setting { style: &style, paper, work: &sources.session.work };
        let list = tick_list::sheet(self.supplies, self.naming, self.wish, &setting)?;
        Ok(pdf::pdf(list.coloured(&list.palette.printed(values))))
    }

    /// Another file.
    fn text(&self, kind: SuppliesFile) -> String {
        match kind {
            SuppliesFile::Markdown => markdown::markdown(self.supplies, self.naming, self.wish),
            SuppliesFile::Csv => report::lines(self.supplies, self.naming).csv(),
            SuppliesFile::Json | SuppliesFile::Pdf => self.json(),
        }
    }

    fn json(&self) -> String {
        let json = report::json(self.supplies, self.naming, self.wish);
        // Texts and whole numbers always serialise.
        serde_json::to_string_pretty(&json).unwrap_or_default() + "\n"
    }

    fn printed(&self, args: &SuppliesArgs, written: Option<&Path>) -> String {
        if args.json {
            return self.json();
        }
        if args.csv {
            return self.text(SuppliesFile::Csv);
        }
        let text = report::text(self.supplies, self.naming, self.wish, &per(args));
        let written = written.map(|path| format!("\nWritten: {}\n", path.display()));
        text + &written.unwrap_or_default()
    }
}

/// The numbers of the command line; all that are wrong are reported.
fn wish(
    args: &SuppliesArgs,
    range: &ColourRange,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Option<SuppliesRequest> {
    let before = findings.len();
    let mut keep = |result: Result<Spares, Diagnostic>| {
        result.unwrap_or_else(|d| {
            findings.push(d);
            Spares::NONE
        })
    };
    let spares = keep(Spares::parse(&args.spares, "--spares"));
    let tile_spares = match &args.tile_spares {
        Some(text) => keep(Spares::parse(text, "--tile-spares")),
        None => spares,
    };
    between("--each", args.each, 1, MOST_EACH, findings);
    between("--labels-each", args.labels_each, 0, MOST_EACH, findings);
    let families = families(&args.family, range, sheet, findings);
    let grid = match grid(args) {
        Ok(grid) => {
            between("--first-free", args.first_free, 1, grid.places(), findings);
            Some(grid)
        }
        Err(d) => {
            findings.push(d);
            None
        }
    };
    grid.filter(|_| findings.len() == before).map(|grid| SuppliesRequest {
        families,
        each: args.each,
        spares,
        stand_ins: !args.no_stand_ins,
        labels_each: args.labels_each,
        tile_spares,
        grid,
        used: args.first_free - 1,
    })
}

fn between(option: &str, n: u64, least: u64, most: u64, findings: &mut Findings) {
    if !(least..=most).contains(&n) {
        findings.push(
            Diagnostic::error(
                "out-of-bounds",
                format!("{option} must be from {least} to {most}, not {n}"),
            )
            .help(format!("use a whole number, for example {option} {}", least.max(1))),
        );
    }
}

fn grid(args: &SuppliesArgs) -> Result<LabelGrid, Diagnostic> {
    if let Some(places) = args.labels_per_sheet {
        return LabelGrid::new(places, 1, 0).map_err(|d| {
            let message = format!("--labels-per-sheet must be from 1 to 1000, not {places}");
            Diagnostic { message, ..d }
                .help("use a whole number, for example --labels-per-sheet 21")
        });
    }
    let (rows, columns) = match &args.label_grid {
        None => USUAL_GRID,
        Some(text) => grid_of(text).ok_or_else(|| {
            Diagnostic::error(
                "bad-label-grid",
                format!("--label-grid must be rows x columns, not '{text}'"),
            )
            .help("write the number of rows, an x and the number of columns: 7x3")
        })?,
    };
    LabelGrid::new(rows, columns, args.spoiled_rows.unwrap_or(0))
}

fn grid_of(text: &str) -> Option<(u32, u32)> {
    let (rows, columns) = text.split_once(['x', 'X', '×'])?;
    Some((rows.trim().parse().ok()?, columns.trim().parse().ok()?))
}

fn kind(out: &Path, findings: &mut Findings) -> Option<SuppliesFile> {
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let kind = match ending.as_str() {
        "pdf" => Some(SuppliesFile::Pdf),
        "md" | "markdown" => Some(SuppliesFile::Markdown),
        "csv" => Some(SuppliesFile::Csv),
        "json" => Some(SuppliesFile::Json),
        _ => None,
    };
    if kind.is_none() {
        let message = format!("'{}' does not have a supported ending", out.display());
        findings.push(
            Diagnostic::error("unknown-ending", message)
                .help("end its name with .pdf, .md, .csv or .json"),
        );
    }
    kind
}

fn per(args: &SuppliesArgs) -> Vec<Per> {
    if args.per.is_empty() {
        return vec![Per::Part, Per::Family];
    }
    let of = |arg: &PerArg| match arg {
        PerArg::Part => Per::Part,
        PerArg::Family => Per::Family,
        PerArg::Colour => Per::Colour,
    };
    args.per.iter().map(of).collect()
}
