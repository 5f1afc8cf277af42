//! Whether a photograph, and each place on it, can be read.

use crate::capture::doubt::Doubt;
use crate::capture::face::Face;
use crate::capture::fault::Fault;
use crate::capture::lens::{Lens, mean_scale};
use crate::capture::light::Light;
use crate::capture::page::{Ground, PartPlace, StagePage};
use crate::capture::picture::Picture;
use crate::capture::plane::Plane;
use crate::capture::sharpness::Sharpness;

/// Pixels a millimetre that a place needs.
pub const LEAST_SCALE: f64 = 8.0;
/// The widest edges, standard deviation in millimetres: the rim that faces leave out is 0.4.
pub const SOFTEST: f64 = 0.3;
/// How uncertain a place may be, in millimetres.
const ADRIFT: f64 = 0.35;
/// How far the nearest paper may be from a frame, in millimetres.
const FARTHEST_PAPER: f64 = 12.0;
/// Paper that clips: the share from which a photograph is refused.
const CLIPPED: f64 = 0.1;
/// The darkest paper, in linear light.
const DARKEST: f64 = 0.06;
/// The share of paper with shadows' edges or reflections from which a photograph is refused.
const DISTURBED: f64 = 0.12;
/// How much of what is steep lies along one line where it is a shadow's edge across the page.
const ALIGNED: f64 = 0.9;
/// The share of paper, with such an edge, from which a photograph is refused: of what is steep, and of what is disturbed.
/// Of 300 rendered pages without a shadow, 75 of them with a reflection, those with such an edge have at most 0.002 and
/// 0.033; disturbed are at most 0.111, all by reflections.
const ACROSS: (f64, f64) = (0.025, 0.06);

/// Whether the photograph as a whole can be used.
///
/// # Errors
/// The first thing that is wrong with all of it.
pub fn whole(sharpness: Option<Sharpness>, light: &Light) -> Result<(), Fault> {
    if let Some(Sharpness { softest, other, .. }) = sharpness.filter(|s| s.softest > SOFTEST) {
        return Err(Fault::Blurred { softest, other });
    }
    if light.clipped > CLIPPED {
        return Err(Fault::Overexposed(light.clipped));
    }
    let white = light.white()[1];
    if white < DARKEST {
        return Err(Fault::Underexposed(white));
    }
    let across = light.steep.aligned > ALIGNED
        && (light.steep.share > ACROSS.0 || light.disturbed > ACROSS.1);
    if across || light.disturbed > DISTURBED {
        return Err(Fault::Shadow(light.steep.share.max(light.disturbed)));
    }
    Ok(())
}

/// Whether any place is large enough in the picture.
///
/// # Errors
/// [`Fault::TooSmall`] where none is.
pub fn large_enough(lens: &Lens, page: &StagePage) -> Result<(), Fault> {
    let scale = |place: &PartPlace| lens.scale(place.frame.centre()).map(|s| mean_scale(&s));
    let largest = page.places.iter().filter_map(scale).fold(0.0, f64::max);
    if largest < LEAST_SCALE && !page.places.is_empty() {
        return Err(Fault::TooSmall(largest));
    }
    Ok(())
}

/// What is doubtful about where a place is, before its part is looked at.
pub fn position(picture: &Picture, plane: &Plane, light: &Light, place: &PartPlace) -> Vec<Doubt> {
    let f = &place.frame;
    let corners = [(0.0, 0.0), (f.width, 0.0), (f.width, f.height), (0.0, f.height)];
    let inside = |(x, y): &(f64, f64)| {
        let at = plane.lens.project((f.left + x, f.top + y));
        at.and_then(|at| picture.pixel(at)).is_some()
    };
    let scale = plane.lens.scale(f.centre()).map(|s| mean_scale(&s));
    let (Some(scale), true) = (scale, corners.iter().all(inside)) else {
        return vec![Doubt::Outside];
    };
    let mut doubts = Vec::new();
    if scale < LEAST_SCALE {
        doubts.push(Doubt::TooSmall(scale));
    }
    let adrift = plane.lens.uncertainty(f.centre()).map_or(f64::MAX, |pixels| 2.0 * pixels / scale);
    if adrift > ADRIFT {
        doubts.push(Doubt::Adrift(adrift));
    }
    let paper = light.nearest(f);
    if paper > FARTHEST_PAPER {
        doubts.push(Doubt::NoPaper(paper));
    }
    let step = light.step_around(f);
    if step > 0.04_f64.max(4.0 * light.noise) {
        doubts.push(Doubt::ShadowEdge(step));
    }
    doubts
}

/// What is doubtful about a part's face.
pub fn face(face: &Face, plane: &Plane, page: &StagePage, place: &PartPlace) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    if face.clipped > 0.03 {
        doubts.push(Doubt::Clipped(face.clipped));
    }
    if face.lighter > 0.3 {
        doubts.push(Doubt::Glare(face.lighter));
    }
    let veil = veil(plane, page, place);
    if veil > 0.04 {
        doubts.push(Doubt::Glare(veil));
    }
    if face.rough > 0.25 || face.other > 0.35 {
        doubts.push(Doubt::Uneven(face.rough.max(face.other)));
    }
    if is_empty(face, place) {
        doubts.push(Doubt::Empty);
    }
    doubts
}

/// How much lighter than usual the dots around a place are: a reflection lies on black as on colours.
fn veil(plane: &Plane, page: &StagePage, place: &PartPlace) -> f64 {
    let dots = || {
        page.dots.iter().zip(&plane.dots).filter_map(|(at, dot)| Some((*at, dot.as_ref()?.core)))
    };
    let mut all: Vec<f64> = dots().map(|(_, core)| core).collect();
    let usual = crate::capture::least::median(&mut all);
    let reach = 14.0;
    let mut near: Vec<f64> =
        dots().filter(|(at, _)| place.frame.holds(*at, reach)).map(|(_, core)| core).collect();
    crate::capture::least::quantile(&mut near, 0.75) - usual
}

/// Whether what is seen within the outline is the ground around it.
fn is_empty(face: &Face, place: &PartPlace) -> bool {
    // On a print of its own colour a part cannot be told from it by its light alone.
    let Some(ground) = face.ground.filter(|_| place.ground != Ground::Print) else { return false };
    let alike = face.light.iter().zip(ground).all(|(a, b)| (a - b).abs() < 0.01 + 0.04 * b);
    let known = place.known.map(|[l, a, b]| crate::capture::lab::Lab50::new(l, a, b));
    // A part of the ground's own colour is no empty place.
    let other = known.is_none_or(|lab| {
        let ground = match place.ground {
            Ground::White | Ground::Print => 94.0,
            Ground::Grey => 54.0,
            Ground::Black => 12.0,
        };
        crate::capture::lab::difference(lab, crate::capture::lab::Lab50::new(ground, 0.0, 0.0))
            > 12.0
    });
    alike && other
}
