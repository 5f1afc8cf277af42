//! Readings made fit for use: nonsense taken out, doubles found and averaged.

use std::collections::BTreeMap;

use super::reading::{Reading, Spot};

/// Different values beyond which those near each other are averaged.
pub(crate) const MOST: usize = 480;
/// Corrections beyond this are nonsense: CIELAB.
const FARTHEST: f64 = 150.0;
/// Readings of a kind from which its noise can be told.
const TELLING: usize = 8;
/// Kinds whose noise is estimated: those with most readings.
const KINDS: usize = 6;

/// A reading that can be used.
#[derive(Debug, Clone)]
pub(crate) struct Used {
    /// Where it stands among all.
    pub index: usize,
    pub off: [f64; 3],
    /// As stated, of each axis.
    pub variance: f64,
    /// Index into the kinds.
    pub kind: usize,
}

/// Readings of the same value.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    pub spot: Spot,
    /// Indices into those that can be used.
    pub members: Vec<usize>,
}

/// All that can be used.
#[derive(Debug, Clone)]
pub(crate) struct Data {
    pub used: Vec<Used>,
    pub groups: Vec<Group>,
    pub kinds: Vec<u8>,
    /// Indices of kinds whose noise can be told.
    pub telling: Vec<usize>,
}

/// Averages of groups, weighted.
#[derive(Debug, Clone)]
pub(crate) struct Averages {
    pub off: Vec<[f64; 3]>,
    /// Noise of each average, of each axis.
    pub variance: Vec<f64>,
    /// What doubles say against this noise by themselves, for each axis: minus log likelihood.
    pub within: [f64; 3],
}

impl Data {
    pub fn from(readings: &[Reading]) -> Data {
        let good: Vec<usize> = (0..readings.len()).filter(|i| usable(&readings[*i])).collect();
        let mut counts = BTreeMap::<u8, usize>::new();
        for i in &good {
            *counts.entry(readings[*i].kind).or_default() += 1;
        }
        let kinds: Vec<u8> = counts.keys().copied().collect();
        let mut telling: Vec<usize> =
            (0..kinds.len()).filter(|k| counts[&kinds[*k]] >= TELLING).collect();
        telling.sort_by_key(|k| std::cmp::Reverse(counts[&kinds[*k]]));
        telling.truncate(KINDS);
        let used = good.iter().map(|&index| {
            let reading = &readings[index];
            let kind = kinds.iter().position(|k| *k == reading.kind).unwrap_or(0);
            Used { index, off: reading.off, variance: variance_of(reading), kind }
        });
        let spots: Vec<Spot> = good.iter().map(|i| tidy(&readings[*i].at)).collect();
        Data { used: used.collect(), groups: group(&spots), kinds, telling }
    }

    /// Noise of a reading, of each axis.
    pub fn noise(&self, used: usize, factors: &[f64]) -> f64 {
        let used = &self.used[used];
        used.variance * factors[used.kind].powi(2)
    }

    /// Averages of some groups.
    pub fn averages(&self, groups: &[usize], factors: &[f64], weights: &[f64]) -> Averages {
        let mut out = Averages { off: Vec::new(), variance: Vec::new(), within: [0.0; 3] };
        for group in groups {
            let members = &self.groups[*group].members;
            let noise = |m: &usize| self.noise(*m, factors) / weights[*m];
            let variance = 1.0 / members.iter().map(|m| 1.0 / noise(m)).sum::<f64>();
            let spread = members.iter().map(|m| noise(m).ln()).sum::<f64>() - variance.ln();
            let mut mean = [0.0; 3];
            for (axis, mean) in mean.iter_mut().enumerate() {
                let each = members.iter().map(|m| self.used[*m].off[axis] / noise(m));
                *mean = variance * each.sum::<f64>();
                let apart = |m: &usize| (self.used[*m].off[axis] - *mean).powi(2) / noise(m);
                out.within[axis] += 0.5 * (spread + members.iter().map(apart).sum::<f64>());
            }
            out.off.push(mean);
            out.variance.push(variance);
        }
        out
    }
}

