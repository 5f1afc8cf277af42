//! `tune`: print values that keep close colours apart on a paper.

use crate::cli::args::TuneArgs;
use crate::cli::ending::{Done, Writing, finish};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::press::tell::{self, Case, Names};
use crate::press::{Chosen, Print, Report, few_enough, open, values};
use crate::range::{Loaded, load};
use crate::session::Session;

/// Pairs in the table on the terminal.
const SHOWN_PAIRS: usize = 12;

/// Runs `tune`.
pub fn run(args: &TuneArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = tuned(args, &mut sources);
    let writing = Writing { by: "tune", replace: args.replace, json: args.json };
    finish(done, &sources, writing)
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn tuned(args: &TuneArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let mut findings = limit(args.limit).err().map(Findings::from).unwrap_or_default();
    let loaded = match load(&args.sheet, sources) {
        Ok(loaded) => loaded,
        Err(faults) => {
            findings.extend(faults);
            return Err(findings);
        }
    };
    let Loaded { range, sheet, warnings } = loaded;
    let chosen = match open(&args.paper, &sheet, args.colour_mode.map(Into::into), sources) {
        Ok(chosen) if !findings.failed() => chosen,
        Ok(_) => return Err(findings),
        Err(faults) => {
            findings.extend(faults);
            return Err(findings);
        }
    };
    let Chosen { name, paper, .. } = &chosen;
    few_enough(&range, &sheet)?;
    let work = &sources.session.work;
    let plain = Print::plain(paper, &range, &sheet);
    plain.few_pairs(args.limit, work)?;
    let tuned = Print::tuned(paper, &range, &sheet, work);
    let reports = Report::both(paper, [&plain, &tuned], args.limit, work);
    let case = |how, print, report| Case { paper_name: name, how, paper, print, report };
    let cases = [case("plain", &plain, &reports[0]), case("tuned", &tuned, &reports[1])];
    let names = Names { range: &range, listing: sheet.headings() };
    let file = args.out.clone().unwrap_or_else(|| chosen.values_file(&sheet));
    let printed = if args.json {
        serde_json::to_string_pretty(&tell::json(&cases, names)).unwrap_or_default() + "\n"
    } else if args.csv {
        let [before, after] = &cases;
        let all = tell::pairs(after, names, usize::MAX).csv();
        let rows = all.split_once('\n').map_or("", |(_, rows)| rows);
        tell::pairs(before, names, usize::MAX).csv() + rows
    } else {
        let mut text = tell::totals(&cases).text();
        text += "\nThe closest pairs as printed with the new values:\n\n";
        text += &tell::pairs(&cases[1], names, SHOWN_PAIRS).text();
        let left = tell::not_saved(&reports[1]);
        if !left.is_empty() {
            text += &format!("\n{left}\n");
        }
        text + &format!("\nWritten: {}\n", file.display())
    };
    let text = values::text(name, (paper, &tuned), (&range, &sheet), work);
    Ok(Done { warnings, printed, files: vec![(file, text.into_bytes())] })
}

/// A limit for pairs.
///
/// # Errors
/// It is out of range.
pub fn limit(limit: f64) -> Result<f64, Diagnostic> {
    if (1.0..=50.0).contains(&limit) {
        return Ok(limit);
    }
    Err(Diagnostic::error("bad-limit", format!("--limit must be from 1 to 50, not {limit}"))
        .help("use a difference in CIEDE2000, for example --limit 10"))
}
