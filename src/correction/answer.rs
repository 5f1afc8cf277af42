//! What somebody saw who laid a part among patches, and how likely that is.

use super::reading::Spot;

/// How different two colours look: CIELAB to CIEDE2000.
pub type Distance = fn([f64; 3], [f64; 3]) -> f64;

/// A part among patches, and the patch that was named as nearest to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Looked {
    /// The part's CIELAB.
    pub aim: [f64; 3],
    /// What the model says of the patches.
    pub patches: Vec<Spot>,
    /// The patches named: one, two that the part is between, or none where none was.
    pub nearest: Vec<usize>,
    /// Whether the part is like what was named.
    pub like: bool,
}

/// A part is like no patch that is farther from it, CIEDE2000, and how sharp that limit is. Common practice, no source.
const UNLIKE: f64 = 4.0;
const SHARP: f64 = 1.0;
/// Rounds the tip of the distance off, so that it has a slope everywhere: CIEDE2000.
const TIP: f64 = 0.3;
/// Step of the slope's difference quotient, CIELAB.
const STEP: f64 = 0.01;

/// What a part was compared with: a patch, or the middle of two.
#[derive(Debug, Clone)]
pub(crate) struct Choice {
    pub lab: [f64; 3],
    pub terms: Vec<f64>,
}

/// An answer, made ready.
#[derive(Debug, Clone)]
pub(crate) struct Ready {
    pub aim: [f64; 3],
    pub choices: Vec<Choice>,
    pub said: Option<usize>,
    pub like: bool,
}

impl Ready {
    pub fn of(looked: &Looked, terms: impl Fn(&Spot) -> Vec<f64>) -> Ready {
        let one = |spot: &Spot| Choice { lab: spot.lab, terms: terms(spot) };
        let mut choices: Vec<Choice> = looked.patches.iter().map(one).collect();
        let said = match looked.nearest[..] {
            [a] if a < choices.len() => Some(a),
            [a, b] if a.max(b) < choices.len() => {
                let (a, b) = (&choices[a], &choices[b]);
                let middle = |(a, b): (&f64, &f64)| (a + b) / 2.0;
                let lab = [0, 1, 2].map(|k| (a.lab[k] + b.lab[k]) / 2.0);
                let terms = a.terms.iter().zip(&b.terms).map(middle).collect();
                choices.push(Choice { lab, terms });
                Some(choices.len() - 1)
            }
            _ => None,
        };
        Ready { aim: looked.aim, choices, said, like: looked.like }
    }

    /// How far each choice looks from the part once it is shown by so much more; CIEDE2000.
    pub fn far(&self, off: impl Fn(&Choice) -> [f64; 3], distance: Distance) -> Vec<f64> {
        let one = |c: &Choice| rounded(distance(self.aim, plus(c.lab, off(c))));
        self.choices.iter().map(one).collect()
    }

    /// How these distances grow with each axis of CIELAB.
    pub fn slopes(
        &self,
        off: impl Fn(&Choice) -> [f64; 3],
        far: &[f64],
        distance: Distance,
    ) -> Vec<[f64; 3]> {
        let one = |(c, far): (&Choice, &f64)| {
            let at = plus(c.lab, off(c));
            [0, 1, 2].map(|axis| {
                let mut to = at;
                to[axis] += STEP;
                (rounded(distance(self.aim, to)) - far) / STEP
            })
        };
        self.choices.iter().zip(far).map(one).collect()
    }

    /// The answer's likelihood.
    pub fn likely(&self, far: &[f64], seeing: f64) -> Likely {
        let shares = shares(far, seeing);
        let nearest = (0..far.len()).min_by(|a, b| far[*a].total_cmp(&far[*b])).unwrap_or(0);
        let judged = self.said.unwrap_or(nearest);
        let sign = if self.like { -1.0 } else { 1.0 };
        let over = sign * (far.get(judged).copied().unwrap_or(0.0) - UNLIKE) / SHARP;
        let mut log = if over < -30.0 { over } else { -(-over).exp().ln_1p() };
        let mut pull = vec![0.0; far.len()];
        if let Some(said) = self.said {
            log += shares[said].max(1e-300).ln();
            pull.iter_mut().zip(&shares).for_each(|(pull, share)| *pull = share / seeing);
            pull[said] -= 1.0 / seeing;
        }
        let [not, is] = [1.0 / (1.0 + over.exp()), 1.0 / (1.0 + (-over).exp())];
        if let Some(pull) = pull.get_mut(judged) {
            *pull += sign * not / SHARP;
        }
        Likely { log, pull, shares, judged, bend: not * is / (SHARP * SHARP) }
    }
}

/// How likely an answer is, and how that changes with the distances.
#[derive(Debug, Clone)]
pub(crate) struct Likely {
    pub log: f64,
    /// Slope of the logarithm, for each distance.
    pub pull: Vec<f64>,
    /// How likely each choice is to be named.
    pub shares: Vec<f64>,
    /// The choice that was judged like the part, or not, and what that adds to the curvature.
    pub judged: usize,
    pub bend: f64,
}

/// How likely each choice is to be named as nearest: distances seen with noise (Luce 1959; McFadden 1974).
pub(crate) fn shares(far: &[f64], seeing: f64) -> Vec<f64> {
    let least = far.iter().copied().fold(f64::INFINITY, f64::min);
    let each: Vec<f64> = far.iter().map(|d| (-(d - least) / seeing).exp()).collect();
    let sum: f64 = each.iter().sum();
    each.iter().map(|v| v / sum).collect()
}

fn rounded(distance: f64) -> f64 {
    distance.hypot(TIP)
}

pub(crate) fn plus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|k| a[k] + b[k])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ready(nearest: Vec<usize>, like: bool) -> Ready {
        let spot = |l: f64| Spot { lab: [l, 0.0, 0.0], value: [0.0; 4] };
        let patches = [50.0, 53.0, 47.0].map(spot).to_vec();
        let looked = Looked { aim: [54.0, 0.0, 0.0], patches, nearest, like };
        Ready::of(&looked, |spot| vec![1.0, spot.lab[0]])
    }

    fn plain(a: [f64; 3], b: [f64; 3]) -> f64 {
        (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
    }

    #[test]
    fn the_pull_is_the_slope_of_the_logarithm() {
        for (nearest, like) in
            [(vec![1], true), (vec![2], false), (vec![0, 1], true), (vec![], false)]
        {
            let ready = ready(nearest, like);
            let far = ready.far(|_| [0.3, 0.2, 0.0], plain);
            let likely = ready.likely(&far, 0.8);
            for k in 0..far.len() {
                let moved = |by: f64| {
                    let mut far = far.clone();
                    far[k] += by;
                    ready.likely(&far, 0.8).log
                };
                let slope = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                assert!((slope - likely.pull[k]).abs() < 1e-6, "{ready:?} {k} {slope} {likely:?}");
            }
        }
    }

    #[test]
    fn between_two_is_their_middle() {
        let ready = ready(vec![0, 1], true);
        assert_eq!(ready.said, Some(3));
        assert_eq!(ready.choices[3].lab, [51.5, 0.0, 0.0]);
        assert_eq!(ready.choices[3].terms, [1.0, 51.5]);
    }
}
