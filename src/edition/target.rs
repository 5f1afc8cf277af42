//! One file to be made: its name, what it shows, and how the manifest lists it.

use super::manifest::FileEntry;
use super::options::DrawOptions;
use super::planned::Planned;
use super::size::Size;
use super::variant::Variant;
use super::write;
use crate::paint::pdf::{Condition, Press};
use crate::paint::png::{Form, Frame};
use crate::paint::svg::Words;
use crate::panels::{Grid, Split};
use crate::range::Format;
use crate::sheet::identity::{Digest, Digester, Identity};
use crate::sheet::palette::PrintValues;
use crate::sheet::{Coloured, PaletteMap, Rgb, Sheet};
use crate::units::Dpi;

/// A variant with its positions, and what they are known by.
pub struct Placed<'a> {
    pub planned: &'a Planned<'a>,
    pub grid: Option<&'a Grid>,
    pub sheet: Sheet,
    /// What is printed in place of published values.
    pub values: &'a PrintValues,
    /// Its palette on screens, or for a printer that accepts sRGB.
    pub srgb: PaletteMap<Rgb>,
    /// Of what is made: in sRGB, or in the inks of the press.
    pub identity: Identity,
    /// What a press prints, where the PDF is for one.
    pub press: Option<Press>,
    pub formats: Vec<Format>,
}

/// One file to be made.
pub struct Target {
    pub name: String,
    format: Format,
    /// Page number from 0, where a file has one page.
    page: Option<usize>,
    /// Size of a picture.
    pub frame: Option<Frame>,
    panels: Option<[usize; 2]>,
    pub shows: Digest,
}

impl Target {
    /// How the manifest lists it, once it exists.
    pub fn entry(&self, planned: &Planned<'_>, sheet: &Sheet, kept: &write::Kept) -> FileEntry {
        let pages = sheet.pages.len();
        let bleed = self.frame.map(|f| f.canvas.bleed).filter(|bleed| *bleed > 0.0);
        FileEntry {
            file: self.name.clone(),
            edition: planned.variant.name().to_owned(),
            spelling: planned.variant.tag.to_owned(),
            format: self.format.word().to_owned(),
            bytes: kept.bytes,
            sha256: kept.sha256.clone(),
            page_mm: [sheet.width, sheet.height],
            scale: planned.plan.scale,
            page: self.page.filter(|_| pages > 1).map(|p| [p + 1, pages]),
            panels: self.panels,
            pixels: self.frame.map(|f| [f.width, f.height]),
            dpi: self.frame.map(|f| f.dpi.get()),
            bleed_mm: bleed,
        }
    }
}

impl Placed<'_> {
    /// Do the files of both begin alike: with the same parts, in the same inks?
    pub fn is_like(&self, other: &Placed<'_>) -> bool {
        self.identity.parts == other.identity.parts
    }

    /// How large its pictures are.
    pub fn size(&self) -> Size {
        Size::of(self.planned.variant.edition, &self.planned.plan)
    }

    /// The sheet in sRGB.
    pub fn painted(&self) -> Coloured<'_, Rgb> {
        self.sheet.coloured(&self.srgb)
    }

    /// A page as SVG; its words as outlines or as text.
    pub fn svg(&self, page: usize, words: Words) -> Target {
        let name = svg_ending(words);
        let kind = match words {
            Words::Text => "svg",
            Words::Outlines => "outlines",
        };
        let shows = shows(kind, &self.identity.whole, Some(page), &[], None);
        self.target(Format::Svg, (Some(page), name), None, shows)
    }

    /// All pages as PDF.
    pub fn pdf(&self) -> Target {
        let shows = shows("pdf", &self.identity.whole, None, &[], self.press.as_ref());
        self.target(Format::Pdf, (None, "pdf"), None, shows)
    }

    /// A page as a picture.
    pub fn picture(&self, page: usize, form: Form, dpi: Dpi) -> Target {
        let frame = self.size().frame(dpi);
        let (format, quality) = match form {
            Form::Png => (Format::Png, 0),
            Form::Jpeg { quality } => (Format::Jpeg, quality),
            Form::Tiff => (Format::Tiff, 0),
        };
        let size = [dpi.get(), frame.width, frame.height, quality.into()];
        let shows = shows(format.word(), &self.identity.whole, Some(page), &size, None);
        self.target(format, (Some(page), &picture_ending(form, dpi)), Some(frame), shows)
    }

    /// All pages cut into panels, which are `panels`.
    pub fn panels(&self, panels: Coloured<'_, Rgb>, grid: &Grid, split: &Split) -> Target {
        let (rows, columns) = grid.size();
        Target {
            name: panels_name(self.planned.variant, split),
            format: Format::Pdf,
            page: None,
            frame: None,
            panels: Some([rows, columns]),
            shows: shows("pdf", &Identity::of(panels).whole, None, &[], None),
        }
    }

    /// A file of one page or of all, by how its name ends.
    fn target(
        &self,
        format: Format,
        (page, ending): (Option<usize>, &str),
        frame: Option<Frame>,
        shows: Digest,
    ) -> Target {
        let name = file_name(self.planned.variant, self.sheet.pages.len(), page, ending);
        Target { name, format, page, frame, panels: None, shows }
    }
}

