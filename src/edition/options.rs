//! What files are made like, and for which paper.

use std::path::PathBuf;

use super::book::OutputFolder;
use crate::paint::pdf::{Condition, Press};
use crate::paint::png::Form;
use crate::paint::svg::Words;
use crate::panels::Split;
use crate::press::inks::inks;
use crate::press::{Chosen, ColourMode, Origin, Print};
use crate::range::Format;
use crate::sheet::Palette;
use crate::sheet::palette::PrintValues;
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
    pub(super) fn srgb(&self) -> PrintValues {
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
    pub(super) fn makes(&self, format: Format) -> bool {
        self.chosen.paper.colour_mode() == ColourMode::Srgb || format == Format::Pdf
    }
}

impl MakeOptions {
    /// The sheet's folder; that of a paper, and of what else is asked for, beside it.
    pub fn place(&self, sheet: &str) -> OutputFolder {
        let paper = self.paper.as_ref().map(|p| format!("-{}", p.chosen.name));
        let inner = format!("{sheet}{}{}", paper.unwrap_or_default(), self.variant);
        let by = match (&self.paper, self.variant.is_empty()) {
            (Some(_), _) => "make --paper",
            (None, true) => "make",
            (None, false) => "make --style",
        };
        OutputFolder::new(&self.out, &inner, by)
    }
}
