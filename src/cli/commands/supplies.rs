//! `supplies`: counts what to buy for the sample board of a sheet.

use std::path::Path;

use crate::cli::args::{PageArg, PerArg, SuppliesArgs};
use crate::cli::{Done, Writing, families, finish, idle, named};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition;
use crate::paint::pdf;
use crate::plan::papers::{self, Paper};
use crate::press;
use crate::range::{ListingId, Loaded, Range, SheetSpec, load};
use crate::session::Session;
use crate::sheet::Setting;
use crate::sheet::palette::PrintValues;
use crate::spelling::Spelling;
use crate::supplies::report::{self, Per};
use crate::supplies::{LabelGrid, Naming, Spares, Stock, Supplies, Wish, markdown, tick_list};

/// The largest number of pieces, or labels, of each.
const MOST_EACH: u64 = 10_000;
/// Default rows x columns of labels (A4 labels of 63.5 x 38.1 mm; common practice, no source).
const USUAL_GRID: (u32, u32) = (7, 3);

/// What kind of file is asked for, by its ending.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
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
    let values = print_values(args.print_on.as_deref(), (&range, &sheet), sources, &mut findings).1;
    let wish = wish(args, &range, &sheet, &mut findings);
    let listing = listing(args.listing.as_deref(), &range, &sheet, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &sheet, sources, &mut findings);
    let kind = args.out.as_deref().and_then(|out| kind(out, &mut findings));
    if kind.is_none_or(|kind| kind != Kind::Pdf) {
        let (paper, style) = (args.print_on.as_deref(), args.style.as_deref());
        findings.extend(idle_without_pdf(args.page, paper, style, "add --out FILE.pdf"));
    }
    let (Some(wish), Some(listing), Some(spelling)) = (wish, listing, spelling) else {
        return Err(findings);
    };
    let naming = Naming { range: &range, sheet: &sheet, listing, spelling: &spelling };
    let stock = match args.stock.as_deref().map(|file| Stock::read(file, &naming, sources)) {
        None => Stock::default(),
        Some(Ok((stock, notes))) => {
            warnings.extend(notes);
            stock
        }
        Some(Err(faults)) => {
            findings.extend(faults);
            Stock::default()
        }
    };
    if findings.failed() {
        return Err(findings);
    }
    let supplies = Supplies::new(&range, &sheet, &wish, &stock);
    warnings.extend(naming.not_listed(&supplies));
    let json = || serde_json::to_string_pretty(&report::json(&supplies, &naming, &wish));
    // Texts and whole numbers always serialise.
    let json = || json().unwrap_or_default() + "\n";
    let file = match (&args.out, kind) {
        (Some(path), Some(kind)) => {
            let bytes = match kind {
                Kind::Pdf => {
                    let style = style(args.style.as_deref(), &sheet, sources)?;
                    let paper = page(args.page.unwrap_or(PageArg::A4));
                    let setting = Setting { style: &style, paper, work: &sources.session.work };
                    let list = tick_list::sheet(&supplies, &naming, &wish, &setting)?;
                    pdf::pdf(list.coloured(&list.palette.printed(&values)))
                }
                Kind::Markdown => markdown::markdown(&supplies, &naming, &wish).into_bytes(),
                Kind::Csv => report::lines(&supplies, &naming).csv().into_bytes(),
                Kind::Json => json().into_bytes(),
            };
            Some((path.clone(), bytes))
        }
        _ => None,
    };
    let printed = if args.json {
        json()
    } else if args.csv {
        report::lines(&supplies, &naming).csv()
    } else {
        let mut text = report::text(&supplies, &naming, &wish, &per(args));
        if let Some((path, _)) = &file {
            text.push_str(&format!("\nWritten: {}\n", path.display()));
        }
        text
    };
    Ok(Done { warnings, printed, files: file.into_iter().collect() })
}

/// The numbers of the command line; all that are wrong are reported.
fn wish(
    args: &SuppliesArgs,
    range: &Range,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Option<Wish> {
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
    grid.filter(|_| findings.len() == before).map(|grid| Wish {
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

/// The listing of a key; that of the headings without one.
pub fn listing(
    asked: Option<&str>,
    range: &Range,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Option<ListingId> {
    let Some(key) = asked else { return Some(sheet.headings()) };
    crate::cli::listing(key, range).map_err(|d| findings.push(d)).ok()
}

/// The spelling of a tag; the sheet's first without one.
pub fn spelling(
    asked: Option<&str>,
    sheet: &SheetSpec,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<Spelling> {
    let edition = sheet.editions().first();
    let first = edition.and_then(|e| e.spellings().first()).map_or("en-GB", String::as_str);
    let (tag, span) = match asked {
        Some(tag) => (tag, None),
        None => (first, edition.and_then(|e| e.spellings_span().clone())),
    };
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    let spelling = edition::named::spelling(tag, folder, &span, sources);
    let spelling = spelling.map_err(|faults| findings.extend(faults)).ok()?;
    Some(spelling.keeping(sheet.proper_names()))
}

fn kind(out: &Path, findings: &mut Findings) -> Option<Kind> {
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let kind = match ending.as_str() {
        "pdf" => Some(Kind::Pdf),
        "md" | "markdown" => Some(Kind::Markdown),
        "csv" => Some(Kind::Csv),
        "json" => Some(Kind::Json),
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

/// The style of a name; the sheet's own without one.
///
/// # Errors
/// It does not exist or cannot be used.
pub fn style(
    asked: Option<&str>,
    sheet: &SheetSpec,
    sources: &mut Sources,
) -> Result<crate::plan::Style, Findings> {
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    named::style(asked, sheet, folder, sources)
}

/// The sRGB values that are printed on a paper, and its name for files; only the published ones where no
/// paper is named.
pub fn print_values(
    paper: Option<&str>,
    (range, sheet): (&Range, &SheetSpec),
    sources: &mut Sources,
    findings: &mut Findings,
) -> (Option<String>, PrintValues) {
    let Some(paper) = paper else { return Default::default() };
    match press::srgb_for(paper, (range, sheet), sources) {
        Ok((name, values)) => (Some(name), values),
        Err(faults) => {
            findings.extend(faults);
            Default::default()
        }
    }
}

/// Options without effect where no PDF is written.
pub fn idle_without_pdf(
    page: Option<PageArg>,
    paper: Option<&str>,
    style: Option<&str>,
    instead: &str,
) -> Findings {
    let given =
        [("--page", page.is_some()), ("--paper", paper.is_some()), ("--style", style.is_some())];
    let mut findings = Findings::default();
    for (option, _) in given.iter().filter(|(_, given)| *given) {
        findings.push(idle(option, "applies only to a PDF, and none is written", instead));
    }
    findings
}

/// The page of an argument.
pub fn page(arg: PageArg) -> Paper {
    let name = match arg {
        PageArg::A4 => "A4",
        PageArg::Letter => "Letter",
    };
    // Both are in the list; a test asks for them.
    papers::paper(name).unwrap_or(papers::PAPERS[2])
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
