//! Makes the files of all editions of a sheet.

use std::path::PathBuf;

use super::book::Book;
use super::draw::Drawer;
use super::editions::Editions;
use super::error::MakeError;
use super::manifest::{FileEntry, Manifest, Older, PlanEntry};
use super::options::{ForPaper, MakeOptions};
use super::planned::{Planned, PlannedEdition};
use super::progress::Progress;
use super::reuse::Reuse;
use super::size::{Size, too_large};
use super::target::{Names, Placed};
use super::variant::Edition;
use super::write;
use crate::diag::{Diagnostic, Findings};
use crate::panels::Grid;
use crate::range::Format;
use crate::sheet::Workshop;
use crate::sheet::identity::Identity;
use crate::sheet::palette::PrintValues;

/// What a run made.
#[derive(Debug)]
pub struct MadeFiles {
    /// Of this run alone.
    pub manifest: Manifest,
    /// The manifest of the folder, as it was written.
    pub json: String,
    /// Every file of the folder: those of this run, of runs before it, and the manifest.
    pub listed: Vec<PathBuf>,
    /// Which editions do not fit, and what would.
    pub misfits: Findings,
    /// How many of the files were already up to date.
    pub kept: usize,
}

/// Variants of more pages than this together are placed one by one: what they share is then drawn
/// again, and memory does not grow with their number.
const MOST_PAGES: usize = 100;

/// The file that lists all others.
const MANIFEST: &str = "manifest.json";

/// Plans every edition, then draws and writes what is missing, the
/// manifest last. Editions that do not fit stop no other.
///
/// # Errors
/// See [`MakeError`]; also where no edition fits.
pub fn make(editions: &Editions, options: &MakeOptions) -> Result<MadeFiles, MakeError> {
    let (planned, misfits) = editions.plan_each();
    if planned.is_empty() && misfits.failed() {
        return Err(MakeError::Input(misfits));
    }
    let grids = options.grids(&planned).map_err(MakeError::Input)?;
    let large = too_large(&planned, &options.drawing);
    if large.failed() {
        return Err(MakeError::Input(large));
    }
    let cut = |(edition, grid)| Cut { edition, grid: Option::as_ref(grid) };
    let pairs: Vec<Cut<'_>> = planned.iter().zip(&grids).map(cut).collect();
    let place = options.place(editions.sheet.name());
    let folder = place.folder();
    let disk = &editions.session.disk;
    write::folder(&folder, disk)?;
    let lock = write::lock(&folder, &editions.session).map_err(|_| MakeError::Stopped)?;
    write::sweep(&folder, disk);
    let book = Book::read(place, lock, &editions.session)?;
    let reuse = Reuse::open(&folder, options.fresh, disk);
    let variants = pairs.iter().flat_map(|cut| cut.variants());
    let names: Vec<Names<'_>> = variants.map(|(p, grid)| options.names(p, grid)).collect();
    let wanted: Vec<String> =
        names.iter().flat_map(Names::all).chain([MANIFEST.to_owned()]).collect();
    if !options.replace {
        book.check(wanted.iter().map(String::as_str), |name| reuse.knows(name).is_some())?;
    }
    let with = (&editions.workshop(), &book, &reuse);
    let drawn = draw(&pairs, options, with, wanted.len() - 1);
    let (files, kept) = match drawn {
        Ok(made) => made,
        Err(e) => {
            // What a stopped run has finished, the next need not repeat; the report gives why it stopped.
            let _ = book.save();
            let _ = reuse.save();
            return Err(e);
        }
    };
    let manifest = manifest(editions, options, &planned, files);
    let listed = list(&manifest, editions, (&book, &reuse), (&names, options));
    let saved = reuse.save();
    let all = listed?;
    saved?;
    let names = all.files.iter().map(|f| f.file.as_str());
    let listed = names.chain([MANIFEST]).map(|name| folder.join(name)).collect();
    Ok(MadeFiles { manifest, json: all.json(), listed, misfits, kept })
}

/// A planned edition, and how its pages are cut into panels if they are.
#[derive(Clone, Copy)]
struct Cut<'a> {
    edition: &'a PlannedEdition<'a>,
    grid: Option<&'a Grid>,
}

impl<'a> Cut<'a> {
    fn variants(self) -> impl Iterator<Item = (&'a Planned<'a>, Option<&'a Grid>)> {
        self.edition.variants.iter().map(move |planned| (planned, self.grid))
    }
}

