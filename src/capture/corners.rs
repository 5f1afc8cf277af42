//! A picture without marks: where the corners of a rectangle are is given, and all else follows from them.

use crate::capture::fault::Fault;
use crate::capture::lens::{Frame, Lens, Tie};
use crate::capture::page::StagePage;
use crate::capture::picture::Picture;
use crate::capture::plane::Plane;

/// The corners of the page in the picture, in pixels of the picture as it is shown: top left, top right, bottom
/// right, bottom left.
pub type Corners = [(f64, f64); 4];

/// How exactly corners are given, in pixels.
const EXACT: f64 = 1.0;

/// The page's plane from its corners: a homography without distortion.
///
/// # Errors
/// [`Fault::Corners`] where they are not in the picture, or do not go round as the page's corners do.
pub fn plane(picture: &Picture, corners: &Corners, page: &StagePage) -> Result<Plane, Fault> {
    let (width, height) = (picture.width() as f64, picture.height() as f64);
    let inside = |(x, y): &(f64, f64)| (0.0..=width).contains(x) && (0.0..=height).contains(y);
    let fault = || Fault::Corners((picture.width(), picture.height()));
    if !corners.iter().all(inside) || !goes_round(corners) {
        return Err(fault());
    }
    let (w, h) = page.size;
    let printed = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
    let tie = |(page, pixel)| Tie { page, pixel, sigma: EXACT, weight: 1.0 };
    let ties: Vec<Tie> = printed.into_iter().zip(*corners).map(tie).collect();
    let frame = Frame {
        origin: (w / 2.0, h / 2.0),
        page_unit: 0.5 * w.hypot(h).max(1.0),
        middle: (width / 2.0, height / 2.0),
        picture_unit: 0.5 * width.hypot(height),
    };
    let lens = Lens::straight(frame, &ties).ok_or_else(fault)?;
    Ok(Plane { lens, dots: Vec::new(), rms: 0.0 })
}

/// Whether four corners are those of a convex figure, clockwise as a picture is seen.
fn goes_round(corners: &Corners) -> bool {
    (0..4).all(|i| {
        let (a, b, c) = (corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]);
        (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0) > 1.0
    })
}
