//! `board`: maps where everything goes on the sample board of a sheet.

use std::path::{Path, PathBuf};

use crate::board::{Board, BoardRequest, draw, marks, report};
use crate::cli::args::BoardArgs;
use crate::cli::choices::{families, idle, listing_or_headings, print_values, spelling, style};
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::labels::LabelSheet;
use crate::labels::label_sheet::SHIPPED_LABEL_SHEETS;
use crate::paint::pdf;
use crate::panels::paper::size_of;
use crate::panels::{Grid, Split, split_up};
use crate::plan::Look;
use crate::range::{FamilyId, Loaded, load};
use crate::session::Session;
use crate::sheet::Sheet;
use crate::sheet::palette::PrintValues;
use crate::stage::StageFile;
use crate::supplies::{self, LabelGrid, Naming, Spares, Stock, Supplies};
use crate::units::pt_to_mm;

/// Least type size of a map, points: it is read at arm's length on a table.
const FLOOR_PT: f64 = 5.0;
/// Sides of a blank tile, mm.
const BLANK: (f64, f64) = (8.0, 300.0);
const MOST_COLUMNS: usize = 50;
/// Round a label on its blank tile, where no size of tiles is given, mm.
const RIM: f64 = 1.0;

/// What kind of file is asked for, by its ending.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BoardFile {
    Pdf,
    Csv,
    Json,
}

/// Runs `board`.
pub fn run(args: &BoardArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = mapped(args, &mut sources);
    let writing = Writing { by: "board", replace: args.replace, json: args.json };
    finish(done, &sources, writing)
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn mapped(args: &BoardArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, mut warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let values = print_values(args.print_on.as_deref(), (&range, &sheet), sources, &mut findings).1;
    let families = families(&args.family, &range, &sheet, &mut findings);
    let listing = listing_or_headings(args.listing.as_deref(), &range, &sheet, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &sheet, sources, &mut findings);
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    let label_sheet = LabelSheet::find(&args.label_sheet, folder, sources);
    let label = label_sheet.map_err(|faults| findings.extend(faults)).ok().map(|r| r.label());
    let wish = wish(args, label, &mut findings);
    let (overlap, margin) = args.split.measures();
    let split = Split::new("--panels", &args.panels, overlap, margin)
        .map_err(|faults| findings.extend(faults));
    let kinds = kinds(args, &mut findings);
    let (Some(listing), Some(spelling), Some(wish), Ok(split)) = (listing, spelling, wish, split)
    else {
        return Err(findings);
    };
    if findings.failed() {
        return Err(findings);
    }
    if let Some(d) = label.and_then(|label| too_small(&args.label_sheet, label, wish.blank)) {
        warnings.push(d);
    }
    let naming = Naming { range: &range, sheet: &sheet, listing, spelling: &spelling };
    let counted = counted(families, !args.no_stand_ins)?;
    let supplies = Supplies::new(&range, &sheet, &counted, &Stock::default());
    let style = style(args.style.as_deref(), &sheet, sources)?;
    let look = Look::new(&style, 210.0, 297.0, pt_to_mm(FLOOR_PT))?;
    let voices = draw::Voices::new(&look);
    let caption = |part| voices.caption(&look, &naming, part);
    let board = Board::new(&range, &supplies, &wish, &caption)?;
    let page = args.marks.as_ref().map(|_| marks::page(&board, &naming)).transpose()?;
    let map = draw::sheet(&board, &naming, (&look, &sources.session.work), page.as_ref())?;
    let grid = match args.whole {
        true => None,
        false => Some(Grid::new(board.width, board.height, 1, &split)?.clear_of(&map)),
    };
    let plan = Mapped { board: &board, naming: &naming, grid: grid.as_ref() };
    let mut files = Vec::new();
    for (path, kind) in args.out.iter().zip(kinds) {
        let bytes = match kind {
            BoardFile::Pdf => plan.pdf(&map, &look, &split, &values)?,
            BoardFile::Csv => plan.csv().into_bytes(),
            BoardFile::Json => plan.json().into_bytes(),
        };
        files.push((path.clone(), bytes));
    }
    if let Some((path, page)) = args.marks.as_ref().zip(page) {
        let release = spelling.apply(range.release());
        let stage =
            StageFile { sheet: sheet.name().clone(), release, paper: None, pages: vec![page] };
        files.push((path.clone(), stage.json().into_bytes()));
    }
    Ok(Done { warnings, printed: plan.printed(args, &files), files })
}

/// One piece and one label of each: what a board holds.
fn counted(
    families: Vec<FamilyId>,
    stand_ins: bool,
) -> Result<supplies::SuppliesRequest, Diagnostic> {
    Ok(supplies::SuppliesRequest {
        families,
        each: 1,
        spares: Spares::NONE,
        stand_ins,
        labels_each: 1,
        tile_spares: Spares::NONE,
        grid: LabelGrid::new(1, 1, 0)?,
        used: 0,
    })
}

/// What kinds of files are asked for, and options without effect on them.
fn kinds(args: &BoardArgs, findings: &mut Findings) -> Vec<BoardFile> {
    let kinds: Vec<BoardFile> = args.out.iter().filter_map(|out| kind(out, findings)).collect();
    let twice = args.out.iter().enumerate().find(|(i, out)| args.out[..*i].contains(out));
    if let Some((_, out)) = twice {
        let message = format!("--out {} is given twice", out.display());
        findings.push(Diagnostic::error("double-file", message).help("keep one of the two"));
    }
    if args.style.is_some() && !kinds.contains(&BoardFile::Pdf) {
        let why = "applies only to a PDF, and none is written";
        findings.push(idle("--style", why, "add --out FILE.pdf"));
    }
    if let Some(marks) = &args.marks {
        if !kinds.contains(&BoardFile::Pdf) {
            let why = "applies only to a PDF, and none is written";
            findings.push(idle("--marks", why, "add --out FILE.pdf"));
        }
        if args.out.contains(marks) {
            let message = format!("--out and --marks both name {}", marks.display());
            let d = Diagnostic::error("double-file", message);
            findings.push(d.help("give --marks a file of its own, for example board-marks.json"));
        }
    }
    kinds
}

/// A board with its panels, in its forms.
struct Mapped<'a> {
    board: &'a Board,
    naming: &'a Naming<'a>,
    grid: Option<&'a Grid>,
}

