//! `make`: draws every edition and writes the files.

use std::path::{Path, PathBuf};

use crate::cli::args::{MakeArgs, PanelArgs};
use crate::cli::choices::idle;
use crate::cli::ending::{fail, machine, misfit, print};
use crate::cli::opened::{Opened, open};
use crate::compare::new_colours;
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::cancel::STOPPED;
use crate::edition::manifest::FileEntry;
use crate::edition::unchanged::Asked;
use crate::edition::{DrawOptions, Editions, ForPaper, MakeError, MakeOptions, Manifest, make};
use crate::files::Seen;
use crate::paint::svg::Words;
use crate::panels::Split;
use crate::parallel::cores;
use crate::press::report::LIMIT;
use crate::press::{self, ColourMode, Origin, Print, Report, tell};
use crate::range::{Format, MarkedNew, SheetSpec, load_range};
use crate::session::Session;
use crate::table::{Align, Table};
use crate::units::Dpi;
use crate::work::Work;

/// The default for JPEGs. High, since flat colours must not change.
const USUAL_QUALITY: u32 = 92;

/// Runs `make`.
pub fn run(args: &MakeArgs, session: &Session) -> u8 {
    let asked = Asked::new(&arguments(args, session), &args.out, &session.disk);
    if !args.fresh
        && let Some(reported) = asked.reported()
    {
        if args.quiet {
            return 0;
        }
        let code = print(&reported, session);
        session.console.err("nothing has changed since these files were made\n");
        return code;
    }
    let done = match work(args, session) {
        Ok(done) => done,
        Err(code) => return code,
    };
    // Warnings are reported at every run.
    if !done.warned
        && let Err(d) = asked.remember(done.seen, &done.files, &done.reported)
    {
        return machine(d, session);
    }
    let code = if args.quiet { 0 } else { print(&done.reported, session) };
    code.max(done.code)
}

/// A run that succeeded.
struct Done {
    /// Files that were read, and those that were looked for and not found.
    seen: Vec<Seen>,
    files: Vec<PathBuf>,
    reported: String,
    /// Something else was reported.
    warned: bool,
    /// 1 where an edition does not fit.
    code: u8,
}

/// What decides on the files, as text.
fn arguments(args: &MakeArgs, session: &Session) -> String {
    let MakeArgs {
        choice,
        format,
        dpi,
        quality,
        outlines,
        out,
        new_since,
        paper,
        colour_mode,
        plain,
        panels,
        split,
        ..
    } = args;
    format!(
        "{choice:?} {format:?} {dpi:?} {quality:?} {outlines:?} {out:?} {new_since:?} {paper:?} {colour_mode:?} {plain:?} {panels:?} {split:?} {}",
        session.limits.times()
    )
}

/// Reads, plans, draws and writes; faults are reported.
///
/// # Errors
/// The exit code.
fn work(args: &MakeArgs, session: &Session) -> Result<Done, u8> {
    let json = args.choice.json;
    let none = Sources::of(session.clone());
    let drawing = drawing(args).map_err(|findings| fail(findings, &none, json))?;
    let split = split(args).map_err(|findings| fail(findings, &none, json))?;
    if args.jobs == Some(0) {
        let d = Diagnostic::error("out-of-bounds", "--jobs must be at least 1, not 0");
        return Err(fail(d.help("use a whole number, for example --jobs 2").into(), &none, json));
    }
    let quiet = args.quiet || json;
    let Opened { mut editions, style, mut sources, mut warned } =
        open(&args.choice, &args.format, quiet, session)?;
    comes_out(args, &editions).map_err(|findings| fail(findings, &sources, json))?;
    if let Some(old) = &args.new_since {
        warned |= mark_new(&mut editions, old, args, &sources.session)?;
    }
    let variant = variant(args, &editions, &sources.session);
    let paper = args.paper.as_deref().map(|p| for_paper(p, &editions, args, &mut sources));
    let paper = paper.transpose().map_err(|findings| fail(findings, &sources, json))?;
    if session.stop().asked() {
        return Err(STOPPED);
    }
    let options = MakeOptions {
        out: args.out.clone(),
        drawing,
        jobs: args.jobs.unwrap_or_else(cores).clamp(1, 64),
        fresh: args.fresh,
        replace: args.replace,
        quiet: quiet || !session.console.err_is_terminal(),
        style,
        variant,
        paper,
        split,
    };
    let made = make(&editions, &options).map_err(|e| match e {
        MakeError::Input(findings) => fail(findings, &sources, json),
        MakeError::Machine(d) => machine(d, session),
        MakeError::Stopped => STOPPED,
    })?;
    let reported = if json { made.json } else { text(&made.manifest, &options, &session.work) };
    if made.kept > 0 && !quiet {
        let count = made.manifest.files.len();
        session.console.err(&format!("{} of {count} files were already up to date\n", made.kept));
    }
    let warned = warned || made.misfits.failed();
    let seen = sources.session.files.seen();
    Ok(Done { seen, files: made.listed, reported, warned, code: misfit(made.misfits, &sources) })
}

