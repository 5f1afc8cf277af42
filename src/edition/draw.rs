//! Draws and writes the files of placed editions.
//!
//! Editions with the same parts, such as two spellings of one layout, are
//! drawn together: their parts are prepared once.

use std::io::{self, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::book::Book;
use super::error::MakeError;
use super::manifest::FileEntry;
use super::options::DrawOptions;
use super::planned::Planned;
use super::progress::Progress;
use super::reuse::Reuse;
use super::target::{Placed, Target};
use super::{cancel, write};
use crate::paint::png::{Form, Frame, Picture, PngError, Raster, Strip};
use crate::paint::{pdf, png, svg};
use crate::panels::{Grid, Split, split_up};
use crate::parallel::in_parallel;
use crate::range::Format;
use crate::sheet::Sheet;

/// Where files go, and what has been done.
pub struct Drawer<'a> {
    book: &'a Book,
    drawing: &'a DrawOptions,
    jobs: usize,
    split: Option<&'a Split>,
    progress: &'a Progress,
    reuse: &'a Reuse,
    files: Mutex<Vec<FileEntry>>,
    done: AtomicUsize,
    kept: AtomicUsize,
}

/// A file that was written, with the strips of pixels in it.
struct Written<'a> {
    file: write::Kept,
    strips: &'a [Strip],
}

/// Pictures still to be drawn: whose, and their files.
struct Wanted<'a> {
    placed: &'a Placed<'a>,
    targets: Vec<(Form, Frame, Target)>,
    pending: Vec<write::Pending>,
}

/// A PDF to be made.
struct Paper<'a> {
    planned: &'a Planned<'a>,
    target: Target,
    document: pdf::Document<'a>,
}

impl<'a> Paper<'a> {
    fn of(placed: &'a Placed<'a>) -> Paper<'a> {
        let document = match &placed.press {
            None => pdf::Document::screen(placed.painted()),
            Some(press) => pdf::Document::press(&placed.sheet, press),
        };
        Paper { planned: placed.planned, target: placed.pdf(), document }
    }
}

impl<'a> Drawer<'a> {
    /// With what files are drawn like, and threads that draw pictures.
    pub fn new(
        book: &'a Book,
        (drawing, jobs): (&'a DrawOptions, usize),
        split: Option<&'a Split>,
        progress: &'a Progress,
        reuse: &'a Reuse,
    ) -> Drawer<'a> {
        let (files, done, kept) = (Mutex::default(), AtomicUsize::new(0), AtomicUsize::new(0));
        Drawer { book, drawing, jobs, split, progress, reuse, files, done, kept }
    }

    /// All existing files, by name, and how many of them existed before.
    pub fn made(self) -> (Vec<FileEntry>, usize) {
        let mut files = self.files.into_inner().unwrap_or_else(PoisonError::into_inner);
        files.sort_by(|a, b| a.file.cmp(&b.file));
        (files, self.kept.into_inner())
    }

