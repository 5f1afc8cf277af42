//! `learn`: what a print shows, kept with its paper.

use std::path::Path;

use super::photograph::{opened, refused};
use super::target::usual;
use crate::capture::{find_code, read_seen, see};
use crate::cli::args::LearnArgs;
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::progress::Progress;
use crate::learn::{Learned, Outlier, ReadFile, by_eye, by_instrument, by_photograph};
use crate::press::readings::{self, Readings, Round};
use crate::press::tell::{self, Case};
use crate::press::{Chosen, Paper, Print, Report, few_enough, open, open_plain};
use crate::range::{ColourRange, Loaded, SheetSpec, load};
use crate::session::Session;
use crate::stage::{StageFile, know};
use crate::target::read_form;

/// Pairs up to this difference are counted (CIEDE2000).
const LIMIT: f64 = 10.0;

/// Runs `learn`.
pub fn run(args: &LearnArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = learned(args, &mut sources);
    finish(done, &sources, Writing { by: "learn", replace: args.replace, json: args.json })
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn learned(args: &LearnArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let Loaded { range, sheet, mut warnings } = load(&args.sheet, sources)?;
    let mode = args.colour_mode.map(Into::into);
    let plain = open_plain(&args.paper, &sheet, mode, &sources.session)?;
    few_enough(&range, &sheet)?;
    let file = plain.readings_file(&sheet);
    let readings = begun(args, &file, &plain, sources)?;
    let mut kept = Kept { names: known_names(&readings), readings };
    // Answers are understood by what the paper was known to show when it was printed.
    let printed = open(&args.paper, &sheet, mode, sources)?;
    kept.change(args, &plain.paper, sources)?;
    if !args.files.is_empty() {
        let of = Reading { args, range: &range, sheet: &sheet, paper: &printed };
        let (read, remarks) = of.files(sources)?;
        warnings.extend(remarks);
        kept.names.extend(read.names);
        let about = args.about.clone().unwrap_or_default();
        kept.readings.rounds.push(Round { about, readings: read.readings });
    }
    let after = kept.readings.correct(plain.paper);
    let text = report(&kept, &after, (&range, &sheet, &printed), args, sources)?;
    let printed = if args.json { text } else { text + &format!("Written: {}\n", file.display()) };
    Ok(Done { warnings, printed, files: vec![(file, kept.readings.text().into_bytes())] })
}

/// The rounds that there are already.
fn begun(
    args: &LearnArgs,
    file: &Path,
    plain: &Chosen,
    sources: &mut Sources,
) -> Result<Readings, Findings> {
    let printer = args.printer.clone().unwrap_or_default();
    let changes = args.start_again || args.remove_round.is_some() || args.merge.is_some();
    if args.files.is_empty() && !changes {
        let message = "nothing to read is named";
        let help = "name the form, photographs of the target, or an instrument's file";
        return Err(Diagnostic::error("nothing-to-learn", message).help(help).into());
    }
    if args.start_again || !sources.session.files.exists(file) {
        return Ok(Readings::begun(&plain.name, &printer, &plain.paper));
    }
    let mut readings = readings::read(file, &plain.paper, sources)?;
    match &args.printer {
        Some(printer) if !readings.printer.is_empty() && readings.printer != *printer => {
            let message = format!(
                "'{}' has readings of '{}', not of '{printer}'",
                file.display(),
                readings.printer
            );
            let help = "give papers of different printers names of their own in the sheet (papers:), use --start-again, or leave --printer out";
            Err(Diagnostic::error("other-printer", message).help(help).into())
        }
        Some(printer) => {
            readings.printer.clone_from(printer);
            Ok(readings)
        }
        None => Ok(readings),
    }
}

fn known_names(readings: &Readings) -> Vec<String> {
    let of = |(n, round): (usize, &Round)| {
        (0..round.readings.len())
            .map(move |i| format!("round {}, line {}", n + 1, i + 1))
            .collect::<Vec<_>>()
    };
    readings.rounds.iter().enumerate().flat_map(of).collect()
}

/// The rounds with what each reading is of.
struct Kept {
    readings: Readings,
    names: Vec<String>,
}

impl Kept {
    /// Takes a round out, or adds those of another file.
    fn change(
        &mut self,
        args: &LearnArgs,
        paper: &Paper,
        sources: &mut Sources,
    ) -> Result<(), Findings> {
        let Kept { readings, names } = self;
        if let Some(n) = args.remove_round {
            if n == 0 || n > readings.rounds.len() {
                let message = match readings.rounds.len() {
                    0 => "there is no round to take out".to_owned(),
                    all => format!("there is no round {n}: there are {all}, the first is 1"),
                };
                let help = "rounds are numbered in the file of readings";
                return Err(Diagnostic::error("no-round", message).help(help).into());
            }
            let before: usize = readings.rounds[..n - 1].iter().map(|r| r.readings.len()).sum();
            let gone = readings.rounds.remove(n - 1);
            names.drain(before..before + gone.readings.len());
        }
        if let Some(file) = &args.merge {
            let other = readings::read(file, paper, sources)?;
            for round in other.rounds {
                let count = round.readings.len();
                names.extend((0..count).map(|i| format!("{}, line {}", file.display(), i + 1)));
                readings.rounds.push(round);
            }
        }
        Ok(())
    }
}

/// What is needed to read the files of a round.
struct Reading<'a> {
    args: &'a LearnArgs,
    range: &'a ColourRange,
    sheet: &'a SheetSpec,
    paper: &'a Chosen,
}

