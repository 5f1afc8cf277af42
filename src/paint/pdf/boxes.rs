//! Page boxes and crop marks.

use kurbo::Rect;

use crate::sheet::Sheet;
use crate::units::{mm_to_pt, pt_to_mm};

/// From the bleed to the near end of a crop mark, mm. Common practice, no source.
const MARK_GAP: f64 = 3.0;
/// Length of a crop mark, mm.
const MARK_LENGTH: f64 = 5.0;
/// Width of a crop mark, points.
const MARK_WIDTH_PT: f64 = 0.25;
/// White outside the crop marks, mm.
const EDGE: f64 = 1.0;

/// The boxes of a page (ISO 32000-1, 14.11.2), in mm from the top left corner of the trim.
pub struct Boxes {
    pub media: Rect,
    pub bleed: Rect,
    pub trim: Rect,
}

impl Boxes {
    pub fn new(sheet: &Sheet) -> Boxes {
        let trim = Rect::new(0.0, 0.0, sheet.width, sheet.height);
        let bleed = trim.inflate(sheet.bleed, sheet.bleed);
        let margin = if sheet.bleed > 0.0 { MARK_GAP + MARK_LENGTH + EDGE } else { 0.0 };
        Boxes { media: bleed.inflate(margin, margin), bleed, trim }
    }

    /// Is there anything outside the trim?
    pub fn marked(&self) -> bool {
        self.media != self.trim
    }

    /// The matrix from page millimetres, y down, to points from the lower left corner of the media box.
    pub fn to_points(&self) -> [f64; 6] {
        let k = mm_to_pt(1.0);
        [k, 0.0, 0.0, -k, mm_to_pt(-self.media.x0), mm_to_pt(self.media.y1)]
    }

    /// A box in points: left, bottom, right, top.
    pub fn in_points(&self, part: Rect) -> [f64; 4] {
        [
            part.x0 - self.media.x0,
            self.media.y1 - part.y1,
            part.x1 - self.media.x0,
            self.media.y1 - part.y0,
        ]
        .map(mm_to_pt)
    }

    /// Two marks at each corner of the trim, as thin rectangles outside the bleed.
    pub fn marks(&self) -> Vec<Rect> {
        if !self.marked() {
            return Vec::new();
        }
        let half = pt_to_mm(MARK_WIDTH_PT) / 2.0;
        let (near, far) = (MARK_GAP, MARK_GAP + MARK_LENGTH);
        let (trim, bleed) = (self.trim, self.bleed);
        let mut marks = Vec::new();
        for y in [trim.y0, trim.y1] {
            marks.push(Rect::new(bleed.x0 - far, y - half, bleed.x0 - near, y + half));
            marks.push(Rect::new(bleed.x1 + near, y - half, bleed.x1 + far, y + half));
        }
        for x in [trim.x0, trim.x1] {
            marks.push(Rect::new(x - half, bleed.y0 - far, x + half, bleed.y0 - near));
            marks.push(Rect::new(x - half, bleed.y1 + near, x + half, bleed.y1 + far));
        }
        marks
    }
}
