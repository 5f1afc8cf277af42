//! `lookalikes`: which colours of a sheet are easily confused.

use crate::cli::args::LookalikesArgs;
use crate::cli::choices::{families, listing_or_headings, spelling, two_forms};
use crate::cli::ending::{Done, Writing, finish};
use crate::colour::lookalike;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::lookalikes::{LookalikesRequest, find, report};
use crate::range::check::{is_limit, unknown_light};
use crate::range::{Light, Loaded, SheetSpec, load};
use crate::session::Session;
use crate::supplies::Naming;

/// The form in which the pairs are reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Text,
    Csv,
    Json,
}

/// Runs `lookalikes`.
pub fn run(args: &LookalikesArgs, session: &Session) -> u8 {
    let mut sources = Sources::of(session.clone());
    let done = listed(args, &mut sources);
    let writing = Writing { by: "lookalikes", replace: args.replace, json: args.json };
    finish(done, &sources, writing)
}

/// Does all the work but the writing.
///
/// # Errors
/// Everything that is wrong with the input or the options.
pub fn listed(args: &LookalikesArgs, sources: &mut Sources) -> Result<Done, Findings> {
    let (reported, warnings) = reported(args, sources)?;
    Ok(match &args.out {
        None => Done { warnings, printed: reported, files: Vec::new() },
        Some(file) => {
            let printed = format!("Written: {}\n", file.display());
            Done { warnings, printed, files: vec![(file.clone(), reported.into_bytes())] }
        }
    })
}

fn reported(args: &LookalikesArgs, sources: &mut Sources) -> Result<(String, Findings), Findings> {
    let Loaded { range, sheet, warnings } = load(&args.sheet, sources)?;
    let mut findings = Findings::default();
    let limit = limit(args, &mut findings);
    let light = light(args, &sheet, &mut findings);
    let families = families(&args.family, &range, &sheet, &mut findings);
    let listing = listing_or_headings(args.listing.as_deref(), &range, &sheet, &mut findings);
    let spelling = spelling(args.spelling.as_deref(), &sheet, sources, &mut findings);
    let form = form(args, &mut findings);
    let (Some(listing), Some(spelling), false) = (listing, spelling, findings.failed()) else {
        return Err(findings);
    };
    let naming = Naming { range: &range, sheet: &sheet, listing, spelling: &spelling };
    let wish = LookalikesRequest { limit, families, same_finish: args.same_finish, light };
    let found = find(&range, &sheet, &wish, &sources.session.work);
    let reported = match form {
        Form::Text => report::text(&found, &naming, &wish),
        Form::Csv => report::lines(&found, &naming, &wish).csv(),
        Form::Json => {
            let json = serde_json::to_string_pretty(&report::json(&found, &naming, &wish));
            // Texts and finite numbers always serialise.
            json.unwrap_or_default() + "\n"
        }
    };
    Ok((reported, warnings))
}

fn limit(args: &LookalikesArgs, findings: &mut Findings) -> f64 {
    let limit = args.limit.unwrap_or(lookalike::LIMIT);
    if !is_limit(limit) {
        findings.push(
            Diagnostic::error(
                "out-of-bounds",
                format!("--limit must be above 0 and at most 100, not {limit}"),
            )
            .help("use a difference in CIEDE2000, for example --limit 10"),
        );
    }
    limit
}

fn light(args: &LookalikesArgs, sheet: &SheetSpec, findings: &mut Findings) -> Option<Light> {
    let name = args.light.as_ref()?;
    let light = Light::parse(name);
    match light {
        None => findings.push(unknown_light(name)),
        Some(light) if light == sheet.light() => {
            let message = format!("the light of the sheet is already {}", light.word());
            let others = Light::ALL.into_iter().filter(|l| *l != light).map(Light::word);
            findings.push(
                Diagnostic::error("same-light", message)
                    .help(format!("use {}", others.collect::<Vec<_>>().join(", "))),
            );
        }
        Some(_) => {}
    }
    light
}

/// As asked for, else by the file's ending, else text.
fn form(args: &LookalikesArgs, findings: &mut Findings) -> Form {
    let asked = [(args.json, Form::Json), (args.csv, Form::Csv)];
    if let Some((_, form)) = asked.into_iter().find(|(asked, _)| *asked) {
        let (option, ending) =
            if form == Form::Json { ("--json", "json") } else { ("--csv", "csv") };
        let reported = two_forms(option, ending, args.out.as_deref());
        reported.unwrap_or_else(|d| findings.push(d));
        return form;
    }
    let Some(file) = &args.out else { return Form::Text };
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("json") => Form::Json,
        Some("csv") => Form::Csv,
        Some("txt") => Form::Text,
        _ => {
            let message = format!("'{}' does not have a supported ending", file.display());
            findings.push(
                Diagnostic::error("unknown-ending", message)
                    .help("end its name in .txt, .csv or .json, or add --csv or --json"),
            );
            Form::Text
        }
    }
}
