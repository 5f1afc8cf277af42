//! What each kind of loss costs. From experiments on some 20 papers, no source.

use super::order::{Order, Seen};
use crate::colour::difference;
use crate::press::paper::Bytes;

/// A printed pair under this is hardly distinguishable (CIEDE2000).
pub const APART: f64 = 2.0;
/// Of a pair too close, of an order turned round: each the squared miss.
const BROKEN: f64 = 20.0;
/// A colour may be this much farther from its aim than it has to.
const SLACK: f64 = 3.0;
const FAR: f64 = 5.0;
/// A hue that has turned to another one: no pair is worth it.
const ANOTHER: f64 = 1e4;
const BLACK: f64 = 1e-4;
/// Of what the value of a colour that the paper can show strays from the plain one, percent squared.
const STRAY: f64 = 5e-4;
/// A colour that the paper can come so near to has no need to stray.
const NEAR: f64 = 1.0;
/// Hues may turn so far for nothing, degrees.
pub(super) const FREE_TURN: f64 = 9.5;
/// Greys may have such a cast for nothing, CIELAB units, and what more costs beside a turn by as many degrees.
pub(super) const FREE_CAST: f64 = 2.0;
const CAST: f64 = 0.15;
/// Farther than this no hue turns that a plain conversion keeps nearer.
pub(super) const MOST_TURN: f64 = 25.0;

/// What the search presses for at the moment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Prices {
    /// Of a colour's own distance from its aim, squared.
    pub own: f64,
    /// Of a hue that turns more than [`FREE_TURN`], squared: times `own`.
    pub turn: f64,
    /// The margin of order that is wanted, CIELAB units.
    pub margin: f64,
    /// The difference that a pair shall have at least, CIEDE2000: a margin over [`APART`].
    pub apart: f64,
}

impl Prices {
    pub const FIRST: Prices = Prices { own: 0.2, turn: 20.0, margin: 0.6, apart: 2.35 };

    /// With little margin, where there is no room for more.
    #[must_use]
    pub fn tight(self) -> Prices {
        Prices { margin: 0.1, apart: 2.05, ..self }
    }
}

/// What is known of a colour before any search.
#[derive(Debug, Clone, Copy)]
pub(super) struct Own {
    pub aim: Seen,
    /// Printed without care.
    pub plain: Seen,
    pub plain_value: Bytes,
    /// The least difference from its aim that it could have.
    pub least: f64,
}

impl Own {
    /// What the colour costs by itself.
    pub fn price(&self, prices: &Prices, shown: &Seen, value: Bytes) -> f64 {
        let off = difference(self.aim.lab, shown.lab);
        let turn = self.aim.turn(shown);
        let most = self.aim.turn(&self.plain).max(MOST_TURN);
        let cast = CAST * over(self.aim.cast(shown), FREE_CAST);
        prices.own * (off * off + prices.turn * (over(turn, FREE_TURN) + cast))
            + ANOTHER * over(turn, most - 1.0)
            + FAR * over(off, self.least + SLACK)
            + self.stray(value)
    }

    /// What it costs to be off `aim`, whatever the colour's own, and nothing else.
    pub fn off(&self, aim: &Seen, prices: &Prices, shown: &Seen, value: Bytes) -> f64 {
        let off = difference(aim.lab, shown.lab);
        off * off + prices.turn * over(aim.turn(shown), FREE_TURN) + BLACK * self.strayed(value, 3)
    }

    fn stray(&self, value: Bytes) -> f64 {
        let colour = || (0..3).map(|n| self.strayed(value, n)).sum::<f64>();
        let stray = if self.least < NEAR { STRAY * colour() } else { 0.0 };
        stray + BLACK * self.strayed(value, 3)
    }

    /// How far a channel has gone from its plain value, percent squared.
    fn strayed(&self, value: Bytes, channel: usize) -> f64 {
        let by = value[channel].abs_diff(self.plain_value[channel]);
        (f64::from(by) / 2.55).powi(2)
    }
}

/// The square of what is over a limit.
fn over(value: f64, limit: f64) -> f64 {
    (value - limit).max(0.0).powi(2)
}

/// A pair held apart, as seen from one of its colours.
#[derive(Debug, Clone, Copy)]
pub(super) struct Kin {
    pub other: usize,
    /// As aimed at, CIEDE2000.
    pub distance: f64,
    /// Of the distance itself; 0 for all but the nearest.
    pub weight: f64,
    /// What breaking it costs, times the price: grows where the search leaves it broken.
    pub force: f64,
    pub order: Order,
    /// More than is wanted of all pairs, where papers a little different need it.
    pub more: f64,
}

impl Kin {
    /// What the pair costs, its colours as they are shown.
    pub fn price(&self, prices: &Prices, own: &Seen, other: &Seen) -> f64 {
        let missed = |(aim, shown): (f64, f64)| {
            if aim == 0.0 {
                return 0.0;
            }
            let margin = aim.abs().min(prices.margin + self.more);
            (margin - aim.signum() * shown).max(0.0).powi(2)
        };
        let missed: f64 = self.order.kinds(own, other).into_iter().map(missed).sum();
        let mut price = self.force * BROKEN * missed;
        if self.weight > 0.0 || may_be_close(own, other) {
            let d = difference(own.lab, other.lab);
            let wanted = self.distance.min(prices.apart + self.more);
            price += self.force * BROKEN * (wanted - d).max(0.0).powi(2);
            price += self.weight * (d - self.distance).powi(2);
        }
        price
    }

    /// Too close, or in the wrong order.
    pub fn is_broken(&self, own: &Seen, other: &Seen) -> bool {
        self.order.is_broken(own, other)
            || (may_be_close(own, other)
                && difference(own.lab, other.lab) < self.distance.min(APART))
    }
}

/// How close two colours may be and still be looked at as close.
const CLOSE: f64 = 3.0;

fn may_be_close(a: &Seen, b: &Seen) -> bool {
    may_be_within(a, b, CLOSE)
}

/// False only where CIEDE2000 is over a limit, seen without working it out: its weight of lightness is
/// under 1.75, that of chroma 1 + 0.045 C', that of hue smaller, and their joint term takes off
/// less than a fifth.
pub(super) fn may_be_within(a: &Seen, b: &Seen, limit: f64) -> bool {
    let plane = (a.lab.a - b.lab.a).powi(2) + (a.lab.b - b.lab.b).powi(2);
    (a.lab.l - b.lab.l).abs() < 1.77 * limit
        && plane < (1.4 * limit * (1.0 + 0.0225 * (a.chroma + b.chroma))).powi(2)
}
