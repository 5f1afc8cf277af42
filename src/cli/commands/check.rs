//! `check`: reads everything and proofreads it, draws nothing.

use std::path::Path;

use crate::cli::args::{CheckArgs, FailOn};
use crate::cli::choices::{listing, two_forms};
use crate::cli::commands::measured::{self, MeasuredColour};
use crate::cli::ending::{FAULTY, Writing, code_of, fail, print};
use crate::diag::{Diagnostic, Findings, Severity, Sources};
use crate::diag_print;
use crate::edition::{Editions, Filter, faulty, remarks};
use crate::finish::Understood;
use crate::press;
use crate::proofread::{self, Dictionaries};
use crate::range::{ColourRange, ListingId, Loaded, load};
use crate::read::cells;
use crate::session::Session;

/// Runs `check`.
pub fn run(args: &CheckArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    if let Err(d) = form(args) {
        return fail(d.into(), &sources, args.choice.json);
    }
    let mut all = Findings::default();
    let mut summary = String::new();
    let mut unread = Vec::new();
    let mut drawn = String::new();
    let mut measured = Vec::new();
    match load(&args.choice.sheet, &mut sources) {
        Err(findings) => {
            all.extend(findings);
            let style = args.choice.style.as_deref();
            all.extend(faulty::of_file(&args.choice.sheet, style, &mut sources));
        }
        Ok(loaded) => {
            summary = format!(
                "{} in {}, {}, {}",
                counted(loaded.sheet.colour_count(), "colour", "colours"),
                counted(loaded.sheet.families().len(), "family", "families"),
                counted(loaded.range.parts().len(), "part", "parts"),
                counted(loaded.sheet.editions().len(), "edition", "editions"),
            );
            all.extend(loaded.warnings.clone());
            all.extend(proofread::all(&loaded.range, &loaded.sheet, &session.work));
            let (drawings, asked) = proofread::drawings::drawings(&loaded.range, &session.work);
            all.extend(asked);
            measured = measured::measured(&loaded.range, &sources);
            drawn = listed(&drawings) + &measured::listed(&measured);
            all.extend(press::papers(&loaded.range, &loaded.sheet, &mut sources));
            all.extend(against(args, &loaded.range, &mut sources));
            all.extend(editions(args, loaded, &mut sources, &mut unread));
        }
    }
    let failed = all.worst().is_some_and(|worst| {
        worst
            >= match args.fail_on {
                None => Severity::Error,
                Some(FailOn::Warnings) => Severity::Warning,
                Some(FailOn::Notes) => Severity::Hint,
            }
    });
    let mut close = drawn + &closing(&all, failed, &summary);
    if !unread.is_empty() {
        let tags = unread.join(" and ");
        close += &format!("\nNo dictionary for {tags}, so unknown words were not reported.");
    }
    if let Err(code) = tell(args, (&all.clone().sorted(), &measured), &sources, &close) {
        return code;
    }
    match failed {
        true if all.failed() => code_of(&all),
        true => FAULTY,
        false => 0,
    }
}

/// The form of the file can be made, and is the one that is asked for.
fn form(args: &CheckArgs) -> Result<(), Diagnostic> {
    let Some(out) = &args.out else { return Ok(()) };
    for (asked, option, form) in [(args.choice.json, "--json", "json"), (args.csv, "--csv", "csv")]
    {
        if asked {
            return two_forms(option, form, Some(out));
        }
    }
    let ending = out.extension().map(|e| e.to_string_lossy().to_lowercase());
    if matches!(ending.as_deref(), Some("txt" | "csv" | "json")) {
        return Ok(());
    }
    let message = format!("'{}' does not have a supported ending", out.display());
    Err(Diagnostic::error("unknown-ending", message)
        .help("end its name in .txt, .csv or .json, or add --csv or --json"))
}

