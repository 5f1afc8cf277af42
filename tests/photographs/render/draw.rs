//! Parameters by chance: a usual photograph, and those that a reader must refuse or stand.

use crate::render::page::StagePage;
use crate::render::params::*;
use fastrand::Rng;
use serde::Serialize;

/// What is wrong with a photograph.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Case {
    Usual,
    Careful,
    Careless,
    Blurred,
    Moved,
    Glare,
    Clipped,
    Dark,
    ShadowAcross,
    TooSmall,
    HalfPage,
    UpsideDown,
    CodeCovered,
    DotsCovered,
    NoPage,
}

/// An even chance between two numbers.
pub(crate) fn between(rng: &mut Rng, low: f64, high: f64) -> f64 {
    low + (high - low) * rng.f64()
}

fn either(rng: &mut Rng, size: f64) -> f64 {
    between(rng, -size, size)
}

impl Params {
    /// A photograph as most people take it.
    pub fn usual(seed: u64) -> Self {
        let rng = &mut Rng::with_seed(seed);
        Self {
            seed,
            view: view(rng),
            lights: lights(rng),
            around: around(rng),
            sensor: sensor(rng),
            look: look(rng),
            file: file(rng),
        }
    }

    /// A photograph with one thing about it.
    pub fn of(case: Case, seed: u64) -> Self {
        let mut params = Self::usual(seed);
        let rng = &mut Rng::with_seed(seed ^ 0x5eed);
        match case {
            Case::Usual => {}
            Case::Careful => params.careful(rng),
            Case::Careless => params.careless(rng),
            Case::Blurred => params.sensor.defocus = between(rng, 5.0, 9.0),
            Case::Moved => {
                params.sensor.motion = (between(rng, 12.0, 24.0), between(rng, 0.0, 180.0))
            }
            Case::Glare => {
                let at = (between(rng, 60.0, 150.0), between(rng, 90.0, 230.0));
                params.lights.glare = Some(Glare {
                    at,
                    radius: between(rng, 22.0, 40.0),
                    strength: between(rng, 0.9, 1.8),
                });
            }
            Case::Clipped => params.look.exposure = between(rng, 1.5, 2.2),
            Case::Dark => params.look.exposure = between(rng, 0.05, 0.1),
            Case::ShadowAcross => {
                let at = (between(rng, 70.0, 140.0), between(rng, 100.0, 200.0));
                let (degrees, soft, depth) =
                    (between(rng, 0.0, 180.0), between(rng, 1.5, 6.0), between(rng, 0.3, 0.6));
                params.lights.shadow = Some(ShadowEdge { at, degrees, soft, depth, wide: None });
            }
            Case::TooSmall => params.view.fill = between(rng, 0.25, 0.4),
            Case::HalfPage => {
                params.view.fill = between(rng, 0.98, 1.04);
                params.view.offset = (either(rng, 0.02), between(rng, 0.4, 0.55));
            }
            Case::UpsideDown => params.view.roll += 180.0,
            Case::CodeCovered => params
                .around
                .covers
                .push(((between(rng, 20.0, 26.0), between(rng, 20.0, 26.0)), 9.0)),
            Case::DotsCovered => {
                let (x, y) = (between(rng, 40.0, 160.0), between(rng, 60.0, 240.0));
                params.around.covers.extend([
                    ((x, 4.0), 14.0),
                    ((205.0, y), 18.0),
                    ((x, 293.0), 10.0),
                ]);
            }
            Case::NoPage => params.view.offset = (1.4, 0.2),
        }
        params
    }

    /// A second sheet beside the first; the view is widened for both.
    pub fn with_second(mut self, page: StagePage) -> Self {
        let left = page.size.0 + 12.0;
        self.around.second = Some((Box::new(page), (left, 9.0)));
        self.view.size =
            (self.view.size.0.max(self.view.size.1), self.view.size.0.min(self.view.size.1));
        self.view.fill = 0.86;
        self.view.offset = (-0.22, 0.0);
        for lamp in &mut self.lights.lamps {
            lamp.at = (2.0 * lamp.at.0, lamp.at.1, 2.0 * lamp.at.2);
        }
        self
    }

    fn careful(&mut self, rng: &mut Rng) {
        self.view.tilt = (either(rng, 2.0), either(rng, 2.0));
        self.view.roll = either(rng, 1.5);
        self.view.bow *= 0.3;
        let name = self.lights.lamps[0].spectrum.clone();
        for lamp in &mut self.lights.lamps {
            lamp.spectrum.clone_from(&name);
            lamp.at.2 *= 1.4;
            lamp.power = 0.5;
        }
        self.lights.ambient = 0.5;
        self.around.hairs = 0;
        self.sensor.shot *= 0.5;
        self.look.local = 0.0;
    }

