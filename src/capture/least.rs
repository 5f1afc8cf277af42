//! Least squares for a few parameters: Levenberg and Marquardt's method.

use nalgebra::{DMatrix, DVector};

/// What was found.
#[derive(Debug, Clone)]
pub struct Solution {
    /// The parameters.
    pub params: Vec<f64>,
    /// Their derivatives: a row a residual, a column a parameter.
    pub jacobian: DMatrix<f64>,
    /// The parameters' covariance, if each residual has variance 1.
    pub covariance: DMatrix<f64>,
}

/// Makes the sum of squares of what `residuals` gives small, in at most `rounds` steps from `start`.
/// `residuals` must always give as many. `None` where they are not finite, or do not settle the
/// parameters.
pub fn minimise<F>(start: &[f64], rounds: usize, mut residuals: F) -> Option<Solution>
where
    F: FnMut(&[f64]) -> Vec<f64>,
{
    let mut params = start.to_vec();
    let mut now = residuals(&params);
    let mut cost = squares(&now)?;
    let mut damping = 1e-4;
    for _ in 0..rounds {
        let jacobian = derive(&params, now.len(), &mut residuals);
        let normal = jacobian.transpose() * &jacobian;
        let slope = jacobian.transpose() * DVector::from_column_slice(&now);
        let mut gain = None;
        for _ in 0..8 {
            let mut damped = normal.clone();
            for i in 0..params.len() {
                damped[(i, i)] += damping * (normal[(i, i)] + 1e-12);
            }
            let step = damped.cholesky()?.solve(&slope);
            let next: Vec<f64> = params.iter().zip(step.iter()).map(|(p, s)| p - s).collect();
            let there = residuals(&next);
            match squares(&there) {
                Some(less) if less <= cost => {
                    gain = Some((cost - less) / cost.max(1e-300));
                    (params, now, cost) = (next, there, less);
                    damping = (damping * 0.2).max(1e-12);
                    break;
                }
                _ => damping *= 8.0,
            }
        }
        if gain.is_none_or(|gain| gain < 1e-9) {
            break;
        }
    }
    let jacobian = derive(&params, now.len(), &mut residuals);
    let covariance = (jacobian.transpose() * &jacobian).cholesky()?.inverse();
    Some(Solution { params, jacobian, covariance })
}

fn squares(values: &[f64]) -> Option<f64> {
    let sum: f64 = values.iter().map(|v| v * v).sum();
    sum.is_finite().then_some(sum)
}

/// Derivatives by central differences.
fn derive<F>(params: &[f64], count: usize, residuals: &mut F) -> DMatrix<f64>
where
    F: FnMut(&[f64]) -> Vec<f64>,
{
    let mut jacobian = DMatrix::zeros(count, params.len());
    let mut moved = params.to_vec();
    for (column, &p) in params.iter().enumerate() {
        let h = 1e-5 * (1.0 + p.abs());
        moved[column] = p + h;
        let over = residuals(&moved);
        moved[column] = p - h;
        let under = residuals(&moved);
        moved[column] = p;
        for (row, (a, b)) in over.iter().zip(&under).enumerate().take(count) {
            let slope = (a - b) / (2.0 * h);
            jacobian[(row, column)] = if slope.is_finite() { slope } else { 0.0 };
        }
    }
    jacobian
}

/// The value in the middle; 0 of nothing.
pub fn median(values: &mut [f64]) -> f64 {
    quantile(values, 0.5)
}

/// The value below which a share of all lies; 0 of nothing.
pub fn quantile(values: &mut [f64], share: f64) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let at = ((values.len() - 1) as f64 * share.clamp(0.0, 1.0)).round() as usize;
    *values.select_nth_unstable_by(at, f64::total_cmp).1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_known_curve() {
        let points: Vec<(f64, f64)> = (0..20)
            .map(|i| f64::from(i) / 5.0)
            .map(|x| (x, 3.0 * (-0.7 * x).exp() + 0.2))
            .collect();
        let found = minimise(&[1.0, -0.1, 0.0], 50, |p| {
            points.iter().map(|(x, y)| p[0] * (p[1] * x).exp() + p[2] - y).collect()
        })
        .unwrap();
        for (got, want) in found.params.iter().zip([3.0, -0.7, 0.2]) {
            assert!((got - want).abs() < 1e-5, "{got} {want}");
        }
    }

    #[test]
    fn nothing_to_settle_is_no_answer() {
        assert!(minimise(&[1.0, 1.0], 5, |p| vec![p[0]]).is_none());
        assert!(minimise(&[1.0], 5, |_| vec![f64::NAN]).is_none());
    }
}
