//! Photographs as a telephone takes them of a page with parts, for tests: the same seed gives the same bytes.
//!
//! `StagePage` -> `lay` -> `render`. Colours are spectra until a sensor has seen them; from then on a pixel is the mean of four
//! samples of a fine grid of cells, each a material with a brightness, a shine and a share of two lamps' light.

#![allow(dead_code, reason = "more can be rendered than the tests look at")]

mod broken;
mod colour;
mod develop;
mod draw;
mod encode;
mod example;
mod expose;
mod field;
mod geometry;
mod grain;
mod local;
mod materials;
mod optics;
mod page;
mod params;
mod parts;
mod print;
mod profile;
mod raster;
mod recover;
mod sensor;
mod spectra;
mod tests;
mod truth;

pub use self::broken::{Broken, broken};
pub use self::draw::Case;
pub use self::geometry::Camera;
pub use self::page::{CodeMark, Ground, PartPlace, Patch, Rect, StagePage};
pub use self::params::*;
pub use self::parts::{LaidPart, lay};
pub use self::truth::Truth;

use self::expose::Stage;
use self::field::Field;
use self::grain::Tile;
use self::materials::Materials;
use self::optics::Picture;
use self::sensor::Response;

/// A picture's file and what is true of it.
pub struct Photograph {
    pub bytes: Vec<u8>,
    pub truth: Truth,
}

/// A photograph of a page with parts on it.
pub fn render(page: &StagePage, laid: &[LaidPart], params: &Params) -> Photograph {
    let (picture, response, truth) = exposed(page, laid, params);
    let rng = &mut fastrand::Rng::with_seed(params.seed ^ 0x0015e);
    let pixels = develop::developed(&picture, &response, params, rng);
    Photograph { bytes: encode::encoded(&pixels, params.view.size, &params.file), truth }
}

/// The light on the sensor.
fn exposed(page: &StagePage, laid: &[LaidPart], params: &Params) -> (Picture, Response, Truth) {
    let rng = &mut fastrand::Rng::with_seed(params.seed ^ 0xface);
    let camera = Camera::new(&params.view, page.size);
    let around = &params.around;
    let mut materials = Materials::new(table(around.table, rng), around.print_gain);
    let per_mm =
        (1.6 * camera.pixels_per_mm((page.size.0 / 2.0, page.size.1 / 2.0))).clamp(6.0, 18.0);
    let mut sheet = print::printed(page, &mut materials, per_mm);
    for (outline, lab) in &page.prints {
        print::coloured(&mut sheet, outline, *lab, &mut materials);
    }
    let scene = parts::Scene {
        page,
        camera: &camera,
        lamps: &params.lights.lamps,
        ambient: params.lights.ambient,
    };
    let labs = scene.lay(laid, &mut sheet, &mut materials);
    if let Some(card) = &around.card {
        print::card(&mut sheet, card, &mut materials);
    }
    print::littered(&mut sheet, around, page, rng);
    let other = around
        .second
        .as_ref()
        .map(|(page, at)| (print::printed(page, &mut materials, per_mm), *at));
    let response = Response::new(&materials, &params.sensor, &params.lights);
    let stage = Stage {
        sheet: &sheet,
        second: other.as_ref().map(|(raster, at)| (raster, (at.0 as f32, at.1 as f32))),
        around,
        paper: &Tile::new(&[((2, 2), 1.0), ((8, 8), 0.6), ((64, 64), 0.5)], rng),
        table: &Tile::new(&[((2, 2), 0.4), ((8, 8), 0.6), ((32, 32), 0.8), ((128, 128), 1.0)], rng),
        weave: &Tile::woven(rng),
        response: &response,
    };
    let field = Field::new(&camera, &params.lights, params.view.size, page.size);
    let (wide, high) = params.view.size;
    let mut picture = Picture { wide, high, light: stage.exposed(&field, params.view.size) };
    if params.sensor.defocus > 0.0 {
        picture.defocused(params.sensor.defocus);
    }
    if params.sensor.motion.0 > 0.0 {
        picture.moved(params.sensor.motion.0, params.sensor.motion.1);
    }
    picture.softened(params.sensor.blur);
    let truth = Truth::new(page, laid, (&camera, &labs), params);
    (picture, response, truth)
}

/// A table's colour.
fn table(of: Table, rng: &mut fastrand::Rng) -> [f64; 3] {
    let l = draw::between(rng, -6.0, 6.0);
    match of {
        Table::Wood => [34.0 + l, 12.0, 20.0],
        Table::Cloth => [28.0 + l, 2.0, -8.0],
        Table::Stone => [40.0 + l, 0.0, 2.0],
    }
}
