//! Makes the files of all editions of a matrix.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::manifest::{FileEntry, Manifest, PlanEntry};
use super::matrix::{Entry, Matrix, Planned};
use super::parallel::in_parallel;
use super::progress::Progress;
use super::reuse::Reuse;
use super::{cancel, write};
use crate::diag::{Diagnostic, Findings};
use crate::graphic::Cmyk;
use crate::paint::pdf::{Condition, Press};
use crate::paint::png::{Known, Output, PngError, Strip};
use crate::paint::{pdf, png, svg};
use crate::plan::Report;
use crate::press::{Carries, Chosen, Origin, Print, inks};
use crate::range::Format;
use crate::sheet::identity::{Digest, Digester, Identity};
use crate::sheet::{Rgb, Sheet, Workshop};
use crate::tile::{Grid, Tiling, tiled};
use crate::units::Dpi;

/// How files are made.
pub struct MakeOptions {
    /// Folder of the results; the sheet's own folder is made in it.
    pub out: PathBuf,
    /// Resolutions of the PNG files.
    pub dpi: Vec<Dpi>,
    /// Threads that draw.
    pub jobs: usize,
    /// Draw everything, whatever earlier runs left.
    pub fresh: bool,
    /// No progress bar.
    pub quiet: bool,
    /// Name of the style, for the manifest.
    pub style: String,
    /// The paper that the files are for; none for the screen and any printer.
    pub paper: Option<ForPaper>,
    /// Pages larger than this paper are made in tiles too.
    pub tiling: Option<Tiling>,
}

/// Files for a paper.
pub struct ForPaper {
    pub chosen: Chosen,
    pub print: Print,
    /// Where the values came from.
    pub origin: Origin,
}

impl ForPaper {
    /// What a press is told; none for a paper that takes sRGB.
    pub fn press(&self, sheet: &Sheet) -> Option<Press> {
        let Chosen { name, paper, .. } = &self.chosen;
        let carries = paper.carries();
        (carries == Carries::Cmyk).then(|| Press {
            condition: Condition {
                identifier: name.clone(),
                info: paper.description(),
                registry: None,
                profile: paper.icc().clone(),
            },
            colours: inks::of_colours(paper, &sheet.colours(), &self.print.by_drawn(carries)),
            words: inks::of_words(paper, &sheet.words_colours()),
        })
    }

    /// Ink stands in a PDF alone.
    fn makes(&self, format: Format) -> bool {
        self.chosen.paper.carries() == Carries::Srgb || format == Format::Pdf
    }
}

/// Why files were not made.
#[derive(Debug)]
pub enum MakeError {
    /// The input has faults; nothing was written.
    Input(Findings),
    /// The machine failed; every file that is there is whole.
    Machine(Diagnostic),
    /// Stopped by the person at the keyboard; every file that is there is whole.
    Stopped,
}

impl From<Diagnostic> for MakeError {
    fn from(d: Diagnostic) -> MakeError {
        MakeError::Machine(d)
    }
}

/// What a run made.
#[derive(Debug)]
pub struct Made {
    pub manifest: Manifest,
    /// How many of the files were there already, as they should be.
    pub kept: usize,
}