impl Reading<'_> {
    /// Everything that is named.
    fn files(&self, sources: &mut Sources) -> Result<(ReadFile, Findings), Findings> {
        let usual = usual(self.sheet, &self.paper.name).with_extension("json");
        let file = self.args.target.as_ref().unwrap_or(&usual);
        let target = StageFile::read(file, &sources.session)?;
        if let Some(fault) = self.other(file, &target) {
            return Err(fault.into());
        }
        let mut all = ReadFile::default();
        let (mut findings, mut remarks) = (Findings::default(), Findings::default());
        let progress = Progress::new(self.args.files.len(), self.args.quiet || self.args.json);
        for (i, path) in self.args.files.iter().enumerate() {
            progress.say(&path.display().to_string());
            match self.file(path, &target, sources) {
                Ok((read, said)) => {
                    let place = |name: String| format!("{}: {name}", path.display());
                    all.names.extend(read.names.into_iter().map(place));
                    all.readings.extend(read.readings);
                    all.without += read.without;
                    remarks.extend(said);
                }
                Err(faults) => findings.extend(faults),
            }
            progress.at(i + 1, 0.0);
        }
        progress.done();
        if all.readings.is_empty() && !findings.failed() {
            let message = "nothing could be read from these files";
            let help = "fill in the column 'nearest' of the form, or lay the parts on the pages before you photograph them";
            findings.push(Diagnostic::error("nothing-read", message).help(help));
        }
        if findings.failed() { Err(findings) } else { Ok((all, remarks)) }
    }

    /// A target of another sheet or paper.
    fn other(&self, file: &Path, target: &StageFile) -> Option<Diagnostic> {
        let shown = file.display();
        let message = if target.sheet != *self.sheet.name() {
            format!(
                "'{shown}' is a target of the sheet '{}', not of '{}'",
                target.sheet,
                self.sheet.name()
            )
        } else {
            match &target.paper {
                Some(paper) if *paper == self.paper.name => return None,
                Some(paper) => format!(
                    "'{shown}' is a target for the paper '{paper}', not for '{}'",
                    self.paper.name
                ),
                None => format!("'{shown}' describes pages of 'stage', not a target"),
            }
        };
        let help =
            "name the file that 'shadecard target' wrote with this print: --target FILE.json";
        Some(Diagnostic::error("other-target", message).help(help))
    }

    fn file(
        &self,
        path: &Path,
        target: &StageFile,
        sources: &mut Sources,
    ) -> Result<(ReadFile, Findings), Findings> {
        let ending =
            path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
        if matches!(ending.as_str(), "jpg" | "jpeg" | "png" | "tif" | "tiff") {
            let read = self.photograph(path, target, &sources.session)?;
            return Ok((read, Findings::default()));
        }
        let is_table = matches!(ending.as_str(), "csv" | "xlsx" | "ods");
        if is_table && is_form(path, sources)? {
            let places = target.pages.iter().map(|page| page.places.len()).sum();
            let lines = read_form(path, places, sources)?;
            let read = by_eye(&lines, &target.pages, self.range, &self.paper.paper);
            return Ok((read, Findings::default()));
        }
        by_instrument(path, &target.pages, &self.paper.paper, sources)
    }

    fn photograph(
        &self,
        path: &Path,
        target: &StageFile,
        session: &Session,
    ) -> Result<ReadFile, Diagnostic> {
        let picture = opened(path, session)?;
        let code = find_code(&picture).map_err(|f| refused(path, &f))?;
        let page = target.pages.iter().find(|page| page.code.text == code.text);
        let Some(mut page) = page.cloned() else {
            let message = format!("'{}': this is not a page of this target", path.display());
            let help = "name the file that 'target' wrote with this print: --target FILE.json";
            return Err(Diagnostic::error("other-page", message).help(help));
        };
        know(&mut page, self.range, self.args.trust_screen_values);
        let seen = see(&picture, &code, &page).map_err(|f| refused(path, &f))?;
        Ok(by_photograph(&page, &read_seen(&picture, &seen, &page), self.range))
    }
}

