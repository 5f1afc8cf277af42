//! Finding the code that says which page is in a photograph.

use fast_image_resize::images::TypedImage;
use fast_image_resize::pixels::U8;
use fast_image_resize::{FilterType, ImageView, ResizeAlg, ResizeOptions, Resizer};
use rqrr::PreparedImage;

use crate::capture::fault::Fault;
use crate::capture::picture::Picture;
use crate::capture::soft;

/// A picture in grey.
type Grey = TypedImage<'static, U8>;

/// What every page's code begins with.
const MARK: &str = "SC1:";

/// The longer edges of the pictures that are searched, in pixels, in this order.
const EDGES: [u32; 3] = [1600, 2600, 1000];
/// The largest picture that is searched.
const LARGEST: u32 = 6000;
/// Looks after a code was found.
const LOOKS_AFTER: usize = 3;

/// Finder patterns a picture may have before it is not searched further: a code has three.
const MOST_CODES: usize = 32;

/// The code of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// What it says.
    pub text: String,
    /// Its corners in pixels: top left, top right, bottom right, bottom left, as printed.
    pub corners: [(f64, f64); 4],
    /// About how exact the corners are, in pixels.
    pub sigma: f64,
}

/// Finds the code of the page in a photograph, which way round it may be.
///
/// # Errors
/// [`Fault::NoCode`] or, where that may be the reason, [`Fault::Soft`]; [`Fault::SeveralCodes`] where
/// there are several pages.
pub fn find_code(picture: &Picture) -> Result<Found, Fault> {
    let longest = picture.width().max(picture.height()) as u32;
    let greys = Greys::of(picture);
    let mut found: Vec<Found> = Vec::new();
    // Looks that are left: once there is a code, two more, for a second sheet that is harder to see.
    let mut left = usize::MAX;
    let mut faint = 0.0f64;
    for (edge, level) in looks(longest) {
        if left == 0 {
            break;
        }
        let Some(image) = greys.reduced(edge, level) else { continue };
        let (codes, largest) = codes_in(&image, longest);
        faint = faint.max(largest);
        for code in codes {
            if !found.iter().any(|f| f.is(&code)) {
                found.push(code);
            }
        }
        left = if left == usize::MAX && !found.is_empty() { LOOKS_AFTER } else { left };
        left = left.saturating_sub(usize::from(left != usize::MAX));
    }
    match (found.pop(), found.len()) {
        (None, _) => Err(soft::fault(picture).unwrap_or(if faint > 0.0 {
            Fault::FaintCode(faint)
        } else {
            Fault::NoCode
        })),
        (Some(code), 0) => Ok(code),
        (Some(_), others) => Err(Fault::SeveralCodes(others + 1)),
    }
}

/// What is searched: longer edges, and whether evened out, in this order.
fn looks(longest: u32) -> Vec<(u32, bool)> {
    let mut edges: Vec<u32> = EDGES.iter().copied().filter(|edge| *edge < longest).collect();
    // At the end larger than it is: codes with two pixels a module are read so.
    edges.extend([longest.min(LARGEST), (longest + longest / 2).min(LARGEST)]);
    edges.dedup();
    edges.iter().flat_map(|edge| [(*edge, false), (*edge, true)]).collect()
}

impl Found {
    /// Whether another is the same code, found again: its middle lies in this one.
    fn is(&self, other: &Found) -> bool {
        let (a, b) = (self.middle(), other.middle());
        let reach = (self.corners[0].0 - a.0).hypot(self.corners[0].1 - a.1);
        (a.0 - b.0).hypot(a.1 - b.1) < reach
    }

    fn middle(&self) -> (f64, f64) {
        let [a, b, c, d] = self.corners;
        ((a.0 + b.0 + c.0 + d.0) / 4.0, (a.1 + b.1 + c.1 + d.1) / 4.0)
    }

    /// Whether the corners go round as printed: a mirrored code is no page.
    fn goes_round(&self) -> bool {
        let [a, b, c, d] = self.corners;
        let turn = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| {
            (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0) > 1.0
        };
        turn(a, b, c) && turn(b, c, d) && turn(c, d, a) && turn(d, a, b)
    }
}

/// A picture in greys.
struct Greys {
    image: Grey,
}

impl Greys {
    fn of(picture: &Picture) -> Greys {
        let (width, height) = (picture.width(), picture.height());
        let mut data = Vec::with_capacity(width * height);
        for y in 0..height {
            data.extend((0..width).map(|x| U8::new(picture.grey(x, y))));
        }
        let empty = || Grey::new(1, 1);
        let image = Grey::from_pixels(width as u32, height as u32, data);
        Greys { image: image.unwrap_or_else(|_| empty()) }
    }

    /// Made smaller, so that the longer edge has as many pixels; and evened out, if wished: divided by
    /// what a much smaller picture has at the place.
    fn reduced(&self, edge: u32, level: bool) -> Option<Grey> {
        let longest = self.image.width().max(self.image.height()).max(1);
        let part = |length: u32, edge: u32| {
            (u64::from(length) * u64::from(edge) / u64::from(longest)).max(1) as u32
        };
        let size = |edge| (part(self.image.width(), edge), part(self.image.height(), edge));
        let mut image = resized(&self.image, size(edge))?;
        if level {
            let ground = resized(&resized(&image, size(24.min(edge)))?, size(edge))?;
            for (v, g) in image.pixels_mut().iter_mut().zip(ground.pixels()) {
                v.0 = (u32::from(v.0) * 160 / u32::from(g.0).max(8)).min(255) as u8;
            }
        }
        Some(image)
    }
}

fn resized(image: &Grey, (width, height): (u32, u32)) -> Option<Grey> {
    let mut out = Grey::new(width, height);
    let filter = ResizeAlg::Convolution(FilterType::Bilinear);
    let options = ResizeOptions::new().resize_alg(filter);
    // Of one kind of pixels: code for all of them takes a minute to build.
    Resizer::new().resize_typed(image, &mut out, &options).ok()?;
    Some(out)
}

/// The pages' codes in a picture that was made of one with `longest` pixels, and the edge in pixels of
/// the largest that is there but cannot be read.
fn codes_in(image: &Grey, longest: u32) -> (Vec<Found>, f64) {
    let (width, height) = (image.width() as usize, image.height() as usize);
    let data = image.pixels();
    let grey = |x: usize, y: usize| data.get(y * width + x).map_or(255, |pixel| pixel.0);
    let mut prepared = PreparedImage::prepare_from_greyscale(width, height, grey);
    let scale = f64::from(longest) / width.max(height).max(1) as f64;
    let (mut found, mut faint) = (Vec::new(), 0.0f64);
    for grid in prepared.detect_grids().into_iter().take(MOST_CODES) {
        let Ok((_, text)) = grid.decode() else {
            let [a, b, ..] = grid.bounds.map(|p| (f64::from(p.x), f64::from(p.y)));
            faint = faint.max((a.0 - b.0).hypot(a.1 - b.1) * scale);
            continue;
        };
        if !text.starts_with(MARK) {
            continue;
        }
        let corner =
            |p: rqrr::Point| ((f64::from(p.x) + 0.5) * scale, (f64::from(p.y) + 0.5) * scale);
        let code = Found { text, corners: grid.bounds.map(corner), sigma: 1.2 * scale.max(1.0) };
        if code.goes_round() {
            found.push(code);
        }
    }
    (found, faint)
}
