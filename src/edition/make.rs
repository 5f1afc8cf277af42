//! Makes the files of all editions of a matrix.

use std::path::PathBuf;

use super::book::{Book, Place, Refused};
use super::draw::Drawer;
use super::manifest::{FileEntry, Manifest, Older, PlanEntry};
use super::matrix::{Entry, Matrix, Planned};
use super::progress::Progress;
use super::reuse::Reuse;
use super::size::{Size, too_large};
use super::target::{Names, Placed};
use super::write;
use crate::diag::{Diagnostic, Findings};
use crate::paint::pdf::{Condition, Press};
use crate::paint::png::Form;
use crate::paint::svg::Words;
use crate::panels::{Grid, Split};
use crate::press::inks::inks;
use crate::press::{Chosen, ColourMode, Origin, Print};
use crate::range::Format;
use crate::sheet::identity::Identity;
use crate::sheet::palette::PrintValues;
use crate::sheet::{Palette, Workshop};
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
    /// Files that the program did not write may be replaced.
    pub replace: bool,
    /// No progress bar.
    pub quiet: bool,
    /// Name of the style, for the manifest.
    pub style: String,
    /// What sets these files apart from the usual ones of the sheet; ends the name of the folder.
    pub variant: String,
    /// The paper that the files are for; none for the screen and any printer.
    pub paper: Option<ForPaper>,
    /// Pages larger than this paper are made in panels too.
    pub split: Option<Split>,
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

/// Where the names of output conditions are registered, as an output intent gives it (ISO 15930-7, read
/// second-hand).
const REGISTRY: &str = "http://www.color.org";

/// Files for a paper.
pub struct ForPaper {
    pub chosen: Chosen,
    pub print: Print,
    /// Where the values came from.
    pub origin: Origin,
}

impl ForPaper {
    /// The values that a printer which accepts sRGB receives; none but the published ones for a press.
    fn srgb(&self) -> PrintValues {
        match self.chosen.paper.colour_mode() {
            ColourMode::Srgb => self.print.srgb(),
            ColourMode::Cmyk => PrintValues::default(),
        }
    }

    /// What a press receives; none for a paper that accepts sRGB.
    pub fn press(&self, palette: &Palette) -> Option<Press> {
        let Chosen { name, paper, condition, .. } = &self.chosen;
        (paper.colour_mode() == ColourMode::Cmyk).then(|| Press {
            condition: Condition {
                identifier: condition.as_ref().unwrap_or(name).clone(),
                info: paper.description(),
                registry: condition.as_ref().map(|_| REGISTRY.to_owned()),
                profile: paper.icc().clone(),
            },
            inks: inks(paper, &self.print, palette),
        })
    }

    /// Only a PDF holds ink values.
    fn makes(&self, format: Format) -> bool {
        self.chosen.paper.colour_mode() == ColourMode::Srgb || format == Format::Pdf
    }
}

/// Why files were not made.
#[derive(Debug)]
pub enum MakeError {
    /// The input has faults; nothing was written.
    Input(Findings),
    /// The machine failed; every file present is complete.
    Machine(Diagnostic),
    /// Stopped by the person at the keyboard; every file present is complete.
    Stopped,
}

impl From<Refused> for MakeError {
    fn from(refused: Refused) -> MakeError {
        match refused {
            Refused::Foreign(findings) => MakeError::Input(findings),
            Refused::Machine(d) => MakeError::Machine(d),
        }
    }
}

impl From<Diagnostic> for MakeError {
    fn from(d: Diagnostic) -> MakeError {
        MakeError::Machine(d)
    }
}

