//! What the readings of prints add to a paper's model: learnt once, kept as a grid over all values.

use super::seen::Seen;
use crate::colour::{Lab50, difference};
use crate::correction::{Answered, Answers, Expected, Form, Learnt, Looked, Reading, Spot};
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
}

/// Kinds of readings that answers make, beyond those of `ReadBy`; and how exact one is, standard deviation of each axis
/// of CIELAB: of a part that is like what was named, and of one that is not. Common practice, no source.
const ANSWERS: [(u8, f64); 2] = [(10, 1.5), (11, 8.0)];

impl ReadValue {
    /// An answer beside readings of other kinds, which say far more: the patch named shows the part's colour, about.
    pub fn of(seen: &Seen) -> ReadValue {
        let (kind, sigma) = ANSWERS[usize::from(!seen.like)];
        let named = seen.nearest.first().and_then(|n| seen.values.get(*n));
        let value = *named.unwrap_or(&seen.values[0]);
        ReadValue { value, shown: seen.aim, sigma, kind }
    }
}

/// What was learnt, and from what.
#[derive(Debug, Clone)]
enum Source {
    Readings(Box<Learnt>),
    Answers(Box<Answered>),
}

/// A correction of a paper.
#[derive(Debug, Clone)]
pub struct Correction {
    source: Source,
    /// What each reading has over the model.
    offsets: Vec<[f64; 3]>,
    /// How far each is off what the others make one expect, and the standard deviation of that.
    left_out: Vec<Expected>,
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
        let offsets: Vec<[f64; 3]> = all.iter().map(|reading| reading.off).collect();
        let learnt = Learnt::from(&all);
        let each = learnt.left_out().iter().zip(&offsets);
        let left_out = each.map(|(l, read)| {
            let off = [0, 1, 2].map(|k| l.off[k] - read[k]);
            Expected { off, sigma: l.sigma }
        });
        let left_out = left_out.collect();
        Correction::with(Source::Readings(Box::new(learnt)), (offsets, left_out), channels, model)
    }

    /// Learns from what was seen by eye alone. `bare` is the value of bare paper.
    pub fn answered(seen: &[Seen], bare: Value, channels: usize, model: Model<'_>) -> Correction {
        let here = |value: Value| spot(model(value), value);
        let looked = |seen: &Seen| Looked {
            aim: [seen.aim.l, seen.aim.a, seen.aim.b],
            patches: seen.values.iter().map(|value| here(*value)).collect(),
            nearest: seen.nearest.clone(),
            like: seen.like,
        };
        let looked: Vec<Looked> = seen.iter().map(looked).collect();
        let distance = |a: [f64; 3], b: [f64; 3]| {
            difference(Lab50::new(a[0], a[1], a[2]), Lab50::new(b[0], b[1], b[2]))
        };
        let answers = Answers { looked: &looked, bare: here(bare), channels, distance };
        let answered = Answered::from(&answers);
        let offsets = answered.by_model().iter().map(|e| e.off).collect();
        let left_out = answered.left_out().to_vec();
        Correction::with(Source::Answers(Box::new(answered)), (offsets, left_out), channels, model)
    }

    fn with(
        source: Source,
        (offsets, left_out): (Vec<[f64; 3]>, Vec<Expected>),
        channels: usize,
        model: Model<'_>,
    ) -> Correction {
        let mut out = Correction { source, offsets, left_out, channels, grid: Vec::new() };
        if out.form() != Form::None {
            out.grid = out.nodes(model);
        }
        out
    }

    fn added(&self, spot: &Spot) -> [f64; 3] {
        match &self.source {
            Source::Readings(learnt) => learnt.at(spot).0,
            Source::Answers(answered) => answered.at(spot),
        }
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
            piece.iter().map(|spot| self.added(spot).map(|v| v as f32)).collect()
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
        let spot = spot(model(value), value);
        match &self.source {
            Source::Readings(learnt) => learnt.at(&spot).1,
            Source::Answers(answered) => answered.sigma(&spot),
        }
    }

    /// What was learnt.
    pub fn form(&self) -> Form {
        match &self.source {
            Source::Readings(learnt) => learnt.form(),
            Source::Answers(answered) => answered.form(),
        }
    }

    /// What each reading has over the model; of an answer, how far what was named is from what the model makes one
    /// expect, as it looks (CIEDE2000).
    pub fn offsets(&self) -> &[[f64; 3]] {
        &self.offsets
    }

    /// For each reading how far the others' prediction for it is from it (CIELAB), and the standard deviation that is
    /// stated for that, as a difference in CIELAB; of an answer the same between the patches named and expected, as it
    /// looks (CIEDE2000).
    pub fn left_out(&self) -> impl Iterator<Item = ([f64; 3], f64)> + '_ {
        self.left_out.iter().map(|left| (left.off, left.sigma))
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
        match &self.source {
            Source::Readings(learnt) => learnt.outliers(),
            Source::Answers(answered) => answered.outliers(),
        }
    }
}
