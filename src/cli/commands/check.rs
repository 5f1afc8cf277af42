//! `check`: reads and checks everything, draws nothing.

use std::io::IsTerminal;

use crate::cli::args::CheckArgs;
use crate::cli::{FAULTY, print, say};
use crate::diag::{Findings, Sources};
use crate::diag_print;
use crate::edition::{Filter, Matrix};
use crate::range::load;

/// Runs `check`.
pub fn run(args: &CheckArgs) -> u8 {
    let mut sources = Sources::default();
    let mut all = Findings::default();
    let mut summary = String::new();
    match load(&args.choice.sheet, &mut sources) {
        Err(findings) => all.extend(findings),
        Ok(loaded) => {
            all.extend(loaded.warnings.clone());
            summary = format!(
                "{} colours in {} families, {} parts, {} editions",
                loaded.sheet.colour_count(),
                loaded.sheet.families().len(),
                loaded.range.parts().len(),
                loaded.sheet.editions().len(),
            );
            let filter = Filter {
                editions: args.choice.edition.clone(),
                spellings: args.choice.spelling.clone(),
                style: args.choice.style.clone(),
                formats: Vec::new(),
            };
            match Matrix::resolve(loaded, &filter, &mut sources) {
                Err(findings) => all.extend(findings),
                Ok(matrix) => {
                    all.extend(matrix.missing_characters());
                    if let Err(findings) = matrix.plan_all() {
                        all.extend(findings);
                    }
                }
            }
        }
    }
    let failed = all.failed();
    let count = all.len();
    if args.choice.json {
        say(all, &sources, true);
    } else {
        let colour = std::io::stdout().is_terminal();
        let text = diag_print::render(&all.sorted(), &sources, colour);
        let close = match (failed, count) {
            (true, _) => "The sheet cannot be made yet.".to_owned(),
            (false, 0) => format!("Nothing found: {summary}."),
            (false, n) => format!("{n} to look at, none that stops the sheet: {summary}."),
        };
        print(&format!("{text}{close}\n"));
    }
    if failed { FAULTY } else { 0 }
}
