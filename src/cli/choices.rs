//! What the options of several commands choose: a listing, a spelling, families, a style, a paper.

use std::path::{Path, PathBuf};

use super::args::PageArg;
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::edition::{self, faulty};
use crate::plan::Style;
use crate::plan::facts::part_label;
use crate::plan::papers::{self, Paper};
use crate::press;
use crate::range::{ColourRange, FamilyId, ListingId, Part, PartId, SheetSpec};
use crate::sheet::palette::PrintValues;
use crate::spelling::Spelling;

/// So many parts are named where a list could be long.
const NAMED: usize = 12;

/// The listing of a key given on the command line.
pub(super) fn listing(key: &str, range: &ColourRange) -> Result<ListingId, Diagnostic> {
    let keys = || range.listings().iter().map(|l| l.key().as_str());
    let found = keys().position(|k| k == key).map(ListingId);
    found.ok_or_else(|| unknown("unknown-listing", "listing", key, keys()))
}

/// The families of these keys; every one that the sheet lacks is reported.
pub(super) fn families(
    asked: &[String],
    range: &ColourRange,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Vec<FamilyId> {
    let shown: Vec<FamilyId> = sheet.families().iter().map(|f| f.family()).collect();
    let mut out = Vec::new();
    for key in asked {
        match shown.iter().find(|f| range.family(**f).key() == key) {
            Some(family) => out.push(*family),
            None => findings.push(
                Diagnostic::error("unknown-family", format!("this sheet shows no family '{key}'"))
                    .help(another_family(key, range, &shown)),
            ),
        }
    }
    out
}

/// The family most like the one asked for, by its key, its title or a part of either.
pub(super) fn another_family(asked: &str, range: &ColourRange, shown: &[FamilyId]) -> String {
    let near = |families: &mut dyn Iterator<Item = FamilyId>| {
        let names: Vec<(&str, &str)> = families
            .map(|f| range.family(f))
            .flat_map(|f| {
                let (key, title) = (f.key().as_str(), f.title().text.as_str());
                let words = title.split_whitespace().chain(key.split('-'));
                words.chain([title, key]).map(move |name| (name, key))
            })
            .collect();
        let near = nearest(asked, names.iter().rev().map(|n| n.0))?;
        names.iter().rev().find(|n| n.0 == near).map(|n| n.1)
    };
    let keys: Vec<&str> = shown.iter().map(|f| range.family(*f).key().as_str()).collect();
    if let Some(key) = near(&mut shown.iter().copied()) {
        return format!("did you mean '{key}'?");
    }
    match near(&mut (0..range.families().len()).map(FamilyId)) {
        Some(key) => format!("the sheet does not show '{key}'; it shows {}", keys.join(", ")),
        None => format!("use {}", keys.join(", ")),
    }
}

/// The answer to a key given on the command line that does not exist.
pub(super) fn unknown<'a>(
    code: &'static str,
    kind: &str,
    key: &str,
    keys: impl Iterator<Item = &'a str>,
) -> Diagnostic {
    let keys: Vec<&str> = keys.collect();
    let help = match nearest(key, keys.iter().copied()) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use {}", keys.join(", ")),
    };
    Diagnostic::error(code, format!("there is no {kind} '{key}'")).help(help)
}

/// An option without effect, and what to do about it.
pub(super) fn idle(option: &str, why: &str, instead: &str) -> Diagnostic {
    Diagnostic::error("idle-option", format!("{option} {why}"))
        .help(format!("{instead}, or leave {option} out"))
}

/// An option asks for one form and the file's ending for another.
pub(super) fn two_forms(option: &str, form: &str, out: Option<&Path>) -> Result<(), Diagnostic> {
    let ending = out.and_then(Path::extension).map(|e| e.to_string_lossy().to_lowercase());
    match ending {
        Some(ending) if ["csv", "json", "md", "txt"].contains(&&*ending) && ending != form => {
            let file = out.map(|o| o.display().to_string()).unwrap_or_default();
            let message = format!("{option} does not match the ending of '{file}'");
            let help = format!("end its name in .{form}, or leave {option} out");
            Err(Diagnostic::error("two-forms", message).help(help))
        }
        _ => Ok(()),
    }
}

