//! The correction that makes answers most likely, by Fisher's scoring with the steps of Levenberg and Marquardt, and
//! how well the answers settle it (Laplace's approximation; MacKay 2003, chapter 27).

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::answer::{Choice, Distance, Likely, Ready};

/// Steps at most, and the gain of a logarithm that is worth another.
const STEPS: usize = 40;
const GAIN: f64 = 2e-3;
/// How exactly bare paper is known to show itself, CIELAB.
const BARE: f64 = 0.3;

/// What a form is fitted to.
pub(crate) struct Task<'a> {
    pub answers: &'a [Ready],
    /// Terms of bare paper: it is what all else is relative to, so nothing is added there.
    pub bare: &'a [f64],
    /// Noise of seeing: scale of a difference of distances, CIEDE2000.
    pub seeing: f64,
    pub distance: Distance,
}

/// A correction as factors of terms, those of an axis together.
#[derive(Debug, Clone)]
pub(crate) struct Summit {
    pub factors: DVector<f64>,
    /// Curvature there: the inverse of the factors' covariance.
    pub curve: DMatrix<f64>,
    /// Log of the evidence, but for a constant.
    pub evidence: f64,
}

/// What an answer says: the slope, and columns whose squares are its curvature.
pub(crate) struct Says {
    pub slope: DVector<f64>,
    pub columns: Vec<DVector<f64>>,
}

/// What factors add to a choice: CIELAB.
pub(crate) fn added(factors: &DVector<f64>, terms: &[f64]) -> [f64; 3] {
    let count = factors.len() / 3;
    [0, 1, 2].map(|axis| {
        let own = factors.iter().skip(axis * count).take(count);
        own.zip(terms).map(|(f, t)| f * t).sum()
    })
}

impl Task<'_> {
    pub fn likely(&self, answer: &Ready, factors: &DVector<f64>) -> Likely {
        let far = answer.far(|c| added(factors, &c.terms), self.distance);
        answer.likely(&far, self.seeing)
    }

    fn height(&self, factors: &DVector<f64>) -> f64 {
        let answers: f64 = self.answers.iter().map(|a| self.likely(a, factors).log).sum();
        let bare: f64 = added(factors, self.bare).iter().map(|v| v * v).sum();
        answers - 0.5 * bare / (BARE * BARE) - 0.5 * factors.norm_squared()
    }

    /// What one answer says at some factors.
    pub fn says(&self, answer: &Ready, factors: &DVector<f64>) -> Says {
        let off = |c: &Choice| added(factors, &c.terms);
        let far = answer.far(off, self.distance);
        let likely = answer.likely(&far, self.seeing);
        let slopes = answer.slopes(off, &far, self.distance);
        let row = |(choice, slope): (&Choice, &[f64; 3])| {
            let each = slope.iter().flat_map(|s| choice.terms.iter().map(move |t| s * t));
            DVector::from_iterator(factors.len(), each)
        };
        let rows: Vec<DVector<f64>> = answer.choices.iter().zip(&slopes).map(row).collect();
        let mut slope = DVector::zeros(factors.len());
        rows.iter().zip(&likely.pull).for_each(|(row, pull)| slope.axpy(*pull, row, 1.0));
        let mut columns = vec![&rows[likely.judged] * likely.bend.sqrt()];
        if answer.said.is_some() {
            let mut mean = DVector::zeros(factors.len());
            rows.iter().zip(&likely.shares).for_each(|(row, share)| mean.axpy(*share, row, 1.0));
            let each = rows.iter().zip(&likely.shares).filter(|(_, share)| **share > 1e-6);
            columns.extend(each.map(|(row, share)| (row - &mean) * (share.sqrt() / self.seeing)));
        }
        Says { slope, columns }
    }

    /// Slope and curvature of the whole.
    fn ground(&self, factors: &DVector<f64>) -> (DVector<f64>, DMatrix<f64>) {
        let count = factors.len();
        let mut slope = -factors;
        let mut columns = Vec::new();
        for answer in self.answers {
            let says = self.says(answer, factors);
            slope += says.slope;
            columns.extend(says.columns);
        }
        let off = added(factors, self.bare);
        for (axis, off) in off.into_iter().enumerate() {
            let mut row = DVector::zeros(count);
            row.rows_mut(axis * self.bare.len(), self.bare.len()).copy_from_slice(self.bare);
            slope.axpy(-off / (BARE * BARE), &row, 1.0);
            columns.push(row / BARE);
        }
        let columns = DMatrix::from_columns(&columns);
        (slope, DMatrix::identity(count, count) + &columns * columns.transpose())
    }

    /// The summit, from some factors on.
    pub fn climb(&self, from: DVector<f64>) -> Summit {
        let mut factors = from;
        let mut height = self.height(&factors);
        if factors.is_empty() {
            return Summit { factors, curve: DMatrix::zeros(0, 0), evidence: height };
        }
        let mut damping = 1e-3;
        let (mut slope, mut curve) = self.ground(&factors);
        for _ in 0..STEPS {
            let mut gain = 0.0;
            for _ in 0..10 {
                let mut damped = curve.clone();
                (0..factors.len()).for_each(|i| damped[(i, i)] *= 1.0 + damping);
                let Some(root) = damped.cholesky() else { break };
                let there = &factors + root.solve(&slope);
                let higher = self.height(&there);
                if higher > height {
                    (gain, height, factors) = (higher - height, higher, there);
                    damping = f64::max(damping * 0.2, 1e-6);
                    break;
                }
                damping = f64::max(damping * 6.0, 1e-4);
            }
            if gain == 0.0 {
                break;
            }
            (slope, curve) = self.ground(&factors);
            if gain < GAIN {
                break;
            }
        }
        let log = root_of(&curve).map_or(0.0, |root| {
            2.0 * root.l_dirty().diagonal().iter().map(|v| v.ln()).sum::<f64>()
        });
        Summit { factors, curve, evidence: height - 0.5 * log }
    }
}

/// The root of a curvature; it has one, since what is usual is part of it.
pub(crate) fn root_of(curve: &DMatrix<f64>) -> Option<Cholesky<f64, Dyn>> {
    curve.clone().cholesky()
}