/// Draws all files; returns all that exist then, and how many of them existed before.
fn draw(
    pairs: &[Cut<'_>],
    options: &MakeOptions,
    (workshop, book, reuse): (&Workshop, &Book, &Reuse),
    total: usize,
) -> Result<(Vec<FileEntry>, usize), MakeError> {
    let values = options.paper.as_ref().map(ForPaper::srgb).unwrap_or_default();
    let progress = Progress::new(total, options.quiet);
    let with = (&options.drawing, options.jobs);
    let drawer = Drawer::new(book, with, options.split.as_ref(), &progress, reuse);
    let draw = |variants: &[(&Planned<'_>, Option<&Grid>)]| {
        let placed = variants.iter().map(|(p, grid)| options.placed(p, *grid, workshop, &values));
        drawer.editions(&placed.collect::<Vec<Placed<'_>>>())
    };
    let result = pairs.chunks(options.jobs.max(1)).try_for_each(|editions| {
        let variants: Vec<_> = editions.iter().flat_map(|cut| cut.variants()).collect();
        let pages: usize = variants.iter().map(|(p, _)| p.plan.pages.len()).sum();
        let at_once = if pages > MOST_PAGES { 1 } else { variants.len().max(1) };
        variants.chunks(at_once).try_for_each(draw)
    });
    progress.done();
    result.map(|()| drawer.made())
}

/// What this run made.
fn manifest(
    editions: &Editions,
    options: &MakeOptions,
    planned: &[PlannedEdition<'_>],
    files: Vec<FileEntry>,
) -> Manifest {
    let plan = |p: &Planned<'_>| PlanEntry {
        edition: p.variant.name().to_owned(),
        spelling: p.variant.tag.to_owned(),
        plan: p.report(),
    };
    Manifest {
        made_by: format!("shadecard {}", env!("CARGO_PKG_VERSION")),
        sheet: editions.sheet.name().clone(),
        title: editions.sheet.title().text.clone(),
        style: options.style.clone(),
        paper: options.paper.as_ref().map(|p| p.chosen.name.clone()),
        values: options.paper.as_ref().map(|p| p.origin.word()),
        files,
        plans: planned.iter().flat_map(|e| &e.variants).map(plan).collect(),
    }
}

/// Removes files of pages that are no more, and writes the manifest of all that is in the folder;
/// returns that manifest.
fn list(
    manifest: &Manifest,
    editions: &Editions,
    (book, reuse): (&Book, &Reuse),
    (names, options): (&[Names<'_>], &MakeOptions),
) -> Result<Manifest, Diagnostic> {
    for name in book.names() {
        if names.iter().any(|n| n.is_stale(&name)) {
            book.remove(&name)?;
        }
    }
    let path = book.folder().join(MANIFEST);
    let before = match editions.session.disk.bytes(&path) {
        Ok(bytes) => Some(bytes),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => None,
        Err(e) => return Err(write::trouble(&path, &e)),
    };
    let mut all = manifest.clone();
    let order: Vec<[String; 2]> = editions
        .sheet
        .editions()
        .iter()
        .flat_map(|e| e.spellings().iter().map(|tag| [e.name().clone(), tag.clone()]))
        .collect();
    let mut failed = None;
    all.with(before.as_deref().map(Older::read).unwrap_or_default(), &order, |file| {
        if reuse.knows(&file.file) == Some(file.sha256.clone()) {
            return true;
        }
        book.is_still(&file.file, &file.sha256).map_err(|d| failed = Some(d)).unwrap_or(false)
    });
    if let Some(d) = failed {
        return Err(d);
    }
    let json = all.json();
    if options.fresh || before.is_none_or(|before| before != json.as_bytes()) {
        book.whole(MANIFEST, json.as_bytes())?;
    }
    book.save()?;
    Ok(all)
}

impl MakeOptions {
    /// The files of a variant.
    fn names<'a>(&'a self, planned: &'a Planned<'a>, grid: Option<&Grid>) -> Names<'a> {
        let formats = Format::ALL.into_iter();
        Names {
            variant: planned.variant,
            pages: planned.plan.pages.len(),
            formats: formats.filter(|f| self.makes(planned.variant.edition, *f)).collect(),
            size: Size::of(planned.variant.edition, &planned.plan),
            drawing: &self.drawing,
            split: self.split.as_ref().map(|t| (t, grid.is_some())),
        }
    }

    /// The panels of each edition that is larger than the desk paper.
    fn grids(&self, planned: &[PlannedEdition<'_>]) -> Result<Vec<Option<Grid>>, Findings> {
        let mut findings = Findings::default();
        let mut grid = |p: &PlannedEdition<'_>| {
            let split = self.split.as_ref()?;
            let (width, height) = (p.plan.width, p.plan.height);
            if split.desk().holds(width, height) {
                return None;
            }
            Grid::new(width, height, p.plan.pages.len(), split)
                .map_err(|d| {
                    let message = format!("edition '{}': {}", p.edition.name, d.message);
                    findings.push(Diagnostic { message, ..d });
                })
                .ok()
        };
        let grids = planned.iter().map(&mut grid).collect();
        if findings.failed() { Err(findings) } else { Ok(grids) }
    }

    /// A variant ready to be drawn.
    fn placed<'a>(
        &self,
        planned: &'a Planned<'a>,
        grid: Option<&'a Grid>,
        workshop: &Workshop,
        values: &'a PrintValues,
    ) -> Placed<'a> {
        let sheet = planned.place(workshop);
        let palette = &sheet.palette;
        let paper = self.paper.as_ref();
        let pdf = self.makes(planned.variant.edition, Format::Pdf);
        let press = paper.filter(|_| pdf).and_then(|p| p.press(palette));
        let srgb = palette.printed(values);
        let identity = match &press {
            Some(press) => Identity::of(sheet.coloured(&press.inks)),
            None => Identity::of(sheet.coloured(&srgb)),
        };
        let formats =
            Format::ALL.into_iter().filter(|f| self.makes(planned.variant.edition, *f)).collect();
        Placed { planned, grid, sheet, values, srgb, identity, press, formats }
    }

    fn makes(&self, edition: &Edition, format: Format) -> bool {
        edition.formats.contains(&format) && self.paper.as_ref().is_none_or(|p| p.makes(format))
    }
}
