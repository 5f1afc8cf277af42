//! Search for scales: one after the other up or down, by smaller and smaller steps.

/// A scale that is searched: its logarithm, within bounds, and what it usually is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dial {
    pub at: f64,
    pub usual: f64,
    pub spread: f64,
    pub low: f64,
    pub high: f64,
}

impl Dial {
    /// A scale, what it usually is, by which factor it differs from that, and its bounds.
    pub fn new(at: f64, usual: f64, spread: f64, bounds: (f64, f64)) -> Dial {
        let (low, high) = (bounds.0.ln(), bounds.1.ln());
        let at = at.ln().clamp(low, high);
        Dial { at, usual: usual.ln(), spread: spread.ln(), low, high }
    }

    pub fn value(&self) -> f64 {
        self.at.exp()
    }

    fn penalty(&self) -> f64 {
        0.5 * ((self.at - self.usual) / self.spread).powi(2)
    }
}

/// Scales that all axes share, and those that each has.
#[derive(Debug, Clone)]
pub(crate) struct Dials {
    pub shared: Vec<Dial>,
    pub own: [Vec<Dial>; 3],
}

/// First step, and the last, of a logarithm.
const STEPS: (f64, f64) = (0.4, 0.06);
/// Times that every scale is tried.
const ROUNDS: usize = 12;

/// Makes the sum over axes of `cost` small, penalties for unusual scales included. `cost` is of an
/// axis, of what `prepare` makes of the shared scales, and of the axis's own.
pub(crate) fn search<P, F, S>(mut dials: Dials, prepare: P, cost: F) -> Dials
where
    P: Fn(&[Dial]) -> S,
    F: Fn(usize, &S, &[Dial]) -> f64,
{
    let mut ready = prepare(&dials.shared);
    let mut costs = [0, 1, 2].map(|axis| cost(axis, &ready, &dials.own[axis]));
    let mut step = vec![STEPS.0; dials.shared.len()];
    let mut own_step = [0, 1, 2].map(|axis: usize| vec![STEPS.0; dials.own[axis].len()]);
    for _ in 0..ROUNDS {
        for (i, step) in step.iter_mut().enumerate() {
            let moved = tried(dials.shared[i], step, costs.iter().sum(), |dial| {
                let mut shared = dials.shared.clone();
                shared[i] = dial;
                let ready = prepare(&shared);
                let costs = [0, 1, 2].map(|axis| cost(axis, &ready, &dials.own[axis]));
                (costs.iter().sum(), (ready, costs))
            });
            if let Some((dial, there)) = moved {
                (dials.shared[i], (ready, costs)) = (dial, there);
            }
        }
        for axis in 0..3 {
            for (i, step) in own_step[axis].iter_mut().enumerate() {
                let moved = tried(dials.own[axis][i], step, costs[axis], |dial| {
                    let mut own = dials.own[axis].clone();
                    own[i] = dial;
                    let cost = cost(axis, &ready, &own);
                    (cost, cost)
                });
                if let Some((dial, there)) = moved {
                    (dials.own[axis][i], costs[axis]) = (dial, there);
                }
            }
        }
        if step.iter().chain(own_step.iter().flatten()).all(|step| step.abs() < STEPS.1) {
            break;
        }
    }
    dials
}

/// One step to the side that helped last, else to the other; none where neither helps. Steps that
/// do not help become smaller.
fn tried<T>(
    dial: Dial,
    step: &mut f64,
    before: f64,
    cost: impl Fn(Dial) -> (f64, T),
) -> Option<(Dial, T)> {
    if step.abs() < STEPS.1 {
        return None;
    }
    for sign in [1.0, -1.0] {
        let at = (dial.at + sign * *step).clamp(dial.low, dial.high);
        let there = Dial { at, ..dial };
        if at == dial.at {
            continue;
        }
        let (cost, rest) = cost(there);
        if cost + there.penalty() < before + dial.penalty() - 1e-9 {
            *step *= sign;
            return Some((there, rest));
        }
    }
    *step *= 0.4;
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_bottom_of_a_bowl() {
        let dial = Dial::new(1.0, 1.0, 1e6, (0.01, 100.0));
        let dials = Dials { shared: vec![dial], own: [vec![dial], vec![dial], vec![dial]] };
        let aims = [3.0f64, 0.5, 7.0];
        let found = search(dials, <[Dial]>::to_vec, |axis, shared, own| {
            let slanted = own[0].at - aims[axis].ln() + 0.3 * (shared[0].at - 1.0);
            slanted.powi(2) + (shared[0].at - 1.0).powi(2)
        });
        assert!((found.shared[0].at - 1.0).abs() < 0.1, "{found:?}");
        for (own, aim) in found.own.iter().zip(aims) {
            assert!((own[0].at - aim.ln()).abs() < 0.1, "{found:?}");
        }
    }
}
