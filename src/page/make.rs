//! The page as one file, and its pictures of parts.

use serde_json::{Value, json};

use super::request::PageRequest;
use super::shown::Shown;
use super::texts::Texts;
use super::{data, drawings, fill, fonts, photos};

/// A page and the pictures of parts that it shows.
#[derive(Debug)]
pub struct Page {
    pub html: String,
    /// Names from the page's folder, and bytes.
    pub pictures: Vec<(String, Vec<u8>)>,
}

/// The page; none without a spelling.
pub fn page(request: &PageRequest<'_>) -> Option<Page> {
    let first = request.spelled.first()?;
    let texts = Texts::new(request.spelled);
    let shown = Shown::new(first.facts.range, first.facts.sheet);
    let drawn = drawings::drawings(&shown, first.facts.range, request.workshop);
    let photos = photos::photos(request, &shown);
    let mut data: Value = data::data(request, &shown, &texts, &drawn);
    if !photos.is_empty() {
        data["photos"] = data::photos(&photos);
    }
    let faces = fonts::faces(&first.facts.look, &texts.characters(&data));
    let drawings = json!({"looks": drawn.bodies, "outlines": drawn.outlines});
    let filling = fill::Filling { data, drawings, fonts: json!(faces) };
    let html = fill::page(request, &shown, &texts, &filling);
    let pictures = photos.into_iter().map(|photo| (photo.file, photo.bytes)).collect();
    Some(Page { html, pictures })
}