/// Plans every edition, then draws and writes what is not there yet, the
/// manifest last.
///
/// # Errors
/// As [`MakeError`] says.
pub fn make(matrix: &Matrix, options: &MakeOptions) -> Result<Made, MakeError> {
    let planned = matrix.plan_all().map_err(MakeError::Input)?;
    let grids = options.grids(&planned).map_err(MakeError::Input)?;
    let folder = options.folder(matrix.sheet.name());
    write::folder(&folder)?;
    let _lock = write::lock(&folder).map_err(|_| MakeError::Stopped)?;
    write::sweep(&folder);
    let reuse = Reuse::open(&folder, options.fresh);
    let workshop = Workshop::new(&matrix.range);
    let tiles = grids.iter().flatten().count();
    let total = planned.iter().map(|p| file_count(p, options)).sum::<usize>() + tiles;
    let progress = Progress::new(total, options.quiet);
    let maker = Maker {
        folder: &folder,
        dpi: &options.dpi,
        jobs: options.jobs,
        tiling: options.tiling.as_ref(),
        progress: &progress,
        reuse: &reuse,
        files: Mutex::default(),
        done: AtomicUsize::new(0),
        kept: AtomicUsize::new(0),
    };
    let pairs: Vec<(&Planned<'_>, Option<&Grid>)> =
        planned.iter().zip(grids.iter().map(Option::as_ref)).collect();
    let result = pairs.chunks(options.jobs.max(1)).try_for_each(|pairs| {
        let placed: Vec<Placed<'_>> =
            pairs.iter().map(|(p, grid)| options.placed(p, *grid, &workshop)).collect();
        maker.editions(&placed)
    });
    progress.done();
    let kept = maker.kept.into_inner();
    let mut files = maker.files.into_inner().unwrap_or_else(PoisonError::into_inner);
    files.sort_by(|a, b| a.file.cmp(&b.file));
    // What a stopped run has finished, the next need not do again.
    reuse.save()?;
    result?;
    let manifest = Manifest {
        made_by: format!("shadecard {}", env!("CARGO_PKG_VERSION")),
        sheet: matrix.sheet.name().clone(),
        title: matrix.sheet.title().text.clone(),
        style: options.style.clone(),
        paper: options.paper.as_ref().map(|p| p.chosen.name.clone()),
        values: options.paper.as_ref().map(|p| p.origin.word()),
        files,
        plans: planned
            .iter()
            .map(|p| PlanEntry {
                edition: p.entry.name.clone(),
                spelling: p.entry.tag.clone(),
                plan: Report::new(&p.facts, &p.plan),
            })
            .collect(),
    };
    write::whole(&folder.join("manifest.json"), manifest.json().as_bytes())?;
    Ok(Made { manifest, kept })
}

impl MakeOptions {
    /// The sheet's folder; that of a paper beside it.
    pub fn folder(&self, sheet: &str) -> PathBuf {
        match &self.paper {
            Some(paper) => self.out.join(format!("{sheet}-{}", paper.chosen.name)),
            None => self.out.join(sheet),
        }
    }

    /// The tiles of each edition that is larger than the paper at hand.
    fn grids(&self, planned: &[Planned<'_>]) -> Result<Vec<Option<Grid>>, Findings> {
        let mut findings = Findings::default();
        let mut grid = |p: &Planned<'_>| {
            let tiling = self.tiling.as_ref()?;
            let (width, height) = (p.plan.width, p.plan.height);
            if tiling.desk().holds(width, height) {
                return None;
            }
            Grid::new(width, height, p.plan.pages.len(), tiling)
                .map_err(|d| {
                    let message = format!("edition '{}': {}", p.entry.name, d.message);
                    findings.push(Diagnostic { message, ..d });
                })
                .ok()
        };
        let grids = planned.iter().map(&mut grid).collect();
        if findings.failed() { Err(findings) } else { Ok(grids) }
    }

    /// An edition ready to be drawn.
    fn placed<'a>(
        &self,
        planned: &'a Planned<'a>,
        grid: Option<&'a Grid>,
        workshop: &Workshop,
    ) -> Placed<'a> {
        let sheet = planned.place(workshop);
        let identity = Identity::of(&sheet);
        let pdf = self.makes(planned.entry, Format::Pdf);
        let press = self.paper.as_ref().filter(|_| pdf).and_then(|p| p.press(&sheet));
        let formats = [Format::Svg, Format::Pdf, Format::Png];
        let formats = formats.into_iter().filter(|f| self.makes(planned.entry, *f)).collect();
        Placed { planned, grid, sheet, identity, press, formats }
    }

    fn makes(&self, entry: &Entry, format: Format) -> bool {
        entry.formats.contains(&format) && self.paper.as_ref().is_none_or(|p| p.makes(format))
    }
}

fn file_count(planned: &Planned<'_>, options: &MakeOptions) -> usize {
    let pages = planned.plan.pages.len();
    let each = |format: &Format| match format {
        Format::Svg => pages,
        Format::Pdf => 1,
        Format::Png => pages * options.dpi.len(),
    };
    let formats = planned.entry.formats.iter();
    formats.filter(|f| options.makes(planned.entry, **f)).map(each).sum()
}

struct Maker<'a> {
    folder: &'a Path,
    dpi: &'a [Dpi],
    jobs: usize,
    tiling: Option<&'a Tiling>,
    progress: &'a Progress,
    reuse: &'a Reuse,
    files: Mutex<Vec<FileEntry>>,
    done: AtomicUsize,
    kept: AtomicUsize,
}

/// An edition with its positions, and what they are known by.
struct Placed<'a> {
    planned: &'a Planned<'a>,
    grid: Option<&'a Grid>,
    sheet: Sheet,
    identity: Identity,
    /// What a press is told, where the PDF is for one.
    press: Option<Press>,
    formats: Vec<Format>,
}

