//! Where the page is: from its code outwards to all dots that can be seen.

use crate::capture::bow::{Bow, Off};
use crate::capture::code::Found;
use crate::capture::dots::{self, Dot, Target};
use crate::capture::fault::Fault;
use crate::capture::least::median;
use crate::capture::lens::{Frame, Lens, Tie, mean_scale};
use crate::capture::page::StagePage;
use crate::capture::picture::Picture;

/// Times that more dots are looked for.
const ROUNDS: usize = 24;
/// How far from where it is expected a dot is looked for, in millimetres.
const FARTHEST: f64 = 6.0;
/// The largest RMS of a flat page, in millimetres.
const FLAT: f64 = 0.3;
/// Dots that a page needs.
const LEAST_DOTS: usize = 8;

/// The page's plane.
#[derive(Debug, Clone)]
pub struct Plane {
    /// From the page to the picture.
    pub lens: Lens,
    /// Each dot of the page, if it was found and lies where it belongs.
    pub dots: Vec<Option<Dot>>,
    /// How far they are from where they belong, in millimetres: root of the mean square.
    pub rms: f64,
}

/// Finds the page's plane.
///
/// # Errors
/// Where too few dots are in the picture, where they are covered, and where the page is not flat.
pub fn find(picture: &Picture, code: &Found, page: &StagePage) -> Result<Plane, Fault> {
    let mut growth = Growth::begin(picture, code, page).ok_or(Fault::NoCode)?;
    for _ in 0..ROUNDS {
        if !growth.grow() {
            break;
        }
    }
    // With all that is known now, each once more, near where it must be.
    growth.again();
    growth.finish()
}

struct Growth<'a> {
    picture: &'a Picture,
    page: &'a StagePage,
    frame: Frame,
    corners: Vec<Tie>,
    dots: Vec<Option<Dot>>,
    weights: Vec<f64>,
    lens: Lens,
}

