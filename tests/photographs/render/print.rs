//! The printed page as cells.

use crate::render::draw::between;
use crate::render::materials::{BLACK, HAIR, Materials, PAPER};
use crate::render::page::{Polygon, Rect, StagePage};
use crate::render::params::{Card, Surroundings};
use crate::render::raster::{Cell, Raster, circle};
use crate::render::recover::reflectance;
use fastrand::Rng;
use qrcode::{Color, EcLevel, QrCode};

/// The page without parts.
pub fn printed(page: &StagePage, materials: &mut Materials, per_mm: f64) -> Raster {
    let mut raster = Raster::new(page.size, per_mm, Cell::of(PAPER));
    for place in &page.places {
        let ground = materials.grey(place.ground.grey());
        paint(&mut raster, &[place.frame.corners().to_vec()], ground);
        number(
            &mut raster,
            &place.number,
            (place.frame.left, place.frame.top + place.frame.height + 0.6),
        );
    }
    for patch in &page.patches {
        let grey = materials.grey(patch.grey);
        paint(&mut raster, &[patch.rect.corners().to_vec()], grey);
    }
    for &dot in &page.dots {
        paint(&mut raster, &[circle(dot, page.dot_radius)], BLACK);
    }
    code(&mut raster, page);
    raster
}

fn paint(raster: &mut Raster, outline: &[Polygon], material: u16) {
    raster.fill(outline, |_, _| Cell::of(material));
}

fn code(raster: &mut Raster, page: &StagePage) {
    let code = QrCode::with_error_correction_level(page.code.text.as_bytes(), EcLevel::Q)
        .expect("a short text");
    let (width, colours) = (code.width(), code.to_colors());
    let module = page.code.side / width as f64;
    for (at, _) in colours.iter().enumerate().filter(|(_, colour)| **colour == Color::Dark) {
        let left = page.code.left + (at % width) as f64 * module;
        let top = page.code.top + (at / width) as f64 * module;
        paint(raster, &[Rect::new(left, top, module, module).corners().to_vec()], BLACK);
    }
}

/// Digits as five rows of three.
const DIGITS: [u16; 10] = [
    0b111_101_101_101_111,
    0b010_110_010_010_111,
    0b111_001_111_100_111,
    0b111_001_111_001_111,
    0b101_101_111_001_001,
    0b111_100_111_001_111,
    0b111_100_111_101_111,
    0b111_001_010_010_010,
    0b111_101_111_101_111,
    0b111_101_111_001_111,
];

fn number(raster: &mut Raster, text: &str, at: (f64, f64)) {
    const STEP: f64 = 0.34;
    let digits = text.chars().filter_map(|c| c.to_digit(10));
    for (place, digit) in digits.enumerate() {
        let bits = DIGITS[digit as usize];
        for bit in (0..15).filter(|bit| bits >> (14 - bit) & 1 == 1) {
            let left = at.0 + STEP * (4 * place + bit % 3) as f64;
            let top = at.1 + STEP * (bit / 3) as f64;
            paint(raster, &[Rect::new(left, top, STEP, STEP).corners().to_vec()], BLACK);
        }
    }
}

/// A print in a colour, of spectra as smooth as those of parts.
pub fn coloured(
    raster: &mut Raster,
    outline: &[Polygon],
    lab: [f64; 3],
    materials: &mut Materials,
) {
    let material = materials.add(reflectance(lab, 0).0);
    paint(raster, outline, material);
}

/// A card of known colours with its shadow.
pub fn card(raster: &mut Raster, card: &Card, materials: &mut Materials) {
    let under = Rect { left: card.rect.left + 0.4, top: card.rect.top + 0.5, ..card.rect };
    raster.fill(&[under.corners().to_vec()], |cell, _| cell.with_shade(cell.shade() * 0.7));
    paint(raster, &[card.rect.corners().to_vec()], BLACK);
    for (number, lab) in card.labs.iter().enumerate() {
        let material = materials.add(reflectance(*lab, card.pigments).0);
        paint(raster, &[card.patch(number).corners().to_vec()], material);
    }
}

/// Hairs, dust and small scraps, after the parts are laid.
pub fn littered(raster: &mut Raster, around: &Surroundings, page: &StagePage, rng: &mut Rng) {
    for _ in 0..around.dust {
        let (centre, radius) = (anywhere(page, rng), between(rng, 0.05, 0.22));
        let pale = rng.bool();
        raster.fill(&[circle(centre, radius)], |cell, _| {
            if pale { cell.with_gloss(0.12) } else { cell.with_shade(cell.shade() * 0.55) }
        });
    }
    for _ in 0..around.hairs {
        hair(raster, anywhere(page, rng), rng);
    }
    for _ in 0..around.scraps.min(page.dots.len()) {
        let dot = page.dots[rng.usize(0..page.dots.len())];
        scrap(raster, dot, between(rng, 1.6, 3.2), rng);
    }
    for &(at, size) in &around.covers {
        scrap(raster, at, size, rng);
    }
}

fn anywhere(page: &StagePage, rng: &mut Rng) -> (f64, f64) {
    (page.size.0 * rng.f64(), page.size.1 * rng.f64())
}

fn hair(raster: &mut Raster, from: (f64, f64), rng: &mut Rng) {
    let (mut at, mut course) = (from, rng.f64() * std::f64::consts::TAU);
    let bend = between(rng, -0.05, 0.05);
    let mut left = Vec::new();
    let mut right = Vec::new();
    for _ in 0..rng.usize(40..140) {
        let (sin, cos) = course.sin_cos();
        left.push((at.0 - 0.045 * sin, at.1 + 0.045 * cos));
        right.push((at.0 + 0.045 * sin, at.1 - 0.045 * cos));
        at = (at.0 + 0.35 * cos, at.1 + 0.35 * sin);
        course += bend + between(rng, -0.06, 0.06);
    }
    left.extend(right.into_iter().rev());
    let shadow: Polygon = left.iter().map(|p| (p.0 + 0.12, p.1 + 0.15)).collect();
    raster.fill(&[shadow], |cell, _| cell.with_shade(cell.shade() * 0.85));
    raster
        .fill(&[left], |cell, _| Cell::of(HAIR).with_lit(0, cell.lit(0)).with_lit(1, cell.lit(1)));
}

fn scrap(raster: &mut Raster, at: (f64, f64), size: f64, rng: &mut Rng) {
    let torn = |p: (f64, f64)| {
        let out = between(rng, 0.75, 1.15);
        (at.0 + (p.0 - at.0) * out, at.1 + (p.1 - at.1) * out)
    };
    let edge: Polygon = circle(at, size).into_iter().step_by(6).map(torn).collect();
    let under: Polygon = edge.iter().map(|p| (p.0 + 0.3, p.1 + 0.35)).collect();
    raster.fill(&[under], |cell, _| cell.with_shade(cell.shade() * 0.7));
    raster.fill(&[edge], |_, _| Cell::of(PAPER).with_shade(0.8));
}
