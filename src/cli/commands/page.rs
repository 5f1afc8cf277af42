//! `page`: a folder for buyers, to be put on the web.

use serde_json::json;

use crate::cli::args::{Choice, PageArgs};
use crate::cli::choices::{listing_or_headings, unknown};
use crate::cli::ending::{Writing, fail, print};
use crate::cli::opened::{Opened, open};
use crate::cli::picture::{Draughtsman, Trouble};
use crate::diag::Findings;
use crate::edition::book::OutputFolder;
use crate::edition::cancel::{self, STOPPED};
use crate::edition::outputs::Outputs;
use crate::edition::progress::Progress;
use crate::edition::{Editions, Planned, PlannedEdition};
use crate::page::{PageRequest, Preview, page};
use crate::session::Session;
use crate::sheet::Workshop;
use crate::units::Dpi;

/// A file's name and bytes.
type Named = (String, Vec<u8>);

/// Runs `page`.
pub fn run(args: &PageArgs, session: &Session) -> u8 {
    let choice = Choice {
        sheet: args.sheet.clone(),
        edition: Vec::new(),
        spelling: args.spelling.clone(),
        style: args.style.clone(),
        json: args.json,
    };
    let quiet = args.quiet || args.json;
    let Opened { mut editions, sources, .. } = match open(&choice, &[], quiet, session) {
        Ok(opened) => opened,
        Err(code) => return code,
    };
    let files = match made(args, &mut editions, quiet || !session.console.err_is_terminal()) {
        Ok(files) => files,
        Err(Trouble::Input(findings)) => return fail(findings, &sources, args.json),
        Err(Trouble::Stopped) => return STOPPED,
    };
    let place = OutputFolder::new(&args.out, &format!("{}-page", editions.sheet.name()), "page");
    let folder = place.folder();
    let listed: Vec<(String, usize)> = files.iter().map(|(n, b)| (n.clone(), b.len())).collect();
    let writing = Writing { by: "page", replace: args.replace, json: args.json };
    if let Err(code) = writing.all(vec![Outputs::new(place, files)], session) {
        return code;
    }
    match (args.json, args.quiet) {
        (true, _) => {
            let each = listed.iter().map(|(file, bytes)| json!({"file": file, "bytes": bytes}));
            let all: Vec<_> = each.collect();
            let json = json!({"folder": folder.display().to_string(), "files": all});
            print(&format!("{json:#}\n"), session)
        }
        (false, true) => 0,
        (false, false) => {
            let count = listed.len();
            let text = format!(
                "The page and what belongs to it: {count} file{} in {}\nOpen {} in a browser.\n",
                if count == 1 { "" } else { "s" },
                folder.display(),
                folder.join("index.html").display()
            );
            print(&text, session)
        }
    }
}

fn made(args: &PageArgs, editions: &mut Editions, quiet: bool) -> Result<Vec<Named>, Trouble> {
    let mut findings = Findings::default();
    let listing = listing_or_headings(
        args.listing.as_deref(),
        &editions.range,
        &editions.sheet,
        &mut findings,
    );
    let wanted: Vec<String> =
        wanted(args, editions, &mut findings).into_iter().map(str::to_owned).collect();
    let (Some(order_from), false) = (listing, findings.failed()) else {
        return Err(Trouble::Input(findings));
    };
    // The page itself is that of the first edition; others are planned for their pictures.
    let mut first = true;
    editions.list.retain(|e| std::mem::take(&mut first) || wanted.contains(&e.name));
    let planned = editions.plan_all().map_err(Trouble::Input)?;
    let workshop = editions.workshop();
    let spelled = &planned[0].variants;
    let pictures = planned.iter().filter(|p| wanted.contains(&p.edition.name));
    let (mut files, previews) = previews(pictures, editions, &workshop, quiet)?;
    let request = PageRequest {
        spelled,
        workshop: &workshop,
        order_from,
        previews,
        work: &editions.session.work,
    };
    let made = page(&request);
    cancel::check(editions.session.stop()).map_err(|_| Trouble::Stopped)?;
    if let Some(page) = made {
        files.insert(0, ("index.html".to_owned(), page.html.into_bytes()));
        files.extend(page.pictures);
    }
    Ok(files)
}

/// The editions whose pictures are offered.
fn wanted<'a>(args: &PageArgs, editions: &'a Editions, findings: &mut Findings) -> Vec<&'a str> {
    let names = || editions.list.iter().map(|edition| edition.name.as_str());
    if args.no_picture {
        return Vec::new();
    }
    if args.picture.is_empty() {
        return names().take(1).collect();
    }
    let mut out = Vec::new();
    for asked in &args.picture {
        match names().find(|name| name == asked) {
            Some(name) => out.push(name),
            None => findings.push(unknown("unknown-edition", "edition", asked, names())),
        }
    }
    out
}

/// Pictures of editions in the first spelling, page by page.
fn previews<'a>(
    planned: impl Iterator<Item = &'a PlannedEdition<'a>>,
    editions: &Editions,
    workshop: &Workshop,
    quiet: bool,
) -> Result<(Vec<Named>, Vec<Preview>), Trouble> {
    let dpi = Dpi::PREVIEW;
    let variants: Vec<&Planned<'_>> = planned.filter_map(|p| p.variants.first()).collect();
    let pages = variants.iter().map(|v| v.plan.pages.len()).sum();
    let progress = Progress::new(pages, quiet);
    let stop = editions.session.stop();
    let mut draughtsman = Draughtsman { progress: &progress, stop, dpi, done: 0 };
    let (mut files, mut previews) = (Vec::new(), Vec::new());
    for variant in variants {
        let sheet = variant.place(workshop);
        let colours = sheet.palette.published();
        for page in 0..sheet.pages.len() {
            let many = sheet.pages.len() > 1;
            let number = if many { format!(".p{}", page + 1) } else { String::new() };
            let name = format!("pictures/{}{number}.{}dpi.png", variant.variant.stem(), dpi.get());
            let bytes = draughtsman.page(sheet.coloured(&colours), page, &name)?;
            let titled = format!("{}, {}", sheet.about.title, variant.variant.name());
            let title = if many { format!("{titled}, {}", page + 1) } else { titled };
            let (width, height) = (dpi.pixels(sheet.width), dpi.pixels(sheet.height));
            previews.push(Preview { file: name.clone(), title, width, height });
            files.push((name, bytes));
        }
    }
    progress.done();
    Ok((files, previews))
}
