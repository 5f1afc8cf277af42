//! A place of a photographed page to a picture of the part on it.

use crate::capture::{Ground, PartPlace, Rect, StagePage};

use crate::capture::cut::doubt::{Doubt, Fault};
use crate::capture::cut::eye::Eye;
use crate::capture::cut::fit::{Fit, fit};
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::{area, bounds, moved};
use crate::capture::cut::relief::{self, Profile};
use crate::capture::cut::render::{Image, Look, render};
use crate::capture::cut::trace::{Traced, face, trace};
use crate::capture::cut::{Outline, Point};
use crate::capture::face::Scene;

/// Places that thickness is measured at, for each part, at most; those farthest from the camera's foot.
const MOST_PROFILES: usize = 10;
/// The RMS up to which a drawing is believed, in millimetres, and the share of edges that must agree.
const BELIEVED: (f64, f64) = (0.3, 0.6);
/// The darkest ground that is divided by.
const DARKEST: f64 = 0.08;
/// The difference of part and ground, in logarithms of light, under which edges are doubtful.
const FAINT: f64 = 0.25;

/// A photograph ready to be cut.
pub struct Sight<'a> {
    scene: Scene<'a>,
    /// Where the camera stood; `None` if that could not be told.
    pub eye: Option<Eye>,
    /// Thickness of parts by key, as it was seen, in millimetres.
    heights: Vec<(String, Option<f64>)>,
}

/// What is to be cut out.
#[derive(Clone, Copy)]
pub struct Order<'a> {
    /// Where the part lies.
    pub place: &'a PartPlace,
    /// The colour's value: CIELAB, D50, 2 degrees.
    pub value: [f64; 3],
    /// Whether the place's outline is a drawing of the part; else the outline is traced.
    pub drawn: bool,
    /// How thick the part is, in millimetres, where that is known.
    pub thick: Option<f64>,
    /// Whether one sees through it.
    pub clear: bool,
}

/// A part cut out.
#[derive(Debug, Clone)]
pub struct CutOut {
    /// Its picture at its true size.
    pub image: Image,
    /// The part's outline at its true size, in millimetres from the picture's top left corner.
    pub outline: Outline,
    /// The same as it is seen on the page's plane, in millimetres of the page.
    pub seen: Outline,
    /// How the drawing lies, where it was believed.
    pub fit: Option<Fit>,
    /// The thickness that was reckoned with, in millimetres.
    pub thick: Option<f64>,
    /// What is doubtful.
    pub doubts: Vec<Doubt>,
}

impl CutOut {
    /// Pixels an inch at its true size.
    pub fn dpi(&self) -> f64 {
        f64::from(self.image.per_metre) * 0.0254
    }

    /// Width and height of the picture in millimetres.
    pub fn size(&self) -> (f64, f64) {
        let mm = 1000.0 / f64::from(self.image.per_metre.max(1));
        (self.image.width as f64 * mm, self.image.height as f64 * mm)
    }

    /// The middle of the outline's extent, in millimetres from the picture's top left corner.
    pub fn centre(&self) -> Point {
        let (low, high) = bounds(&self.outline).unwrap_or(((0.0, 0.0), (0.0, 0.0)));
        ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0)
    }
}

