//! Lengths of a style: each is written for the poster and for A4.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer};

/// A length in mm on the poster and on A4, from 0 to [`LONGEST`].
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(try_from = "Pair")]
pub struct Measure(pub f64, pub f64);

/// The longest measure of a style, mm.
const LONGEST: f64 = 1000.0;
/// The smallest type, mm: a tenth of what can be read.
const SMALLEST_TYPE: f64 = 0.1;
/// Extra space between characters, em.
const TRACKING: (f64, f64) = (-0.5, 3.0);

/// A measure as it is written.
#[derive(Deserialize)]
#[serde(expecting = "two lengths in brackets; write it as (14, 4.6): on the poster, on A4")]
struct Pair(f64, f64);

impl TryFrom<Pair> for Measure {
    type Error = String;

    fn try_from(Pair(poster, a4): Pair) -> Result<Measure, String> {
        match [poster, a4].into_iter().find(|v| !(0.0..=LONGEST).contains(v)) {
            Some(v) => Err(format!(
                "a length must be from 0 to {LONGEST} mm, not {v}; write it as (poster, A4)"
            )),
            None => Ok(Measure(poster, a4)),
        }
    }
}

/// A size of type.
pub(super) fn type_size<'de, D: Deserializer<'de>>(from: D) -> Result<Measure, D::Error> {
    let Measure(poster, a4) = Measure::deserialize(from)?;
    match poster.min(a4) {
        least if least < SMALLEST_TYPE => Err(D::Error::custom(format!(
            "type must be from {SMALLEST_TYPE} to {LONGEST} mm, not {least}; write it as (poster, A4)"
        ))),
        _ => Ok(Measure(poster, a4)),
    }
}

pub(super) fn tracking<'de, D: Deserializer<'de>>(from: D) -> Result<Option<f64>, D::Error> {
    let (least, most) = TRACKING;
    match Option::<f64>::deserialize(from)? {
        Some(v) if !(least..=most).contains(&v) => Err(D::Error::custom(format!(
            "tracking must be from {least} to {most} em, not {v}; remove it for the default, 0"
        ))),
        v => Ok(v),
    }
}

impl Measure {
    /// The length at `t`: 0 on A4, 1 on the poster, geometric between.
    pub fn at(self, t: f64) -> f64 {
        let Measure(poster, a4) = self;
        if poster <= 0.0 || a4 <= 0.0 {
            return a4 + (poster - a4) * t;
        }
        a4 * (poster / a4).powf(t)
    }
}
