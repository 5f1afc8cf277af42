//! Readings that others contradict are believed less.

use super::data::{Data, Used};
use super::model::Model;
use super::posterior::{Left, Posterior};
use super::tune::tune;

/// Squared distance, in standard deviations of each of three axes, from which a reading is believed
/// less: one in a hundred is as far by chance.
const FAR: f64 = 11.3;
/// The same from which it is reported: one in 60,000, about as four standard deviations of one axis.
const DOUBTFUL: f64 = 25.0;
/// Times that weights are found anew.
const ROUNDS: usize = 3;

/// A form with its scales, and what comes of it.
#[derive(Debug, Clone)]
pub(crate) struct Settled {
    pub model: Model,
    pub posterior: Posterior,
}

/// Finds scales and weights in turn.
pub(crate) fn settle(mut model: Model, data: &Data) -> Settled {
    let mut weights = vec![1.0; data.used.len()];
    for _ in 0..ROUNDS {
        model = tune(&model, data, &weights);
        let posterior = Posterior::of(&model, data, &weights);
        let each = data.used.iter().zip(&posterior.left_out);
        let found: Vec<f64> = each.map(|(used, left)| weight(used, left)).collect();
        let same = found.iter().zip(&weights).all(|(a, b)| (a - b).abs() < 0.02);
        if same {
            return Settled { model, posterior };
        }
        weights = found;
    }
    let posterior = Posterior::of(&model, data, &weights);
    Settled { model, posterior }
}

/// Squared distance of a reading from what the others predict, in standard deviations.
fn distance(used: &Used, left: &Left) -> f64 {
    let axes = used.off.iter().zip(&left.off).zip(&left.variance);
    axes.map(|((read, without), variance)| (read - without).powi(2) / variance).sum()
}

/// Falls so fast that what is far off has no say at all.
fn weight(used: &Used, left: &Left) -> f64 {
    (FAR / distance(used, left).max(FAR)).powi(2).max(1e-6)
}

/// Whether a reading contradicts the others.
pub(crate) fn doubtful(used: &Used, left: &Left) -> bool {
    distance(used, left) > DOUBTFUL
}