fn usable(reading: &Reading) -> bool {
    let place = reading.at.lab.iter().chain(&reading.at.value);
    place.chain([&reading.sigma]).all(|v| v.is_finite())
        && reading.off.iter().all(|v| v.abs() <= FARTHEST)
}

/// What is stated of a reading's noise, within reason.
pub(crate) fn variance_of(reading: &Reading) -> f64 {
    let sigma = if reading.sigma.is_finite() { reading.sigma } else { 1.0 };
    sigma.clamp(0.05, 50.0).powi(2)
}

/// A place within reason; what is no number becomes the middle.
pub(crate) fn tidy(spot: &Spot) -> Spot {
    let within = |v: f64, usual: f64, low: f64, high: f64| {
        if v.is_nan() { usual } else { v.clamp(low, high) + 0.0 }
    };
    let [l, a, b] = spot.lab;
    let lab = [
        within(l, 50.0, -20.0, 150.0),
        within(a, 0.0, -200.0, 200.0),
        within(b, 0.0, -200.0, 200.0),
    ];
    Spot { lab, value: spot.value.map(|v| within(v, 0.0, 0.0, 255.0)) }
}

/// Groups of the same value, or of near values where there are too many.
fn group(spots: &[Spot]) -> Vec<Group> {
    let exact = |v: f64| v.to_bits();
    let mut groups = collect(spots, exact);
    let mut step = 1.0;
    while groups.len() > MOST {
        groups = collect(spots, |v| (v / step).round() as u64);
        step *= 1.5;
    }
    groups
}

fn collect(spots: &[Spot], cell: impl Fn(f64) -> u64) -> Vec<Group> {
    let mut cells = BTreeMap::<[u64; 4], Vec<usize>>::new();
    for (i, spot) in spots.iter().enumerate() {
        cells.entry(spot.value.map(&cell)).or_default().push(i);
    }
    let group = |members: Vec<usize>| {
        let count = members.len() as f64;
        let mut spot = Spot { lab: [0.0; 3], value: [0.0; 4] };
        for m in &members {
            for (sum, v) in spot.lab.iter_mut().zip(spots[*m].lab) {
                *sum += v / count;
            }
            for (sum, v) in spot.value.iter_mut().zip(spots[*m].value) {
                *sum += v / count;
            }
        }
        Group { spot, members }
    };
    cells.into_values().map(group).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(value: f64, off: f64, sigma: f64) -> Reading {
        let at = Spot { lab: [50.0, 0.0, 0.0], value: [value, 0.0, 0.0, 0.0] };
        Reading { at, off: [off; 3], sigma, kind: 0 }
    }

    #[test]
    fn doubles_are_averaged_by_their_noise() {
        let data =
            Data::from(&[reading(9.0, 1.0, 1.0), reading(3.0, 0.0, 1.0), reading(9.0, 4.0, 2.0)]);
        assert_eq!(data.groups.len(), 2);
        let averages = data.averages(&[1], &[1.0], &[1.0; 3]);
        assert!((averages.off[0][0] - 1.6).abs() < 1e-9, "{averages:?}");
        assert!((averages.variance[0] - 0.8).abs() < 1e-9, "{averages:?}");
        // Minus log of a difference of 3 with variance 5.
        let want = 0.5 * (5f64.ln() + 9.0 / 5.0);
        assert!((averages.within[0] - want).abs() < 1e-9, "{averages:?}");
    }

    #[test]
    fn values_are_never_too_many() {
        let many: Vec<Reading> =
            (0..5000).map(|i| reading(f64::from(i) / 20.0, 0.0, 1.0)).collect();
        let data = Data::from(&many);
        assert!(data.groups.len() <= MOST && data.groups.len() > MOST / 4, "{}", data.groups.len());
        assert_eq!(data.groups.iter().map(|g| g.members.len()).sum::<usize>(), 5000);
    }
}
