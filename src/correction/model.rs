//! What is supposed of a correction before any reading: its covariance.

use nalgebra::{DMatrix, DVector};

use super::basis::{count, terms};
use super::data::Data;
use super::kernel::{alike, place};
use super::reading::{Form, Spot};

/// A form and its scales.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    pub form: Form,
    /// Length scales of the process: CIELAB, and 8-bit value.
    pub lengths: [f64; 2],
    /// Factor of each kind's noise.
    pub factors: Vec<f64>,
    /// Size of the process, of each axis: CIELAB. 0 for polynomials.
    pub amplitude: [f64; 3],
    /// How many times its usual size the polynomial is, of each axis.
    pub ridge: [f64; 3],
    /// What the form leaves out at each value, of each axis: CIELAB.
    pub misfit: [f64; 3],
}

impl Model {
    /// As it usually is.
    pub fn usual(form: Form, kinds: usize) -> Model {
        let process = form == Form::Process;
        Model {
            form,
            lengths: [30.0, 100.0],
            factors: vec![1.0; kinds],
            amplitude: [if process { 2.0 } else { 0.0 }; 3],
            ridge: [if process { 1.5 } else { 1.0 }; 3],
            misfit: [usual_misfit(form); 3],
        }
    }

    /// Covariance of what is read at places, of an axis.
    pub fn covariance(&self, axis: usize, alike: &Alike, variance: &[f64]) -> DMatrix<f64> {
        let ridge = self.ridge[axis].powi(2);
        let amplitude = self.amplitude[axis].powi(2);
        let mut out = &alike.polynomial * ridge;
        if let Some(process) = &alike.process {
            out.zip_apply(process, |sum, p| *sum += amplitude * p);
        }
        for (i, variance) in variance.iter().enumerate() {
            out[(i, i)] += variance + self.misfit[axis].powi(2);
        }
        out
    }
}

/// What a form usually leaves out, of each axis, CIELAB: printers are off their models by 2 to 4.
pub(crate) fn usual_misfit(form: Form) -> f64 {
    match form {
        Form::None => 2.0,
        Form::Process => 0.0,
        _ => 0.7,
    }
}

/// The terms of spots: a row each.
pub(crate) fn design(spots: &[Spot], form: Form) -> DMatrix<f64> {
    let rows: Vec<_> = spots.iter().map(|spot| terms(spot.lab)).collect();
    DMatrix::from_fn(spots.len(), count(form), |r, c| rows[r][c])
}

/// How alike places are, before any scale.
#[derive(Debug, Clone)]
pub(crate) struct Alike {
    pub polynomial: DMatrix<f64>,
    pub process: Option<DMatrix<f64>>,
}

impl Alike {
    pub fn of(spots: &[Spot], model: &Model) -> Alike {
        let design = design(spots, model.form);
        let polynomial = &design * design.transpose();
        let process = (model.form == Form::Process).then(|| process(spots, model.lengths));
        Alike { polynomial, process }
    }
}

/// How alike places are to the process.
pub(crate) fn process(spots: &[Spot], lengths: [f64; 2]) -> DMatrix<f64> {
    let places: Vec<_> = spots.iter().map(|spot| place(spot, lengths)).collect();
    let mut out = DMatrix::identity(spots.len(), spots.len());
    for i in 0..places.len() {
        for j in 0..i {
            let v = alike(&places[i], &places[j]);
            out[(i, j)] = v;
            out[(j, i)] = v;
        }
    }
    out
}

/// Minus the log of the probability of what was read, but for a constant; infinite where the
/// covariance is none.
pub(crate) fn surprise(covariance: DMatrix<f64>, read: &DVector<f64>) -> f64 {
    let Some(root) = covariance.cholesky() else { return f64::INFINITY };
    let log: f64 = root.l_dirty().diagonal().iter().map(|v| v.ln()).sum();
    0.5 * read.dot(&root.solve(read)) + log
}

/// Spots of some groups.
pub(crate) fn spots(data: &Data, groups: &[usize]) -> Vec<Spot> {
    groups.iter().map(|g| data.groups[*g].spot).collect()
}
