//! `proof`: what papers make of a sheet, in pictures and figures.

use crate::cli::args::ProofArgs;
use crate::cli::commands::make::{carried, resolutions};
use crate::cli::commands::tune::limit;
use crate::cli::ending::{Writing, fail, misfit, print};
use crate::cli::opened::{Opened, open};
use crate::cli::picture::{Draughtsman, Trouble};
use crate::diag::{Diagnostic, Findings, Sources};
use crate::edition::book::OutputFolder;
use crate::edition::cancel::STOPPED;
use crate::edition::outputs::Outputs;
use crate::edition::progress::Progress;
use crate::edition::{Editions, Planned, cancel};
use crate::paint::pdf;
use crate::press::tell::{self, Case, Names};
use crate::press::{self, Chosen, ColourMode, Origin, Print, Report};
use crate::proof;
use crate::session::Session;
use crate::sheet::Sheet;
use crate::sheet::montage::Montage;
use crate::units::Dpi;

/// Lines of each kind in the tables on the terminal.
const SHOWN: usize = 8;

/// Runs `proof`.
pub fn run(args: &ProofArgs, session: &Session) -> u8 {
    let quiet = args.quiet || args.choice.json;
    let Opened { mut editions, mut sources, .. } = match open(&args.choice, &[], quiet, session) {
        Ok(opened) => opened,
        Err(code) => return code,
    };
    choose(&mut editions, args);
    let (dpi, papers) = match asked(args, &editions, &mut sources) {
        Ok(asked) => asked,
        Err(findings) => return fail(findings, &sources, args.choice.json),
    };
    let name =
        format!("{}-proof{}", editions.sheet.name(), variant(args, &editions, &sources.session));
    let place = OutputFolder::new(&args.out, &name, "proof");
    let folder = place.folder();
    let cases: Vec<Case<'_>> = papers.iter().flat_map(OnPaper::cases).collect();
    let names = Names { range: &editions.range, listing: editions.sheet.headings() };
    let json = serde_json::to_string_pretty(&tell::json(&cases, names)).unwrap_or_default() + "\n";
    let mut files = tables(&cases, names);
    files.push(("report.json".to_owned(), json.clone().into_bytes()));
    let text = text(&cases, names, args.plain);
    let done = match args.figures {
        true => Ok((Vec::new(), Findings::default())),
        false => {
            let quiet = quiet || !session.console.err_is_terminal();
            pictures(&editions, &papers, dpi, quiet)
        }
    };
    let misfits = match done {
        Ok((pictures, misfits)) => {
            files.extend(pictures);
            misfits
        }
        Err(Trouble::Input(findings)) => return fail(findings, &sources, args.choice.json),
        Err(Trouble::Stopped) => return STOPPED,
    };
    let count = files.len();
    let writing = Writing { by: "proof", replace: args.replace, json: args.choice.json };
    if let Err(code) = writing.all(vec![Outputs::new(place, files)], session) {
        return code;
    }
    let code = match (args.choice.json, args.quiet) {
        (true, _) => print(&json, session),
        (false, true) => 0,
        (false, false) => {
            print(&format!("{text}\n{count} files in {}\n", folder.display()), session)
        }
    };
    code.max(misfit(misfits, &sources))
}

/// What the options make of the files beyond the sheet: each variant has a separate folder.
fn variant(args: &ProofArgs, editions: &Editions, session: &Session) -> String {
    let asked = args.colour_mode.map(ColourMode::from);
    let colour_mode =
        args.paper.iter().map(|paper| carried(paper, &editions.sheet, asked, session));
    let colour_mode = colour_mode.max().unwrap_or_default();
    format!("{colour_mode}{}", if args.plain { "-plain" } else { "" })
}

/// A file's name and bytes.
type Named = (String, Vec<u8>);

/// A paper with both ways to print on it.
struct OnPaper {
    chosen: Chosen,
    plain: (Print, Report),
    /// Of a file or tuned now.
    tuned: (Print, Report),
    /// Pictures show the plain one.
    show_plain: bool,
}

