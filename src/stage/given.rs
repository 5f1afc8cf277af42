//! A picture without marks: a file says where the corners of the paper are in it, and what lies where.

use std::path::Path;

use kurbo::{Affine, Rect as Box, Shape as _, Vec2};
use serde::Deserialize;

use super::known::known;
use super::layout::polygons;
use super::measures::rounded;
use crate::capture::Corners;
use crate::capture::page::{CodeMark, Ground, PartPlace, Rect, StagePage};
use crate::diag::{Diagnostic, Findings, Sources, nearest};
use crate::range::{ColourRange, PartId};
use crate::read::read_text;
use crate::read::ron::{Place, Source, Spanned, decode};

/// Sides of the paper, mm, and places on it, at most.
const SIDES: (f64, f64) = (20.0, 2000.0);
const MOST_PLACES: usize = 5_000;
/// Bare paper that belongs to a part, mm.
const CLEAR: f64 = 1.0;

/// What the file says.
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "Picture")]
struct RawPicture {
    paper: Option<Spanned<(f64, f64)>>,
    corners: Option<Spanned<Vec<(f64, f64)>>>,
    places: Option<Spanned<Vec<RawPlace>>>,
}

#[derive(Debug, Default, Deserialize)]
struct RawPlace {
    part: Option<Spanned<String>>,
    colour: Option<Spanned<String>>,
    at: Option<Spanned<(f64, f64)>>,
    turned: Option<f64>,
}

/// A page that was photographed without marks.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenPicture {
    pub page: StagePage,
    pub corners: Corners,
}

/// Reads the file.
///
/// # Errors
/// Everything that is wrong with it.
pub fn given(
    file: &Path,
    range: &ColourRange,
    sources: &mut Sources,
) -> Result<GivenPicture, Findings> {
    let text = read_text(file, None, &sources.session)?;
    sources.add(file, text.clone());
    let mut findings = Findings::default();
    let decoded = decode::<RawPicture>(file, &text, "Picture", &mut findings);
    let Some(document) = decoded else { return Err(findings) };
    let check = Check { range, source: &document.source };
    let picture = check.picture(document.value, &mut findings);
    match picture {
        Some(picture) if !findings.failed() => Ok(picture),
        _ => Err(findings),
    }
}

/// Reports the fields that a picture needs and has not.
fn lacking(raw: &RawPicture, root: Place<'_>, findings: &mut Findings) {
    let missing = |name: &str, help: &str| {
        let message = format!("the picture has no '{name}'");
        Diagnostic::error("missing-field", message).at(root.head()).help(help)
    };
    let mut lacking = |name: &str, help: &str| {
        if !root.faulted(name) {
            findings.push(missing(name, help));
        }
    };
    if raw.paper.is_none() {
        lacking("paper", "add paper: (210, 297), width and height in mm between the corners");
    }
    if raw.corners.is_none() {
        lacking(
            "corners",
            "add corners: [(x, y), (x, y), (x, y), (x, y)], in pixels: top left, top right, bottom right, bottom left",
        );
    }
    if raw.places.is_none() {
        lacking(
            "places",
            "add places: [(part: \"...\", colour: \"...\", at: (x, y))], the middle of each part in mm from the top left corner of the paper",
        );
    }
}

struct Check<'a> {
    range: &'a ColourRange,
    source: &'a Source,
}

