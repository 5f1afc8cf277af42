//! `compare --for buyers`: a note that can be sent, in each spelling.

use std::path::{Path, PathBuf};

use super::releases::{both, whole};
use crate::cli::args::{CompareArgs, PageArg};
use crate::cli::choices::{idle, idle_without_pdf, listing, page, print_values};
use crate::cli::ending::{Done, Writing, finish};
use crate::compare::buyers::{News, Offer, Said};
use crate::diag::{Diagnostic, Findings, Sources, Span};
use crate::edition::{self, faulty};
use crate::note::chips::Chips;
use crate::note::markdown::markdown;
use crate::note::{self, Note, Telling, chips};
use crate::paint::pdf;
use crate::paint::png::Output;
use crate::plan::{Look, Style};
use crate::range::{CentreLine, ColourRange, ListingId, Pictures, SheetSpec, Words, load_either};
use crate::session::Session;
use crate::sheet::Setting;
use crate::sheet::palette::PrintValues;
use crate::spelling::Spelling;
use crate::supplies::tick_list::missing_characters;
use crate::units::Dpi;

/// Resolution of chips beside Markdown: about 100 pixels wide.
const CHIP_DPI: u32 = 200;

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NoteFile {
    Markdown,
    Pdf,
}

/// Runs `compare --for buyers`.
pub fn run(args: &CompareArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = reported(args, &mut sources);
    finish(done, &sources, Writing { by: "compare", replace: args.replace, json: false })
}

fn reported(args: &CompareArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let mut findings = Findings::default();
    let kind = kind(args, &mut findings);
    let read = both(load_either(&args.old, sources), load_either(&args.new, sources));
    let (old, new) = match read {
        Ok(read) => read,
        Err(faults) => {
            findings.extend(faults);
            return Err(findings);
        }
    };
    let sheets = old.sheet.clone().zip(new.sheet.clone());
    let (old, new) = match sheets {
        Some(_) => (old.range, new.range),
        // What one sheet chooses is no change of the range.
        None => both(whole(old, &args.old, sources), whole(new, &args.new, sources))?,
    };
    let sheets = sheets.as_ref().map(|(old, new)| (old, new));
    let values = values(args, (&old, &new), sheets, sources, &mut findings);
    let sheet = sheets.map(|(_, after)| after);
    let lines = lines(args.listing.as_deref(), &new, sheet, &mut findings);
    let spellings = spellings(args, sheet, sources, &mut findings);
    let style = style(args, sheet, sources, &mut findings);
    let Some(style) = style.filter(|_| !findings.failed()) else { return Err(findings) };
    let note = |spelling: &Spelling| {
        let old = Offer { range: &old, sheet: sheets.map(|s| s.0) };
        let new = Offer { range: &new, sheet };
        let say = |words: &Words| spelling.apply(words);
        let news = News::new(old, new, Said { lines: &lines, say: &say });
        Note::new(&news, Telling { old, new, lines: &lines, spelling })
    };
    let notes: Vec<(&Spelling, Note)> = spellings.iter().map(|s| (s, note(s))).collect();
    let Some((out, kind)) = args.out.as_deref().zip(kind) else {
        let first = notes.first().map(|(_, note)| markdown(note, None));
        return Ok(Done {
            warnings: findings,
            printed: first.unwrap_or_default(),
            files: Vec::new(),
        });
    };
    let files = match kind {
        NoteFile::Markdown => texts(out, &notes, &style)?,
        NoteFile::Pdf => {
            let paper = page(args.page.unwrap_or(PageArg::A4));
            let setting = Setting { style: &style, paper, work: &sources.session.work };
            let pictures = sheet.and_then(|sheet| sheet.pictures().as_ref());
            pdfs(out, &notes, ((&new, pictures), &values), &setting)?
        }
    };
    Ok(Done { warnings: findings, printed: summary(&files), files })
}

/// What is printed on the paper of the command line in place of published values, before and now.
fn values(
    args: &CompareArgs,
    (old, new): (&ColourRange, &ColourRange),
    sheets: Option<(&SheetSpec, &SheetSpec)>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> PrintValues {
    let mut values = PrintValues::default();
    let paper = args.print_on.as_deref();
    match sheets {
        Some((before, after)) => {
            values.earlier = print_values(paper, (old, before), sources, findings).1.shown;
            // An unknown paper is reported once.
            if !findings.failed() {
                values.shown = print_values(paper, (new, after), sources, findings).1.shown;
            }
        }
        None if paper.is_some() => findings.push(idle(
            "--paper",
            "needs two sheets, because print values belong to the colours of a sheet",
            "give two sheets",
        )),
        None => {}
    }
    values
}

/// Which file is asked for, and options without effect.
fn kind(args: &CompareArgs, findings: &mut Findings) -> Option<NoteFile> {
    let ending = args.out.as_deref().map(|out| {
        let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase());
        (out, ending.unwrap_or_default())
    });
    let kind = ending.as_ref().and_then(|(_, ending)| match ending.as_str() {
        "md" | "markdown" => Some(NoteFile::Markdown),
        "pdf" => Some(NoteFile::Pdf),
        _ => None,
    });
    if let (Some((out, _)), None) = (&ending, kind) {
        let message = format!("'{}' does not have a supported ending", out.display());
        let d = Diagnostic::error("unknown-ending", message);
        findings.push(d.help("end its name in .pdf or .md"));
        return None;
    }
    if args.markdown && kind == Some(NoteFile::Pdf) {
        let message = "--markdown does not match a name that ends in .pdf";
        let d = Diagnostic::error("two-forms", message);
        findings.push(d.help("end the name in .md, or leave --markdown out"));
    }
    if kind != Some(NoteFile::Pdf) {
        let (paper, style) = (args.print_on.as_deref(), args.style.as_deref());
        findings.extend(idle_without_pdf(args.page, paper, style, "add --out note.pdf"));
    }
    kind
}