/// What the options make of the files beyond the sheet and the paper: files that differ so have a
/// separate folder.
fn variant(args: &MakeArgs, editions: &Editions, session: &Session) -> String {
    let mut out = String::new();
    if let Some(paper) = &args.paper {
        out += carried(paper, &editions.sheet, args.colour_mode.map(ColourMode::from), session);
    }
    if args.plain {
        out += "-plain";
    }
    if let Some(style) = args.choice.style.as_ref().filter(|s| **s != editions.sheet.style().value)
    {
        let name = Path::new(style).file_name().unwrap_or_default().to_string_lossy();
        out += &format!("-{}", name.trim_end_matches(".ron").trim_end_matches(".style"));
    }
    out
}

/// The end of a folder's name where files for a paper differ from the usual ones.
pub fn carried(
    paper: &str,
    sheet: &SheetSpec,
    asked: Option<ColourMode>,
    session: &Session,
) -> &'static str {
    // A profile may state no use of its own: then nothing is the usual.
    let usual =
        || press::open_plain(paper, sheet, None, session).map(|c| c.paper.colour_mode()).ok();
    match asked {
        Some(ColourMode::Cmyk) if usual() != asked => "-cmyk",
        Some(ColourMode::Srgb) if usual() != asked => "-srgb",
        _ => "",
    }
}

/// The desk paper, and how pages are cut for it; none where no panels are requested.
///
/// # Errors
/// Every value out of range.
fn split(args: &MakeArgs) -> Result<Option<Split>, Findings> {
    if let Some(paper) = &args.panels {
        let (overlap, margin) = args.split.measures();
        return Split::new("--panels", paper, overlap, margin).map(Some);
    }
    let PanelArgs { overlap, margin } = args.split;
    let given = [("--overlap", overlap), ("--margin", margin)];
    let mut findings = Findings::default();
    for (option, _) in given.iter().filter(|(_, given)| given.is_some()) {
        findings.push(idle(
            option,
            "applies only to panels, and none are requested",
            "add --panels a4",
        ));
    }
    if findings.failed() { Err(findings) } else { Ok(None) }
}

/// The values that are printed on a paper.
fn for_paper(
    name: &str,
    editions: &Editions,
    args: &MakeArgs,
    sources: &mut Sources,
) -> Result<ForPaper, Findings> {
    let chosen = press::open(name, &editions.sheet, args.colour_mode.map(Into::into), sources)?;
    let colour_mode = chosen.paper.colour_mode();
    let wanted = |f: Format| editions.list.iter().any(|e| e.formats.contains(&f));
    if colour_mode == ColourMode::Cmyk && !wanted(Format::Pdf) {
        let d =
            Diagnostic::error("cmyk-without-pdf", "SVG files and pictures cannot hold ink values");
        return Err(d.help("use --format pdf, or add --colour-mode srgb").into());
    }
    if colour_mode == ColourMode::Cmyk && args.panels.is_some() {
        let d = Diagnostic::error(
            "panels-in-ink",
            "panels are for a desk printer, which does not accept ink values",
        );
        return Err(d.help("leave --panels out, or add --colour-mode srgb").into());
    }
    let (print, origin) = if args.plain {
        (Print::plain(&chosen.paper, &editions.range, &editions.sheet), Origin::Plain)
    } else {
        chosen.print(&editions.range, &editions.sheet, sources)?
    };
    Ok(ForPaper { chosen, print, origin })
}