/// Is a table the form of a target?
fn is_form(path: &Path, sources: &mut Sources) -> Result<bool, Findings> {
    let grid = crate::read::cells::read(path, None, None, sources)?;
    let heads = grid.rows.first().map_or(&[][..], Vec::as_slice).iter();
    Ok(heads.map(|cell| grid.text_of(cell).trim().to_lowercase()).any(|head| head == "nearest"))
}

fn report(
    kept: &Kept,
    after: &Paper,
    (range, sheet, printed): (&ColourRange, &SheetSpec, &Chosen),
    args: &LearnArgs,
    sources: &mut Sources,
) -> Result<String, Findings> {
    let work = sources.session.work.clone();
    // Values that were tuned before the last readings are not printed any more; the report needs some.
    let now = match printed.print(range, sheet, sources) {
        Ok((now, _)) => now,
        Err(_) => Print::tuned(&printed.paper, range, sheet, &work),
    };
    // What is printed now, as the paper is known from here on.
    let now = Print::given(after, range, sheet, now.values);
    let tuned = Print::tuned(after, range, sheet, &work);
    let reports = Report::both(after, [&now, &tuned], LIMIT, &work);
    let outliers = after.correction().map_or(Vec::new(), |correction| {
        let off: Vec<f64> = correction.left_out().map(|(off, _)| length(off)).collect();
        let one =
            |i: &usize| Some(Outlier { name: kept.names.get(*i)?.clone(), off: *off.get(*i)? });
        correction.outliers().iter().filter_map(one).collect()
    });
    let learned = Learned {
        after,
        printed: &now,
        tuned: &tuned,
        range,
        rounds: kept.readings.rounds.iter().map(|round| round.readings.len()).collect(),
        outliers,
    };
    if args.json {
        // Texts and finite numbers always serialise.
        return Ok(serde_json::to_string_pretty(&learned.json()).unwrap_or_default() + "\n");
    }
    let case =
        |how, print, report| Case { paper_name: &printed.name, how, paper: after, print, report };
    let cases = [case("as printed", &now, &reports[0]), case("tuned anew", &tuned, &reports[1])];
    Ok(learned.text(&tell::totals(&cases).text()))
}

/// How long a difference in CIELAB is.
fn length(off: [f64; 3]) -> f64 {
    off.iter().map(|v| v * v).sum::<f64>().sqrt()
}