    /// Some editions at once: files of lines and words of those that are alike on a thread
    /// of their own, then those of pixels one after the other on all threads.
    ///
    /// # Errors
    /// The machine failed, or the person stopped it.
    pub fn editions(&self, placed: &[Placed<'_>]) -> Result<(), MakeError> {
        let groups: Vec<&[Placed<'_>]> = placed.chunk_by(Placed::is_like).collect();
        let results = in_parallel(&groups, |alike| self.lines(alike));
        results.into_iter().collect::<Result<(), _>>()?;
        for alike in groups {
            let pages = alike.first().map_or(0, |p| p.sheet.pages.len());
            (0..pages).try_for_each(|page| self.pixels(alike, page))?;
        }
        Ok(())
    }

    /// The files of editions that are alike, but for the pictures.
    fn lines(&self, alike: &[Placed<'_>]) -> Result<(), MakeError> {
        let with = |format: Format| alike.iter().filter(move |p| p.formats.contains(&format));
        let pages = alike.first().map_or(0, |p| p.sheet.pages.len());
        for page in 0..pages {
            let mut drawings = svg::Drawings::default();
            for placed in with(Format::Svg) {
                let words = self.drawing.words;
                self.one(placed.planned, &placed.sheet, placed.svg(page, words), || {
                    svg::svg_again(placed.painted(), page, words, &mut drawings)
                })?;
            }
        }
        self.documents(with(Format::Pdf).map(Paper::of).collect())?;
        if let Some(split) = self.split {
            for placed in alike {
                placed.grid.map_or(Ok(()), |grid| self.panels(placed, grid, split))?;
            }
        }
        Ok(())
    }

    fn panels(&self, placed: &Placed<'_>, grid: &Grid, split: &Split) -> Result<(), MakeError> {
        let planned = placed.planned;
        let grid = grid.clear_of(&placed.sheet);
        let words = (&planned.facts.look, planned.spelling);
        let panels = split_up(&placed.sheet, words, split, &grid);
        let colours = panels.palette.printed(placed.values);
        let painted = panels.coloured(&colours);
        let target = placed.panels(painted, &grid, split);
        let document = pdf::Document::screen(painted);
        self.documents(vec![Paper { planned, target, document }])
    }

    /// PDFs with the same parts, which go into those that are not there yet at once.
    fn documents(&self, papers: Vec<Paper<'_>>) -> Result<(), MakeError> {
        let mut begun = Vec::new();
        for paper in papers {
            let Paper { planned, target, document } = &paper;
            self.begin(&target.name)?;
            if !self.is_kept(planned, document.sheet, target) {
                let pending = self.book.begin(&target.name)?;
                begun.push((paper, pending));
            }
        }
        let files = begun.iter_mut().map(|(paper, pending)| {
            let out: &mut dyn Write = pending;
            (paper.document, out)
        });
        let written = pdf::write(files.collect());
        written.map_err(|e| self.failed(begun.iter().map(|(_, pending)| pending), &e))?;
        cancel::check(self.book.stop()).map_err(|_| MakeError::Stopped)?;
        for (Paper { planned, target, document }, pending) in begun {
            let kept = self.book.keep(pending)?;
            self.finished(planned, document.sheet, &target, &Written { file: kept, strips: &[] });
        }
        Ok(())
    }

    /// Which of some files the machine could not write, and why.
    fn failed<'p>(
        &self,
        files: impl IntoIterator<Item = &'p write::Pending>,
        error: &io::Error,
    ) -> MakeError {
        let failed = files.into_iter().find_map(write::Pending::failed);
        MakeError::Machine(write::trouble(failed.unwrap_or(self.book.folder()), error))
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
        cancel::check(self.book.stop()).map_err(|_| MakeError::Stopped)?;
        let kept = self.book.whole(&target.name, &bytes)?;
        self.finished(planned, sheet, &target, &Written { file: kept, strips: &[] });
        Ok(())
    }

    /// All resolutions of a page of editions that are alike, in one run of strips.
    fn pixels(&self, alike: &[Placed<'_>], page: usize) -> Result<(), MakeError> {
        let mut wanted = Vec::new();
        for placed in alike {
            wanted.extend(self.wanted(placed, page)?);
        }
        if wanted.is_empty() {
            return Ok(());
        }
        let mut rasters: Vec<(&Placed<'_>, Vec<Raster<'_>>)> = wanted
            .iter_mut()
            .map(|Wanted { placed, targets, pending }| {
                let files = pending.iter_mut().zip(targets.iter());
                let rasters =
                    files.map(|(out, (form, frame, _))| Raster { form: *form, frame: *frame, out });
                (*placed, rasters.collect())
            })
            .collect();
        let count: usize = rasters.iter().map(|(_, r)| r.len()).sum();
        let mut pictures: Vec<Picture<'_, '_>> = rasters
            .iter_mut()
            .map(|(placed, rasters)| {
                let items = &placed.identity.items[page];
                Picture { painted: placed.painted(), items, rasters }
            })
            .collect();
        let done = self.done.load(Ordering::Relaxed);
        let on_strip = |share: f64| {
            self.progress.at(done, share * count as f64);
            cancel::check(self.book.stop())
        };
        let drawn = png::png_again(&mut pictures, page, self.reuse, self.jobs, &on_strip);
        drop(pictures);
        drop(rasters);
        let strips = drawn.map_err(|e| match e {
            PngError::Io(e) => self.failed(wanted.iter().flat_map(|w| &w.pending), &e),
            PngError::Cancelled => MakeError::Stopped,
        })?;
        for (Wanted { placed, targets, pending }, strips) in wanted.into_iter().zip(&strips) {
            for ((file, (_, _, target)), strips) in pending.into_iter().zip(&targets).zip(strips) {
                let kept = self.book.keep(file)?;
                let written = Written { file: kept, strips };
                self.finished(placed.planned, &placed.sheet, target, &written);
            }
        }
        Ok(())
    }

    /// The missing pictures of a page; none if there are all.
    fn wanted<'p>(
        &self,
        placed: &'p Placed<'p>,
        page: usize,
    ) -> Result<Option<Wanted<'p>>, MakeError> {
        let mut targets = Vec::new();
        let size = placed.size();
        for form in placed.formats.iter().filter_map(|f| self.drawing.form(*f)) {
            for dpi in size.resolutions(form, &self.drawing.dpi) {
                let target = placed.picture(page, form, dpi);
                self.begin(&target.name)?;
                if !self.is_kept(placed.planned, &placed.sheet, &target) {
                    targets.push((form, size.frame(dpi), target));
                }
            }
        }
        let pending = targets
            .iter()
            .map(|(_, _, target)| self.book.begin(&target.name))
            .collect::<Result<Vec<_>, _>>()?;
        Ok((!targets.is_empty()).then_some(Wanted { placed, targets, pending }))
    }

    /// Does the file exist and show what it should?
    fn is_kept(&self, planned: &Planned<'_>, sheet: &Sheet, target: &Target) -> bool {
        let kept = self.reuse.kept(&target.name, &target.shows);
        if let Some(kept) = &kept {
            self.kept.fetch_add(1, Ordering::Relaxed);
            self.list(target.entry(planned, sheet, kept));
        }
        kept.is_some()
    }

    fn finished(
        &self,
        planned: &Planned<'_>,
        sheet: &Sheet,
        target: &Target,
        written: &Written<'_>,
    ) {
        self.reuse.add(&target.name, &target.shows, &written.file, written.strips);
        self.list(target.entry(planned, sheet, &written.file));
    }

    fn list(&self, entry: FileEntry) {
        self.files.lock().unwrap_or_else(PoisonError::into_inner).push(entry);
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    fn begin(&self, name: &str) -> Result<(), MakeError> {
        self.progress.say(name);
        self.progress.at(self.done.load(Ordering::Relaxed), 0.0);
        cancel::check(self.book.stop()).map_err(|_| MakeError::Stopped)
    }
}
