//! The form of what is learnt from answers, and the size of its terms: those with the most evidence.

use nalgebra::DVector;

use super::answer::Looked;
use super::answers::{Answers, LEAST, MOST, Scales, ready, row};
use super::reading::Form;
use super::summit::{Summit, Task, root_of};
use super::tones::{USUAL, groups, terms};

/// Forms, from the simplest on.
const FORMS: [Form; 5] = [Form::None, Form::Shift, Form::Affine, Form::Tones, Form::Cubic];
/// Answers from which scales are found: more would cost much and tell little.
const ENOUGH: usize = 300;
/// Noise of seeing as it usually is, CIEDE2000: people who compare lacquered panels agree within about that.
/// Common practice, no source.
const SEEING: f64 = 0.8;
/// How much scales and noise differ from what is usual, as a logarithm.
const SPREAD: [f64; 2] = [1.0, 0.7];
/// First step of the noise's logarithm, and times that sizes and noise are found in turn.
const STEP: f64 = 0.5;
const TURNS: usize = 4;
/// How far sizes may be from what is usual, as a factor.
const WITHIN: f64 = 12.0;

/// Answers that scales are found with: some of many, spread over all.
fn telling(looked: &[Looked]) -> Vec<Looked> {
    let last = &looked[looked.len().saturating_sub(MOST)..];
    let count = last.len().min(ENOUGH);
    (0..count).map(|i| last[i * last.len() / count].clone()).collect()
}

/// The scales with the most evidence.
pub(crate) fn tuned(answers: &Answers<'_>) -> Scales {
    let none = Scales { form: Form::None, sizes: USUAL, seeing: SEEING, start: None };
    if answers.looked.len() < LEAST {
        return none;
    }
    let looked = telling(answers.looked);
    let mut best: Option<Tried> = None;
    let mut before = none;
    for form in FORMS {
        let found = Tried::of(answers, &looked, Scales { form, start: None, ..before.clone() });
        let found = found.searched(answers, &looked);
        before = Scales { form, ..found.scales.clone() };
        if best.as_ref().is_none_or(|best| found.summit.evidence > best.summit.evidence) {
            best = Some(found);
        }
    }
    best.map_or(before, |best| Scales { start: Some(best.summit.factors), ..best.scales })
}

/// Scales, and what comes of them.
struct Tried {
    scales: Scales,
    summit: Summit,
}

impl Tried {
    fn of(answers: &Answers<'_>, looked: &[Looked], scales: Scales) -> Tried {
        let all = ready(looked, answers.channels, &scales);
        let bare = row(&answers.bare, answers.channels, &scales);
        let Scales { seeing, .. } = scales;
        let task = Task { answers: &all, bare: &bare, seeing, distance: answers.distance };
        let start = scales.start.clone().unwrap_or_else(|| DVector::zeros(3 * bare.len()));
        Tried { summit: task.climb(start), scales }
    }

    /// Evidence, and how usual the scales are.
    fn worth(&self) -> f64 {
        let unusual = |at: f64, usual: f64, spread: f64| 0.5 * ((at / usual).ln() / spread).powi(2);
        let sizes = self.scales.sizes.iter().zip(USUAL).take(groups(self.scales.form));
        let sizes: f64 = sizes.map(|(at, usual)| unusual(*at, usual, SPREAD[0])).sum();
        self.summit.evidence - sizes - unusual(self.scales.seeing, SEEING, SPREAD[1])
    }

    /// Sizes of all terms, and the noise up or down, in turn.
    fn searched(mut self, answers: &Answers<'_>, looked: &[Looked]) -> Tried {
        let mut step = STEP;
        for _ in 0..TURNS {
            let before = self.worth();
            for share in [1.0, 0.5] {
                let to = Tried::of(answers, looked, self.resized(share, answers));
                if to.worth() > self.worth() {
                    self = to;
                    break;
                }
            }
            let noisier = [step, -step].into_iter().find_map(|by| {
                let seeing = self.scales.seeing * by.exp();
                let start = Some(self.summit.factors.clone());
                let to =
                    Tried::of(answers, looked, Scales { seeing, start, ..self.scales.clone() });
                (to.worth() > self.worth()).then_some((to, by))
            });
            match noisier {
                Some((to, by)) => (self, step) = (to, by),
                None => step *= 0.5,
            }
            if self.worth() < before + 0.1 && step.abs() < STEP {
                break;
            }
        }
        self
    }

    /// With sizes that make the factors found what is usual: each group's sum of squares is how many of its factors the
    /// answers settle (MacKay 1992, equation 4.9). `share` of the way there, as a logarithm.
    fn resized(&self, share: f64, answers: &Answers<'_>) -> Scales {
        let mut sizes = self.scales.sizes;
        let mut start = self.summit.factors.clone();
        let doubt = root_of(&self.summit.curve).map(|root| root.inverse().diagonal());
        let doubt = doubt.unwrap_or_else(|| DVector::from_element(start.len(), 1.0));
        let counts = terms(&answers.bare, answers.channels).map(|group| group.len());
        let row = start.len() / 3;
        let mut first = 0;
        for (i, count) in counts.into_iter().enumerate().take(groups(self.scales.form)) {
            let own = || (0..3).flat_map(|axis| (0..count).map(move |k| axis * row + first + k));
            let settled: f64 = own().map(|k| (1.0 - doubt[k]).max(0.0)).sum();
            let square: f64 = own().map(|k| start[k] * start[k]).sum();
            let grown = share * 0.5 * ((square + 1e-6) / (settled + 1e-3)).ln();
            let size = (sizes[i] * grown.exp()).clamp(USUAL[i] / WITHIN, USUAL[i] * WITHIN);
            own().for_each(|k| start[k] *= sizes[i] / size);
            sizes[i] = size;
            first += count;
        }
        Scales { sizes, start: Some(start), ..self.scales.clone() }
    }
}
