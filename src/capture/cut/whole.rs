//! A place of a photographed page to a picture of the part on it.

use crate::capture::{PartPlace, StagePage};

use crate::capture::cut::doubt::{Doubt, Fault};
use crate::capture::cut::eye::Eye;
use crate::capture::cut::fit::{Fit, fit};
use crate::capture::cut::heights;
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::{area, bounds, moved};
use crate::capture::cut::relief;
use crate::capture::cut::render::{Image, Look, render};
use crate::capture::cut::silhouette;
use crate::capture::cut::spot::{FAINT, drawing, expected, room};
use crate::capture::cut::trace::{Traced, face, trace};
use crate::capture::cut::{Outline, Point};
use crate::capture::face::Scene;
use crate::capture::least::median;

/// The RMS up to which a drawing is believed, in millimetres, and the share of edges that must agree.
const BELIEVED: (f64, f64) = (0.3, 0.6);
/// How much larger or smaller than its drawing a part may be, and than other pieces of it.
const STRETCH: f64 = 0.03;
const SAME: f64 = 0.003;
/// The RMS up to which a piece lies where its silhouette has it, in millimetres.
const LAID: f64 = 0.12;
/// Places of a part that its size is measured at: at most, and at least.
const MOST_SIZES: usize = 15;
const LEAST_SIZES: usize = 3;
/// The darkest ground that is divided by.
const DARKEST: f64 = 0.08;

/// A photograph ready to be cut.
pub struct Sight<'a> {
    scene: Scene<'a>,
    /// Where the camera stood; `None` if that could not be told.
    pub eye: Option<Eye>,
    /// Thickness of parts by key, as it was seen, in millimetres.
    heights: Vec<(String, Option<f64>)>,
    /// How many times as large as its drawing each part is, by key: the same for all its places.
    sizes: Vec<(String, f64)>,
}

/// What is to be cut out.
#[derive(Clone, Copy)]
pub struct Order<'a> {
    /// Where the part lies.
    pub place: &'a PartPlace,
    /// The colour's value: CIELAB, D50, 2 degrees.
    pub value: [f64; 3],
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
        let heights = eye.map_or_else(Vec::new, |eye| heights::of(scene, page, &eye));
        let mut sight = Sight { scene, eye, heights, sizes: Vec::new() };
        sight.sizes = sight.sizes(page);
        sight
    }

    /// How much larger each part is than its drawing: pieces of one part come from one mould, and differ less
    /// than one of them can be measured.
    fn sizes(&self, page: &StagePage) -> Vec<(String, f64)> {
        let mut found: Vec<(String, Vec<f64>, usize)> = Vec::new();
        for place in page.places.iter().filter(|p| !p.boxed) {
            let at = found.iter().position(|(key, ..)| *key == place.part).unwrap_or_else(|| {
                found.push((place.part.clone(), Vec::new(), 0));
                found.len() - 1
            });
            let Some(group) = found.get_mut(at).filter(|g| g.2 < MOST_SIZES) else { continue };
            group.2 += 1;
            let outlined = outlined(self, place, None).ok();
            let sure = outlined.filter(|o| o.traced.segment.contrast > 2.0 * FAINT);
            let fit = sure.and_then(|o| {
                believed(place, &o.seen, &o, None).ok().flatten().map(|f| f.scale * o.shrink)
            });
            group.1.extend(fit);
        }
        let enough = found.into_iter().filter(|(_, sizes, _)| sizes.len() >= LEAST_SIZES);
        enough.map(|(key, mut sizes, _)| (key, median(&mut sizes))).collect()
    }

    fn size(&self, part: &str) -> Option<f64> {
        self.sizes.iter().find(|(key, _)| key == part).map(|(_, size)| *size)
    }

    /// The thickness of a part, as it was seen.
    pub fn thick(&self, part: &str) -> Option<f64> {
        self.heights.iter().find(|(key, _)| key == part).and_then(|(_, height)| *height)
    }
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
    let mut doubts = Vec::new();
    let outlined = outlined(sight, place, order.thick)?;
    let contrast = outlined.traced.segment.contrast;
    if contrast < FAINT || outlined.traced.found < 0.75 {
        doubts.push(Doubt::LowContrast(contrast));
    }
    if outlined.thick.is_none() || sight.eye.is_none() {
        doubts.push(Doubt::NoThickness);
    }
    let mut seen = outlined.seen.clone();
    let believed = believed(place, &seen, &outlined, sight.size(&place.part));
    let lying = lying(sight, place, &outlined, believed.ok().flatten());
    let fit = match (lying, believed) {
        (Some(fit), _) | (None, Ok(Some(fit))) => Some(fit),
        (None, Ok(None)) => None,
        (None, Err(rms)) => {
            doubts.push(Doubt::DrawingOff(rms));
            None
        }
    };
    if let Some(fit) = &fit {
        seen = moved(&place.outline, |p| fit.at(p));
    }
    let Outlined { patch, traced, thick, shrink, .. } = outlined;
    let behind = order.clear.then(|| behind(&traced, &mut doubts)).flatten();
    let found = Found { patch: &patch, seen, shrink, behind };
    let (image, outline) = picture(sight, order, &found, &mut doubts)?;
    Ok(CutOut { image, outline, seen: found.seen, fit, thick, doubts })
}