/// What the print values are and which pairs they do not keep apart.
fn about_paper(paper: &ForPaper, work: &Work) -> String {
    let ForPaper { chosen, print, origin } = paper;
    let values = match origin {
        Origin::Plain => "plain values".to_owned(),
        Origin::Tuned => {
            "values tuned for this run; 'shadecard tune' saves them in a file".to_owned()
        }
        Origin::File(file) => format!("values of {}", file.display()),
    };
    let colour_mode = match chosen.paper.colour_mode() {
        ColourMode::Cmyk => "ink values, in the PDF only",
        ColourMode::Srgb => "sRGB",
    };
    let left = tell::not_saved(&Report::new(&chosen.paper, print, LIMIT, work));
    let left = if left.is_empty() { left } else { format!("{left}\n") };
    format!("for the paper '{}': {colour_mode}; {values}\n{left}", chosen.name)
}

/// Marks what the older range does not have.
///
/// # Errors
/// The exit code. Returns whether something was reported.
fn mark_new(
    editions: &mut Editions,
    old: &Path,
    args: &MakeArgs,
    session: &Session,
) -> Result<bool, u8> {
    let json = args.choice.json;
    let mut sources = Sources::of(session.clone());
    let old = load_range(old, &mut sources).map_err(|findings| fail(findings, &sources, json))?;
    let colours = new_colours(&old, &editions.range);
    let shown = editions.sheet.families().iter().flat_map(|f| f.rows());
    let unmarked = !shown.into_iter().any(|c| colours.contains(c));
    if unmarked && !args.quiet && !json {
        session.console.err("no colour of the sheet is new since then; nothing is marked\n");
    }
    editions.sheet.mark_new(MarkedNew { since: old.release().value.clone(), colours });
    let characters = editions.missing_characters();
    if characters.failed() { Err(fail(characters, &sources, json)) } else { Ok(unmarked) }
}

/// What files are drawn like.
///
/// # Errors
/// Options out of range, or without effect on the kinds of files asked for.
fn drawing(args: &MakeArgs) -> Result<DrawOptions, Findings> {
    let mut findings = Findings::default();
    let asked = |wanted: fn(Format) -> bool| {
        args.format.is_empty() || args.format.iter().any(|f| wanted((*f).into()))
    };
    if !args.dpi.is_empty() && !asked(Format::is_picture) {
        let why = "applies only to pictures, and none are requested";
        findings.push(idle("--dpi", why, "add --format png"));
    }
    if args.outlines && !asked(|f| f == Format::Svg) {
        let why = "applies only to SVG files, and none are requested";
        findings.push(idle("--outlines", why, "add --format svg"));
    }
    if args.quality.is_some() && !asked(|f| f == Format::Jpeg) {
        let why = "applies only to JPEG files, and none are requested";
        findings.push(idle("--quality", why, "add --format jpeg"));
    }
    let quality = args.quality.unwrap_or(USUAL_QUALITY);
    if !(1..=100).contains(&quality) {
        findings.push(
            Diagnostic::error(
                "out-of-bounds",
                format!("--quality must be from 1 to 100, not {quality}"),
            )
            .help("use a whole number; the default is 92"),
        );
    }
    let words = if args.outlines { Words::Outlines } else { Words::Text };
    match resolutions(&args.dpi) {
        Ok(dpi) if !findings.failed() => {
            let quality = u8::try_from(quality).unwrap_or(100);
            return Ok(DrawOptions { dpi, quality, words });
        }
        Ok(_) => {}
        Err(others) => findings.extend(others),
    }
    Err(findings)
}

/// Is there something to make, and something for each option?
///
/// # Errors
/// No edition of the sheet has the format asked for.
fn comes_out(args: &MakeArgs, editions: &Editions) -> Result<(), Findings> {
    let mut findings = Findings::default();
    let made = |format: Format| editions.list.iter().any(|e| e.formats.contains(&format));
    for format in args.format.iter().map(|f| Format::from(*f)).filter(|f| !made(*f)) {
        let word = format.word();
        let help = match format.is_picture() {
            true => {
                format!("add {word} to its formats in the sheet, for example formats: [{word}]")
            }
            false => format!("add {word} to the formats of an edition in the sheet"),
        };
        let message = format!("no edition of the sheet has the format {word}");
        findings.push(Diagnostic::error("no-such-format", message).help(help));
    }
    if args.quality.is_some() && args.format.is_empty() && !made(Format::Jpeg) {
        let why = "applies only to JPEG files, and the sheet has none";
        findings.push(idle("--quality", why, "add --format jpeg"));
    }
    if findings.failed() { Err(findings) } else { Ok(()) }
}

