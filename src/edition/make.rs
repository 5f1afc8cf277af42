//! Makes the files of all editions of a matrix.

use std::path::PathBuf;

use super::draw::Drawer;
use super::manifest::{Manifest, PlanEntry};
use super::matrix::{Entry, Matrix, Planned};
use super::progress::Progress;
use super::reuse::Reuse;
use super::size::too_large;
use super::target::Placed;
use super::write;
use crate::diag::{Diagnostic, Findings};
use crate::paint::pdf::{Condition, Press};
use crate::paint::png::Form;
use crate::paint::svg::Words;
use crate::plan::Report;
use crate::press::{Carries, Chosen, Origin, Print, inks};
use crate::range::Format;
use crate::sheet::identity::Identity;
use crate::sheet::{Sheet, Workshop};
use crate::tile::{Grid, Tiling};
use crate::units::Dpi;

/// How files are made.
pub struct MakeOptions {
    /// Folder of the results; the sheet's own folder is made in it.
    pub out: PathBuf,
    pub drawing: DrawOptions,
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

/// What files are drawn like.
#[derive(Debug, Clone)]
pub struct DrawOptions {
    /// Resolutions of the pictures; the usual ones where empty.
    pub dpi: Vec<Dpi>,
    /// Quality of JPEGs, 1 to 100.
    pub quality: u8,
    /// Words of SVG files.
    pub words: Words,
}

impl DrawOptions {
    /// The kind of picture that a format is.
    pub fn form(&self, format: Format) -> Option<Form> {
        match format {
            Format::Svg | Format::Pdf => None,
            Format::Png => Some(Form::Png),
            Format::Jpeg => Some(Form::Jpeg { quality: self.quality }),
            Format::Tiff => Some(Form::Tiff),
        }
    }
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
    let large = too_large(&planned, &options.drawing);
    if large.failed() {
        return Err(MakeError::Input(large));
    }
    let folder = options.folder(matrix.sheet.name());
    write::folder(&folder)?;
    let _lock = write::lock(&folder).map_err(|_| MakeError::Stopped)?;
    write::sweep(&folder);
    let reuse = Reuse::open(&folder, options.fresh);
    let workshop = Workshop::new(&matrix.range);
    let tiles = grids.iter().flatten().count();
    let total = planned.iter().map(|p| file_count(p, options)).sum::<usize>() + tiles;
    let progress = Progress::new(total, options.quiet);
    let with = (&options.drawing, options.jobs);
    let drawer = Drawer::new(&folder, with, options.tiling.as_ref(), &progress, &reuse);
    let pairs: Vec<(&Planned<'_>, Option<&Grid>)> =
        planned.iter().zip(grids.iter().map(Option::as_ref)).collect();
    let editions: Vec<_> = pairs.chunk_by(|(a, _), (b, _)| a.entry.name == b.entry.name).collect();
    let result = editions.chunks(options.jobs.max(1)).try_for_each(|editions| {
        let placed: Vec<Placed<'_>> = editions
            .iter()
            .flat_map(|spellings| spellings.iter())
            .map(|(p, grid)| options.placed(p, *grid, &workshop))
            .collect();
        drawer.editions(&placed)
    });
    progress.done();
    let (files, kept) = drawer.made();
    if let Err(e) = result {
        // What a stopped run has finished, the next need not do again; what is told is why it stopped.
        let _ = reuse.save();
        return Err(e);
    }
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
    let written = write::whole(&folder.join("manifest.json"), manifest.json().as_bytes());
    let saved = reuse.save();
    written?;
    saved?;
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
        let formats = Format::ALL.into_iter().filter(|f| self.makes(planned.entry, *f)).collect();
        Placed { planned, grid, sheet, identity, press, formats }
    }

    fn makes(&self, entry: &Entry, format: Format) -> bool {
        entry.formats.contains(&format) && self.paper.as_ref().is_none_or(|p| p.makes(format))
    }
}

/// For the bar alone: editions whose layout names pixels may have one more.
fn file_count(planned: &Planned<'_>, options: &MakeOptions) -> usize {
    let pages = planned.plan.pages.len();
    let each = |format: &Format| match format {
        Format::Svg => pages,
        Format::Pdf => 1,
        Format::Png if options.drawing.dpi.is_empty() => 2 * pages,
        Format::Png | Format::Jpeg | Format::Tiff => pages * options.drawing.dpi.len().max(1),
    };
    let formats = planned.entry.formats.iter();
    formats.filter(|f| options.makes(planned.entry, **f)).map(each).sum()
}