/// One file to be made.
struct Target {
    name: String,
    format: &'static str,
    /// Page number from 0, where a file has one page.
    page: Option<usize>,
    dpi: Option<Dpi>,
    tiles: Option<[usize; 2]>,
    shows: Digest,
}

impl Maker<'_> {
    /// Some editions at once: files of lines and words each on a thread of
    /// its own, then those of pixels one after the other on all threads.
    fn editions(&self, placed: &[Placed<'_>]) -> Result<(), MakeError> {
        let results = in_parallel(placed, |p| self.lines(p));
        results.into_iter().collect::<Result<(), _>>()?;
        for placed in placed.iter().filter(|p| p.formats.contains(&Format::Png)) {
            (0..placed.sheet.pages.len()).try_for_each(|page| self.pixels(placed, page))?;
        }
        Ok(())
    }

    /// The files of an edition but for the PNGs.
    fn lines(&self, placed: &Placed<'_>) -> Result<(), MakeError> {
        let Placed { planned, grid, sheet, press, formats, .. } = placed;
        for page in 0..sheet.pages.len() {
            if formats.contains(&Format::Svg) {
                let target = placed.target("svg", Some(page), None, None);
                self.one(planned, sheet, target, || svg::svg(sheet, page))?;
            }
        }
        if formats.contains(&Format::Pdf) {
            let target = placed.target("pdf", None, None, press.as_ref());
            self.one(planned, sheet, target, || match press {
                // The inks are those of this very sheet: none can be missing.
                Some(press) => pdf::press(sheet, press).unwrap_or_default(),
                None => pdf::pdf(sheet),
            })?;
        }
        match (grid, self.tiling) {
            (Some(grid), Some(tiling)) => self.tiles(placed, grid, tiling),
            _ => Ok(()),
        }
    }

    fn tiles(&self, placed: &Placed<'_>, grid: &Grid, tiling: &Tiling) -> Result<(), MakeError> {
        let planned = placed.planned;
        let tiles = tiled(&placed.sheet, &planned.facts.look, tiling, grid);
        let (rows, columns) = grid.size();
        let target = Target {
            name: format!("{}.tiles-{}.pdf", planned.entry.stem(), tiling.desk().word()),
            format: "pdf",
            page: None,
            dpi: None,
            tiles: Some([rows, columns]),
            shows: shows("pdf", &Identity::of(&tiles).whole, None, None, None),
        };
        self.one(planned, &tiles, target, || pdf::pdf(&tiles))
    }

    fn one(
        &self,
        planned: &Planned<'_>,
        sheet: &Sheet,
        target: Target,
        paint: impl FnOnce() -> Vec<u8>,
    ) -> Result<(), MakeError> {
        self.begin(&target.name)?;
        if self.is_kept(planned, sheet, &target) {
            return Ok(());
        }
        let bytes = paint();
        cancel::check().map_err(|_| MakeError::Stopped)?;
        let kept = write::whole(&self.folder.join(&target.name), &bytes)?;
        self.finished(planned, sheet, &target, &kept, &[]);
        Ok(())
    }

    /// All resolutions of a page in one run of strips.
    fn pixels(&self, placed: &Placed<'_>, page: usize) -> Result<(), MakeError> {
        let (planned, sheet) = (placed.planned, &placed.sheet);
        let mut targets = Vec::new();
        for dpi in self.dpi {
            let target = placed.target("png", Some(page), Some(*dpi), None);
            self.begin(&target.name)?;
            if !self.is_kept(planned, sheet, &target) {
                targets.push((*dpi, target));
            }
        }
        let Some((_, first)) = targets.first() else { return Ok(()) };
        let first = self.folder.join(&first.name);
        let mut pending = targets
            .iter()
            .map(|(_, target)| write::Pending::new(&self.folder.join(&target.name)))
            .collect::<Result<Vec<_>, _>>()?;
        let mut outputs: Vec<Output<'_>> = pending
            .iter_mut()
            .zip(&targets)
            .map(|(file, (dpi, _))| Output { dpi: *dpi, out: file as &mut (dyn Write + Send) })
            .collect();
        let (done, count) = (self.done.load(Ordering::Relaxed), targets.len());
        let on_strip = |share: f64| {
            self.progress.at(done, share * count as f64);
            cancel::check()
        };
        let known = Known { items: &placed.identity.items[page], shelf: self.reuse };
        let strips = png::png_again(sheet, page, known, &mut outputs, self.jobs, &on_strip)
            .map_err(|e| match e {
                PngError::Io(e) => MakeError::Machine(write::trouble(&first, &e)),
                PngError::Cancelled => MakeError::Stopped,
            })?;
        drop(outputs);
        for ((file, (_, target)), strips) in pending.into_iter().zip(&targets).zip(&strips) {
            let kept = file.keep()?;
            self.finished(planned, sheet, target, &kept, strips);
        }
        Ok(())
    }

    /// Is the file there, and shows what it should?
    fn is_kept(&self, planned: &Planned<'_>, sheet: &Sheet, target: &Target) -> bool {
        let kept = self.reuse.kept(&target.name, &target.shows);
        if let Some(kept) = &kept {
            self.kept.fetch_add(1, Ordering::Relaxed);
            self.list(entry(planned, sheet, target, kept));
        }
        kept.is_some()
    }

    fn finished(
        &self,
        planned: &Planned<'_>,
        sheet: &Sheet,
        target: &Target,
        kept: &write::Kept,
        strips: &[Strip],
    ) {
        self.reuse.add(&target.name, &target.shows, kept, strips);
        self.list(entry(planned, sheet, target, kept));
    }

    fn list(&self, entry: FileEntry) {
        self.files.lock().unwrap_or_else(PoisonError::into_inner).push(entry);
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    fn begin(&self, name: &str) -> Result<(), MakeError> {
        self.progress.say(name);
        self.progress.at(self.done.load(Ordering::Relaxed), 0.0);
        cancel::check().map_err(|_| MakeError::Stopped)
    }
}

impl Placed<'_> {
    fn target(
        &self,
        format: &'static str,
        page: Option<usize>,
        dpi: Option<Dpi>,
        press: Option<&Press>,
    ) -> Target {
        let ending = dpi.map_or(format.to_owned(), |dpi| format!("{dpi}.{format}"));
        Target {
            name: file_name(self.planned.entry, &self.sheet, page, &ending),
            format,
            page,
            dpi,
            tiles: None,
            shows: shows(format, &self.identity.whole, page, dpi, press),
        }
    }
}

