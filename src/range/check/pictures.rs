//! The pictures of a sheet: found in their folder, read, and held against the outlines of their parts.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use kurbo::{Point, Rect, Size};

use super::index::Index;
use super::picture_table::{self, Row, Rows, TABLE};
use crate::diag::{Diagnostic, Findings, Located, Sources, Span, nearest};
use crate::files::Files;
use crate::graphic::Rgb;
use crate::image::{self, Image, Light, Pixels};
use crate::limits::{self, Limits};
use crate::parallel::in_parallel;
use crate::range::{ColourId, ColourRange, PartId, PartPicture, Pictures, SheetSpec};
use crate::read::file::read_bytes;
use crate::read::{inside, outside};

/// How much larger or smaller than its outline a part may be in its picture.
const MOST_OFF: f64 = 0.03;

/// Reads the pictures of all parts that the sheet shows.
pub fn read(
    folder: Located<String>,
    sheet: &SheetSpec,
    (range, index): (&ColourRange, &Index),
    sources: &mut Sources,
    findings: &mut Findings,
) -> Pictures {
    let none = |folder| Pictures { folder, by_sample: BTreeMap::new() };
    let within = sheet.file.parent().unwrap_or(Path::new(""));
    let files = sources.session.files.clone();
    let path = match found(within, &folder, &files) {
        Ok(path) => path,
        Err(fault) => {
            findings.push(fault);
            return none(folder);
        }
    };
    let names: BTreeSet<String> = files.listed(&path).into_iter().collect();
    let rows = match names.contains(TABLE) {
        true => picture_table::read(&path.join(TABLE), index, sources, findings),
        false => Rows::new(),
    };
    strays(&folder, (&names, &rows), index, findings);
    // After an error there may be other parts and colours than these.
    if findings.failed() {
        return none(folder);
    }
    let folder = PictureFolder { path: &path, name: folder, names: &names, rows: &rows };
    let wanted = folder.wanted(sheet, range, sources, findings);
    let (limits, work) = (sources.session.limits, &sources.session.work);
    let light = Light::default();
    let read = in_parallel(&wanted, |one| {
        // A run that is asked to stop shows nothing of what it ends with.
        (!work.is_stopped()).then(|| one.picture(range, &limits, &light))
    });
    let mut by_sample = BTreeMap::new();
    for (one, picture) in wanted.iter().zip(read) {
        match picture {
            Some(Ok(picture)) => drop(by_sample.insert(one.sample, Arc::new(picture))),
            Some(Err(fault)) => findings.push(fault.at(one.span.clone())),
            None => break,
        }
    }
    Pictures { folder: folder.name, by_sample }
}

/// The folder of pictures.
fn found(within: &Path, folder: &Located<String>, files: &Files) -> Result<PathBuf, Diagnostic> {
    let span = || folder.span.clone();
    let path = inside(within, folder, files).ok_or_else(|| outside(folder, span()))?;
    if !files.exists(&path) {
        let message = format!("there is no folder '{}'", path.display());
        return Err(Diagnostic::error("no-such-folder", message)
            .at(span())
            .help("make the folder and put the pictures in it, or remove 'pictures'"));
    }
    if !files.is_folder(&path) {
        let message = format!("'{}' is not a folder", path.display());
        return Err(Diagnostic::error("not-a-folder", message)
            .at(span())
            .help("name the folder that the pictures are in"));
    }
    Ok(path)
}