/// What a file of a sheet shows.
fn shows(
    format: &str,
    sheet: &Digest,
    page: Option<usize>,
    size: &[u32],
    press: Option<&Press>,
) -> Digest {
    let mut digester = Digester::new(format);
    digester.digest(sheet);
    digester.number(page.map_or(0, |p| p as u64 + 1));
    size.iter().for_each(|n| digester.number((*n).into()));
    if let Some(Press { condition, .. }) = press {
        let Condition { identifier, info, registry, profile } = condition;
        [identifier, info].into_iter().chain(registry).for_each(|t| digester.text(t));
        digester.bytes(profile);
    }
    digester.done()
}

/// `a4.en-GB.svg`; `a4-pages.en-GB.p2.svg` where there are several pages.
fn file_name(variant: Variant<'_>, pages: usize, page: Option<usize>, ending: &str) -> String {
    let stem = variant.stem();
    match page {
        Some(page) if pages > 1 => format!("{stem}.p{}.{ending}", page + 1),
        _ => format!("{stem}.{ending}"),
    }
}

fn svg_ending(words: Words) -> &'static str {
    match words {
        Words::Text => "svg",
        Words::Outlines => "outlines.svg",
    }
}

fn picture_ending(form: Form, dpi: Dpi) -> String {
    let ending = match form {
        Form::Png => "png",
        Form::Jpeg { .. } => "jpg",
        Form::Tiff => "tif",
    };
    format!("{dpi}.{ending}")
}

fn panels_name(variant: Variant<'_>, split: &Split) -> String {
    format!("{}.panels-{}.pdf", variant.stem(), split.desk().word())
}

/// The names of the files of a variant before anything is drawn, and those of pages and panels that
/// earlier runs may have made of it.
pub struct Names<'a> {
    pub variant: Variant<'a>,
    pub pages: usize,
    pub formats: Vec<Format>,
    pub size: Size,
    pub drawing: &'a DrawOptions,
    /// How pages are cut, and whether they are.
    pub split: Option<(&'a Split, bool)>,
}

impl Names<'_> {
    /// Endings of the files that are made of each page.
    fn of_pages(&self) -> Vec<String> {
        let each = |format: &Format| match format {
            Format::Svg => vec![svg_ending(self.drawing.words).to_owned()],
            Format::Pdf => Vec::new(),
            Format::Png | Format::Jpeg | Format::Tiff => {
                let form = self.drawing.form(*format);
                let of = |form| {
                    let dpi = self.size.resolutions(form, &self.drawing.dpi);
                    dpi.into_iter().map(move |dpi| picture_ending(form, dpi)).collect()
                };
                form.map(of).unwrap_or_default()
            }
        };
        self.formats.iter().flat_map(each).collect()
    }

    /// Every file that will be made.
    pub fn all(&self) -> Vec<String> {
        let mut out = Vec::new();
        for ending in self.of_pages() {
            out.extend(
                (0..self.pages).map(|p| file_name(self.variant, self.pages, Some(p), &ending)),
            );
        }
        if self.formats.contains(&Format::Pdf) {
            out.push(file_name(self.variant, self.pages, None, "pdf"));
        }
        out.extend(self.split.filter(|(_, cut)| *cut).map(|(t, _)| panels_name(self.variant, t)));
        out
    }

    /// Is it a file of a page or of panels no longer needed?
    pub fn is_stale(&self, name: &str) -> bool {
        let stem = self.variant.stem() + ".";
        let Some(rest) = name.strip_prefix(&stem).filter(|_| !self.all().iter().any(|n| n == name))
        else {
            return false;
        };
        let number = |n: &str| n.bytes().all(|b| b.is_ascii_digit());
        let page = rest.strip_prefix('p').and_then(|rest| rest.split_once('.'));
        let ending = page.filter(|(n, _)| number(n)).map_or(rest, |(_, ending)| ending);
        let panels = self.split.is_some_and(|(t, _)| panels_name(self.variant, t) == name);
        panels || self.of_pages().iter().any(|e| e == ending)
    }
}