/// The file that is asked for, which must have this ending; without one `out/NAME/` and the usual name.
pub(super) fn out_file(
    asked: Option<&Path>,
    sheet: &SheetSpec,
    (stem, ending): (&str, &str),
) -> Result<PathBuf, Diagnostic> {
    let Some(out) = asked else {
        return Ok(Path::new("out").join(sheet.name()).join(format!("{stem}.{ending}")));
    };
    if out.extension().is_some_and(|e| e.to_string_lossy().to_lowercase() == ending) {
        return Ok(out.to_owned());
    }
    let message = format!("'{}' does not have a supported ending", out.display());
    let help = format!("end its name with .{ending}");
    Err(Diagnostic::error("unknown-ending", message).help(help))
}

/// The listing of a key; that of the headings without one.
pub(super) fn listing_or_headings(
    asked: Option<&str>,
    range: &ColourRange,
    sheet: &SheetSpec,
    findings: &mut Findings,
) -> Option<ListingId> {
    let Some(key) = asked else { return Some(sheet.headings()) };
    listing(key, range).map_err(|d| findings.push(d)).ok()
}

/// The spelling of a tag; the sheet's first without one.
pub(super) fn spelling(
    asked: Option<&str>,
    sheet: &SheetSpec,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Option<Spelling> {
    let edition = sheet.editions().first();
    let first = edition.and_then(|e| e.spellings().first()).map_or("en-GB", String::as_str);
    let (tag, span) = match asked {
        Some(tag) => (tag, None),
        None => (first, edition.and_then(|e| e.spellings().span.clone())),
    };
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    let spelling = edition::named::spelling(tag, folder, &span, sources);
    let spelling = spelling.map_err(|faults| findings.extend(faults)).ok()?;
    Some(spelling.keeping(sheet.proper_names()))
}

/// The style of a name; the sheet's own without one.
///
/// # Errors
/// It does not exist or cannot be used.
pub(super) fn style(
    asked: Option<&str>,
    sheet: &SheetSpec,
    sources: &mut Sources,
) -> Result<Style, Findings> {
    let folder = sheet.file().parent().unwrap_or(Path::new(""));
    faulty::style(asked, sheet, folder, sources)
}

/// The sRGB values that are printed on a paper, and its name for files; only the published ones where no
/// paper is named.
pub(super) fn print_values(
    paper: Option<&str>,
    (range, sheet): (&ColourRange, &SheetSpec),
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
pub(super) fn idle_without_pdf(
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
pub(super) fn page(arg: PageArg) -> Paper {
    let name = match arg {
        PageArg::A4 => "A4",
        PageArg::Letter => "Letter",
    };
    // Both are in the list; a test asks for them.
    papers::paper(name).unwrap_or(papers::PAPERS[2])
}

/// The part of a key, of a number in the listing of the headings, or in another listing where only one part has it.
pub(super) fn part(
    word: &str,
    range: &ColourRange,
    sheet: &SheetSpec,
) -> Result<PartId, Diagnostic> {
    let word = word.trim();
    let parts = || range.parts().iter().enumerate();
    let same = |text: &str| text.eq_ignore_ascii_case(word);
    let by_key = parts().find(|(_, p)| p.key() == word);
    let headings = sheet.headings().0;
    let heads = |p: &Part| p.numbers()[headings].as_deref().is_some_and(same);
    if let Some((i, _)) = by_key.or_else(|| parts().find(|(_, p)| heads(p))) {
        return Ok(PartId(i));
    }
    let has = |p: &Part| p.numbers().iter().flatten().any(|n| same(n)) || same(p.key());
    let others: Vec<usize> = parts().filter(|(_, p)| has(p)).map(|(i, _)| i).collect();
    match others[..] {
        [one] => Ok(PartId(one)),
        [] => {
            let numbers = parts().map(|(_, p)| part_label(p, sheet));
            let all: Vec<String> = numbers.chain(parts().map(|(_, p)| p.key().clone())).collect();
            let help = match nearest(word, all.iter().map(String::as_str)) {
                Some(near) => format!("did you mean '{near}'?"),
                None => {
                    let mut list =
                        all[..all.len() / 2].iter().take(NAMED).cloned().collect::<Vec<_>>();
                    list.extend((all.len() / 2 > NAMED).then(|| "...".to_owned()));
                    format!("give its number or key: {}", list.join(", "))
                }
            };
            Err(Diagnostic::error("unknown-part", format!("there is no part '{word}'")).help(help))
        }
        _ => {
            let keys: Vec<&str> = others.iter().map(|i| range.parts()[*i].key().as_str()).collect();
            let message = format!("{} parts have the number '{word}'", others.len());
            let help = format!("give its key: {}", keys.join(", "));
            Err(Diagnostic::error("unknown-part", message).help(help))
        }
    }
}
