//! From samples in the scales of their file to readings in one scale.
//!
//! Some files write XYZ of a perfect white as Y = 100, others as Y = 1, and reflectance as percent or as parts of one,
//! and most do not say which. It is decided once for a file, by the largest value in it (the file's own white, where
//! it has one): up to 1.5 the scale is that of 1, over it that of 100. No surface that does not glow reflects 1.5 times
//! what a perfect white does, and no range is made of colours under 1.5 of 100 (L* 12) alone.

use std::path::Path;
use std::sync::Arc;

use palette::white_point::D50;
use palette::{IntoColor, Xyz};

use super::conditions::unfit;
use super::sample::{Reading, Sample, Scales, Spectrum};
use crate::colour::Lab50;
use crate::diag::{Diagnostic, Findings, Located, Span};
use crate::read::raw;

/// The largest value of a scale whose white is 1.
const MOST_OF_ONE: f64 = 1.5;
/// With nothing lighter than this (of 1) the scale is in doubt.
const DOUBTFUL: f64 = 0.5;
/// So much of a source or a note is kept, characters.
const LONGEST_TEXT: usize = 500;
/// Instruments write dark reflectances a little below 0.
const NOISE: f64 = 0.01;

/// The readings of a file. Values for another light or observer are reported; their samples stay, so that faults in what
/// these are called are found in the same run.
pub fn settle(
    samples: Vec<Sample>,
    scales: Scales,
    file: &Arc<Path>,
    findings: &mut Findings,
) -> Vec<Reading> {
    let spectra = || samples.iter().filter_map(|s| s.spectrum.as_ref());
    let largest = spectra().flat_map(|s| s.values.iter().copied()).fold(0.0, f64::max);
    let of_spectra = Scale { given: scales.spectrum, largest, what: "reflectance" };
    let taken = |s: &&Sample| s.spectrum.is_none() && s.lab.is_none();
    let ys = samples.iter().filter_map(|s| s.xyz.map(|xyz| xyz[1]));
    let of_xyz = Scale { given: scales.xyz, largest: ys.fold(0.0, f64::max), what: "Y of XYZ" };
    let (with_spectra, with_xyz) = (spectra().next().is_some(), samples.iter().any(|s| taken(&s)));
    let spectrum_white = of_spectra.white(with_spectra, file, findings);
    let xyz_white = of_xyz.white(with_xyz, file, findings);
    samples.into_iter().filter_map(|s| reading(s, xyz_white, spectrum_white, findings)).collect()
}

/// A scale that a file uses for one kind of value.
struct Scale {
    given: Option<f64>,
    largest: f64,
    what: &'static str,
}

impl Scale {
    /// What a perfect white has in it.
    fn white(&self, used: bool, file: &Arc<Path>, findings: &mut Findings) -> f64 {
        if let Some(given) = self.given {
            return given;
        }
        let white = if self.largest > MOST_OF_ONE { 100.0 } else { 1.0 };
        if used && white == 1.0 && self.largest < DOUBTFUL {
            let message = format!(
                "the largest {} in '{}' is {}; it was read on the scale from 0 to 1",
                self.what,
                file.display(),
                self.largest
            );
            findings.push(
                Diagnostic::hint("scale-in-doubt", message)
                    .at(Some(Span { file: file.clone(), range: 0..0 }))
                    .help("if the scale is from 0 to 100, add a reading of a light colour, such as white paper"),
            );
        }
        white
    }
}

fn reading(
    s: Sample,
    xyz_white: f64,
    spectrum_white: f64,
    findings: &mut Findings,
) -> Option<Reading> {
    let value = if let Some(Spectrum { from, step, values }) = s.spectrum {
        let values = values.into_iter().map(|v| noiseless(v / spectrum_white)).collect();
        raw::Value::Spectrum(raw::Spectrum {
            from: Some(from),
            step: Some(step),
            values: Some(values),
        })
    } else {
        let (what, lab) = match (s.lab, s.xyz) {
            (Some(lab), _) => ("Lab", lab),
            (None, xyz) => ("XYZ", xyz_to_lab(xyz?.map(|v| v / xyz_white))),
        };
        if let Some(fault) = unfit(&s.viewed, what) {
            let span = fault.span.clone().or_else(|| s.at.clone());
            findings.push(fault.at(span));
        }
        raw::Value::Lab(raw::Lab(lab[0], lab[1], lab[2]))
    };
    Some(Reading {
        names: s.names,
        value: Located::new(value, s.at),
        spread: s.spread,
        readings: s.readings.unwrap_or(1).max(1),
        source: s.source.as_deref().and_then(plain),
        note: s.note.as_deref().and_then(plain),
    })
}

/// A text of the file without control characters, which would be printed; none where nothing is left.
fn plain(text: &str) -> Option<String> {
    let words = text.split(|c: char| c.is_whitespace() || c.is_control());
    let words: Vec<&str> = words.filter(|w| !w.is_empty()).collect();
    let text: String = words.join(" ").chars().take(LONGEST_TEXT).collect();
    Some(text.trim().to_owned()).filter(|t| !t.is_empty())
}

fn noiseless(value: f64) -> f64 {
    if (-NOISE..0.0).contains(&value) { 0.0 } else { value }
}

/// CIELAB of XYZ for D50, Y = 1 for the perfect white.
fn xyz_to_lab([x, y, z]: [f64; 3]) -> [f64; 3] {
    let lab: Lab50 = Xyz::<D50, f64>::new(x, y, z).into_color();
    [lab.l, lab.a, lab.b]
}
