//! The page as one file.

use serde_json::{Value, json};

use super::request::PageRequest;
use super::shown::Shown;
use super::texts::Texts;
use super::{data, drawings, fill, fonts};

/// The page as one file; none without a spelling.
pub fn page(request: &PageRequest<'_>) -> Option<String> {
    let first = request.spelled.first()?;
    let texts = Texts::new(request.spelled);
    let shown = Shown::new(first.facts.range, first.facts.sheet);
    let drawn = drawings::drawings(&shown, first.facts.range, request.workshop);
    let data: Value = data::data(request, &shown, &texts, &drawn);
    let faces = fonts::faces(&first.facts.look, &texts.characters(&data));
    let drawings = json!({"looks": drawn.bodies, "outlines": drawn.outlines});
    let filling = fill::Filling { data, drawings, fonts: json!(faces) };
    Some(fill::page(request, &shown, &texts, &filling))
}
