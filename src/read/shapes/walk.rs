//! From the safe SVG text to filled outlines in millimetres.

use std::ops::Range;
use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use kurbo::{Affine, BezPath};

use crate::diag::Diagnostic;
use crate::graphic::{FillRule, Rgb};
use crate::limits;
use crate::read::region::Region;
use crate::session::Session;
use crate::units::css_px_to_mm;

use super::clips::Cutter;
use super::drawn::{Drawn, DrawnPaint};
use super::outline::{affine, finite, outline, rule, snap};
use super::paints;
use super::refused::{self, Refused};
use super::shape::whole;
use super::source::Rewritten;

/// How what is in a group is drawn.
#[derive(Clone)]
struct State<'i> {
    to_mm: Affine,
    opacity: f64,
    /// The element of the rewritten drawing that it belongs to.
    id: Option<&'i str>,
    /// What it is clipped to, mm.
    clip: Option<Rc<Region>>,
}

pub(super) struct Walk<'a> {
    source: &'a Rewritten,
    items: Vec<Drawn>,
    refused: Vec<Refused>,
    errors: Vec<Diagnostic>,
    cutter: Cutter,
    pieces: usize,
    /// Pieces that are read at most.
    most_pieces: usize,
    elements: usize,
}

/// Reads the safe text with the SVG library and collects its filled areas.
pub(super) fn walk(
    file: &Arc<Path>,
    text: &str,
    source: &Rewritten,
    session: &Session,
) -> Result<Vec<Drawn>, Vec<Diagnostic>> {
    let options = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(&source.svg, &options).map_err(|e| {
        vec![whole(file, "shape-broken", format!("the drawing cannot be read: {e}")).help(
            "give the drawing a width and a height in mm and a viewBox of the same size, and save it as plain SVG",
        )]
    })?;
    let mut walk = Walk {
        source,
        items: Vec::new(),
        refused: Vec::new(),
        errors: Vec::new(),
        cutter: Cutter::new(session.work.clone()),
        pieces: 0,
        most_pieces: session.limits.most(limits::POINTS),
        elements: 0,
    };
    let to_mm = Affine::scale(css_px_to_mm(1.0));
    walk.group(tree.root(), &State { to_mm, opacity: 1.0, id: None, clip: None });
    if walk.cutter.overworked() {
        walk.errors.push(
            whole(file, "shape-too-large", "clip paths and masks cut too many points")
                .help("cut the outlines to shape in the drawing program (intersect the paths)"),
        );
    }
    if walk.pieces > walk.most_pieces {
        let points = walk.most_pieces;
        let message = format!("the outlines have more than {points} points in total");
        let help = session.limits.or_raise("simplify the paths in the drawing program");
        walk.errors.push(whole(file, "shape-unsupported", message).help(format!("{help}.")));
    }
    walk.errors.extend(refused::reported(file, text, &walk.refused));
    if walk.errors.is_empty() { Ok(walk.items) } else { Err(walk.errors) }
}

impl Walk<'_> {
    pub(super) fn refuse(&mut self, refused: Refused) {
        if !self.refused.contains(&refused) {
            self.refused.push(refused);
        }
    }

    fn group(&mut self, group: &usvg::Group, outer: &State<'_>) {
        let known = |id: &&str| self.source.words.contains_key(*id);
        let id = Some(group.id()).filter(known).or(outer.id);
        let mut state = State {
            to_mm: outer.to_mm * affine(group.transform()),
            opacity: outer.opacity * f64::from(group.opacity().get()),
            id,
            clip: outer.clip.clone(),
        };
        let cut = self.cutter.group(group, state.to_mm);
        match cut {
            Ok(None) => {}
            Ok(Some(region)) => {
                let both = match &state.clip {
                    Some(clip) => clip.within(&region),
                    None => region,
                };
                state.clip = Some(Rc::new(both));
            }
            Err(tag) => {
                let place = self.place(first_id(group).or(id));
                return self.refuse(Refused::kind(tag, place));
            }
        }
        for node in group.children() {
            match node {
                usvg::Node::Group(g) => self.group(g, &state),
                usvg::Node::Path(p) => self.path(p, &state),
                usvg::Node::Image(_) => self.refuse(Refused::kind("image", 0..0)),
                usvg::Node::Text(_) => self.refuse(Refused::kind("text", 0..0)),
            }
        }
    }

    fn place(&self, id: Option<&str>) -> Range<usize> {
        id.and_then(|id| self.source.words.get(id)).map_or(0..0, |(_, place)| place.clone())
    }

    fn path(&mut self, path: &usvg::Path, state: &State<'_>) {
        if !path.is_visible() {
            return;
        }
        let known = |id: &&str| self.source.words.contains_key(*id);
        let id = Some(path.id()).filter(known).or(state.id);
        let (words, place) =
            id.and_then(|id| self.source.words.get(id)).cloned().unwrap_or_default();
        let local = outline(path.data());
        self.pieces += local.elements().len();
        if self.pieces > self.most_pieces {
            return;
        }
        self.elements += 1;
        let blank = Drawn {
            path: BezPath::new(),
            rule: FillRule::NonZero,
            paint: DrawnPaint::Flat(Rgb::WHITE),
            into_paper: false,
            opacity: 0.0,
            words,
            centre_line: None,
            element: self.elements,
            place: place.clone(),
        };
        let filled = path.fill().and_then(|fill| {
            let paint = self.paint(fill.paint(), state.to_mm, &place)?;
            let opacity = state.opacity * f64::from(fill.opacity().get());
            let path = snap(state.to_mm * local.clone());
            Some(Drawn { path, rule: rule(fill.rule()), paint, opacity, ..blank.clone() })
        });
        let stroked = path.stroke().and_then(|stroke| {
            let paint = self.paint(stroke.paint(), state.to_mm, &place)?;
            let line = self.line(&local, stroke, state.to_mm, &place)?;
            let opacity = state.opacity * f64::from(stroke.opacity().get());
            let centre_line = Some(snap(state.to_mm * local.clone()));
            let path = snap(state.to_mm * line);
            Some(Drawn { path, paint, opacity, centre_line, ..blank.clone() })
        });
        let mut both = [filled, stroked];
        if path.paint_order() == usvg::PaintOrder::StrokeAndFill {
            both.reverse();
        }
        for mut drawn in both.into_iter().flatten() {
            // Numbers that overflow make no outline; the library drops most itself.
            if drawn.opacity <= 0.0 || !finite(&drawn.path) {
                continue;
            }
            if let Some(clip) = &state.clip {
                (drawn.path, drawn.rule) = self.cutter.cut(drawn.path, drawn.rule, clip);
            }
            if !drawn.path.elements().is_empty() {
                self.items.push(drawn);
            }
        }
    }

    fn paint(
        &mut self,
        paint: &usvg::Paint,
        to_mm: Affine,
        place: &Range<usize>,
    ) -> Option<DrawnPaint> {
        paints::paint(paint, to_mm, place).map_err(|refused| self.refuse(refused)).ok()
    }

    fn line(
        &mut self,
        path: &BezPath,
        stroke: &usvg::Stroke,
        to_mm: Affine,
        place: &Range<usize>,
    ) -> Option<BezPath> {
        paints::line(path, stroke, to_mm, place).map_err(|refused| self.refuse(refused)).ok()
    }
}

/// The first element in a group, for want of a name of the group's own.
fn first_id(group: &usvg::Group) -> Option<&str> {
    group.children().iter().find_map(|node| match node {
        usvg::Node::Group(g) => first_id(g),
        usvg::Node::Path(p) => Some(p.id()).filter(|id| !id.is_empty()),
        _ => None,
    })
}
