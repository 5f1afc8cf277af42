//! A smooth correction learnt from answers: which patch is nearest to a part.

use std::slice::from_ref;

use nalgebra::{DMatrix, DVector};

use super::answer::{Looked, Ready, plus, shares};
use super::answers::{Answers, LEAST, MOST, Scales, ready, row};
use super::data::tidy;
use super::reading::{Form, Spot};
use super::scales::tuned;
use super::summit::{Summit, Task, added, root_of};

/// Corrections drawn at chance, and their mirror images, that stand for all that are likely.
const DRAWN: usize = 12;
/// An answer that the others make so unlikely contradicts them.
const RARE: f64 = 1e-3;
/// What printers usually are off their models, CIELAB; common practice, no source.
const OPEN: f64 = 3.5;
/// How far beyond the patches a correction goes on, CIELAB, and how many times the largest of theirs it may be.
const BEYOND: f64 = 10.0;
const LARGER: f64 = 1.5;

/// An answer beside what is expected of it without it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The way in CIELAB from the patch that was expected to the one that was named, as long as their difference looks,
    /// CIEDE2000: steps between strong colours are large. Expected is the mean of all, each by how likely it is named.
    pub off: [f64; 3],
    /// Standard deviation of that, CIEDE2000.
    pub sigma: f64,
}

/// A correction that was learnt from answers.
#[derive(Debug, Clone)]
pub struct Answered {
    scales: Scales,
    channels: usize,
    factors: DVector<f64>,
    /// Covariance of the factors, and the standard deviation of a correction where there are none, CIELAB.
    doubt: DMatrix<f64>,
    open: f64,
    range: [(f64, f64); 3],
    limit: f64,
    left_out: Vec<Expected>,
    by_model: Vec<Expected>,
    outliers: Vec<usize>,
}

impl Answered {
    /// Learns from answers; the form, and the size of its terms, are those with the most evidence.
    pub fn from(answers: &Answers<'_>) -> Answered {
        let scales = tuned(answers);
        Answered::with(answers, scales)
    }

    fn with(answers: &Answers<'_>, scales: Scales) -> Answered {
        let all = ready(answers.looked, answers.channels, &scales);
        let bare = row(&answers.bare, answers.channels, &scales);
        let used = &all[all.len().saturating_sub(MOST)..];
        let Scales { seeing, .. } = scales;
        let task = Task { answers: used, bare: &bare, seeing, distance: answers.distance };
        let start = scales.start.clone().filter(|start| start.len() == 3 * bare.len());
        let summit = task.climb(start.unwrap_or_else(|| DVector::zeros(3 * bare.len())));
        let left = left_out(&task, &summit, &all);
        let limit = all.iter().flat_map(|a| &a.choices).map(|c| added(&summit.factors, &c.terms));
        let limit = LARGER * limit.map(long).fold(0.0, f64::max);
        let inverse = root_of(&summit.curve).map(|root| root.inverse());
        let nothing = DVector::zeros(summit.factors.len());
        let plain = |answer: &Ready| expected(&task, answer, &nothing, from_ref(&nothing)).0;
        let by_model: Vec<Expected> = all.iter().map(plain).collect();
        let square: f64 = by_model.iter().map(|e| long(e.off).powi(2)).sum();
        let open = if all.len() < LEAST { OPEN } else { (square / all.len() as f64).sqrt() };
        Answered {
            open,
            channels: answers.channels,
            doubt: inverse.unwrap_or_else(|| DMatrix::zeros(0, 0)),
            range: range(answers.looked),
            limit,
            by_model,
            outliers: (0..left.len()).filter(|i| left[*i].1 < RARE).collect(),
            left_out: left.into_iter().map(|(expected, _)| expected).collect(),
            factors: summit.factors,
            scales,
        }
    }

    /// The form that was chosen.
    pub fn form(&self) -> Form {
        self.scales.form
    }

    fn row_at(&self, spot: &Spot) -> Vec<f64> {
        let mut spot = tidy(spot);
        for (v, (low, high)) in spot.lab.iter_mut().zip(self.range) {
            *v = v.clamp(low, high);
        }
        row(&spot, self.channels, &self.scales)
    }

    /// What to add to the model's CIELAB.
    pub fn at(&self, spot: &Spot) -> [f64; 3] {
        let off = added(&self.factors, &self.row_at(spot));
        let far = long(off);
        if far <= self.limit { off } else { off.map(|v| v * self.limit / far) }
    }