/// Pictures that are of no part of the range, in one message.
fn strays(
    folder: &Located<String>,
    (names, rows): (&BTreeSet<String>, &Rows),
    index: &Index,
    findings: &mut Findings,
) {
    let listed: BTreeSet<&str> = rows.values().filter_map(|row| row.file.as_deref()).collect();
    let keys = |name: &str| {
        let stem = name.strip_suffix(".png")?;
        let (part, colour) = stem.split_once('.').unwrap_or((stem, ""));
        match (index.parts.holds(part), index.colours.holds(colour)) {
            (true, true) => None,
            (false, _) => Some((part.to_owned(), &index.parts)),
            (true, false) => Some((colour.to_owned(), &index.colours)),
        }
    };
    let others = names.iter().filter(|name| !listed.contains(name.as_str()));
    let mut strays = others.filter_map(|name| Some((name, keys(name)?)));
    let Some((name, (lost, keys))) = strays.next() else { return };
    let more = match strays.count() {
        0 => String::new(),
        n => format!(" (and {n} more)"),
    };
    let help = match nearest(&lost, keys.all()) {
        Some(near) => format!("did you mean '{near}'? Then rename it"),
        None => "rename it to PART.COLOUR.png, with the keys of both, or remove it".to_owned(),
    };
    let message = format!("'{folder}/{name}'{more} is of no part and colour of the range");
    let warning = Diagnostic::warning("unknown-picture", message);
    findings.push(warning.at(folder.span.clone()).help(help));
}

/// The folder and what is in it.
struct PictureFolder<'a> {
    path: &'a Path,
    name: Located<String>,
    names: &'a BTreeSet<String>,
    rows: &'a Rows,
}

/// A picture that is there, and what is said of it.
struct Wanted<'a> {
    sample: (PartId, ColourId),
    file: String,
    /// With its folder, as the sheet names it.
    shown: String,
    row: Option<&'a Row>,
    span: Option<Span>,
    bytes: Arc<[u8]>,
}

impl<'a> PictureFolder<'a> {
    /// The files of all samples that the sheet shows, as far as there are pictures of them.
    fn wanted(
        &self,
        sheet: &SheetSpec,
        range: &ColourRange,
        sources: &mut Sources,
        findings: &mut Findings,
    ) -> Vec<Wanted<'a>> {
        let colours: BTreeSet<ColourId> =
            sheet.families.iter().flat_map(|f| &f.rows).copied().collect();
        let parts = || (0..range.parts.len()).map(PartId);
        let all = colours.into_iter().flat_map(|c| parts().map(move |p| (p, c)));
        let mut bytes = 0;
        let mut out = Vec::new();
        for sample in all.filter(|(part, colour)| range.is_made(*colour, *part)) {
            let Some(one) = self.one(sample, range, sources).transpose() else { continue };
            match one {
                Ok(one) => {
                    bytes += one.bytes.len();
                    out.push(one);
                }
                Err(fault) => findings.push(fault),
            }
            let limits = sources.session.limits;
            if bytes > limits.most(limits::PICTURES) {
                let most = limits.megabytes(limits::PICTURES);
                let message = format!("the pictures in '{}' are larger than {most} MB", self.name);
                findings.push(
                    Diagnostic::error("pictures-too-large", message)
                        .at(self.name.span.clone())
                        .help(
                            limits.or_raise("save them smaller: 400 dpi are enough for any print"),
                        ),
                );
                return Vec::new();
            }
        }
        out
    }

    /// The file of a sample.
    fn one(
        &self,
        sample: (PartId, ColourId),
        range: &ColourRange,
        sources: &mut Sources,
    ) -> Result<Option<Wanted<'a>>, Diagnostic> {
        let (part, colour) = (range.part(sample.0).key(), range.colour(sample.1).key());
        let usual = format!("{part}.{colour}.png");
        let row = self.rows.get(&sample);
        if row.is_none() && !self.names.contains(&usual) {
            return Ok(None);
        }
        let span = row.map_or(&self.name.span, |row| &row.span).clone();
        let file = row.and_then(|row| row.file.clone()).unwrap_or(usual);
        let shown = format!("{}/{file}", self.name);
        let path = inside(self.path, &file, &sources.session.files);
        let path = path.ok_or_else(|| outside(&file, span.clone()))?;
        let bytes = read_bytes(&path, span.clone(), &sources.session)?;
        Ok(Some(Wanted { sample, file, shown, row, span, bytes: bytes.into() }))
    }
}

