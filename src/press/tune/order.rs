//! How a buyer distinguishes colours: their order in lightness, hue and strength, and how far a
//! printed hue has turned.

use palette::chromatic_adaptation::AdaptIntoUnclamped;
use palette::white_point::{D50, D65};
use palette::{IntoColor, Oklab, Xyz};

use crate::colour::Lab50;
use crate::colour::lookalike::{Word, words};

/// Hues are compared from this chroma on, both colours.
const LEAST_CHROMA: f64 = 8.0;
/// Differences that count as an order, CIELAB units.
const LEAST_HUE: f64 = 1.5;
const LEAST_LIGHTNESS: f64 = 1.0;
const LEAST_STRENGTH: f64 = 1.5;
/// Chroma in Oklab from which a colour has a hue that can turn: as aimed, and as shown.
const HUED: f64 = 0.04;
const STILL_HUED: f64 = 0.02;

/// A colour with what is asked of it again and again.
#[derive(Debug, Clone, Copy)]
pub struct Seen {
    pub lab: Lab50,
    /// Chroma in CIELAB.
    pub chroma: f64,
    /// Hue in degrees, and chroma, in Oklab.
    hue: f64,
    strength: f64,
}

impl Seen {
    pub fn of(lab: Lab50) -> Seen {
        let xyz: Xyz<D50, f64> = lab.into_color();
        let adapted: Xyz<D65, f64> = xyz.adapt_into_unclamped();
        let ok: Oklab<f64> = adapted.into_color();
        Seen {
            lab,
            chroma: lab.a.hypot(lab.b),
            hue: ok.b.atan2(ok.a).to_degrees(),
            strength: ok.a.hypot(ok.b),
        }
    }

    /// How far the hue of this aim has turned in what is shown, degrees.
    pub fn turn(&self, shown: &Seen) -> f64 {
        if self.strength < HUED || shown.strength < STILL_HUED {
            return 0.0;
        }
        ((self.hue - shown.hue + 540.0).rem_euclid(360.0) - 180.0).abs()
    }

    /// How far what is shown of this grey has a cast, CIELAB units across; 0 for colours with a hue.
    pub fn cast(&self, shown: &Seen) -> f64 {
        if self.strength >= HUED {
            return 0.0;
        }
        (self.lab.a - shown.lab.a).hypot(self.lab.b - shown.lab.b)
    }

    /// The difference in hue with its sign, CIELAB units, whatever the chroma.
    pub fn hue_to(&self, other: &Seen) -> f64 {
        let across = self.lab.a * other.lab.b - other.lab.a * self.lab.b;
        across / (self.chroma * other.chroma).sqrt().max(1e-6)
    }
}

/// How a pair differs, as it must be kept: 0 where the difference is too small to be an order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Order {
    pub lightness: f64,
    pub hue: f64,
    pub strength: f64,
}

impl Order {
    pub fn of(first: &Seen, second: &Seen) -> Order {
        let keep = |difference: f64, least: f64| {
            if difference.abs() >= least { difference } else { 0.0 }
        };
        Order {
            lightness: keep(second.lab.l - first.lab.l, LEAST_LIGHTNESS),
            hue: keep(hue(first, second), LEAST_HUE),
            strength: strength(first, second),
        }
    }

    /// As seen from the other colour.
    pub fn back(self) -> Order {
        Order { lightness: -self.lightness, hue: -self.hue, strength: -self.strength }
    }

    /// The aimed and the shown difference of each kind that counts.
    pub fn kinds(self, first: &Seen, second: &Seen) -> [(f64, f64); 3] {
        let of = |aim: f64, shown: &dyn Fn() -> f64| (aim, if aim == 0.0 { 0.0 } else { shown() });
        [
            of(self.lightness, &|| second.lab.l - first.lab.l),
            of(self.hue, &|| first.hue_to(second)),
            of(self.strength, &|| second.chroma - first.chroma),
        ]
    }

    /// Is any of it turned round, or gone?
    pub fn is_broken(self, first: &Seen, second: &Seen) -> bool {
        self.kinds(first, second).into_iter().any(|(aim, shown)| aim != 0.0 && aim * shown <= 0.0)
    }
}

/// The difference in hue with its sign; 0 where a colour has hardly any.
fn hue(first: &Seen, second: &Seen) -> f64 {
    if first.chroma <= LEAST_CHROMA || second.chroma <= LEAST_CHROMA {
        return 0.0;
    }
    first.hue_to(second)
}

/// The difference in chroma, where it is the main one of a pair, named first.
fn strength(first: &Seen, second: &Seen) -> f64 {
    let difference = second.chroma - first.chroma;
    if difference.abs() < LEAST_STRENGTH {
        return 0.0;
    }
    match words(first.lab, second.lab).first() {
        Some(Word::Stronger | Word::Greyer) => difference,
        _ => 0.0,
    }
}

/// Are the orders of lightness, hue and strength of a pair turned round? That of strength counts only where
/// chroma is the main difference.
pub fn swaps(aim: (&Seen, &Seen), shown: (&Seen, &Seen)) -> [bool; 3] {
    Order::of(aim.0, aim.1).kinds(shown.0, shown.1).map(|(aim, shown)| aim * shown < 0.0)
}

/// How far the hue of an aim has turned in what is shown, degrees in Oklab; 0 for greys.
///
/// Oklab (Ottosson 2020), in which lines of one blue are straight: in CIELAB they bend to purple.
pub fn turn(aim: Lab50, shown: Lab50) -> f64 {
    Seen::of(aim).turn(&Seen::of(shown))
}