    fn careless(&mut self, rng: &mut Rng) {
        self.view.tilt = (either(rng, 15.0), either(rng, 15.0));
        self.view.roll = either(rng, 9.0);
        self.view.fill = between(rng, 0.75, 0.82);
        self.view.bow = between(rng, 0.5, 1.2);
        self.lights.ambient = 0.2;
        self.lights.vignette = 0.4;
        self.around.scraps = 3;
        self.around.hairs = 3;
        self.look.local = between(rng, 0.05, 0.15);
        self.sensor.shot *= 3.0;
        self.sensor.read *= 2.0;
        self.sensor.defocus = between(rng, 0.6, 1.2);
    }
}

fn view(rng: &mut Rng) -> View {
    let sizes = [(3000, 4000), (3024, 4032), (2736, 3648), (2448, 3264)];
    let bent = between(rng, -0.018, 0.018);
    View {
        size: sizes[rng.usize(0..sizes.len())],
        field: between(rng, 46.0, 66.0),
        fill: between(rng, 0.86, 0.95),
        tilt: (either(rng, 7.0), either(rng, 6.0)),
        roll: either(rng, 4.0),
        offset: (either(rng, 0.015), either(rng, 0.015)),
        k1: bent,
        k2: -bent * between(rng, 0.1, 0.5),
        bow: between(rng, 0.0, 0.5),
    }
}

fn lights(rng: &mut Rng) -> Lights {
    let names =
        ["d50", "d65", "d75", "led_3000", "led_4100", "led_5100", "led_6600", "led_violet_4100"];
    let first = rng.usize(0..names.len());
    let second = if rng.bool() { first } else { rng.usize(0..names.len()) };
    let share = between(rng, 0.35, 0.65);
    let mut lamp = |index: usize, side: f64, power: f64| Lamp {
        spectrum: names[index].to_owned(),
        at: (side * between(rng, 350.0, 900.0), either(rng, 400.0), between(rng, 500.0, 1200.0)),
        power,
        radius: between(rng, 40.0, 160.0),
    };
    let lamps = [lamp(first, -1.0, share), lamp(second, 1.0, 1.0 - share)];
    let ambient = between(rng, 0.25, 0.5);
    Lights { lamps, ambient, vignette: between(rng, 0.05, 0.3), shadow: None, glare: None }
}

fn around(rng: &mut Rng) -> Surroundings {
    Surroundings {
        table: [Table::Wood, Table::Cloth, Table::Stone][rng.usize(0..3)],
        hairs: rng.usize(0..3),
        dust: rng.usize(10..80),
        scraps: rng.usize(0..2),
        covers: Vec::new(),
        card: None,
        texture: between(rng, 0.003, 0.012),
        print_gain: between(rng, 0.92, 1.12),
        second: None,
    }
}

fn sensor(rng: &mut Rng) -> Sensor {
    Sensor {
        camera: if rng.usize(0..12) == 0 { 2 } else { 1 },
        shift: either(rng, 8.0),
        mix: between(rng, 0.0, 0.08),
        flare: between(rng, 0.002, 0.015),
        shot: between(rng, 0.15e-4, 1e-4),
        read: between(rng, 0.4e-3, 1.5e-3),
        blur: between(rng, 0.5, 0.8),
        defocus: 0.0,
        motion: (0.0, 0.0),
    }
}

fn look(rng: &mut Rng) -> Look {
    let names = ["d65", "d50", "led_4100"];
    Look {
        exposure: between(rng, 0.55, 0.85),
        balance: [1.0 + either(rng, 0.03), 1.0, 1.0 + either(rng, 0.04)],
        made_for: names[rng.usize(0..names.len())].to_owned(),
        contrast: between(rng, 0.0, 0.18),
        gamma: std::array::from_fn(|_| 1.0 + either(rng, 0.02)),
        vivid: between(rng, 1.0, 1.12),
        local: if rng.bool() { 0.0 } else { between(rng, 0.01, 0.08) },
        sharpening: between(rng, 0.2, 0.7),
    }
}

fn file(rng: &mut Rng) -> File {
    let qualities = [75, 85, 90, 95, 97];
    let format = Format::Jpeg { quality: qualities[rng.usize(0..qualities.len())] };
    File { format, orientation: [1, 6, 6, 8][rng.usize(0..4)], wide: rng.usize(0..3) == 0 }
}
