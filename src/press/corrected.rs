//! What the readings of prints add to a paper's model: learnt once, kept as a grid over all values.

use crate::colour::Lab50;
use crate::correction::{Form, Learnt, Reading, Spot};
use crate::parallel::in_parallel;

/// Nodes along a channel: of sRGB values, and of ink. Between them a correction runs straight; it is smooth over 40
/// steps of a value and more.
const NODES: [usize; 2] = [18, 16];

/// A value as a file carries it: sRGB and a 0, or ink, a byte a channel.
type Value = [u8; 4];

/// What a paper's model says that a value shows.
pub type Model<'a> = &'a dyn Fn(Value) -> Lab50;

/// One reading of a print.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadValue {
    pub value: Value,
    /// CIELAB D50, relative to the paper's white.
    pub shown: Lab50,
    /// Standard deviation of each axis of CIELAB.
    pub sigma: f64,
    /// Readings of one kind have noise of one scale.
    pub kind: u8,
    /// It says little of itself: a correction of such readings alone must be smooth, or neighbours that were read
    /// differently by chance are parted, or fall together.
    pub coarse: bool,
}

/// The best of the smooth forms, by leaving out.
fn coarse(all: &[Reading]) -> Learnt {
    let off = |learnt: &Learnt| -> f64 {
        let left = learnt.left_out().iter().zip(all);
        left.map(|(l, r)| (0..3).map(|k| (l.off[k] - r.off[k]).powi(2)).sum::<f64>()).sum()
    };
    let forms = [Form::None, Form::Shift, Form::Affine, Form::Quadratic].into_iter();
    let learnt = forms.map(|form| Learnt::in_form(all, form));
    let best = learnt.min_by(|a, b| off(a).total_cmp(&off(b)));
    best.unwrap_or_else(|| Learnt::from(&[]))
}

/// A correction of a paper.
#[derive(Debug, Clone)]
pub struct Correction {
    learnt: Learnt,
    /// What each reading has over the model.
    offsets: Vec<[f64; 3]>,
    channels: usize,
    /// CIELAB to add at each node, the first channel slowest.
    grid: Vec<[f32; 3]>,
}

/// How readings that were left out come out: RMS difference in CIELAB.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Errors {
    /// By the model alone.
    pub model: f64,
    /// With all other readings.
    pub learnt: f64,
    /// What was stated for it.
    pub stated: f64,
}

/// Where a value is.
fn spot(shown: Lab50, value: Value) -> Spot {
    Spot { lab: [shown.l, shown.a, shown.b], value: value.map(f64::from) }
}

impl Correction {
    /// Learns from all readings of a paper whose values have three or four channels.
    pub fn learnt(readings: &[ReadValue], channels: usize, model: Model<'_>) -> Correction {
        let reading = |read: &ReadValue| {
            let said = model(read.value);
            let off = [read.shown.l - said.l, read.shown.a - said.a, read.shown.b - said.b];
            Reading { at: spot(said, read.value), off, sigma: read.sigma, kind: read.kind }
        };
        let all: Vec<Reading> = readings.iter().map(reading).collect();
        let offsets = all.iter().map(|reading| reading.off).collect();
        let learnt = match readings.iter().all(|read| read.coarse) {
            true => coarse(&all),
            false => Learnt::from(&all),
        };
        let mut correction = Correction { learnt, offsets, channels, grid: Vec::new() };
        if correction.form() != Form::None {
            correction.grid = correction.nodes(model);
        }
        correction
    }

    fn count(&self) -> usize {
        NODES[usize::from(self.channels == 4)]
    }

    fn nodes(&self, model: Model<'_>) -> Vec<[f32; 3]> {
        let (count, channels) = (self.count(), self.channels);
        let step = 255.0 / (count - 1) as f64;
        let node = |node: usize| {
            let (mut value, mut rest) = ([0u8; 4], node);
            for channel in (0..channels).rev() {
                value[channel] = (step * (rest % count) as f64).round() as u8;
                rest /= count;
            }
            spot(model(value), value)
        };
        let spots: Vec<Spot> = (0..count.pow(channels as u32)).map(node).collect();
        let pieces: Vec<&[Spot]> = spots.chunks(512).collect();
        let learnt = |piece: &&[Spot]| -> Vec<[f32; 3]> {
            piece.iter().map(|spot| self.learnt.at(spot).0.map(|v| v as f32)).collect()
        };
        in_parallel(&pieces, learnt).concat()
    }

    /// What is added to what the model shows of a value: CIELAB.
    pub fn at(&self, value: Value) -> [f64; 3] {
        if self.grid.is_empty() {
            return [0.0; 3];
        }
        let (count, channels) = (self.count(), self.channels);
        let mut cells = [(0usize, 0.0f64); 4];
        for (cell, byte) in cells.iter_mut().zip(value).take(channels) {
            let place = f64::from(byte) / 255.0 * (count - 1) as f64;
            let low = (place as usize).min(count - 2);
            *cell = (low, place - low as f64);
        }
        let mut out = [0.0; 3];
        for corner in 0..1usize << channels {
            let (mut weight, mut index) = (1.0, 0);
            for (channel, (low, share)) in cells.iter().enumerate().take(channels) {
                let high = corner >> channel & 1;
                weight *= if high == 1 { *share } else { 1.0 - share };
                index = index * count + low + high;
            }
            if weight > 0.0 {
                let node = self.grid.get(index).copied().unwrap_or_default();
                (0..3).for_each(|k| out[k] += weight * f64::from(node[k]));
            }
        }
        out
    }

    /// How uncertain what is shown of a value is: standard deviation, as a difference in CIELAB.
    pub fn uncertainty(&self, value: Value, model: Model<'_>) -> f64 {
        self.learnt.at(&spot(model(value), value)).1
    }

    /// What was learnt.
    pub fn form(&self) -> Form {
        self.learnt.form()
    }

    /// What each reading has over the model: CIELAB.
    pub fn offsets(&self) -> &[[f64; 3]] {
        &self.offsets
    }

    /// For each reading how far the others' prediction for it is from it (CIELAB), and the standard deviation that is
    /// stated for that, as a difference in CIELAB.
    pub fn left_out(&self) -> impl Iterator<Item = ([f64; 3], f64)> + '_ {
        let each = self.learnt.left_out().iter().zip(&self.offsets);
        each.map(|(left, read)| ([0, 1, 2].map(|k| left.off[k] - read[k]), left.sigma))
    }

    /// How far readings are from what is said of them.
    pub fn errors(&self) -> Errors {
        let count = self.offsets.len().max(1) as f64;
        let square = |v: [f64; 3]| v.iter().map(|v| v * v).sum::<f64>();
        let rms = |sum: f64| (sum / count).sqrt();
        Errors {
            model: rms(self.offsets.iter().map(|off| square(*off)).sum()),
            learnt: rms(self.left_out().map(|(off, _)| square(off)).sum()),
            stated: rms(self.left_out().map(|(_, sigma)| sigma * sigma).sum()),
        }
    }

    /// Readings that contradict the others, by their numbers.
    pub fn outliers(&self) -> &[usize] {
        self.learnt.outliers()
    }
}
