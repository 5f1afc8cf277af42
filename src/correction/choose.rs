//! Which form: that which predicts readings best that it has not seen.

use super::data::Data;
use super::model::Model;
use super::reading::Form;
use super::robust::{Settled, settle};

/// Polynomials, from the simplest on.
const POLYNOMIALS: [Form; 5] =
    [Form::None, Form::Shift, Form::Affine, Form::Quadratic, Form::Cubic];
/// What a richer form's squared error must be less than, times that of a simpler one.
const BETTER: f64 = 0.998;
/// Squared errors count up to so many times the one in the middle: one wrong reading must not choose.
const CAP: f64 = 10.0;

/// One form. The process comes first in any case: it finds how noisy the readings are.
pub(crate) fn settled(data: &Data, form: Form) -> Settled {
    let process = settle(Model::usual(Form::Process, data.kinds.len()), data);
    if form == Form::Process { process } else { polynomial(data, form, &process) }
}

fn polynomial(data: &Data, form: Form, process: &Settled) -> Settled {
    let factors = process.model.factors.clone();
    settle(Model { factors, ..Model::usual(form, data.kinds.len()) }, data)
}

/// All forms are tried.
pub(crate) fn choose(data: &Data) -> Settled {
    let process = settle(Model::usual(Form::Process, data.kinds.len()), data);
    let polynomials = POLYNOMIALS.iter().map(|form| polynomial(data, *form, &process));
    let mut all: Vec<Settled> = polynomials.collect();
    all.push(process);
    let errors: Vec<Vec<f64>> = all.iter().map(|s| errors(data, s)).collect();
    let cap = CAP * errors.iter().map(|e| middle(e)).fold(f64::INFINITY, f64::min);
    let scores = errors.iter().map(|e| e.iter().map(|v| v.min(cap)).sum::<f64>());
    let scores: Vec<f64> = scores.collect();
    let mut best = 0;
    for i in 1..all.len() {
        if scores[i] < BETTER * scores[best] {
            best = i;
        }
    }
    all.swap_remove(best)
}

/// Squared error of each reading left out, in units of its noise.
fn errors(data: &Data, settled: &Settled) -> Vec<f64> {
    let each = data.used.iter().zip(&settled.posterior.left_out).enumerate();
    let error = each.map(|(i, (used, left))| {
        let off = settled.posterior.limited(left.off);
        let square: f64 = used.off.iter().zip(off).map(|(a, b)| (a - b) * (a - b)).sum();
        square / data.noise(i, &settled.model.factors)
    });
    error.collect()
}

fn middle(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}