impl Wanted<'_> {
    fn picture(
        &self,
        range: &ColourRange,
        limits: &Limits,
        light: &Light,
    ) -> Result<PartPicture, Diagnostic> {
        let pixels = self.pixels(limits)?;
        let extent = range.part(self.sample.0).shape().extent.size();
        let frame = self.frame(&pixels, extent)?;
        let flat: Rgb = range.colour(self.sample.1).rgb();
        Ok(PartPicture {
            file: self.file.clone(),
            span: self.span.clone(),
            image: Image::new(Arc::clone(&self.bytes), &pixels),
            frame,
            flat,
            nodes: image::nodes(flat, &pixels, light),
        })
    }

    fn pixels(&self, limits: &Limits) -> Result<Pixels, Diagnostic> {
        let shown = &self.shown;
        image::decode(&self.bytes, limits.most(limits::PICTURE)).map_err(|fault| match fault {
            image::Fault::NotPng => {
                Diagnostic::error("not-a-picture", format!("'{shown}' is not a PNG picture"))
                    .help("save it as PNG, with a transparent ground")
            }
            image::Fault::Broken(said) => {
                let message = format!("'{shown}' cannot be read as a PNG picture: {said}");
                Diagnostic::error("not-a-picture", message).help("save it again as PNG")
            }
            image::Fault::TooLarge(count) => {
                let most = limits.most(limits::PICTURE);
                let message = format!("'{shown}' has {count} pixels, more than {most}");
                let way_out = "save it smaller: 400 dpi are enough for any print";
                let count = usize::try_from(count).unwrap_or(usize::MAX);
                let help = limits.or_raise_to(way_out, limits::PICTURE, count);
                Diagnostic::error("picture-too-large", message).help(help)
            }
        })
    }

    /// Where the whole picture is, mm from the middle of the part, whose extent has this size.
    fn frame(&self, pixels: &Pixels, extent: Size) -> Result<Rect, Diagnostic> {
        let shown = &self.shown;
        let seen = pixels.seen().ok_or_else(|| {
            Diagnostic::error("empty-picture", format!("nothing in '{shown}' is opaque"))
                .help("save the part with a transparent ground, and the part itself opaque")
        })?;
        let (width, height) = (f64::from(pixels.width), f64::from(pixels.height));
        let (wide, tall) = self.row.map_or((None, None), |row| (row.width, row.height));
        let pixel = match (wide, tall) {
            (Some(wide), Some(tall)) => (wide / width, tall / height),
            (Some(wide), None) => (wide / width, wide / width),
            (None, Some(tall)) => (tall / height, tall / height),
            (None, None) => (extent.width / seen.width(), extent.width / seen.width()),
        };
        let size = Size::new(seen.width() * pixel.0, seen.height() * pixel.1);
        if off(size.width, extent.width, pixel.0) || off(size.height, extent.height, pixel.1) {
            let message = format!(
                "the part in '{shown}' is {:.2} x {:.2} mm, its outline {:.2} x {:.2} mm",
                size.width, size.height, extent.width, extent.height
            );
            return Err(Diagnostic::error("picture-size", message).help(format!(
                "cut the part out along its outline, and give the picture's size in '{TABLE}': width_mm and height_mm"
            )));
        }
        let middle = seen.center();
        let middle = Point::new(middle.x * pixel.0, middle.y * pixel.1);
        let centre = self.row.and_then(|row| row.centre).unwrap_or(middle);
        let whole = Rect::new(0.0, 0.0, width * pixel.0, height * pixel.1);
        if !whole.contains(centre) {
            let message = format!(
                "the centre at {:.2}, {:.2} mm is outside of '{shown}', which is {:.2} x {:.2} mm",
                centre.x,
                centre.y,
                whole.width(),
                whole.height()
            );
            return Err(Diagnostic::error("picture-centre", message).help(
                "give the middle of the part's outline, in mm from the picture's top left corner",
            ));
        }
        Ok(whole - centre.to_vec2())
    }
}

/// Is a length not that of the outline? A pixel more or less is not seen.
fn off(length: f64, outline: f64, pixel: f64) -> bool {
    (length - outline).abs() > (MOST_OFF * outline).max(pixel)
}