impl<'a> Sight<'a> {
    /// Looks at the page as a whole: where the camera stood, how thick parts are.
    pub fn of(scene: Scene<'a>, page: &StagePage) -> Sight<'a> {
        let eye = Eye::of(scene, page.size);
        let heights = eye.map_or_else(Vec::new, |eye| heights(scene, page, &eye));
        Sight { scene, eye, heights }
    }

    /// The thickness of a part, as it was seen.
    pub fn thick(&self, part: &str) -> Option<f64> {
        self.heights.iter().find(|(key, _)| key == part).and_then(|(_, height)| *height)
    }
}

/// Thickness by part; where a part alone says nothing, what all parts of the page say.
fn heights(scene: Scene, page: &StagePage, eye: &Eye) -> Vec<(String, Option<f64>)> {
    let far = |p: &&PartPlace| {
        let c = p.frame.centre();
        (c.0 - eye.foot.0).hypot(c.1 - eye.foot.1)
    };
    let mut places: Vec<&PartPlace> = page.places.iter().collect();
    places.sort_by(|a, b| far(b).total_cmp(&far(a)));
    let mut by_part: Vec<(String, Vec<Profile>, usize)> = Vec::new();
    for place in places {
        let at = by_part.iter().position(|(key, ..)| *key == place.part).unwrap_or_else(|| {
            by_part.push((place.part.clone(), Vec::new(), 0));
            by_part.len() - 1
        });
        let Some(group) = by_part.get_mut(at) else { continue };
        if group.2 < MOST_PROFILES && far(&place) > 30.0 {
            group.2 += 1;
            group.1.extend(profile(scene, place, eye));
        }
        if by_part.iter().map(|g| g.2).sum::<usize>() >= 4 * MOST_PROFILES {
            break;
        }
    }
    let all: Vec<Profile> = by_part.iter().flat_map(|(_, found, _)| found.clone()).collect();
    let own = |found: &[Profile]| if found.len() >= 3 { relief::height(found) } else { None };
    let seen: Vec<(String, Option<f64>)> =
        by_part.into_iter().map(|(key, found, _)| (key, own(&found))).collect();
    let mut told: Vec<f64> = seen.iter().filter_map(|(_, h)| *h).collect();
    let middle = crate::capture::least::median(&mut told);
    let alike = told.len() >= 2 && told.iter().all(|h| (h - middle).abs() < 0.4);
    let common = relief::height(&all).or(alike.then_some(middle));
    seen.into_iter().map(|(key, h)| (key, h.or(common))).collect()
}

fn profile(scene: Scene, place: &PartPlace, eye: &Eye) -> Option<Profile> {
    let patch = Patch::take(scene, &room(place)).ok()?;
    let traced = trace(&patch, &expected(&patch, &place.outline)).ok()?;
    (traced.segment.contrast > 2.0 * FAINT).then(|| relief::profile(&patch, &traced.whole, eye))?
}

/// What is taken of a place: on the bare paper a little more, else not its frame's edges.
fn room(place: &PartPlace) -> Rect {
    let more = if place.ground == Ground::White { 0.4 } else { -0.3 };
    let f = place.frame;
    Rect {
        left: f.left - more,
        top: f.top - more,
        width: f.width + 2.0 * more,
        height: f.height + 2.0 * more,
    }
}

fn expected(patch: &Patch, outline: &Outline) -> Outline {
    moved(outline, |p| patch.to_pixel(p))
}

/// Cuts a part out.
///
/// # Errors
/// Where the place is not in the picture, and where nothing can be told from its ground.
pub fn cut(sight: &Sight, order: &Order) -> Result<CutOut, Fault> {
    let place = order.place;
    if !order.value.iter().all(|v| v.is_finite() && v.abs() < 500.0) {
        return Err(Fault::NoColour);
    }
    let patch = Patch::take(sight.scene, &room(place))?;
    let drawing = if order.drawn { place.outline.clone() } else { Outline::new() };
    let traced = trace(&patch, &expected(&patch, &drawing))?;
    enough(&traced, &patch, &drawing)?;
    let mut doubts = Vec::new();
    if traced.segment.contrast < FAINT || traced.found < 0.75 {
        doubts.push(Doubt::LowContrast(traced.segment.contrast));
    }
    let thick = order.thick.or_else(|| sight.thick(&place.part)).filter(|h| *h > 0.0 && *h < 20.0);
    let (seen, shrink) = match (sight.eye, thick) {
        (Some(eye), Some(thick)) => {
            let side = relief::side_seen(&patch, &traced.whole, &eye, thick);
            let whole = &traced.whole;
            let seen = if side { face(&patch, whole, &eye, thick) } else { whole.clone() };
            (seen, eye.shrink(thick))
        }
        _ => {
            doubts.push(Doubt::NoThickness);
            (traced.whole.clone(), 1.0)
        }
    };
    let mut seen = moved(&seen, |p| patch.to_page(p));
    let fit = laid(&drawing, &seen, (shrink, &mut doubts));
    if let Some(fit) = &fit {
        seen = moved(&drawing, |p| fit.at(p));
    }
    let behind = order.clear.then(|| behind(&traced, &mut doubts)).flatten();
    let found = Found { patch: &patch, seen, shrink, behind };
    let (image, outline) = picture(sight, order, &found, &mut doubts)?;
    Ok(CutOut { image, outline, seen: found.seen, fit, thick, doubts })
}

/// Refuses what is far from as large as the drawing: a reflection, or a shadow.
fn enough(traced: &Traced, patch: &Patch, drawing: &Outline) -> Result<(), Fault> {
    let size = |outline: &Outline| outline.first().map_or(0.0, |ring| area(ring).abs());
    let (seen, drawn) = (size(&traced.whole) * patch.step * patch.step, size(drawing));
    let alike = drawn <= 0.0 || (seen > 0.55 * drawn && seen < 2.0 * drawn);
    if alike { Ok(()) } else { Err(Fault::NothingFound) }
}

/// Lays the drawing on what is seen; `None` where there is none, or where it is not what lies there.
fn laid(drawing: &Outline, seen: &Outline, of: (f64, &mut Vec<Doubt>)) -> Option<Fit> {
    let (shrink, doubts) = of;
    if drawing.is_empty() {
        return None;
    }
    let fit = fit(drawing, seen, 1.0 / shrink)?;
    let good =
        fit.rms <= BELIEVED.0 && fit.agree >= BELIEVED.1 * if fit.rms < 0.06 { 0.7 } else { 1.0 };
    if !good {
        doubts.push(Doubt::DrawingOff(fit.rms));
    }
    good.then_some(fit)
}

/// What a clear part's light is divided by.
fn behind(traced: &Traced, doubts: &mut Vec<Doubt>) -> Option<[f64; 3]> {
    let ground = traced.segment.ground;
    let light = ground.iter().all(|v| *v >= DARKEST);
    if !light {
        doubts.push(Doubt::DarkBehind);
    }
    light.then_some(ground)
}

struct Found<'a> {
    patch: &'a Patch,
    seen: Outline,
    shrink: f64,
    behind: Option<[f64; 3]>,
}

fn picture(
    sight: &Sight,
    order: &Order,
    found: &Found,
    doubts: &mut Vec<Doubt>,
) -> Result<(Image, Outline), Fault> {
    let pixels = moved(&found.seen, |p| found.patch.to_pixel(p));
    let per_metre =
        (1000.0 / (found.patch.step * found.shrink)).round().clamp(1.0, 47_245.0) as u32;
    let look = Look {
        patch: found.patch,
        outline: &pixels,
        matrix: sight.scene.picture.matrix(),
        value: order.value,
        behind: found.behind,
    };
    let (image, corner, off) = render(&look, per_metre)?;
    if off > 0.3 {
        doubts.push(Doubt::ColourOff(off));
    }
    let mm = 1000.0 / f64::from(per_metre);
    let outline = moved(&pixels, |p| ((p.0 - corner.0) * mm, (p.1 - corner.1) * mm));
    Ok((image, outline))
}
