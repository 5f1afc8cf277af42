//! What is true of a photograph.

use crate::render::geometry::Camera;
use crate::render::page::{Polygon, StagePage};
use crate::render::params::Params;
use crate::render::parts::LaidPart;
use serde::Serialize;

/// One place of the page. Pixels are those of the upright picture, (0.5, 0.5) the middle of the first.
#[derive(Debug, Clone, Serialize)]
pub struct PlaceTruth {
    pub part: String,
    pub colour: String,
    /// The corners of the frame and its centre, in pixels.
    pub frame: [(f64, f64); 4],
    pub centre: (f64, f64),
    pub pixels_per_mm: f64,
    /// The colour of the part's face, CIELAB under D50 for 2 degrees; none if nothing was laid there.
    pub lab: Option<[f64; 3]>,
    /// The part's outline on the paper, and its upper face as it is seen on the page's plane, in millimetres.
    pub outline: Vec<Polygon>,
    pub face: Vec<Polygon>,
}

/// What is true of a photograph.
#[derive(Debug, Clone, Serialize)]
pub struct Truth {
    /// Size of the upright picture.
    pub size: (usize, usize),
    /// From millimetres to pixels without distortion (for a flat sheet).
    pub homography: [[f64; 3]; 3],
    /// Distortion: an offset from `middle` is multiplied with 1 + k1 r^2 + k2 r^4, r in units of `radius`.
    pub k1: f64,
    pub k2: f64,
    pub middle: (f64, f64),
    pub radius: f64,
    /// The lens: millimetres on the page and above it.
    pub eye: (f64, f64, f64),
    /// Every dot's centre, in pixels.
    pub dots: Vec<(f64, f64)>,
    pub places: Vec<PlaceTruth>,
    pub params: Params,
}

impl Truth {
    pub fn new(
        page: &StagePage,
        laid: &[LaidPart],
        seen: (&Camera, &[[f64; 3]]),
        params: &Params,
    ) -> Self {
        let (camera, labs) = seen;
        let places = page.places.iter().enumerate().map(|(number, place)| {
            let part = laid.iter().position(|part| part.place == number);
            PlaceTruth {
                part: place.part.clone(),
                colour: place.colour.clone(),
                frame: place.frame.corners().map(|p| camera.to_pixel(p)),
                centre: camera.to_pixel(place.frame.centre()),
                pixels_per_mm: camera.pixels_per_mm(place.frame.centre()),
                lab: part.map(|k| labs[k]),
                outline: part.map_or_else(Vec::new, |k| laid[k].outline(page)),
                face: part.map_or_else(Vec::new, |k| laid[k].face(page, camera)),
            }
        });
        Self {
            size: params.view.size,
            homography: camera.plane,
            k1: camera.k1,
            k2: camera.k2,
            middle: camera.middle,
            radius: camera.radius,
            eye: camera.eye,
            dots: page.dots.iter().map(|&dot| camera.to_pixel(dot)).collect(),
            places: places.collect(),
            params: params.clone(),
        }
    }
}
