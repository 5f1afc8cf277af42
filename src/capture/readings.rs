//! A photograph's readings: a colour a place, or why there is none.

use crate::capture::camera::{Camera, Known, Model};
use crate::capture::chart::{self, ChartSeen, patch_light};
use crate::capture::code::{Found, find_code};
use crate::capture::corners::{self, Corners};
use crate::capture::cut::outline_of;
use crate::capture::decode::{Limits, decode};
use crate::capture::doubt::Doubt;
use crate::capture::face::{self, Face, Scene};
use crate::capture::fault::Fault;
use crate::capture::lab::{Lab50, difference};
use crate::capture::lens::{Lens, mean_scale};
use crate::capture::light::Light;
use crate::capture::page::{PartPlace, PrintPatch, StagePage};
use crate::capture::picture::Picture;
use crate::capture::plane::{self, Plane};
use crate::capture::quality;
use crate::capture::sharpness;

/// What one place came out as.
#[derive(Debug, Clone)]
pub struct Reading {
    /// The place's index on the page.
    pub place: usize,
    /// What was seen, relative to the paper; `None` where nothing could be.
    pub face: Option<Face>,
    /// The colour: CIELAB, D50; relative to the paper where the whole page is.
    pub lab: Option<Lab50>,
    /// The colour that a place with a known one would have come out as without helping the camera's model.
    pub left_out: Option<Lab50>,
    /// How much the face varies, CIEDE2000: root of the mean square over its blocks.
    pub spread: f64,
    /// How far the camera's model may be off, CIEDE2000; `None` for relative readings.
    pub model_error: Option<f64>,
    /// What is doubtful, or why there is no colour.
    pub doubts: Vec<Doubt>,
}

impl Reading {
    /// Does no part seem to lie there?
    pub fn is_empty(&self) -> bool {
        self.doubts.contains(&Doubt::Empty)
    }
}

/// What a photograph came out as.
#[derive(Debug, Clone)]
pub struct PageReadings {
    /// One for each place of the page.
    pub readings: Vec<Reading>,
    /// No colour was known: readings are what the picture's profile says, beside a paper of about L 95.
    pub relative: bool,
    /// How the camera was modelled.
    pub model: Model,
    /// CIEDE2000 of known colours that were left out: the mean, and what one in twenty exceeds.
    pub error: Option<(f64, f64)>,
    /// Known colours that the model was fitted to.
    pub references: usize,
    /// What the chart on the page came out as, if there is one.
    pub chart: Option<ChartSeen>,
    /// The colour of each patch of a print, as of places; none where it is not even.
    pub prints: Vec<Option<Lab50>>,
    /// The paper's own colour, as the camera's model has it.
    pub paper: Lab50,
    /// Dots that were found, and that the page has.
    pub dots: (usize, usize),
    /// How far dots are from where they belong: RMS in millimetres.
    pub rms: f64,
    /// Pixels a millimetre: the least of all places.
    pub scale: f64,
    /// Width of edges: standard deviation in millimetres in the softest direction.
    pub blur: f64,
    /// The least light over the most.
    pub evenness: f64,
    /// Where each place's middle is in the picture, in pixels.
    pub pixels: Vec<Option<(f64, f64)>>,
}

/// Reads a photograph of a page.
///
/// # Errors
/// Everything for which nothing of it can be read.
pub fn read(bytes: &[u8], page: &StagePage, limits: &Limits) -> Result<PageReadings, Fault> {
    let picture = decode(bytes, limits)?;
    let seen = see(&picture, &find_code(&picture)?, page)?;
    Ok(read_seen(&picture, &seen, page))
}

/// A photograph of a page, as far as it is known where everything lies and how it is lit.
#[derive(Debug)]
pub struct SeenPage {
    plane: Plane,
    light: Light,
    /// Width of edges, where any could be measured.
    blur: Option<f64>,
}

impl SeenPage {
    /// From the page to the picture.
    pub fn lens(&self) -> &Lens {
        &self.plane.lens
    }

    /// The light on the page.
    pub fn light(&self) -> &Light {
        &self.light
    }
}

/// Finds a page in a decoded photograph whose code was found.
///
/// # Errors
/// Everything for which nothing of it can be read.
pub fn see(picture: &Picture, code: &Found, page: &StagePage) -> Result<SeenPage, Fault> {
    if code.text != page.code.text {
        let (found, expected) = (code.text.clone(), page.code.text.clone());
        return Err(Fault::OtherPage { found, expected });
    }
    lit(picture, plane::find(picture, code, page)?, page)
}

/// The same for a picture without marks, of which the corners of a rectangle are given.
///
/// # Errors
/// Everything for which nothing of it can be read.
pub fn see_corners(
    picture: &Picture,
    corners: &Corners,
    page: &StagePage,
) -> Result<SeenPage, Fault> {
    lit(picture, corners::plane(picture, corners, page)?, page)
}

