//! The light on the page: what the bare paper sends back, all over it.

use crate::capture::fault::Fault;
use crate::capture::lens::Lens;
use crate::capture::page::{Rect, StagePage};
use crate::capture::picture::Picture;
use crate::capture::spline::{Sample, Surface};
use crate::capture::steep::Steep;
use crate::capture::white::{self, White};

/// Edge of the surface's cells in millimetres.
const CELL: f64 = 22.0;
/// What is off by more than this, with all its neighbours, is a shadow or a reflection.
const DISTURBED: f64 = 0.035;

/// The light on a page.
#[derive(Debug, Clone)]
pub struct Light {
    surface: Surface,
    looks: Vec<White>,
    /// How far each look is off the surface, relative.
    off: Vec<f64>,
    /// How far looks usually are off.
    pub noise: f64,
    /// The share of the paper that clips.
    pub clipped: f64,
    /// The share of the paper where a shadow's edge or a reflection lies.
    pub disturbed: f64,
    /// Where it changes faster than lamps make it.
    pub steep: Steep,
    /// The least light over the most: 1 for even light.
    pub evenness: f64,
}

impl Light {
    /// Measures the light on a page.
    ///
    /// # Errors
    /// [`Fault::NoPaper`] where too little bare paper is seen.
    pub fn measure(picture: &Picture, lens: &Lens, page: &StagePage) -> Result<Light, Fault> {
        let looks = white::look(picture, lens, page);
        let clipped = looks.iter().map(|w| w.clipped).sum::<f64>() / looks.len().max(1) as f64;
        let samples: Vec<Sample> =
            looks.iter().map(|w| Sample { at: w.page, value: w.light }).collect();
        let (surface, off, noise) =
            Surface::fit(page.size, CELL, &samples).ok_or(Fault::NoPaper)?;
        let greens = looks.iter().map(|w| surface.at(w.page)[1]);
        let (least, most) =
            greens.fold((f64::MAX, 0f64), |(least, most), v| (least.min(v), most.max(v)));
        let evenness = (least / most.max(1e-6)).clamp(0.0, 1.0);
        let steep = Steep::of(&looks);
        let mut light =
            Light { surface, looks, off, noise, clipped, disturbed: 0.0, steep, evenness };
        light.disturbed = light.share_disturbed();
        Ok(light)
    }

    /// What the paper would send back at a point of the page.
    pub fn at(&self, page: (f64, f64)) -> [f64; 3] {
        self.surface.at(page).map(|v| v.max(1e-4))
    }

    /// The light of the paper, in the middle of all looks, per channel.
    pub fn white(&self) -> [f64; 3] {
        [0, 1, 2].map(|c| {
            let mut values: Vec<f64> = self.looks.iter().map(|w| w.light[c]).collect();
            crate::capture::least::median(&mut values)
        })
    }

    /// How far away the nearest paper is, from the edge of a frame.
    pub fn nearest(&self, frame: &Rect) -> f64 {
        let far = |w: &White| {
            let dx = (frame.left - w.page.0).max(w.page.0 - frame.left - frame.width).max(0.0);
            let dy = (frame.top - w.page.1).max(w.page.1 - frame.top - frame.height).max(0.0);
            dx.hypot(dy)
        };
        self.looks.iter().map(far).fold(f64::MAX, f64::min)
    }

    /// How much the paper around a frame is off the smooth surface: what a tenth of it exceeds.
    pub fn step_around(&self, frame: &Rect) -> f64 {
        let near = self.looks.iter().zip(&self.off).filter(|(w, _)| frame.holds(w.page, 9.0));
        let mut off: Vec<f64> = near.map(|(_, off)| off.abs()).collect();
        crate::capture::least::quantile(&mut off, 0.85)
    }

    /// The share of looks that are off together with what is around them.
    fn share_disturbed(&self) -> f64 {
        let reach = 7.0;
        let mut count = 0usize;
        for look in &self.looks {
            let near = self.looks.iter().zip(&self.off).filter(|(w, _)| {
                (w.page.0 - look.page.0).abs() < reach && (w.page.1 - look.page.1).abs() < reach
            });
            let mut off: Vec<f64> = near.map(|(_, off)| off.abs()).collect();
            count += usize::from(
                crate::capture::least::median(&mut off) > DISTURBED.max(3.0 * self.noise),
            );
        }
        count as f64 / self.looks.len().max(1) as f64
    }
}
