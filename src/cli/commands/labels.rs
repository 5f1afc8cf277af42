//! `labels`: stickers for a physical sample board, to print and to cut.

mod cutting;
mod summary;

use std::collections::BTreeSet;
use std::path::Path;

use self::cutting::{Cutter, trial_files};
use self::summary::{Summary, text};
use crate::cli::args::LabelsArgs;
use crate::cli::choices::{families, listing, print_values};
use crate::cli::ending::{Writing, fail, print, say};
use crate::cli::picture::pictures;
use crate::compare::again::Labels;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::book::OutputFolder;
use crate::edition::outputs::Outputs;
use crate::edition::{self, faulty};
use crate::labels::choose::{self, Choice};
use crate::labels::stand::Places;
use crate::labels::{Codes, CutSheet, LabelSheet, LabelsRequest, Set, set, used, words};
use crate::paint::{CutLine, pdf, pdf_with_cuts};
use crate::plan::Style;
use crate::range::{ColourRange, ListingId, Loaded, SheetSpec, load, load_either};
use crate::session::Session;
use crate::spelling::Spelling;
use crate::units::Dpi;

/// The most labels of one colour.
const MOST_COPIES: u64 = 1_000;
/// The most labels of a run: more would be a slip.
const MOST_LABELS: u64 = 100_000;

/// Runs `labels`.
pub fn run(args: &LabelsArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let (made, warnings) = match made(args, &mut sources) {
        Ok(made) => made,
        Err(findings) => return fail(findings, &sources, args.json),
    };
    if !args.quiet {
        say(warnings, &sources);
    }
    let (reported, files): (Vec<Summary>, Vec<_>) =
        made.into_iter().map(|m| (m.reported, m.files)).unzip();
    let by = if args.trial { "labels --trial" } else { "labels" };
    let mut outputs = Vec::new();
    if let Some(first) = reported.first() {
        let place = OutputFolder::new(&args.out, &first.inner, by);
        let folder = place.folder();
        let inside = |(path, bytes): (String, Vec<u8>)| {
            let path = Path::new(&path).strip_prefix(&folder).map(|p| p.display().to_string());
            path.map(|name| (name, bytes)).ok()
        };
        let files = files.into_iter().flatten().filter_map(inside).collect();
        outputs.push(Outputs { stale: is_stale, ..Outputs::new(place, files) });
    }
    let writing = Writing { by, replace: args.replace, json: args.json };
    match writing.all(outputs, session) {
        Ok(left) => left.iter().for_each(|path| {
            let path = path.display();
            session.console.err(&format!(
                "{path} is from an earlier set and was changed since, so it was not removed\n"
            ));
        }),
        Err(code) => return code,
    }
    let reported: Vec<&Summary> = reported.iter().collect();
    if args.json {
        // Texts and whole numbers always serialise.
        return print(
            &(serde_json::to_string_pretty(&reported).unwrap_or_default() + "\n"),
            session,
        );
    }
    if args.quiet { 0 } else { print(&text(&reported), session) }
}

/// The files of one spelling, in memory until all are there.
struct MadeSet {
    reported: Summary,
    files: Vec<(String, Vec<u8>)>,
}

/// Is it a file of an earlier run for a sheet that no longer exists, in a spelling that is made now? It would be
/// cut or read as if it were of this set.
fn is_stale(name: &str, files: &[(String, Vec<u8>)]) -> bool {
    let of_these = |(new, _): &(String, Vec<u8>)| {
        let tag = new.strip_prefix("labels.").and_then(|rest| rest.strip_suffix(".used.csv"));
        tag.is_some_and(|tag| of_a_sheet(name, tag))
    };
    files.iter().any(of_these)
}

/// Is it `labels.TAG.N-of-M.` and a kind of file that is made for every sheet?
fn of_a_sheet(name: &str, tag: &str) -> bool {
    let number = |n: &str| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit());
    let Some(rest) = name.strip_prefix(&format!("labels.{tag}.")) else { return false };
    let Some((which, kind)) = rest.split_once('.') else { return false };
    let counted = which.split_once("-of-").is_some_and(|(n, m)| number(n) && number(m));
    counted && ["proof.png", "cut.svg"].contains(&kind)
}

