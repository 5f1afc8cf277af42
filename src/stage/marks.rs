//! Marks by which a photograph of a page is read: dots, neutral patches and a square code.

use sha2::{Digest, Sha256};

use super::measures::rounded;
use crate::capture::page::{Patch, Rect, StagePage};
use crate::supplies::Naming;

/// A dot's radius, and from the page's edge to the middle of the outermost dots, mm.
pub const DOT: f64 = 1.25;
pub const EDGE: f64 = 6.0;
/// How far dots of a line are apart, about, mm.
const APART: f64 = 18.0;
/// sRGB bytes of the neutral patches.
const GREYS: [u8; 6] = [230, 190, 150, 110, 70, 26];
/// A patch's side, and from patch to patch, mm.
const PATCH: f64 = 7.0;
const PATCH_STEP: f64 = 9.0;
/// Digits of the hash in a code.
const DIGITS: usize = 10;
/// Letters of a release in a code: a square code of that size stays coarse.
const MOST_RELEASE: usize = 12;

/// Places of dots from one end to the other, both included, evenly.
pub fn along(from: f64, to: f64) -> Vec<f64> {
    let steps = ((to - from) / APART).round().max(1.0);
    (0..=steps as usize).map(|i| rounded(from + (to - from) * i as f64 / steps)).collect()
}

/// Dots along the edges of a page.
pub fn around((width, height): (f64, f64)) -> Vec<(f64, f64)> {
    let across = along(EDGE, width - EDGE);
    let down = along(EDGE, height - EDGE);
    let rows = [EDGE, rounded(height - EDGE)].into_iter();
    let mut dots: Vec<(f64, f64)> =
        rows.flat_map(|y| across.iter().map(move |x| (*x, y)).collect::<Vec<_>>()).collect();
    let between = &down[1..down.len() - 1];
    dots.extend(between.iter().flat_map(|y| [(EDGE, *y), (rounded(width - EDGE), *y)]));
    dots
}

/// Neutral patches in a row, by the row's right end and its foot.
pub fn patches((right, foot): (f64, f64)) -> Vec<Patch> {
    let left = right - PATCH_STEP * (GREYS.len() - 1) as f64 - PATCH;
    let patch = |(i, grey): (usize, &u8)| {
        let left = rounded(left + PATCH_STEP * i as f64);
        let rect = Rect { left, top: rounded(foot - PATCH), width: PATCH, height: PATCH };
        Patch { rect, grey: *grey }
    };
    GREYS.iter().enumerate().map(patch).collect()
}

/// The pages with their codes: which sheet, page and release each is of. The first digits are a hash of all
/// that is on the page, so a page of another layout is not mistaken for it.
pub fn marked(mut pages: Vec<StagePage>, naming: &Naming<'_>) -> Vec<StagePage> {
    let release = naming.spelling.apply(naming.range.release());
    let plain = |c: &char| c.is_ascii_alphanumeric() || " .-".contains(*c);
    let release: String = release.chars().filter(plain).take(MOST_RELEASE).collect();
    let count = pages.len();
    for (number, page) in pages.iter_mut().enumerate() {
        // Numbers and texts always serialise.
        let bytes = serde_json::to_vec(&page).unwrap_or_default();
        let hash = Sha256::digest(&bytes);
        let hash: String = hash.iter().map(|b| format!("{b:02x}")).collect();
        page.code.text = format!("SC1:{}:{}/{count}:{release}", &hash[..DIGITS], number + 1);
    }
    pages
}