/// What is known of the light and the sharpness, once it is known where everything lies.
fn lit(picture: &Picture, plane: Plane, page: &StagePage) -> Result<SeenPage, Fault> {
    quality::large_enough(&plane.lens, page)?;
    let sharpness = sharpness::measure(picture, &plane, page);
    let light = Light::measure(picture, &plane.lens, page)?;
    quality::whole(sharpness, &light)?;
    Ok(SeenPage { plane, light, blur: sharpness.map(|s| s.softest) })
}

/// Reads the colours of a page that was found.
pub fn read_seen(picture: &Picture, seen: &SeenPage, page: &StagePage) -> PageReadings {
    let SeenPage { plane, light, blur } = seen;
    let mut readings = look(picture, plane, light, page);
    let scene = Scene { picture, lens: &plane.lens, light };
    let chart = page.chart.as_ref().map(|chart| chart::look(scene, chart));
    let references = chart.as_ref().map_or(&[][..], |seen| &seen.known);
    let camera = model(&mut readings, (picture, references), page);
    let scale = |frame: (f64, f64)| plane.lens.scale(frame).map_or(0.0, |s| mean_scale(&s));
    let scales = page.places.iter().map(|p| scale(p.frame.centre()));
    PageReadings {
        readings,
        relative: camera.model == Model::Relative,
        model: camera.model,
        error: camera.error,
        references: camera.left_out.len(),
        chart,
        paper: camera.colour([1.0; 3]),
        prints: page.prints.iter().map(|p| print(scene, p, &camera)).collect(),
        dots: (plane.dots.iter().flatten().count(), plane.dots.len()),
        rms: plane.rms,
        scale: scales.fold(f64::MAX, f64::min),
        blur: blur.unwrap_or(0.0),
        evenness: light.evenness,
        pixels: page.places.iter().map(|p| plane.lens.project(p.frame.centre())).collect(),
    }
}

/// Looks at every place.
fn look(picture: &Picture, plane: &Plane, light: &Light, page: &StagePage) -> Vec<Reading> {
    let scene = Scene { picture, lens: &plane.lens, light };
    let places = page.places.iter().enumerate().map(|(i, place)| {
        let mut doubts = quality::position(picture, plane, light, place);
        let seen = if doubts.contains(&Doubt::Outside) { None } else { face_of(scene, place) };
        match &seen {
            Some(face) => doubts.extend(quality::face(face, plane, page, place)),
            None if doubts.is_empty() => doubts.push(Doubt::NoFace),
            None => {}
        }
        let (lab, left_out, spread, model_error) = (None, None, 0.0, None);
        Reading { place: i, face: seen, lab, left_out, spread, model_error, doubts }
    });
    places.collect()
}

/// The face of the part on a place; of a part without a drawing within the outline that is seen.
fn face_of(scene: Scene<'_>, place: &PartPlace) -> Option<Face> {
    let traced = if place.boxed { outline_of(scene, place) } else { None };
    match traced {
        Some(outline) => face::look(scene, &PartPlace { outline, ..place.clone() }),
        None => face::look(scene, place),
    }
}

/// The colour of a patch of a print.
fn print(scene: Scene<'_>, patch: &PrintPatch, camera: &Camera) -> Option<Lab50> {
    Some(camera.colour(patch_light(scene, patch.frame, patch.outline.clone())?))
}

/// Fits the camera to the places whose colours are known and to the patches of a chart, and gives every place its
/// colour.
fn model(
    readings: &mut [Reading],
    (picture, chart): (&Picture, &[Known]),
    page: &StagePage,
) -> Camera {
    let mut from = Vec::new();
    let mut known = Vec::new();
    for reading in readings.iter() {
        let place = page.places.get(reading.place).and_then(|p| p.known);
        let (Some([l, a, b]), Some(face)) = (place, &reading.face) else { continue };
        let refused = reading.doubts.iter().any(|d| d.refuses() || *d == Doubt::Empty);
        if refused || ![l, a, b].iter().all(|v| v.is_finite()) {
            continue;
        }
        let weight = 0.5f64.powi(reading.doubts.len() as i32);
        from.push(reading.place);
        known.push(Known { light: face.light, lab: Lab50::new(l, a, b), weight });
    }
    known.extend_from_slice(chart);
    let camera = Camera::fit(&known, picture.matrix());
    for reading in readings.iter_mut() {
        if reading.doubts.iter().any(Doubt::refuses) {
            continue;
        }
        let Some(face) = &reading.face else { continue };
        let lab = camera.colour(face.light);
        let apart = face.blocks.iter().map(|b| difference(camera.colour(*b), lab).powi(2));
        reading.spread = (apart.sum::<f64>() / face.blocks.len().max(1) as f64).sqrt();
        reading.lab = Some(lab);
        reading.model_error = camera.error_at(face.light);
        let reference = from.iter().position(|place| *place == reading.place);
        reading.left_out = reference.and_then(|i| camera.left_out.get(i)).copied();
    }
    camera
}