fn made(args: &LabelsArgs, sources: &mut Sources) -> Result<(Vec<MadeSet>, Findings), Findings> {
    let Loaded { range, sheet, mut warnings } = load(&args.sheet, sources)?;
    let folder = sheet.file().parent().unwrap_or(Path::new("")).to_path_buf();
    let mut findings = Findings::default();
    let style = kept(style(args, &sheet, &folder, sources), &mut findings);
    let label_sheet = kept(LabelSheet::find(&args.label_sheet, &folder, sources), &mut findings);
    let places = label_sheet.as_ref().and_then(|r| places(args, r, sources, &mut findings));
    let families = families(&args.family, &range, &sheet, &mut findings);
    let choice = Choice { families, only: args.only.clone() };
    let asked = listings(args, &range, &mut findings);
    let lines = words::shown(&sheet, &asked);
    let own = Labels { lines: lines.clone(), ..Labels::of_sheet(&range, &sheet) };
    let mut colours =
        kept(choose::colours(&range, &sheet, &choice), &mut findings).unwrap_or_default();
    if let Some(old) = &args.since
        && let Some(old) = kept(load_either(old, sources), &mut findings)
    {
        colours = choose::due(&old, &own, !asked.is_empty(), &colours);
    }
    let (on_paper, values) =
        print_values(args.print_on.as_deref(), (&range, &sheet), sources, &mut findings);
    let spellings = spellings(args, &sheet, &folder, sources, &mut findings);
    copies(args, colours.len(), &mut findings);
    one_spelling(&spellings, places.as_ref(), &mut findings);
    let cutter = label_sheet
        .as_ref()
        .and_then(|r| kept(Cutter::new(args, r, sources, &mut warnings), &mut findings));
    let (Some(style), Some(label_sheet), Some(places), Some(cutter), false) =
        (style, label_sheet, places, cutter, findings.failed())
    else {
        return Err(findings);
    };
    let codes = || Codes::new(&range, &sheet, &colours, &label_sheet);
    let codes = args.codes.then(codes).transpose()?;
    if args.trial {
        let trial =
            trial_of(args, &sheet, (&label_sheet, &cutter), (&style, &spellings), &mut warnings);
        return Ok((vec![trial?], warnings));
    }
    if colours.is_empty() {
        warnings.push(no_labels(args));
        return Ok((Vec::new(), warnings));
    }
    let wish = LabelsRequest {
        range: &range,
        sheet: &sheet,
        label_sheet: &label_sheet,
        style: &style,
        colours: &colours,
        lines: &lines,
        places: &places,
        copies: args.copies,
        codes: codes.as_ref(),
        work: &sources.session.work,
        values: &values,
    };
    let to = inner(&sheet, on_paper.as_deref());
    let made = sets(args, (&wish, &to), &cutter, &spellings, &mut warnings)?;
    Ok((made, warnings))
}