/// What lies on a place, as it is seen on the page's plane: for whoever needs its outline alone.
pub fn outline_of(scene: Scene<'_>, place: &PartPlace) -> Option<Outline> {
    let patch = Patch::take(scene, &room(place)).ok()?;
    let traced = trace(&patch, &expected(&patch, &place.outline), place.boxed).ok()?;
    enough(&traced, &patch, place).ok()?;
    Some(moved(&traced.whole, |p| patch.to_page(p)))
}

/// A place with the outline that is seen on it.
struct Outlined {
    patch: Patch,
    traced: Traced,
    /// The part's face, in millimetres of the page.
    seen: Outline,
    thick: Option<f64>,
    /// What a length on the face is of the length that it is seen as.
    shrink: f64,
}

fn outlined(sight: &Sight, place: &PartPlace, thick: Option<f64>) -> Result<Outlined, Fault> {
    let patch = Patch::take(sight.scene, &room(place))?;
    let traced = trace(&patch, &expected(&patch, &place.outline), place.boxed)?;
    enough(&traced, &patch, place)?;
    let thick = thick.or_else(|| sight.thick(&place.part)).filter(|h| *h > 0.0 && *h < 20.0);
    let (seen, shrink) = match (sight.eye, thick) {
        (Some(eye), Some(thick)) => {
            let side = relief::side_seen(&patch, &traced.whole, &eye, thick);
            let whole = &traced.whole;
            let seen = if side { face(&patch, whole, &eye, thick) } else { whole.clone() };
            (seen, eye.shrink(thick))
        }
        _ => (traced.whole.clone(), 1.0),
    };
    let seen = moved(&seen, |p| patch.to_page(p));
    Ok(Outlined { patch, traced, seen, thick, shrink })
}

/// Refuses what is far from as large as the drawing: a reflection, or a shadow.
fn enough(traced: &Traced, patch: &Patch, place: &PartPlace) -> Result<(), Fault> {
    let size = |outline: &Outline| outline.first().map_or(0.0, |ring| area(ring).abs());
    let (seen, drawn) = (size(&traced.whole) * patch.step * patch.step, size(&place.outline));
    // Of a box a part may fill little.
    let least = if place.boxed { 0.15 } else { 0.55 };
    let alike = drawn <= 0.0 || (seen > least * drawn && seen < 2.0 * drawn);
    if alike { Ok(()) } else { Err(Fault::NothingFound) }
}

/// Lays the drawing on what is seen; none where there is no drawing. `size` is how much larger the part is than its
/// drawing, where all its places together say so.
///
/// # Errors
/// The drawing is not what lies there; how far it is off.
fn believed(
    place: &PartPlace,
    seen: &Outline,
    of: &Outlined,
    size: Option<f64>,
) -> Result<Option<Fit>, f64> {
    let drawing = drawing(place);
    let (size, stretch) = size.map_or((1.0, STRETCH), |size| (size, SAME));
    let found =
        if drawing.is_empty() { None } else { fit(drawing, seen, (size / of.shrink, stretch)) };
    let Some(fit) = found else { return Ok(None) };
    let share = BELIEVED.1 * if fit.rms < 0.06 { 0.7 } else { 1.0 };
    let good = fit.rms <= BELIEVED.0 && fit.agree >= share;
    if good { Ok(Some(fit)) } else { Err(fit.rms) }
}

/// Where the face of a piece is by all that is seen of it, its side included; none where its thickness or its size is
/// not known, or what is seen is not the piece.
fn lying(sight: &Sight, place: &PartPlace, of: &Outlined, fit: Option<Fit>) -> Option<Fit> {
    let (eye, thick, size) = (sight.eye?, of.thick?, sight.size(&place.part)?);
    let drawing = drawing(place);
    let seen = moved(&of.traced.whole, |p| of.patch.to_page(p));
    let lying = silhouette::lie(drawing, &seen, &eye, (size, thick), fit.map(|f| f.turn))?;
    let (low, high) = bounds(drawing)?;
    let about = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
    let lifted = |at: f64, foot: f64| foot + (at - foot) / of.shrink;
    let there = (lifted(lying.at.0, eye.foot.0), lifted(lying.at.1, eye.foot.1));
    let shift = (there.0 - about.0, there.1 - about.1);
    let (turn, scale) = (lying.turn, size / of.shrink);
    (lying.rms <= LAID).then_some(Fit { about, shift, turn, scale, rms: lying.rms, agree: 1.0 })
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