/// Resolutions as asked for, each once.
///
/// # Errors
/// Those out of range.
pub fn resolutions(asked: &[u32]) -> Result<Vec<Dpi>, Findings> {
    let mut findings = Findings::default();
    let mut out = Vec::new();
    for &n in asked {
        match Dpi::new(n) {
            Some(dpi) if !out.contains(&dpi) => out.push(dpi),
            Some(_) => {}
            None => findings.push(
                Diagnostic::error("bad-dpi", format!("--dpi must be from 10 to 1200, not {n}"))
                    .help("use --dpi 300 for a print house"),
            ),
        }
    }
    if findings.failed() { Err(findings) } else { Ok(out) }
}

/// The closing table.
fn text(manifest: &Manifest, options: &MakeOptions, work: &Work) -> String {
    let mut table = Table::new(&[
        ("file", Align::Left),
        ("page mm", Align::Right),
        ("scale", Align::Right),
        ("pixels", Align::Right),
        ("size", Align::Right),
    ]);
    for file in &manifest.files {
        table.row([
            file.file.clone(),
            format!("{:.0} x {:.0}", file.page_mm[0], file.page_mm[1]),
            format!("{:.3}", file.scale),
            file.pixels.map_or(String::new(), |[w, h]| format!("{w} x {h}")),
            size(file.bytes),
        ]);
    }
    let folder = options.place(&manifest.sheet).folder();
    let paper = options.paper.as_ref().map(|p| about_paper(p, work)).unwrap_or_default();
    let panels = options.split.as_ref().map(|t| about_panels(manifest, t)).unwrap_or_default();
    let empty = half_empty(manifest);
    let count = manifest.files.len() + 1;
    let left = not_shown(manifest);
    format!("{}\n{count} files in {}\n{paper}{panels}{left}{empty}", table.text(), folder.display())
}

/// A line for each edition whose page is much larger than its content needs.
fn half_empty(manifest: &Manifest) -> String {
    let mut plans: Vec<_> = manifest.plans.iter().collect();
    plans.dedup_by(|a, b| a.edition == b.edition);
    let line = |p: &&crate::edition::manifest::PlanEntry| {
        let paper = p.plan.smaller_page.as_ref()?;
        let used = p.plan.page_used * 100.0;
        Some(format!("{}: {used:.0} % of the page is used; {paper} is large enough\n", p.edition))
    };
    plans.iter().filter_map(line).collect()
}

/// What each edition does not show for lack of columns.
fn not_shown(manifest: &Manifest) -> String {
    let mut out = String::new();
    for same in manifest.plans.chunk_by(|a, b| a.edition == b.edition) {
        if let Some(left) = same[0].plan.not_shown() {
            out += &format!("not shown in {}, for lack of a column: {left}\n", same[0].edition);
        }
    }
    out
}

/// Which editions were cut into panels, and which fit the paper without.
fn about_panels(manifest: &Manifest, split: &Split) -> String {
    let paper = split.desk().name();
    let mut out = String::new();
    let mut fit = Vec::new();
    for plan in &manifest.plans {
        let (edition, tag) = (&plan.edition, &plan.spelling);
        let own = |f: &&FileEntry| f.edition == *edition && f.spelling == *tag;
        match manifest.files.iter().filter(own).find_map(|f| f.panels.map(|t| (t, f))) {
            Some(([rows, columns], file)) => {
                let line = format!(
                    "{}: {rows} x {columns} panels on {paper}, {} mm overlap; print at 100 %\n",
                    file.file,
                    split.overlap()
                );
                out.push_str(&line);
            }
            None => fit.push(format!("{edition}.{tag}")),
        }
    }
    if !fit.is_empty() {
        out.push_str(&format!("fit on {paper} without panels: {}\n", fit.join(", ")));
    }
    out
}

fn size(bytes: u64) -> String {
    let kb = bytes as f64 / 1000.0;
    if kb < 1000.0 { format!("{kb:.0} kB") } else { format!("{:.1} MB", kb / 1000.0) }
}