impl OnPaper {
    fn cases(&self) -> [Case<'_>; 2] {
        let case = |how: Origin, (print, report)| Case {
            paper_name: &self.chosen.name,
            how: how.word(),
            paper: &self.chosen.paper,
            print,
            report,
        };
        let (plain, tuned) = (&self.plain, &self.tuned);
        [case(Origin::Plain, (&plain.0, &plain.1)), case(Origin::Tuned, (&tuned.0, &tuned.1))]
    }

    fn shown(&self) -> Case<'_> {
        let [plain, tuned] = self.cases();
        if self.show_plain { plain } else { tuned }
    }
}

/// The sheet's first edition and spelling, by default.
fn choose(editions: &mut Editions, args: &ProofArgs) {
    if args.choice.edition.is_empty() {
        editions.list.truncate(1);
    }
    if args.choice.spelling.is_empty() {
        editions.list.iter_mut().for_each(|edition| edition.wanted.truncate(1));
    }
}

/// Checks the arguments and reports all faults together.
fn asked(
    args: &ProofArgs,
    editions: &Editions,
    sources: &mut Sources,
) -> Result<(Dpi, Vec<OnPaper>), Findings> {
    let mut findings = Findings::default();
    if let Err(d) = limit(args.limit) {
        findings.push(d);
    }
    let dpi = resolutions(&[args.dpi]).map_err(|f| findings.extend(f)).ok();
    let mut papers: Vec<OnPaper> = Vec::new();
    for name in &args.paper {
        match on_paper(name, args, editions, sources) {
            Ok(paper) if papers.iter().all(|p| p.chosen.name != paper.chosen.name) => {
                papers.push(paper);
            }
            Ok(paper) => findings.push(
                Diagnostic::error(
                    "double-paper",
                    format!("the paper '{}' is given twice", paper.chosen.name),
                )
                .help("name each paper once; two profiles need different file names"),
            ),
            Err(faults) => findings.extend(faults),
        }
    }
    match dpi.and_then(|d| d.first().copied()) {
        Some(dpi) if !findings.failed() => Ok((dpi, papers)),
        _ => Err(findings),
    }
}

fn on_paper(
    name: &str,
    args: &ProofArgs,
    editions: &Editions,
    sources: &mut Sources,
) -> Result<OnPaper, Findings> {
    let chosen = press::open(name, &editions.sheet, args.colour_mode.map(Into::into), sources)?;
    let work = &editions.session.work;
    let (tuned, _) = chosen.print(&editions.range, &editions.sheet, sources)?;
    let plain = Print::plain(&chosen.paper, &editions.range, &editions.sheet);
    plain.few_pairs(args.limit, work)?;
    let [of_plain, of_tuned] = Report::both(&chosen.paper, [&plain, &tuned], args.limit, work);
    let (plain, tuned) = ((plain, of_plain), (tuned, of_tuned));
    Ok(OnPaper { chosen, plain, tuned, show_plain: args.plain })
}