/// What a run made.
#[derive(Debug)]
pub struct Made {
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

/// The file that lists all others.
const MANIFEST: &str = "manifest.json";

/// Plans every edition, then draws and writes what is missing, the
/// manifest last. Editions that do not fit stop no other.
///
/// # Errors
/// See [`MakeError`]; also where no edition fits.
pub fn make(matrix: &Matrix, options: &MakeOptions) -> Result<Made, MakeError> {
    let (planned, misfits) = matrix.plan_each();
    if planned.is_empty() && misfits.failed() {
        return Err(MakeError::Input(misfits));
    }
    let grids = options.grids(&planned).map_err(MakeError::Input)?;
    let large = too_large(&planned, &options.drawing);
    if large.failed() {
        return Err(MakeError::Input(large));
    }
    let pairs: Vec<(&Planned<'_>, Option<&Grid>)> =
        planned.iter().zip(grids.iter().map(Option::as_ref)).collect();
    let place = options.place(matrix.sheet.name());
    let folder = place.folder();
    let disk = &matrix.session.disk;
    write::folder(&folder, disk)?;
    let lock = write::lock(&folder, &matrix.session).map_err(|_| MakeError::Stopped)?;
    write::sweep(&folder, disk);
    let book = Book::read(place, lock, &matrix.session)?;
    let reuse = Reuse::open(&folder, options.fresh, disk);
    let names: Vec<Names<'_>> = pairs.iter().map(|(p, grid)| options.names(p, *grid)).collect();
    let wanted: Vec<String> =
        names.iter().flat_map(Names::all).chain([MANIFEST.to_owned()]).collect();
    if !options.replace {
        book.check(wanted.iter().map(String::as_str), |name| reuse.knows(name).is_some())?;
    }
    let drawn = draw(&pairs, options, &book, &reuse, wanted.len() - 1);
    let (files, kept) = match drawn {
        Ok(made) => made,
        Err(e) => {
            // What a stopped run has finished, the next need not repeat; the report gives why it stopped.
            let _ = book.save();
            let _ = reuse.save();
            return Err(e);
        }
    };
    let manifest = manifest(matrix, options, &planned, files);
    let listed = list(&manifest, matrix, (&book, &reuse), (&names, options));
    let saved = reuse.save();
    let all = listed?;
    saved?;
    let names = all.files.iter().map(|f| f.file.as_str());
    let listed = names.chain([MANIFEST]).map(|name| folder.join(name)).collect();
    Ok(Made { manifest, json: all.json(), listed, misfits, kept })
}

/// Draws all files; returns all that exist then, and how many of them existed before.
fn draw(
    pairs: &[(&Planned<'_>, Option<&Grid>)],
    options: &MakeOptions,
    book: &Book,
    reuse: &Reuse,
    total: usize,
) -> Result<(Vec<FileEntry>, usize), MakeError> {
    let Some((first, _)) = pairs.first() else { return Ok((Vec::new(), 0)) };
    let workshop = Workshop::new(first.facts.range, &first.facts.work);
    let values = options.paper.as_ref().map(ForPaper::srgb).unwrap_or_default();
    let progress = Progress::new(total, options.quiet);
    let with = (&options.drawing, options.jobs);
    let drawer = Drawer::new(book, with, options.split.as_ref(), &progress, reuse);
    let editions: Vec<_> = pairs.chunk_by(|(a, _), (b, _)| a.entry.name == b.entry.name).collect();
    let result = editions.chunks(options.jobs.max(1)).try_for_each(|editions| {
        let placed: Vec<Placed<'_>> = editions
            .iter()
            .flat_map(|spellings| spellings.iter())
            .map(|(p, grid)| options.placed(p, *grid, &workshop, &values))
            .collect();
        drawer.editions(&placed)
    });
    progress.done();
    result.map(|()| drawer.made())
}

/// What this run made.
fn manifest(
    matrix: &Matrix,
    options: &MakeOptions,
    planned: &[Planned<'_>],
    files: Vec<FileEntry>,
) -> Manifest {
    let plan = |p: &Planned<'_>| PlanEntry {
        edition: p.entry.name.clone(),
        spelling: p.entry.tag.clone(),
        plan: p.report(),
    };
    Manifest {
        made_by: format!("shadecard {}", env!("CARGO_PKG_VERSION")),
        sheet: matrix.sheet.name().clone(),
        title: matrix.sheet.title().text.clone(),
        style: options.style.clone(),
        paper: options.paper.as_ref().map(|p| p.chosen.name.clone()),
        values: options.paper.as_ref().map(|p| p.origin.word()),
        files,
        plans: planned.iter().map(plan).collect(),
    }
}

/// Removes files of pages that are no more, and writes the manifest of all that is in the folder;
/// returns that manifest.
fn list(
    manifest: &Manifest,
    matrix: &Matrix,
    (book, reuse): (&Book, &Reuse),
    (names, options): (&[Names<'_>], &MakeOptions),
) -> Result<Manifest, Diagnostic> {
    for name in book.names() {
        if names.iter().any(|n| n.is_stale(&name)) {
            book.remove(&name)?;
        }
    }
    let path = book.folder().join(MANIFEST);
    let before = match matrix.session.disk.bytes(&path) {
        Ok(bytes) => Some(bytes),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => None,
        Err(e) => return Err(write::trouble(&path, &e)),
    };
    let mut all = manifest.clone();
    let order: Vec<[String; 2]> = matrix
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
    /// The sheet's folder; that of a paper, and of what else is asked for, beside it.
    pub fn place(&self, sheet: &str) -> Place {
        let paper = self.paper.as_ref().map(|p| format!("-{}", p.chosen.name));
        let inner = format!("{sheet}{}{}", paper.unwrap_or_default(), self.variant);
        let by = match (&self.paper, self.variant.is_empty()) {
            (Some(_), _) => "make --paper",
            (None, true) => "make",
            (None, false) => "make --style",
        };
        Place::new(&self.out, &inner, by)
    }

    /// The files of an edition.
    fn names<'a>(&'a self, planned: &'a Planned<'a>, grid: Option<&Grid>) -> Names<'a> {
        let formats = Format::ALL.into_iter();
        Names {
            entry: planned.entry,
            pages: planned.plan.pages.len(),
            formats: formats.filter(|f| self.makes(planned.entry, *f)).collect(),
            size: Size::of(planned),
            drawing: &self.drawing,
            split: self.split.as_ref().map(|t| (t, grid.is_some())),
        }
    }

    /// The panels of each edition that is larger than the desk paper.
    fn grids(&self, planned: &[Planned<'_>]) -> Result<Vec<Option<Grid>>, Findings> {
        let mut findings = Findings::default();
        let mut grid = |p: &Planned<'_>| {
            let split = self.split.as_ref()?;
            let (width, height) = (p.plan.width, p.plan.height);
            if split.desk().holds(width, height) {
                return None;
            }
            Grid::new(width, height, p.plan.pages.len(), split)
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
        values: &'a PrintValues,
    ) -> Placed<'a> {
        let sheet = planned.place(workshop);
        let palette = &sheet.palette;
        let paper = self.paper.as_ref();
        let pdf = self.makes(planned.entry, Format::Pdf);
        let press = paper.filter(|_| pdf).and_then(|p| p.press(palette));
        let srgb = palette.printed(values);
        let identity = match &press {
            Some(press) => Identity::of(sheet.coloured(&press.inks)),
            None => Identity::of(sheet.coloured(&srgb)),
        };
        let formats = Format::ALL.into_iter().filter(|f| self.makes(planned.entry, *f)).collect();
        Placed { planned, grid, sheet, values, srgb, identity, press, formats }
    }

    fn makes(&self, entry: &Entry, format: Format) -> bool {
        entry.formats.contains(&format) && self.paper.as_ref().is_none_or(|p| p.makes(format))
    }
}