/// What a file of a sheet shows.
fn shows(
    format: &str,
    sheet: &Digest,
    page: Option<usize>,
    dpi: Option<Dpi>,
    press: Option<&Press>,
) -> Digest {
    let mut digester = Digester::new(format);
    digester.digest(sheet);
    digester.number(page.map_or(0, |p| p as u64 + 1));
    digester.number(dpi.map_or(0, |d| d.get().into()));
    if let Some(Press { condition, colours, words }) = press {
        let Condition { identifier, info, registry, profile } = condition;
        [identifier, info].into_iter().chain(registry).for_each(|t| digester.text(t));
        digester.bytes(profile);
        for inks in [colours, words] {
            digester.number(inks.len() as u64);
            for (Rgb(r, g, b), Cmyk(c, m, y, k)) in inks {
                digester.bytes(&[*r, *g, *b, *c, *m, *y, *k]);
            }
        }
    }
    digester.done()
}

/// `a4.en-GB.svg`; `a4-pages.en-GB.p2.svg` where there are several pages.
fn file_name(entry: &Entry, sheet: &Sheet, page: Option<usize>, ending: &str) -> String {
    let stem = entry.stem();
    match page {
        Some(page) if sheet.pages.len() > 1 => format!("{stem}.p{}.{ending}", page + 1),
        _ => format!("{stem}.{ending}"),
    }
}

fn entry(planned: &Planned<'_>, sheet: &Sheet, target: &Target, kept: &write::Kept) -> FileEntry {
    let pages = sheet.pages.len();
    let pixels = |dpi: Dpi| [dpi.pixels(sheet.width), dpi.pixels(sheet.height)];
    FileEntry {
        file: target.name.clone(),
        edition: planned.entry.name.clone(),
        spelling: planned.entry.tag.clone(),
        format: target.format.to_owned(),
        bytes: kept.bytes,
        sha256: kept.sha256.clone(),
        page_mm: [sheet.width, sheet.height],
        scale: planned.plan.scale,
        page: target.page.filter(|_| pages > 1).map(|p| [p + 1, pages]),
        tiles: target.tiles,
        pixels: target.dpi.map(pixels),
        dpi: target.dpi.map(Dpi::get),
    }
}