impl<'a> Growth<'a> {
    fn begin(picture: &'a Picture, code: &Found, page: &'a StagePage) -> Option<Growth<'a>> {
        let (width, height) = (picture.width() as f64, picture.height() as f64);
        let frame = Frame {
            origin: page.code.rect().centre(),
            page_unit: 0.5 * page.size.0.hypot(page.size.1).max(1.0),
            middle: (width / 2.0, height / 2.0),
            picture_unit: 0.5 * width.hypot(height),
        };
        let (left, top, side) = (page.code.left, page.code.top, page.code.side);
        let printed = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
        let ties = printed.iter().zip(code.corners);
        let corners: Vec<Tie> = ties
            .map(|((x, y), pixel)| Tie {
                page: (left + x, top + y),
                pixel,
                sigma: code.sigma,
                weight: 1.0,
            })
            .collect();
        let lens = Lens::fit(frame, &corners, None)?;
        let dots = vec![None; page.dots.len()];
        let weights = vec![1.0; page.dots.len()];
        Some(Growth { picture, page, frame, corners, dots, weights, lens })
    }

    /// How far off a dot may be, in millimetres.
    fn reach(&self, page: (f64, f64)) -> Option<f64> {
        let scale = mean_scale(&self.lens.scale(page)?);
        Some(3.0 * self.lens.uncertainty(page)? / scale.max(1e-6) + 0.6)
    }

    /// Looks for dots whose place is known well enough. Whether there are new ones.
    fn grow(&mut self) -> bool {
        let mut fresh = false;
        let wanted: Vec<usize> = (0..self.dots.len()).filter(|i| self.dots[*i].is_none()).collect();
        for i in wanted {
            let at = self.page.dots[i];
            let Some(reach) = self.reach(at).filter(|reach| *reach < FARTHEST) else { continue };
            let target = Target { page: at, radius: self.page.dot_radius, reach };
            self.dots[i] = dots::find(self.picture, &self.lens, target);
            fresh |= self.dots[i].is_some();
        }
        fresh && self.fit(0.2)
    }

    /// Looks for each dot once more.
    fn again(&mut self) {
        for _ in 0..2 {
            for i in 0..self.dots.len() {
                let at = self.page.dots[i];
                let Some(reach) = self.reach(at).filter(|reach| *reach < FARTHEST) else {
                    continue;
                };
                let target = Target { page: at, radius: self.page.dot_radius, reach };
                self.dots[i] = dots::find(self.picture, &self.lens, target);
            }
            self.weights.fill(1.0);
            self.fit(0.12);
        }
    }

    /// Fits the lens, doubting dots that are off by much more than others and than `floor` millimetres.
    fn fit(&mut self, floor: f64) -> bool {
        for _ in 0..6 {
            let Some(lens) = Lens::fit(self.frame, &self.ties(), Some(&self.lens)) else {
                return false;
            };
            self.lens = lens;
            let off = self.off();
            let mut sizes: Vec<f64> = off.iter().flatten().copied().collect();
            // The median of a Rayleigh distribution is 1.18 of its parameter.
            let usual = (median(&mut sizes) / 1.18).max(floor);
            for (weight, off) in self.weights.iter_mut().zip(off) {
                let far = off.unwrap_or(0.0) / (4.5 * usual);
                *weight = if far < 1.0 { (1.0 - far * far).powi(2) } else { 0.0 };
            }
        }
        true
    }

    fn ties(&self) -> Vec<Tie> {
        let found = self.page.dots.iter().zip(&self.dots).zip(&self.weights);
        let dots = found.filter_map(|((page, dot), weight)| {
            let (sigma, weight) = (0.25, *weight);
            dot.map(|dot| Tie { page: *page, pixel: dot.at, sigma, weight })
        });
        dots.filter(|tie| tie.weight > 0.0).chain(self.corners.iter().copied()).collect()
    }

    /// How far each dot that was found is from where it belongs, in millimetres.
    fn off(&self) -> Vec<Option<f64>> {
        let off = |(page, dot): (&(f64, f64), &Option<Dot>)| {
            let seen = self.lens.back(dot.as_ref()?.at)?;
            Some((seen.0 - page.0).hypot(seen.1 - page.1))
        };
        self.page.dots.iter().zip(&self.dots).map(off).collect()
    }

    fn finish(mut self) -> Result<Plane, Fault> {
        let off = self.off();
        for (i, weight) in self.weights.iter().enumerate() {
            if *weight <= 0.0 || off[i].is_none() {
                self.dots[i] = None;
            }
        }
        let kept = off.iter().zip(&self.dots).filter(|(_, dot)| dot.is_some());
        let squares: Vec<f64> = kept.filter_map(|(off, _)| off.map(|o| o * o)).collect();
        let (found, all) = (squares.len(), self.dots.len());
        let inside = self.inside();
        let rms = (squares.iter().sum::<f64>() / found.max(1) as f64).sqrt();
        if inside * 10 < all * 9 {
            return Err(Fault::HalfAPage { inside, all });
        }
        if found < LEAST_DOTS || found * 2 < all {
            return Err(Fault::DotsCovered { found, all });
        }
        if rms > FLAT {
            return Err(Fault::NotFlat(rms));
        }
        let lens = self.lens.clone().over(self.bow());
        Ok(Plane { lens, dots: self.dots, rms })
    }

    /// What is left, smoothed: paper is seldom quite flat.
    fn bow(&self) -> Bow {
        let off = |(page, dot): (&(f64, f64), &Option<Dot>)| {
            let (seen, there) = (dot.as_ref()?.at, self.lens.project(*page)?);
            Some(Off { page: *page, pixels: (seen.0 - there.0, seen.1 - there.1) })
        };
        let offs: Vec<Off> = self.page.dots.iter().zip(&self.dots).filter_map(off).collect();
        Bow::of(self.page.size, &offs)
    }

    /// Dots whose place is in the picture.
    fn inside(&self) -> usize {
        let inside = |page: &&(f64, f64)| {
            self.lens.project(**page).and_then(|at| self.picture.pixel(at)).is_some()
        };
        self.page.dots.iter().filter(inside).count()
    }
}