/// The labels of every spelling.
fn sets(
    args: &LabelsArgs,
    (wish, inner): (&LabelsRequest<'_>, &str),
    cutter: &Cutter,
    spellings: &[Spelling],
    warnings: &mut Findings,
) -> Result<Vec<MadeSet>, Findings> {
    let (mut out, mut findings) = (Vec::new(), Findings::default());
    for spelling in spellings {
        let set = kept(Set::new(wish, spelling, warnings), &mut findings);
        let made = set.map(|set| {
            of_spelling(args, (wish, inner.to_owned()), (&set, cutter), spelling, warnings)
        });
        match made.transpose() {
            Ok(made) => out.extend(made),
            Err(fault) => findings.push(fault),
        }
    }
    if findings.failed() { Err(findings) } else { Ok(out) }
}

/// A part-used sheet is filled in one spelling.
fn one_spelling(spellings: &[Spelling], places: Option<&Places>, findings: &mut Findings) {
    if spellings.len() > 1 && places.is_some_and(Places::part_used) {
        let message = "a part-used sheet can be filled in one spelling only".to_owned();
        let tags: Vec<&str> = spellings.iter().map(Spelling::tag).collect();
        let help = format!("choose one with --spelling: {}", tags.join(", "));
        findings.push(Diagnostic::error("part-used-twice", message).help(help));
    }
}

/// Why there is nothing to print.
fn no_labels(args: &LabelsArgs) -> Diagnostic {
    let help = match args.since {
        Some(_) => "no name, number or value of a colour has changed since then",
        None => "the sheet shows no colours",
    };
    Diagnostic::warning("no-labels", "no labels to make: nothing is written").help(help)
}

/// Where the labels of a sheet go.
fn inner(sheet: &SheetSpec, paper: Option<&str>) -> String {
    match paper {
        Some(paper) => format!("{}-{paper}/labels", sheet.name()),
        None => format!("{}/labels", sheet.name()),
    }
}

/// Paints a set and reports what it needs.
fn of_spelling(
    args: &LabelsArgs,
    (wish, inner): (&LabelsRequest<'_>, String),
    (set, cutter): (&Set, &Cutter),
    spelling: &Spelling,
    warnings: &mut Findings,
) -> Result<MadeSet, Diagnostic> {
    let folder = args.out.join(&inner);
    let name = |ending: &str| {
        let name = format!("labels.{}.{ending}", spelling.tag());
        folder.join(name).display().to_string()
    };
    let used_after = wish.places.used_after(&set.stands);
    let print = set.print();
    let values = wish.values;
    let colours = print.palette.printed(values);
    let painted = print.coloured(&colours);
    let mut files = vec![
        (name("pdf"), pdf_with_cuts(painted, &cut_lines(set.cuts()))),
        (name("print.pdf"), pdf::pdf(painted)),
        (name("csv"), set.list(wish.range, |s| values.of(s)).csv().into_bytes()),
        (name("used.csv"), used::csv(&used_after).into_bytes()),
    ];
    let of = set.sheets();
    let proof = set.pictures(wish.label_sheet);
    let pictures = pictures(proof.coloured(&proof.palette.printed(values)), Dpi::PROOF)?;
    files.extend(
        pictures
            .into_iter()
            .enumerate()
            .map(|(n, p)| (name(&format!("{}-of-{of}.proof.png", n + 1)), p)),
    );
    let cuts = cutter.files(set.cuts(), |n| name(&format!("{n}-of-{of}.cut.svg")), warnings);
    files.extend(cuts.files);
    let need = set::need(wish.places, wish.colours.len(), wish.copies);
    let repeats = set.stands.iter().filter(|s| s.repeat).count();
    let reported = Summary {
        spelling: spelling.tag().to_owned(),
        label_sheet: wish.label_sheet.title().clone(),
        labels: set.stands.len() - repeats,
        repeats,
        new_sheets: need.new,
        on_part_used_sheet: need.on_part_used,
        supplies_first_free: wish.places.used_as() % wish.places.grid.places() + 1,
        free_on_last: need.free,
        first_free: first_free(&used_after, wish.places),
        travel: whole(cuts.travel),
        travel_of_grid: whole(cuts.of_grid),
        correction: correction(cutter),
        correction_text: correction_text(cutter),
        trial: false,
        inner,
        files: files.iter().map(|(name, _)| name.clone()).collect(),
    };
    Ok(MadeSet { reported, files })
}

/// The trial sheet in place of labels.
fn trial_of(
    args: &LabelsArgs,
    sheet: &SheetSpec,
    (label_sheet, cutter): (&LabelSheet, &Cutter),
    (style, spellings): (&Style, &[Spelling]),
    warnings: &mut Findings,
) -> Result<MadeSet, Findings> {
    let inner = inner(sheet, None);
    let folder = args.out.join(&inner);
    let english = Spelling::shipped("en-GB");
    let Some(spelling) = spellings.first().or(english.as_ref()) else {
        return Err(Diagnostic::error("no-spelling", "no spelling is chosen").into());
    };
    let files = trial_files(cutter, label_sheet, (style, spelling), &folder, warnings)?;
    let reported = Summary {
        spelling: spelling.tag().to_owned(),
        label_sheet: label_sheet.title().clone(),
        labels: 0,
        repeats: 0,
        new_sheets: 1,
        on_part_used_sheet: 0,
        supplies_first_free: 1,
        free_on_last: 0,
        first_free: None,
        travel: 0.0,
        travel_of_grid: 0.0,
        correction: correction(cutter),
        correction_text: correction_text(cutter),
        trial: true,
        inner,
        files: files.iter().map(|(name, _)| name.clone()).collect(),
    };
    Ok(MadeSet { reported, files })
}

fn correction(cutter: &Cutter) -> Option<[serde_json::Value; 2]> {
    cutter.machine().map(|m| [m.parts().json(), m.marks().json()])
}

fn correction_text(cutter: &Cutter) -> String {
    let Some(machine) = cutter.machine() else { return String::new() };
    format!(
        "\nThe cuts are corrected for a machine with this error:\n\n{}\n{}",
        machine.parts().text(),
        machine.marks().text()
    )
}

/// To a tenth of a millimetre, as reported.
fn whole(length: f64) -> f64 {
    (length * 10.0).round() / 10.0
}

/// The next place, from 1, where all before it are used and it is not the end.
fn first_free(used: &BTreeSet<u64>, places: &Places) -> Option<u64> {
    let n = used.len() as u64;
    let without_gaps = used.iter().zip(0..).all(|(p, n)| *p == n);
    (without_gaps && n < places.grid.places()).then_some(n + 1)
}

fn cut_lines(sheets: &[CutSheet]) -> Vec<Vec<CutLine>> {
    let lines = |sheet: &CutSheet| {
        let each = sheet.contours.iter();
        each.map(|c| CutLine { step: c.cut.step(), path: c.path.clone() }).collect()
    };
    sheets.iter().map(lines).collect()
}

fn kept<T, E: Into<Findings>>(result: Result<T, E>, findings: &mut Findings) -> Option<T> {
    result.map_err(|e| findings.extend(e.into())).ok()
}

fn style(
    args: &LabelsArgs,
    sheet: &SheetSpec,
    folder: &Path,
    sources: &mut Sources,
) -> Result<Style, Findings> {
    faulty::style(args.style.as_deref(), sheet, folder, sources)
}

/// The places of a sheet: lost rows, and what is used of a part-used one.
fn places(
    args: &LabelsArgs,
    label_sheet: &LabelSheet,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<Places> {
    let grid = kept(label_sheet.grid(args.spoiled_rows), findings)?;
    let used = match (&args.used, args.first_free) {
        (Some(file), _) => kept(used::read(file, grid.places(), sources), findings)?,
        (None, Some(n)) if (1..=grid.places()).contains(&n) => (0..n - 1).collect(),
        (None, Some(n)) => {
            let help = "count the places along the rows from the top left";
            let message = format!("--first-free must be from 1 to {}, not {n}", grid.places());
            findings.push(Diagnostic::error("out-of-bounds", message).help(help));
            return None;
        }
        (None, None) => BTreeSet::new(),
    };
    Some(Places {
        grid,
        columns: label_sheet.columns(),
        spoiled_rows: args.spoiled_rows,
        fill: args.fill_spoiled,
        used,
    })
}

fn copies(args: &LabelsArgs, colours: usize, findings: &mut Findings) {
    if !(1..=MOST_COPIES).contains(&args.copies) {
        let message = format!("--copies must be from 1 to {MOST_COPIES}, not {}", args.copies);
        let help = "use a whole number, for example --copies 2";
        findings.push(Diagnostic::error("out-of-bounds", message).help(help));
    } else if colours as u64 * args.copies > MOST_LABELS {
        let message = format!("{colours} colours x {} copies are too many labels", args.copies);
        let help = format!("make at most {MOST_LABELS} labels in one run");
        findings.push(Diagnostic::error("out-of-bounds", message).help(help));
    }
}

fn listings(args: &LabelsArgs, range: &ColourRange, findings: &mut Findings) -> Vec<ListingId> {
    let mut out = Vec::new();
    for key in &args.listing {
        if let Some(id) = kept(listing(key, range), findings)
            && !out.contains(&id)
        {
            out.push(id);
        }
    }
    out
}

/// Those asked for, else all of the sheet's editions.
fn spellings(
    args: &LabelsArgs,
    sheet: &SheetSpec,
    folder: &Path,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Vec<Spelling> {
    let own = sheet.editions().iter().flat_map(|e| e.spellings().iter().map(move |t| (e, t)));
    let mut tags: Vec<(&str, _)> = Vec::new();
    for tag in &args.spelling {
        tags.push((tag, None));
    }
    if args.spelling.is_empty() {
        own.for_each(|(e, tag)| tags.push((tag, e.spellings().span.clone())));
    }
    if tags.is_empty() {
        tags.push(("en-GB", None));
    }
    let mut seen = BTreeSet::new();
    tags.retain(|(tag, _)| seen.insert(*tag));
    let mut out = Vec::new();
    for (tag, span) in tags {
        match edition::named::spelling(tag, folder, &span, sources) {
            Ok(spelling) => out.push(spelling.keeping(sheet.proper_names())),
            Err(faults) => findings.extend(faults),
        }
    }
    out
}