impl Mapped<'_> {
    fn pdf(
        &self,
        map: &Sheet,
        look: &Look,
        split: &Split,
        values: &PrintValues,
    ) -> Result<Vec<u8>, Findings> {
        missing_characters(map)?;
        let spelling = self.naming.spelling;
        let panels = self.grid.map(|grid| split_up(map, (look, spelling), split, grid));
        let pages = panels.as_ref().unwrap_or(map);
        Ok(pdf::pdf(pages.coloured(&pages.palette.printed(values))))
    }

    fn json(&self) -> String {
        let json = report::json(self.board, self.naming, self.grid);
        // Texts and whole numbers always serialise.
        serde_json::to_string_pretty(&json).unwrap_or_default() + "\n"
    }

    fn csv(&self) -> String {
        report::positions(self.board, self.naming, self.grid).csv()
    }

    fn printed(&self, args: &BoardArgs, files: &[(PathBuf, Vec<u8>)]) -> String {
        if args.json {
            return self.json();
        }
        if args.csv {
            return self.csv();
        }
        let mut text = report::text(self.board, self.naming, self.grid);
        for (path, _) in files {
            text.push_str(&format!("\nWritten: {}", path.display()));
        }
        text + if files.is_empty() { "" } else { "\n" }
    }
}

fn missing_characters(map: &Sheet) -> Result<(), Findings> {
    let missing = supplies::tick_list::missing_characters(map);
    if missing.failed() { Err(missing) } else { Ok(()) }
}

/// The numbers of the command line; all that are wrong are reported.
fn wish(
    args: &BoardArgs,
    label: Option<(f64, f64)>,
    findings: &mut Findings,
) -> Option<BoardRequest> {
    let before = findings.len();
    if let Some(n) = args.columns.filter(|n| !(1..=MOST_COLUMNS).contains(n)) {
        let d = Diagnostic::error(
            "out-of-bounds",
            format!("--columns must be from 1 to {MOST_COLUMNS}, not {n}"),
        );
        findings.push(d.help("use a whole number, for example --columns 12"));
    }
    let most = crate::board::place::MOST_SIDE;
    if let Some(width) = args.width.filter(|w| !(50.0..=most).contains(w)) {
        let d = Diagnostic::error(
            "out-of-bounds",
            format!("--width must be from 50 to {most} mm, not {width}"),
        );
        findings.push(d.help("use a width in mm, for example --width 900"));
    }
    let (least, most) = BLANK;
    let fits = |(w, h): &(f64, f64)| [w, h].iter().all(|s| (least..=most).contains(*s));
    let given = args.tile_size.as_ref().map(|text| (text, size_of(text).filter(fits)));
    let blank = match given {
        Some((_, size)) => size,
        None => label.map(|(w, h)| (w + 2.0 * RIM, h + 2.0 * RIM)),
    };
    if let Some((text, None)) = given {
        let d = Diagnostic::error(
            "bad-tile-size",
            format!("--tile-size must be two sides from {least} to {most} mm, not {text}"),
        );
        let help = "write width x height in mm, for example --tile-size 50x25";
        findings.push(d.help(help));
    }
    let blank = blank.filter(|_| findings.len() == before)?;
    Some(BoardRequest { columns: args.columns, width: args.width, blank })
}

/// Labels that are larger than the tiles that carry them, with what fits.
fn too_small(label_sheet: &str, label: (f64, f64), blank: (f64, f64)) -> Option<Diagnostic> {
    let fits = |(w, h): (f64, f64)| w <= blank.0 && h <= blank.1;
    if fits(label) {
        return None;
    }
    let size = |(w, h): (f64, f64)| format!("{w} x {h} mm");
    let message = format!(
        "the labels of the label sheet '{label_sheet}' are {}, larger than the blank tiles of {}",
        size(label),
        size(blank)
    );
    let shipped = SHIPPED_LABEL_SHEETS.iter().filter_map(|(name, text)| {
        let label = LabelSheet::parse(Path::new(name), text).ok()?.label();
        fits(label).then(|| format!("--label-sheet {name} ({})", size(label)))
    });
    let mut instead: Vec<String> = shipped.collect();
    if instead.is_empty() {
        instead.push("your own label sheet with smaller labels".to_owned());
    }
    let help = format!(
        "use --tile-size {}x{} or larger, or, here and with 'labels', {}",
        label.0,
        label.1,
        instead.join(" or ")
    );
    Some(Diagnostic::warning("small-tile", message).help(help))
}

fn kind(out: &Path, findings: &mut Findings) -> Option<BoardFile> {
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let kind = match ending.as_str() {
        "pdf" => Some(BoardFile::Pdf),
        "csv" => Some(BoardFile::Csv),
        "json" => Some(BoardFile::Json),
        _ => None,
    };
    if kind.is_none() {
        let message = format!("'{}' does not have a supported ending", out.display());
        findings.push(
            Diagnostic::error("unknown-ending", message)
                .help("end its name with .pdf, .csv or .json"),
        );
    }
    kind
}
