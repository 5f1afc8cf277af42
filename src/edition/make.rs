//! Makes the files of all editions of a matrix.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::manifest::{FileEntry, Manifest, PlanEntry};
use super::matrix::{Entry, Matrix, Planned};
use super::progress::Progress;
use super::{cancel, write};
use crate::diag::{Diagnostic, Findings};
use crate::paint::pdf::{Condition, Press};
use crate::paint::png::{Output, PngError};
use crate::paint::{pdf, png, svg};
use crate::plan::Report;
use crate::press::{Carries, Chosen, Origin, Print, inks};
use crate::range::Format;
use crate::sheet::{Sheet, Workshop};
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

/// Plans every edition, then draws and writes them one after the other, the
/// manifest last.
///
/// # Errors
/// As [`MakeError`] says.
pub fn make(matrix: &Matrix, options: &MakeOptions) -> Result<Manifest, MakeError> {
    let planned = matrix.plan_all().map_err(MakeError::Input)?;
    let grids = options.grids(&planned).map_err(MakeError::Input)?;
    let folder = options.folder(matrix.sheet.name());
    write::folder(&folder)?;
    let workshop = Workshop::new(&matrix.range);
    let tiles = grids.iter().flatten().count();
    let total = planned.iter().map(|p| file_count(p, options)).sum::<usize>() + tiles;
    let progress = Progress::new(total, options.quiet);
    let mut maker =
        Maker { folder: &folder, options, progress: &progress, files: Vec::new(), done: 0 };
    let mut pairs = planned.iter().zip(&grids);
    let result = pairs.try_for_each(|(p, grid)| maker.edition(p, grid.as_ref(), &workshop));
    progress.done();
    result?;
    let mut files = maker.files;
    files.sort_by(|a, b| a.file.cmp(&b.file));
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
    Ok(manifest)
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
    options: &'a MakeOptions,
    progress: &'a Progress,
    files: Vec<FileEntry>,
    done: usize,
}

