//! CxF 3 (ISO 17972-1): each object of the file's collections is a sample.
//!
//! An object goes by its Name or its Id. Of its values a reflectance spectrum is taken before CIELAB, CIELAB before
//! XYZ; of several of a kind the first that is for D50 and 2 degrees. Light, observer and the wavelengths of spectra
//! stand in the colour specification that a value names.

mod document;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use self::document::{CxfObject, CxfValue, Specification, ValueKind, objects};
use super::conditions::{Conditions, unfit};
use super::sample::{Sample, Scales, Spectrum};
use super::source::TextFile;
use crate::diag::{Diagnostic, Findings, Located};
use crate::limits::Limits;

/// The samples of a file; none where it cannot be read.
pub fn samples(
    file: &Arc<Path>,
    text: &str,
    limits: Limits,
    findings: &mut Findings,
) -> Option<(Vec<Sample>, Scales)> {
    let of = TextFile { file, text, limits };
    let (objects, specifications) = objects(of, findings)?;
    let measured = |o: &&CxfObject| !o.values.is_empty();
    if !objects.iter().any(|o| measured(&o)) {
        let lamp = objects.iter().find_map(|o| o.not_reflective.clone());
        let (code, message) = match lamp {
            Some(_) => (
                "not-reflective",
                "these are spectra of lights or of what shines through, not of surfaces",
            ),
            None => ("no-values", "this file has no measured values of samples"),
        };
        let help =
            "export it with CIELAB or XYZ for D50 and 2 degrees, or with reflectance spectra";
        let at = lamp.or(of.at(0..0));
        findings.push(Diagnostic::error(code, message).at(at).help(help));
        return None;
    }
    let known = Specifications { of, all: &specifications };
    let samples =
        objects.iter().filter(measured).filter_map(|o| known.sample(o, findings)).collect();
    Some((samples, Scales::default()))
}

/// The colour specifications of a file.
struct Specifications<'a> {
    of: TextFile<'a>,
    all: &'a BTreeMap<String, Specification>,
}

impl Specifications<'_> {
    fn of_value(&self, value: &CxfValue) -> Option<&Specification> {
        self.all.get(value.specification.as_ref()?)
    }

    fn viewed(&self, value: &CxfValue) -> Located<Conditions> {
        self.of_value(value).map(|s| s.viewed.clone()).unwrap_or_default()
    }

    fn sample(&self, object: &CxfObject, findings: &mut Findings) -> Option<Sample> {
        if object.names.is_empty() {
            let fault = Diagnostic::error("no-names", "this object has neither a name nor an id");
            findings.push(fault.at(object.at.clone()).help("give it the name of its colour"));
            return None;
        }
        let value = self.chosen(object)?;
        let mut sample = Sample {
            names: object.names.clone(),
            at: value.at.clone(),
            viewed: self.viewed(value),
            ..Sample::default()
        };
        match value.kind {
            ValueKind::Spectrum => sample.spectrum = Some(self.spectrum(value, findings)?),
            ValueKind::Lab => sample.lab = Some(self.three(value, "L, A and B", findings)?),
            ValueKind::Xyz => sample.xyz = Some(self.three(value, "X, Y and Z", findings)?),
        }
        Some(sample)
    }

    /// The value that is used of an object.
    fn chosen<'a>(&self, object: &'a CxfObject) -> Option<&'a CxfValue> {
        let fits =
            |v: &CxfValue| v.kind == ValueKind::Spectrum || unfit(&self.viewed(v), "").is_none();
        let of = |kind: ValueKind, fit: bool| {
            object.values.iter().find(move |v| v.kind == kind && (fits(v) || !fit))
        };
        of(ValueKind::Spectrum, true)
            .or_else(|| of(ValueKind::Lab, true))
            .or_else(|| of(ValueKind::Xyz, true))
            .or_else(|| of(ValueKind::Lab, false))
            .or_else(|| of(ValueKind::Xyz, false))
    }

    fn three(&self, value: &CxfValue, what: &str, findings: &mut Findings) -> Option<[f64; 3]> {
        if value.faulty {
            return None;
        }
        let Ok(three) = <[f64; 3]>::try_from(value.numbers.as_slice()) else {
            let fault =
                Diagnostic::error("missing-value", format!("this value lacks one of {what}"));
            findings.push(
                fault.at(value.at.clone()).help("export it with all three, or remove the object"),
            );
            return None;
        };
        Some(three)
    }

    fn spectrum(&self, value: &CxfValue, findings: &mut Findings) -> Option<Spectrum> {
        if value.faulty {
            return None;
        }
        let own = self.of_value(value);
        let from = value.from.or(own.and_then(|s| s.from));
        let (Some(from), Some(step)) = (from, own.and_then(|s| s.step)) else {
            let lacks =
                if from.is_none() { "its first wavelength" } else { "the step of its wavelengths" };
            let fault = Diagnostic::error("no-wavelengths", format!("this spectrum lacks {lacks}"));
            findings.push(
                fault
                    .at(value.at.clone().or(self.of.at(0..0)))
                    .help("export it with WavelengthRange StartWL=\"400\" Increment=\"10\" in its ColorSpecification"),
            );
            return None;
        };
        Some(Spectrum { from, step, values: value.numbers.clone() })
    }
}
