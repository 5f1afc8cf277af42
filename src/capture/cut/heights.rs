//! How thick the parts of a page are.

use crate::capture::cut::eye::Eye;
use crate::capture::cut::patch::Patch;
use crate::capture::cut::raster::moved;
use crate::capture::cut::relief::{self, Profile};
use crate::capture::cut::spot::{FAINT, expected, room};
use crate::capture::cut::trace::trace;
use crate::capture::cut::{Outline, pieces, silhouette};
use crate::capture::face::Scene;
use crate::capture::least::median;
use crate::capture::{PartPlace, StagePage};

/// Places that are looked at, for each part and of all, at most; those farthest from the camera's foot.
const MOST: (usize, usize) = (14, 56);
/// Nearer to the camera's foot nothing is seen of a thickness, in millimetres.
const NEAREST: f64 = 30.0;

/// What the places of one part say.
#[derive(Default)]
struct PartSeen {
    key: String,
    looked: usize,
    profiles: Vec<Profile>,
    /// Thicknesses by the drawing, in millimetres.
    shaped: Vec<f64>,
    /// What is seen of pieces without a drawing, in millimetres of the page.
    pieces: Vec<Outline>,
}

/// Thickness by part, in millimetres: by the drawing, else by the light on its side; where a part alone says nothing,
/// what all parts of the page say.
pub fn of(scene: Scene, page: &StagePage, eye: &Eye) -> Vec<(String, Option<f64>)> {
    let parts = look(scene, page, eye);
    let own = |part: &PartSeen| {
        let lit = || if part.profiles.len() >= 3 { relief::height(&part.profiles) } else { None };
        silhouette::agreed(&part.shaped).or_else(|| pieces::height(&part.pieces, eye)).or_else(lit)
    };
    let all: Vec<Profile> = parts.iter().flat_map(|part| part.profiles.clone()).collect();
    let shaped: Vec<f64> = parts.iter().flat_map(|part| part.shaped.clone()).collect();
    let mut told: Vec<f64> = parts.iter().filter_map(own).collect();
    let middle = median(&mut told);
    let alike = told.len() >= 2 && told.iter().all(|h| (h - middle).abs() < 0.4);
    let common =
        silhouette::agreed(&shaped).or_else(|| relief::height(&all)).or(alike.then_some(middle));
    parts
        .into_iter()
        .map(|part| {
            let h = own(&part).or(common);
            (part.key, h)
        })
        .collect()
}

fn look(scene: Scene, page: &StagePage, eye: &Eye) -> Vec<PartSeen> {
    let far = |p: &PartPlace| {
        let c = p.frame.centre();
        (c.0 - eye.foot.0).hypot(c.1 - eye.foot.1)
    };
    let mut places: Vec<&PartPlace> = page.places.iter().collect();
    places.sort_by(|a, b| far(b).total_cmp(&far(a)));
    let mut parts: Vec<PartSeen> = Vec::new();
    for place in places {
        let at = parts.iter().position(|part| part.key == place.part).unwrap_or_else(|| {
            parts.push(PartSeen { key: place.part.clone(), ..PartSeen::default() });
            parts.len() - 1
        });
        let all: usize = parts.iter().map(|part| part.looked).sum();
        let Some(part) = parts.get_mut(at) else { continue };
        // Pieces without a drawing are compared with each other: those in the middle as well.
        let tells = place.boxed || far(place) > NEAREST;
        if part.looked < MOST.0 && all < MOST.1 && tells {
            part.looked += 1;
            part.look(scene, place, eye);
        }
    }
    parts
}

impl PartSeen {
    fn look(&mut self, scene: Scene, place: &PartPlace, eye: &Eye) {
        let Ok(patch) = Patch::take(scene, &room(place)) else { return };
        let Ok(traced) = trace(&patch, &expected(&patch, &place.outline), place.boxed) else {
            return;
        };
        if traced.segment.contrast <= 2.0 * FAINT {
            return;
        }
        self.profiles.extend(relief::profile(&patch, &traced.whole, eye));
        let seen = moved(&traced.whole, |p| patch.to_page(p));
        match place.boxed {
            true => self.pieces.push(seen),
            false => self.shaped.extend(silhouette::height(&place.outline, &seen, eye)),
        }
    }
}