impl Maker<'_> {
    fn edition(
        &mut self,
        planned: &Planned<'_>,
        grid: Option<&Grid>,
        workshop: &Workshop,
    ) -> Result<(), MakeError> {
        let sheet = planned.place(workshop);
        let entry = planned.entry;
        for page in 0..sheet.pages.len() {
            if self.options.makes(entry, Format::Svg) {
                self.one(planned, &sheet, Some(page), "svg", |sheet| svg::svg(sheet, page))?;
            }
        }
        if self.options.makes(entry, Format::Pdf) {
            let press = self.options.paper.as_ref().and_then(|p| p.press(&sheet));
            let paint = |sheet: &Sheet| match &press {
                // The inks are those of this very sheet: none can be missing.
                Some(press) => pdf::press(sheet, press).unwrap_or_default(),
                None => pdf::pdf(sheet),
            };
            self.one(planned, &sheet, None, "pdf", paint)?;
        }
        for page in 0..sheet.pages.len() {
            if self.options.makes(entry, Format::Png) && !self.options.dpi.is_empty() {
                self.pngs(planned, &sheet, page)?;
            }
        }
        match (grid, &self.options.tiling) {
            (Some(grid), Some(tiling)) => self.tiles(planned, &sheet, grid, tiling),
            _ => Ok(()),
        }
    }

    fn tiles(
        &mut self,
        planned: &Planned<'_>,
        sheet: &Sheet,
        grid: &Grid,
        tiling: &Tiling,
    ) -> Result<(), MakeError> {
        let name = format!("{}.tiles-{}.pdf", planned.entry.stem(), tiling.desk().word());
        self.begin(&name)?;
        let tiles = tiled(sheet, &planned.facts.look, tiling, grid);
        let bytes = pdf::pdf(&tiles);
        cancel::check().map_err(|_| MakeError::Stopped)?;
        let kept = write::whole(&self.folder.join(&name), &bytes)?;
        let mut line = entry(planned, &tiles, name, "pdf", None, &kept);
        let (rows, columns) = grid.size();
        line.tiles = Some([rows, columns]);
        self.files.push(line);
        self.done += 1;
        Ok(())
    }

    fn one(
        &mut self,
        planned: &Planned<'_>,
        sheet: &Sheet,
        page: Option<usize>,
        format: &str,
        paint: impl FnOnce(&Sheet) -> Vec<u8>,
    ) -> Result<(), MakeError> {
        let name = file_name(planned.entry, sheet, page, format);
        self.begin(&name)?;
        let bytes = paint(sheet);
        cancel::check().map_err(|_| MakeError::Stopped)?;
        let kept = write::whole(&self.folder.join(&name), &bytes)?;
        self.files.push(entry(planned, sheet, name, format, page, &kept));
        self.done += 1;
        Ok(())
    }

    /// All resolutions of a page in one run of strips.
    fn pngs(&mut self, planned: &Planned<'_>, sheet: &Sheet, page: usize) -> Result<(), MakeError> {
        let names: Vec<String> = self
            .options
            .dpi
            .iter()
            .map(|dpi| file_name(planned.entry, sheet, Some(page), &format!("{dpi}.png")))
            .collect();
        self.begin(&names[0])?;
        let mut pending = names
            .iter()
            .map(|name| write::Pending::new(&self.folder.join(name)))
            .collect::<Result<Vec<_>, _>>()?;
        let mut outputs: Vec<Output<'_>> = pending
            .iter_mut()
            .zip(&self.options.dpi)
            .map(|(file, &dpi)| Output { dpi, out: file as &mut (dyn Write + Send) })
            .collect();
        let (done, count) = (self.done, names.len());
        let on_strip = |share: f64| {
            self.progress.at(done, share * count as f64);
            cancel::check()
        };
        png::png(sheet, page, &mut outputs, self.options.jobs, &on_strip).map_err(|e| match e {
            PngError::Io(e) => MakeError::Machine(write::trouble(&self.folder.join(&names[0]), &e)),
            PngError::Cancelled => MakeError::Stopped,
        })?;
        drop(outputs);
        for ((file, name), dpi) in pending.into_iter().zip(names).zip(&self.options.dpi) {
            let kept = file.keep()?;
            let mut line = entry(planned, sheet, name, "png", Some(page), &kept);
            line.dpi = Some(dpi.get());
            line.pixels = Some([dpi.pixels(sheet.width), dpi.pixels(sheet.height)]);
            self.files.push(line);
            self.done += 1;
        }
        Ok(())
    }

    fn begin(&self, name: &str) -> Result<(), MakeError> {
        self.progress.say(name);
        self.progress.at(self.done, 0.0);
        cancel::check().map_err(|_| MakeError::Stopped)
    }
}

/// `a4.en-GB.svg`; `a4-pages.en-GB.p2.svg` where there are several pages.
fn file_name(entry: &Entry, sheet: &Sheet, page: Option<usize>, ending: &str) -> String {
    let stem = entry.stem();
    match page {
        Some(page) if sheet.pages.len() > 1 => format!("{stem}.p{}.{ending}", page + 1),
        _ => format!("{stem}.{ending}"),
    }
}

fn entry(
    planned: &Planned<'_>,
    sheet: &Sheet,
    file: String,
    format: &str,
    page: Option<usize>,
    kept: &write::Kept,
) -> FileEntry {
    let pages = sheet.pages.len();
    FileEntry {
        file,
        edition: planned.entry.name.clone(),
        spelling: planned.entry.tag.clone(),
        format: format.to_owned(),
        bytes: kept.bytes,
        sha256: kept.sha256.clone(),
        page_mm: [sheet.width, sheet.height],
        scale: planned.plan.scale,
        page: page.filter(|_| pages > 1).map(|p| [p + 1, pages]),
        tiles: None,
        pixels: None,
        dpi: None,
    }
}