    /// Standard deviation of what is added, all three axes together.
    pub fn sigma(&self, spot: &Spot) -> f64 {
        let row = self.row_at(spot);
        let count = row.len();
        if count == 0 {
            return self.open;
        }
        let axis = |axis: usize| -> f64 {
            let at = |i: usize| axis * count + i;
            let one = |i: usize| -> f64 {
                (0..count).map(|j| row[j] * self.doubt[(at(i), at(j))]).sum::<f64>() * row[i]
            };
            (0..count).map(one).sum()
        };
        (0..3).map(axis).sum::<f64>().max(1e-4).sqrt()
    }

    /// Every answer beside what the others make one expect.
    pub fn left_out(&self) -> &[Expected] {
        &self.left_out
    }

    /// The same by the model alone.
    pub fn by_model(&self) -> &[Expected] {
        &self.by_model
    }

    /// Answers that contradict all others.
    pub fn outliers(&self) -> &[usize] {
        &self.outliers
    }
}

/// Each answer as it is expected without it, and how likely it was. Those that were not learnt from say nothing about
/// themselves.
fn left_out(task: &Task<'_>, summit: &Summit, all: &[Ready]) -> Vec<(Expected, f64)> {
    let first = all.len() - task.answers.len();
    let mut rng = fastrand::Rng::with_seed(1);
    let mut drawn = || -> Vec<DVector<f64>> {
        let count = summit.factors.len();
        (0..DRAWN).map(|_| DVector::from_fn(count, |_, _| normal(&mut rng))).collect()
    };
    let one = |(i, answer): (usize, &Ready)| {
        let (mut factors, mut curve) = (summit.factors.clone(), summit.curve.clone());
        if factors.is_empty() {
            return expected(task, answer, &factors, from_ref(&factors));
        }
        if i >= first {
            let says = task.says(answer, &factors);
            for column in &says.columns {
                curve.ger(-1.0, column, column, 1.0);
            }
            if let Some(root) = root_of(&curve) {
                factors -= root.solve(&says.slope);
            }
        }
        let Some(root) = root_of(&curve) else {
            return expected(task, answer, &factors, from_ref(&factors));
        };
        let across = root.l().transpose();
        let moves = drawn().into_iter().filter_map(|z| across.solve_upper_triangular(&z));
        let likely: Vec<DVector<f64>> =
            moves.flat_map(|by| [&factors + &by, &factors - &by]).collect();
        expected(task, answer, &factors, &likely)
    };
    all.iter().enumerate().map(one).collect()
}

/// What is expected of an answer by factors, and by all that are likely; and how likely what was said is.
fn expected(
    task: &Task<'_>,
    answer: &Ready,
    factors: &DVector<f64>,
    likely: &[DVector<f64>],
) -> (Expected, f64) {
    let mut named = vec![0.0; answer.choices.len()];
    for factors in likely {
        let far = answer.far(|c| added(factors, &c.terms), task.distance);
        let each = named.iter_mut().zip(shares(&far, task.seeing));
        each.for_each(|(sum, share)| *sum += share / likely.len() as f64);
    }
    let shown: Vec<[f64; 3]> =
        answer.choices.iter().map(|c| plus(c.lab, added(factors, &c.terms))).collect();
    let mut mean = [0.0; 3];
    for (shown, share) in shown.iter().zip(&named) {
        (0..3).for_each(|k| mean[k] += share * shown[k]);
    }
    let off = |shown: [f64; 3]| {
        let way = [0, 1, 2].map(|k| shown[k] - mean[k]);
        let size = (task.distance)(mean, shown) / long(way).max(1e-9);
        way.map(|v| v * size)
    };
    let spread: f64 = shown.iter().zip(&named).map(|(s, p)| p * long(off(*s)).powi(2)).sum();
    let sigma = spread.max(1e-4).sqrt();
    match answer.said {
        Some(said) => (Expected { off: off(shown[said]), sigma }, named[said]),
        None => (Expected { off: [0.0; 3], sigma }, 1.0),
    }
}

fn range(looked: &[Looked]) -> [(f64, f64); 3] {
    [0, 1, 2].map(|axis| {
        let each = || looked.iter().flat_map(|l| &l.patches).map(|spot| spot.lab[axis]);
        let (low, high) = (each().fold(1e9, f64::min), each().fold(-1e9, f64::max));
        if low > high { (0.0, 0.0) } else { (low - BEYOND, high + BEYOND) }
    })
}

fn long(v: [f64; 3]) -> f64 {
    v.iter().map(|v| v * v).sum::<f64>().sqrt()
}

/// Normally distributed (Box and Muller 1958).
fn normal(rng: &mut fastrand::Rng) -> f64 {
    (-2.0 * (1.0 - rng.f64()).ln()).sqrt() * (std::f64::consts::TAU * rng.f64()).cos()
}
