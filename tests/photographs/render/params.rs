//! Everything that decides a photograph besides the page and its parts, and how it is drawn at random.

use crate::render::page::{Rect, StagePage};
use serde::Serialize;

/// Where the camera is and how its lens draws.
#[derive(Debug, Clone, Serialize)]
pub struct View {
    /// Size of the upright picture in pixels.
    pub size: (usize, usize),
    /// Angle of view along the longer side, in degrees.
    pub field: f64,
    /// Share of the picture that the page's bounding box takes in the tighter direction.
    pub fill: f64,
    /// Turns of the camera about the page's x and y, in degrees.
    pub tilt: (f64, f64),
    /// Turn of the page in the picture, in degrees.
    pub roll: f64,
    /// Shift of the page from the middle, in shares of the picture.
    pub offset: (f64, f64),
    /// Radial distortion: share by which a corner of the picture is moved, by the second and the fourth power.
    pub k1: f64,
    pub k2: f64,
    /// How high the sheet rises from the table where it is not flat, in millimetres.
    pub bow: f64,
}

/// One light.
#[derive(Debug, Clone, Serialize)]
pub struct Lamp {
    /// Heading in `data/lights.csv`.
    pub spectrum: String,
    /// Place from the page's centre, and height, in millimetres.
    pub at: (f64, f64, f64),
    /// Share of the light at the page's centre.
    pub power: f64,
    /// Radius of what shines, in millimetres.
    pub radius: f64,
}

/// A soft edge of a shadow across the page: a point of it, its direction, its softness; how wide the shadow of a bar is.
#[derive(Debug, Clone, Serialize)]
pub struct ShadowEdge {
    pub at: (f64, f64),
    pub degrees: f64,
    pub soft: f64,
    pub depth: f64,
    pub wide: Option<f64>,
}

/// The mirrored image of a lamp on glossy paper.
#[derive(Debug, Clone, Serialize)]
pub struct Glare {
    pub at: (f64, f64),
    pub radius: f64,
    pub strength: f64,
}

/// What falls on the page.
#[derive(Debug, Clone, Serialize)]
pub struct Lights {
    pub lamps: [Lamp; 2],
    /// Share of each lamp's light that comes from everywhere.
    pub ambient: f64,
    /// Loss of light in the corners of the picture.
    pub vignette: f64,
    pub shadow: Option<ShadowEdge>,
    pub glare: Option<Glare>,
}

/// What the table is made of.
#[derive(Debug, Clone, Copy, Serialize)]
pub enum Table {
    Wood,
    Cloth,
    Stone,
}

/// A card of known colours that lies on the page: black, with patches in rows.
#[derive(Debug, Clone, Serialize)]
pub struct Card {
    pub rect: Rect,
    pub columns: usize,
    /// CIELAB under D50 for 2 degrees, row by row.
    pub labs: Vec<[f64; 3]>,
    /// Which spectra, as of parts.
    pub pigments: u32,
}

impl Card {
    /// Where a patch lies; a tenth of its cell on every side is black.
    pub fn patch(&self, number: usize) -> Rect {
        let rows = self.labs.len().div_ceil(self.columns);
        let cell = (self.rect.width / self.columns as f64, self.rect.height / rows as f64);
        let (column, row) = (number % self.columns, number / self.columns);
        let left = self.rect.left + cell.0 * (column as f64 + 0.1);
        let top = self.rect.top + cell.1 * (row as f64 + 0.1);
        Rect::new(left, top, 0.8 * cell.0, 0.8 * cell.1)
    }
}

/// What lies about.
#[derive(Debug, Clone, Serialize)]
pub struct Surroundings {
    pub table: Table,
    pub hairs: usize,
    pub dust: usize,
    /// Small things that cover dots.
    pub scraps: usize,
    /// Larger things that lie on the page: place and radius, in millimetres.
    pub covers: Vec<((f64, f64), f64)>,
    pub card: Option<Card>,
    /// Strength of the paper's texture.
    pub texture: f64,
    /// How strong the printer prints its greys: 1 as meant, over 1 darker.
    pub print_gain: f64,
    /// A second sheet without parts, and where its top left corner lies on the first sheet's plane.
    pub second: Option<(Box<StagePage>, (f64, f64))>,
}

/// The camera behind its lens.
#[derive(Debug, Clone, Serialize)]
pub struct Sensor {
    /// Camera of `data/cameras.csv`.
    pub camera: usize,
    /// Shift of its sensitivities, in nanometres, and what every channel takes from the two others.
    pub shift: f64,
    pub mix: f64,
    /// Stray light, as a share of the mean.
    pub flare: f64,
    /// Variance a unit of light, and standard deviation in the dark, in shares of full light.
    pub shot: f64,
    pub read: f64,
    /// Standard deviation of the lens's blur, radius of what is out of focus, in pixels.
    pub blur: f64,
    pub defocus: f64,
    /// Length and direction of a movement, in pixels and degrees.
    pub motion: (f64, f64),
}

/// How the telephone makes a picture of what the sensor gives.
#[derive(Debug, Clone, Serialize)]
pub struct Look {
    /// Light of the paper at the page's centre, in shares of what clips.
    pub exposure: f64,
    /// Error of the white balance.
    pub balance: [f64; 3],
    /// The light that its matrix was made for.
    pub made_for: String,
    pub contrast: f64,
    pub gamma: [f64; 3],
    pub vivid: f64,
    /// How much bright regions are darkened and dark ones brightened, as a power of their light.
    pub local: f64,
    pub sharpening: f64,
}

/// How the picture is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Format {
    Jpeg { quality: u8 },
    Png,
    Tiff16,
}

/// The file.
#[derive(Debug, Clone, Serialize)]
pub struct File {
    pub format: Format,
    /// EXIF orientation, 1 to 8: the stored pixels are turned so that a viewer shows the upright picture.
    pub orientation: u8,
    /// Wider primaries, with their ICC profile.
    pub wide: bool,
}

/// Everything that decides a photograph besides the page and its parts.
#[derive(Debug, Clone, Serialize)]
pub struct Params {
    pub seed: u64,
    pub view: View,
    pub lights: Lights,
    pub around: Surroundings,
    pub sensor: Sensor,
    pub look: Look,
    pub file: File,
}
