//! Several photographs of one page, put together.

use crate::capture::lab::{Lab50, difference};
use crate::capture::readings::{PageReadings, Reading};

/// Puts the readings of several photographs of one page together: for each place the mean colour,
/// weighted by how even the face is and how good the camera's model. With three or more, one that is
/// far from the middle of the others counts less. Relative readings are left out where there are others.
pub fn average(pages: &[PageReadings]) -> Vec<Reading> {
    let absolute = pages.iter().any(|p| !p.relative);
    let used: Vec<&PageReadings> = pages.iter().filter(|p| !absolute || !p.relative).collect();
    let count = used.iter().map(|p| p.readings.len()).max().unwrap_or(0);
    (0..count)
        .filter_map(|place| {
            let each: Vec<&Reading> = used.iter().filter_map(|p| p.readings.get(place)).collect();
            together(&each)
        })
        .collect()
}

/// One place in several photographs.
fn together(each: &[&Reading]) -> Option<Reading> {
    let seen: Vec<(&Reading, Lab50)> = each.iter().filter_map(|r| Some((*r, r.lab?))).collect();
    let Some((first, _)) = seen.first() else { return each.first().map(|r| (*r).clone()) };
    let mut weights: Vec<f64> = seen.iter().map(|(r, _)| weight(r)).collect();
    if seen.len() >= 3 {
        let middle = middle(&seen.iter().map(|(_, lab)| *lab).collect::<Vec<Lab50>>());
        for (weight, (_, lab)) in weights.iter_mut().zip(&seen) {
            *weight /= 1.0 + (difference(*lab, middle) / 2.0).powi(2);
        }
    }
    let mut all = (*first).clone();
    let lab = mean(seen.iter().map(|(_, lab)| *lab).zip(weights.iter().copied()));
    let left_out = seen.iter().zip(&weights).filter_map(|((r, _), w)| Some((r.left_out?, *w)));
    all.left_out = mean(left_out);
    all.lab = lab;
    let sum: f64 = weights.iter().sum();
    let squares = weights.iter().zip(&seen).map(|(w, (r, _))| (w / sum * r.spread).powi(2));
    all.spread = squares.sum::<f64>().sqrt();
    // Photographs share most of the model's error: it is not divided by their number.
    let errors: Vec<f64> = seen.iter().filter_map(|(r, _)| r.model_error).collect();
    all.model_error = errors.iter().copied().reduce(f64::min);
    // A doubt that one photograph does not have is none.
    all.doubts =
        seen.iter().map(|(r, _)| &r.doubts).min_by_key(|d| d.len()).cloned().unwrap_or_default();
    Some(all)
}

/// How much a reading counts: by how even its face is, how good the camera's model and how many doubts it leaves.
pub(super) fn weight(reading: &Reading) -> f64 {
    let error = reading.model_error.unwrap_or(2.0);
    let doubts = 0.5f64.powi(reading.doubts.len().min(8) as i32);
    doubts / (0.05 + reading.spread.powi(2) + error.powi(2))
}

fn mean(colours: impl Iterator<Item = (Lab50, f64)>) -> Option<Lab50> {
    let (mut sum, mut weights) = ([0.0; 3], 0.0);
    for (lab, weight) in colours {
        weights += weight;
        sum = [sum[0] + weight * lab.l, sum[1] + weight * lab.a, sum[2] + weight * lab.b];
    }
    (weights > 0.0).then(|| Lab50::new(sum[0] / weights, sum[1] / weights, sum[2] / weights))
}

/// The median of each coordinate.
fn middle(colours: &[Lab50]) -> Lab50 {
    let of = |axis: fn(&Lab50) -> f64| {
        crate::capture::least::median(&mut colours.iter().map(axis).collect::<Vec<f64>>())
    };
    Lab50::new(of(|c| c.l), of(|c| c.a), of(|c| c.b))
}