/// Prints the findings, or writes them to a file in the form that its ending asks for.
fn tell(
    args: &CheckArgs,
    (findings, measured): (&[Diagnostic], &[MeasuredColour]),
    sources: &Sources,
    close: &str,
) -> Result<(), u8> {
    let asked = if args.choice.json {
        "json"
    } else if args.csv {
        "csv"
    } else {
        "txt"
    };
    let ending = args.out.as_deref().and_then(Path::extension);
    let ending = ending.map(|e| e.to_string_lossy().to_lowercase()).filter(|_| asked == "txt");
    let colour = args.out.is_none() && sources.session.console.out_is_terminal();
    let reported = match ending.as_deref().unwrap_or(asked) {
        "json" => diag_print::json_and(findings, sources, measured),
        "csv" => diag_print::csv(findings, sources),
        _ => format!("{}{close}\n", diag_print::render(findings, sources, colour)),
    };
    let Some(file) = &args.out else {
        return printed(&reported, &sources.session);
    };
    let writing = Writing { by: "check", replace: args.replace, json: args.choice.json };
    writing.each(vec![(file.clone(), reported.into_bytes())], &sources.session)?;
    printed(&format!("{close}\nWritten: {}\n", file.display()), &sources.session)
}

fn printed(text: &str, session: &Session) -> Result<(), u8> {
    match print(text, session) {
        0 => Ok(()),
        code => Err(code),
    }
}

/// A published list against the range.
fn against(args: &CheckArgs, range: &ColourRange, sources: &mut Sources) -> Findings {
    let Some(file) = &args.against else { return Findings::default() };
    let key = args.listing.as_deref();
    match key.map_or(Ok(ListingId(0)), |key| listing(key, range)) {
        Ok(listing) => match cells::read(Path::new(file), None, None, sources) {
            Ok(grid) => {
                let mut findings = grid.remarks();
                findings.extend(proofread::against::against(range, listing, &grid));
                findings
            }
            Err(fault) => fault.into(),
        },
        Err(fault) => fault.into(),
    }
}

/// Layouts, styles, spellings and the plans of all editions.
/// `unread`: the spellings for which there is no dictionary.
fn editions(
    args: &CheckArgs,
    loaded: Loaded,
    sources: &mut Sources,
    unread: &mut Vec<String>,
) -> Findings {
    let filter = Filter {
        editions: args.choice.edition.clone(),
        spellings: args.choice.spelling.clone(),
        style: args.choice.style.clone(),
        formats: Vec::new(),
    };
    let editions = match Editions::resolve(loaded, &filter, sources) {
        Ok(editions) => editions,
        Err(findings) => return findings,
    };
    let mut all = editions.missing_characters();
    for (tag, spelling) in editions.spellings() {
        match Dictionaries::find(tag, &args.dictionary) {
            Ok(dictionaries) => {
                if dictionaries.is_empty() {
                    unread.push(tag.clone());
                }
                let (range, sheet) = (&editions.range, &editions.sheet);
                all.extend(proofread::words(range, sheet, tag, spelling, &dictionaries));
            }
            Err(fault) => all.push(fault),
        }
    }
    let (planned, misfits) = editions.plan_each();
    all.extend(remarks(&planned));
    all.extend(misfits);
    all
}

/// What was understood of each drawing.
fn listed(drawings: &[(String, Understood)]) -> String {
    let lines = drawings.iter().map(|(file, of)| format!("  {file}: {}\n", of.line()));
    format!("Drawings as understood:\n{}\n", lines.collect::<String>())
}

fn counted(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// The last line: what was found, and whether the sheet can be made.
fn closing(all: &Findings, failed: bool, summary: &str) -> String {
    if all.failed() {
        return "The sheet cannot be made yet.".to_owned();
    }
    let count = |severity: Severity, word: &str| {
        let n = all.count(severity);
        (n > 0).then(|| counted(n, word, &format!("{word}s")))
    };
    let found: Vec<String> = [count(Severity::Warning, "warning"), count(Severity::Hint, "note")]
        .into_iter()
        .flatten()
        .collect();
    match (found.is_empty(), failed) {
        (true, _) => format!("Nothing found: {summary}."),
        (false, false) => format!("{}; the sheet can be made: {summary}.", found.join(" and ")),
        (false, true) => format!("{}: more than --fail-on allows.", found.join(" and ")),
    }
}
