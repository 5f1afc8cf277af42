//! Pictures of parts that a sheet shows in place of its drawings.

use std::collections::BTreeMap;
use std::sync::Arc;

use getset::{CopyGetters, Getters};
use kurbo::Rect;

use super::model::{ColourId, PartId};
use crate::diag::{Located, Span};
use crate::graphic::Rgb;
use crate::image::Image;

/// A picture of a part in a colour.
#[derive(Debug, Clone, Getters, CopyGetters)]
pub struct PartPicture {
    /// Its file, in the folder of pictures.
    #[getset(get = "pub")]
    pub(super) file: String,
    /// Where it is named: in the table, or where the sheet names the folder.
    #[getset(get = "pub")]
    pub(super) span: Option<Span>,
    #[getset(get = "pub")]
    pub(super) image: Image,
    /// Where the whole image is at true size, mm, from the middle of the part's extent.
    #[getset(get_copy = "pub")]
    pub(super) frame: Rect,
    /// The value of the part's flat face: that of its colour.
    #[getset(get_copy = "pub")]
    pub(super) flat: Rgb,
    /// Colours that all of the image's lie among, see [`nodes`](crate::image::nodes).
    #[getset(get = "pub")]
    pub(super) nodes: Vec<Rgb>,
}

impl PartPicture {
    /// Its resolution where the part is shown at a scale, dots per inch: the lesser of both ways.
    pub fn dpi(&self, scale: f64) -> f64 {
        let per_mm = |pixels: u32, mm: f64| f64::from(pixels) / (mm * scale);
        let (width, height) = (self.image.width, self.image.height);
        let least = per_mm(width, self.frame.width()).min(per_mm(height, self.frame.height()));
        least * crate::units::MM_PER_INCH
    }
}

/// All pictures of a sheet.
#[derive(Debug, Clone, Default, Getters)]
#[getset(get = "pub")]
pub struct Pictures {
    /// Their folder, a path inside the sheet's.
    pub(super) folder: Located<String>,
    pub(super) by_sample: BTreeMap<(PartId, ColourId), Arc<PartPicture>>,
}

impl Pictures {
    /// The picture of a part in a colour.
    pub fn of(&self, part: PartId, colour: ColourId) -> Option<&Arc<PartPicture>> {
        self.by_sample.get(&(part, colour))
    }

    /// Keeps those of some parts, which go by other numbers: `moved[part]`.
    pub(super) fn keep(&mut self, moved: &[Option<PartId>]) {
        let all = std::mem::take(&mut self.by_sample).into_iter();
        let kept = all.filter_map(|((part, colour), p)| Some(((moved[part.0]?, colour), p)));
        self.by_sample = kept.collect();
    }
}