/// Whose names and numbers: of the listing asked for, as beside a colour on the sheet, or of all listings.
fn lines(
    asked: Option<&str>,
    range: &ColourRange,
    sheet: Option<&SheetSpec>,
    findings: &mut Findings,
) -> Vec<CentreLine> {
    let both = |l: ListingId| CentreLine { listing: l, name: true, number: true };
    if let Some(key) = asked {
        let found = listing(key, range).map_err(|d| findings.push(d));
        return found.into_iter().map(both).collect();
    }
    match sheet {
        Some(sheet) => sheet.centre().clone(),
        None => (0..range.listings().len()).map(|l| both(ListingId(l))).collect(),
    }
}

/// The spellings asked for, else those of the sheet, else British.
fn spellings(
    args: &CompareArgs,
    sheet: Option<&SheetSpec>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Vec<Spelling> {
    let mut tags: Vec<(String, Option<Span>)> = Vec::new();
    let own = sheet.into_iter().flat_map(|s| s.editions()).flat_map(|e| {
        e.spellings().iter().map(move |tag| (tag.clone(), e.spellings().span.clone()))
    });
    let asked: Vec<_> = args.spelling.iter().map(|tag| (tag.clone(), None)).collect();
    let all = if asked.is_empty() { own.collect() } else { asked };
    for (tag, span) in all {
        if !tags.iter().any(|(t, _)| *t == tag) {
            tags.push((tag, span));
        }
    }
    if tags.is_empty() {
        tags.push(("en-GB".to_owned(), None));
    }
    let folder = args.new.parent().unwrap_or(Path::new(""));
    let read = tags.iter().map(|(tag, span)| edition::named::spelling(tag, folder, span, sources));
    read.filter_map(|read| read.map_err(|faults| findings.extend(faults)).ok()).collect()
}

/// The style asked for, else that of the sheet, else the first that comes with the program.
fn style(
    args: &CompareArgs,
    sheet: Option<&SheetSpec>,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<Style> {
    let folder = args.new.parent().unwrap_or(Path::new(""));
    let style = match (&args.style, sheet) {
        (asked, Some(sheet)) => faulty::style(asked.as_deref(), sheet, folder, sources),
        (Some(name), None) => edition::named::style(name, folder, &None, sources),
        (None, None) => Style::shipped("plate").map_err(Findings::from),
    };
    style.map_err(|faults| findings.extend(faults)).ok()
}

/// `note.pdf`, or `note.en-GB.pdf` where there are several spellings.
fn name(out: &Path, spelling: &Spelling, several: bool) -> PathBuf {
    match (several, out.file_stem(), out.extension()) {
        (true, Some(stem), Some(ending)) => {
            let (stem, ending) = (stem.to_string_lossy(), ending.to_string_lossy());
            out.with_file_name(format!("{stem}.{}.{ending}", spelling.tag()))
        }
        _ => out.to_path_buf(),
    }
}

type Files = Vec<(PathBuf, Vec<u8>)>;

fn texts(out: &Path, notes: &[(&Spelling, Note)], style: &Style) -> Result<Files, Findings> {
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let folder = format!("{stem}-chips");
    let mut named = Chips::default();
    notes.iter().for_each(|(_, note)| named.add(note));
    let mut files = Files::new();
    for (spelling, note) in notes {
        let text = markdown(note, Some((&mut named, &folder)));
        files.push((name(out, spelling, notes.len() > 1), text.into_bytes()));
    }
    let (width, height) = chips::SIZE;
    let look = Look::new(style, width, height, 1.0)?;
    for (name, chip) in named.each() {
        let mut bytes = Vec::new();
        let mut output =
            [Output { dpi: Dpi::new(CHIP_DPI).unwrap_or(Dpi::PREVIEW), out: &mut bytes }];
        let sheet = chips::sheet(chip, &look);
        let colours = sheet.palette.published();
        let painted = sheet.coloured(&colours);
        let drawn = crate::paint::png(painted, 0, &mut output, 1, &|_| Ok(()));
        if drawn.is_ok() {
            files.push((out.with_file_name(&folder).join(format!("{name}.png")), bytes));
        }
    }
    Ok(files)
}

fn pdfs(
    out: &Path,
    notes: &[(&Spelling, Note)],
    (parts, values): ((&ColourRange, Option<&Pictures>), &PrintValues),
    setting: &Setting<'_>,
) -> Result<Files, Findings> {
    let mut files = Files::new();
    for (spelling, note) in notes {
        let sheet = note::sheet(note, parts, spelling, setting)?;
        let missing = missing_characters(&sheet);
        if missing.failed() {
            return Err(missing);
        }
        let bytes = pdf::pdf(sheet.coloured(&sheet.palette.printed(values)));
        files.push((name(out, spelling, notes.len() > 1), bytes));
    }
    Ok(files)
}

fn summary(files: &Files) -> String {
    let chip = |path: &Path| path.extension().is_some_and(|e| e == "png");
    let notes = files.iter().map(|(path, _)| path).filter(|path| !chip(path));
    let mut out: String = notes.map(|path| format!("Written: {}\n", path.display())).collect();
    let chips: Vec<&Path> = files.iter().map(|(p, _)| p.as_path()).filter(|p| chip(p)).collect();
    if let Some(folder) = chips.first().and_then(|p| p.parent()) {
        out += &format!(
            "{} chips in {}: send the folder with the note\n",
            chips.len(),
            folder.display()
        );
    }
    out
}
