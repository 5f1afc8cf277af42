//! A correction that was learnt.

use super::choose::{choose, settled};
use super::data::{Data, variance_of};
use super::posterior::Posterior;
use super::reading::{Form, LeftOut, Reading, Spot};
use super::robust::{Settled, doubtful};

/// A correction that was learnt.
#[derive(Debug, Clone)]
pub struct Learnt {
    form: Form,
    posterior: Posterior,
    left_out: Vec<LeftOut>,
    noise: Vec<(u8, f64)>,
    outliers: Vec<usize>,
}

impl Learnt {
    /// Learns from all readings there are, and chooses the form by its leave-one-out error.
    ///
    /// Readings of exactly the same value are averaged first. Of more than 480 different values,
    /// those near each other are averaged too: the work is bounded however many readings come. A
    /// reading that is not finite, or off by more than 150, is not used, and counts as an outlier.
    /// With one value alone the form is `None`: there is nothing that could speak for another.
    pub fn from(readings: &[Reading]) -> Learnt {
        let data = Data::from(readings);
        let settled = choose(&data);
        Learnt::with(readings, &data, settled)
    }

    /// Learns one form, whether it is the best or not.
    pub fn in_form(readings: &[Reading], form: Form) -> Learnt {
        let data = Data::from(readings);
        let settled = settled(&data, form);
        Learnt::with(readings, &data, settled)
    }

    fn with(readings: &[Reading], data: &Data, settled: Settled) -> Learnt {
        let (left_out, outliers) = left_out(readings, data, &settled);
        let factors = &settled.model.factors;
        let noise = data.kinds.iter().copied().zip(factors.iter().copied()).collect();
        let (form, posterior) = (settled.model.form, settled.posterior);
        Learnt { form, posterior, left_out, noise, outliers }
    }

    /// The form that was chosen.
    pub fn form(&self) -> Form {
        self.form
    }

    /// What to add to the model's CIELAB, and the standard deviation of that: the square root of the
    /// sum of the three axes' variances.
    pub fn at(&self, spot: &Spot) -> ([f64; 3], f64) {
        self.posterior.at(spot)
    }

    /// For each reading what would be predicted without it and its doubles, in the readings' order.
    pub fn left_out(&self) -> &[LeftOut] {
        &self.left_out
    }

    /// By how much each kind's noise differs from what was stated, 1 where that could not be told.
    pub fn noise(&self) -> &[(u8, f64)] {
        &self.noise
    }

    /// Indices of readings that contradict all others: so far from what the others predict as is
    /// as rare as four standard deviations of a single number, or rarer.
    pub fn outliers(&self) -> &[usize] {
        &self.outliers
    }
}

/// Predictions for all readings, those that were not used too; and which are outliers.
fn left_out(readings: &[Reading], data: &Data, settled: &Settled) -> (Vec<LeftOut>, Vec<usize>) {
    let predict = |reading: &Reading| {
        let (off, sigma) = settled.posterior.at(&reading.at);
        LeftOut { off, sigma: (sigma * sigma + 3.0 * variance_of(reading)).sqrt() }
    };
    // Those that were not used say nothing about themselves.
    let mut out: Vec<LeftOut> = readings.iter().map(predict).collect();
    let mut outlier = vec![true; readings.len()];
    for (used, left) in data.used.iter().zip(&settled.posterior.left_out) {
        let sigma = left.variance.iter().sum::<f64>().sqrt();
        out[used.index] = LeftOut { off: settled.posterior.limited(left.off), sigma };
        outlier[used.index] = doubtful(used, left);
    }
    let outliers = (0..readings.len()).filter(|i| outlier[*i]).collect();
    (out, outliers)
}