fn tables(cases: &[Case<'_>], names: Names<'_>) -> Vec<Named> {
    let joined = |of: &dyn Fn(&Case<'_>) -> String| {
        let mut out = String::new();
        for case in cases {
            let text = of(case);
            let rows = text.split_once('\n').map_or("", |(_, rows)| rows);
            out += if out.is_empty() { &text } else { rows };
        }
        out.into_bytes()
    };
    vec![
        ("colours.csv".to_owned(), joined(&|c| tell::colours(c, names, usize::MAX).csv())),
        ("pairs.csv".to_owned(), joined(&|c| tell::pairs(c, names, usize::MAX).csv())),
        ("totals.csv".to_owned(), tell::totals(cases).csv().into_bytes()),
    ]
}

/// The pictures of every paper and edition, each in memory until all are made; and what does not fit.
fn pictures(
    editions: &Editions,
    papers: &[OnPaper],
    dpi: Dpi,
    quiet: bool,
) -> Result<(Vec<Named>, Findings), Trouble> {
    let (planned, misfits) = editions.plan_each();
    if planned.is_empty() && misfits.failed() {
        return Err(Trouble::Input(misfits));
    }
    let workshop = editions.workshop();
    let placed: Vec<(&Planned<'_>, Sheet)> =
        planned.iter().flat_map(|e| &e.variants).map(|p| (p, p.place(&workshop))).collect();
    let pages: usize = placed.iter().map(|(_, s)| s.pages.len()).sum();
    let progress = Progress::new(papers.len() * (placed.len() + 2 * pages), quiet);
    let stop = editions.session.stop();
    let draughtsman = Draughtsman { progress: &progress, stop, dpi, done: 0 };
    let mut maker = Maker { draughtsman, files: Vec::new() };
    for paper in papers {
        for (planned, sheet) in &placed {
            maker.edition(editions, paper, planned, sheet)?;
        }
    }
    progress.done();
    Ok((maker.files, misfits))
}

struct Maker<'a> {
    draughtsman: Draughtsman<'a>,
    files: Vec<Named>,
}

impl Maker<'_> {
    /// An edition as a paper shows it, alone and beside what is meant, and with the report.
    fn edition(
        &mut self,
        editions: &Editions,
        paper: &OnPaper,
        planned: &Planned<'_>,
        sheet: &Sheet,
    ) -> Result<(), Trouble> {
        let (case, name) = (paper.shown(), &paper.chosen.name);
        let (look, spelling) = (&planned.facts.look, planned.spelling);
        let names = Names { range: &editions.range, listing: editions.sheet.headings() };
        let report = proof::pages(sheet, look, &case, (names, spelling));
        let report = Montage { colours: report.palette.published(), sheet: report };
        let on = match case.how == Origin::Plain.word() {
            true => "proof_on_plain",
            false => "proof_on_tuned",
        };
        let words =
            [spelling.phrase("proof_as_aimed", &[]), spelling.phrase(on, &[("paper", name)])];
        let aim = Montage { sheet: sheet.clone(), colours: sheet.palette.published() };
        let colours = proof::seen(case.paper, case.print, &sheet.palette);
        let seen = Montage { sheet: sheet.clone(), colours }.on_paper();
        let both = proof::side_by_side(aim, seen.clone(), look, &words);
        let stem = format!("{name}.{}", planned.variant.stem());
        self.pngs(&stem, "proof", &seen)?;
        self.pngs(&stem, "side-by-side", &both)?;
        self.pdf(&stem, &seen.followed_by(report))
    }

    fn pngs(&mut self, stem: &str, what: &str, picture: &Montage) -> Result<(), Trouble> {
        let sheet = &picture.sheet;
        for page in 0..sheet.pages.len() {
            let number =
                if sheet.pages.len() > 1 { format!(".p{}", page + 1) } else { String::new() };
            let name = format!("{stem}{number}.{what}.png");
            let bytes = self.draughtsman.page(picture.coloured(), page, &name)?;
            self.files.push((name, bytes));
        }
        Ok(())
    }

    fn pdf(&mut self, stem: &str, pages: &Montage) -> Result<(), Trouble> {
        let name = format!("{stem}.proof.pdf");
        self.draughtsman.progress.say(&name);
        self.files.push((name, pdf::pdf(pages.coloured())));
        self.draughtsman.done += 1;
        cancel::check(self.draughtsman.stop).map_err(|_| Trouble::Stopped)
    }
}

fn text(cases: &[Case<'_>], names: Names<'_>, plain: bool) -> String {
    let mut out = tell::totals(cases).text();
    let corrections = tell::corrections(cases);
    if !corrections.is_empty() {
        out += &format!("\n{corrections}");
    }
    for case in cases.iter().filter(|c| (c.how == Origin::Plain.word()) == plain) {
        out += &format!(
            "\nOn {}, {}: the colours farthest from their target\n\n",
            case.paper_name, case.how
        );
        out += &tell::colours(case, names, SHOWN).text();
        out += &format!("\nOn {}, {}: the pairs most at risk\n\n", case.paper_name, case.how);
        out += &tell::pairs(case, names, SHOWN).text();
        let left = tell::not_saved(case.report);
        if !left.is_empty() {
            out += &format!("\n{left}\n");
        }
    }
    out
}