impl Check<'_> {
    fn picture(&self, raw: RawPicture, findings: &mut Findings) -> Option<GivenPicture> {
        let root = self.source.root();
        lacking(&raw, root, findings);
        let (paper, corners, places) = (raw.paper?, raw.corners?, raw.places?);
        let size = *paper;
        if ![size.0, size.1].iter().all(|side| (SIDES.0..=SIDES.1).contains(side)) {
            let message = format!("the paper cannot be {} x {} mm", size.0, size.1);
            let help = format!("use sides from {} to {} mm", SIDES.0, SIDES.1);
            let at = self.source.of(&paper);
            findings.push(Diagnostic::error("out-of-bounds", message).at(at).help(help));
            return None;
        }
        let four: Option<Corners> = corners.value.as_slice().try_into().ok();
        if four.is_none() {
            let message = format!("there must be 4 corners, not {}", corners.len());
            let help = "give them in pixels: top left, top right, bottom right, bottom left";
            let at = self.source.of(&corners);
            findings.push(Diagnostic::error("bad-corners", message).at(at).help(help));
        }
        if places.is_empty() || places.len() > MOST_PLACES {
            let message =
                format!("there must be from 1 to {MOST_PLACES} places, not {}", places.len());
            let at = self.source.of(&places);
            let help = "add a place for every part in the picture";
            findings.push(Diagnostic::error("bad-places", message).at(at).help(help));
        }
        let at = root.field("places");
        let each = places.value.into_iter().enumerate();
        let places = each.filter_map(|(i, raw)| self.place(raw, at.item(i), size, findings));
        let page = StagePage {
            size,
            code: CodeMark { left: 0.0, top: 0.0, side: 0.0, text: String::new() },
            dots: Vec::new(),
            dot_radius: 0.0,
            patches: Vec::new(),
            places: places.collect(),
            chart: None,
            covered: Vec::new(),
            prints: Vec::new(),
        };
        Some(GivenPicture { page, corners: four? })
    }

    fn place(
        &self,
        raw: RawPlace,
        at: Place<'_>,
        (width, height): (f64, f64),
        findings: &mut Findings,
    ) -> Option<PartPlace> {
        for (name, is_there) in [
            ("part", raw.part.is_some()),
            ("colour", raw.colour.is_some()),
            ("at", raw.at.is_some()),
        ] {
            if !is_there && !at.faulted(name) {
                let message = format!("this place has no '{name}'");
                let help = "write (part: \"...\", colour: \"...\", at: (x, y)), in mm";
                findings.push(Diagnostic::error("missing-field", message).at(at.head()).help(help));
            }
        }
        let (part, colour) = (raw.part, raw.colour);
        let parts = self.range.parts();
        let part = part.and_then(|key| {
            let found = parts.iter().position(|p| p.key() == &key.value);
            let keys = parts.iter().map(|p| p.key().as_str());
            found.or_else(|| self.unknown("part", &key, keys, findings))
        });
        let colours = self.range.colours();
        let colour = colour.and_then(|key| {
            let found = colours.iter().position(|c| c.key() == &key.value);
            let keys = colours.iter().map(|c| c.key().as_str());
            found.or_else(|| self.unknown("colour", &key, keys, findings))
        });
        let middle = raw.at?;
        let (part, colour) = (self.range.part(PartId(part?)), &colours[colour?]);
        let turn = Affine::rotate(raw.turned.unwrap_or(0.0).to_radians());
        let (shape, by) = (part.shape(), Vec2::new(middle.0, middle.1));
        let outline = polygons(&(turn * shape.outline.clone()), by);
        let covered = (turn * shape.extent.to_path(1e-3)).bounding_box();
        let covered = covered.inflate(CLEAR, CLEAR) + by;
        let paper = Box::new(0.0, 0.0, width, height);
        if covered.intersect(paper) != covered {
            let message = format!(
                "the part '{}' at ({}, {}) is not on the paper of {width} x {height} mm",
                part.key(),
                middle.0,
                middle.1
            );
            let help = "give its middle in mm from the top left corner of the paper";
            let at = self.source.of(&middle);
            findings.push(Diagnostic::error("off-the-paper", message).at(at).help(help));
            return None;
        }
        let [left, top] = [covered.x0, covered.y0].map(rounded);
        let frame = Rect { left, top, width: covered.width(), height: covered.height() };
        Some(PartPlace {
            part: part.key().clone(),
            colour: colour.key().clone(),
            number: String::new(),
            frame,
            ground: Ground::White,
            outline,
            known: known(colour, false),
            boxed: part.boxed(),
        })
    }

    fn unknown<'a, T>(
        &self,
        kind: &str,
        key: &Spanned<String>,
        keys: impl Iterator<Item = &'a str>,
        findings: &mut Findings,
    ) -> Option<T> {
        let message = format!("the range has no {kind} '{}'", key.value);
        let keys: Vec<&str> = keys.collect();
        let help = match nearest(key, keys.iter().copied()) {
            Some(near) => format!("did you mean '{near}'?"),
            None => {
                format!("use a key of the range, for example '{}'", keys.first().unwrap_or(&""))
            }
        };
        let code = if kind == "part" { "unknown-part" } else { "unknown-colour" };
        findings.push(Diagnostic::error(code, message).at(self.source.of(key)).help(help));
        None
    }
}
