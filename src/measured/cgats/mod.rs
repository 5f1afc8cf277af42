//! CGATS.17, and the files of instruments that are written like it (`.ti3`): samples by the names of their fields.
//!
//! A sample goes by SAMPLE_NAME, SAMPLE_ID or SAMPLE_LOC. Its values are LAB_L, LAB_A, LAB_B; XYZ_X, XYZ_Y,
//! XYZ_Z; or a spectrum, in fields with the wavelength in their names (SPECTRAL_NM400, SPEC_400, nm400) or in pairs
//! SPECTRAL_NM, SPECTRAL_DEC (or SPECTRAL_PCT).

mod scan;

use std::path::Path;
use std::sync::Arc;

use self::scan::{CgatsTable, Piece, tables};
use super::conditions::Conditions;
use super::sample::{Sample, Scales, Spectrum, brief};
use super::source::TextFile;
use super::wavelengths::{Bands, bands, even, wavelength};
use crate::diag::{Diagnostic, Findings, Located};
use crate::limits::Limits;
use crate::read::table::parse_decimal;

/// Fields that name a sample, the best first.
const NAMES: [&str; 4] = ["SAMPLE_NAME", "SAMPLE_ID", "SAMPLE_LOC", "STRING"];
/// Fields for how far readings are apart, in CIELAB differences.
const SPREADS: [&str; 2] = ["MEAN_DE", "STDEV_DE"];
/// Keywords that say for which light and observer values are.
const LIGHTS: [&str; 4] =
    ["ILLUMINANT", "ILLUMINATION", "ILLUMINATION_NAME", "REFERENCE_ILLUMINANT"];
const OBSERVERS: [&str; 3] = ["OBSERVER", "OBSERVER_ANGLE", "STANDARD_OBSERVER"];
const SENTENCES: [&str; 3] =
    ["WEIGHTING_FUNCTION", "MEASUREMENT_SOURCE", "COMPUTATIONAL_PARAMETER"];

/// The samples of all tables of a file that have any; none where it cannot be read.
pub fn samples(
    file: &Arc<Path>,
    text: &str,
    limits: Limits,
    findings: &mut Findings,
) -> Option<(Vec<Sample>, Scales)> {
    let of = TextFile { file, text, limits };
    let tables = tables(of, findings)?;
    let mut scales = Scales::default();
    let mut samples = Vec::new();
    let mut used = 0;
    for table in &tables {
        if let Some(lamp) = lamp(table) {
            let message = "these are values of lights, not of surfaces";
            let help = "measure the parts in the instrument's reflective mode";
            let fault = Diagnostic::error("not-reflective", message);
            findings.push(fault.at(of.at(lamp.range.clone())).help(help));
            return None;
        }
        let Some(fields) = Fields::of(of, table, findings) else { continue };
        used += 1;
        fields.add_scales(table, &mut scales);
        let viewed = viewed(of, table);
        samples.extend(table.sets.iter().filter_map(|set| fields.sample(set, &viewed, findings)));
    }
    if used == 0 && !findings.failed() {
        let first = tables.iter().find_map(|t| t.fields.first());
        let message = "this file has no measured values of samples";
        let help =
            "export it with LAB_L, LAB_A and LAB_B, with XYZ_X, XYZ_Y and XYZ_Z, or with spectra";
        let at = of.at(first.map_or(0..0, |f| f.range.clone()));
        findings.push(Diagnostic::error("no-values", message).at(at).help(help));
        return None;
    }
    Some((samples, scales))
}

/// What says that a table is of lights: a screen or a lamp.
fn lamp<'a>(table: &'a CgatsTable<'_>) -> Option<&'a Piece<'a>> {
    let class = table.value("DEVICE_CLASS")?;
    ["DISPLAY", "EMISINPUT"].iter().any(|c| class.text.eq_ignore_ascii_case(c)).then_some(class)
}

/// The light and the observer of a table.
fn viewed(of: TextFile<'_>, table: &CgatsTable<'_>) -> Located<Conditions> {
    let mut conditions = Conditions::default();
    let mut at = None;
    for keyword in &table.keywords {
        let is = |list: &[&str]| list.iter().any(|n| keyword.name.text.eq_ignore_ascii_case(n));
        let text: Vec<&str> = keyword.values.iter().map(|p| &*p.text).collect();
        let text = text.join(" ");
        let before = conditions.clone();
        if is(&LIGHTS) {
            conditions.set_light(&text);
        } else if is(&OBSERVERS) {
            conditions.set_observer(&text);
        } else if is(&SENTENCES) {
            conditions.add_text(&text);
        }
        if conditions != before
            && let Some(value) = keyword.values.first()
        {
            // The place is that of what does not fit, so one that fits gives way.
            let fits = super::conditions::unfit(&Located::new(before, None), "").is_none();
            at = if fits { of.at(value.range.clone()) } else { at };
        }
    }
    Located::new(conditions, at)
}

/// Is a field the number of its set?
fn counts(table: &CgatsTable<'_>, field: usize) -> bool {
    let number = |set: &Vec<Piece<'_>>| set.get(field).and_then(|p| p.text.parse::<usize>().ok());
    table.sets.iter().zip(1..).all(|(set, n)| number(set) == Some(n))
}

/// Where a table has what of a sample.
struct Fields<'a> {
    of: TextFile<'a>,
    names: Vec<usize>,
    lab: Option<[usize; 3]>,
    xyz: Option<[usize; 3]>,
    spectrum: Option<Bands>,
    /// Pairs of wavelength and reflectance, and what is 1 of the latter.
    pairs: Option<(Vec<(usize, usize)>, f64)>,
    spread: Option<usize>,
    /// Standard deviations of L, a and b.
    deviations: Option<[usize; 3]>,
    source: Option<usize>,
    note: Option<usize>,
}

impl<'a> Fields<'a> {
    /// None where the table has no values, or nothing that names its samples, which is then reported.
    fn of(of: TextFile<'a>, table: &CgatsTable<'_>, findings: &mut Findings) -> Option<Fields<'a>> {
        let find = |name: &str| table.fields.iter().position(|f| f.text.eq_ignore_ascii_case(name));
        let three = |names: [&str; 3]| -> Option<[usize; 3]> {
            Some([find(names[0])?, find(names[1])?, find(names[2])?])
        };
        let lab = three(["LAB_L", "LAB_A", "LAB_B"]);
        let xyz = three(["XYZ_X", "XYZ_Y", "XYZ_Z"]);
        let spectrum = spectrum(of, table, findings);
        let pairs = pairs(table);
        if lab.is_none() && xyz.is_none() && spectrum.is_none() && pairs.is_none() {
            return None;
        }
        let mut names: Vec<usize> = NAMES.iter().filter_map(|n| find(n)).collect();
        // What merely counts the samples names none of them, where something else does.
        names.sort_by_key(|field| counts(table, *field));
        if names.is_empty() {
            let message = "nothing in this table names its samples";
            let help = "export it with SAMPLE_NAME or SAMPLE_ID";
            let at = of.at(table.fields.first().map_or(0..0, |f| f.range.clone()));
            findings.push(Diagnostic::error("no-names", message).at(at).help(help));
            return None;
        }
        Some(Fields {
            of,
            names,
            lab,
            xyz,
            spectrum,
            pairs,
            spread: SPREADS.iter().find_map(|n| find(n)),
            deviations: three(["STDEV_L", "STDEV_A", "STDEV_B"]),
            source: find("SAMPLE_SOURCE"),
            note: find("SAMPLE_NOTE"),
        })
    }

    fn add_scales(&self, table: &CgatsTable<'_>, scales: &mut Scales) {
        if let Some(norm) = table.value("SPECTRAL_NORM").and_then(|n| parse_decimal(&n.text)) {
            scales.spectrum = Some(norm).filter(|n| *n > 0.0);
        }
        if self.pairs.is_some() {
            scales.spectrum = Some(1.0);
        }
        if table.value("NORMALIZED_TO_Y_100").is_some_and(|v| v.text.eq_ignore_ascii_case("YES")) {
            scales.xyz = Some(100.0);
        }
    }

    fn sample(
        &self,
        set: &[Piece<'_>],
        viewed: &Located<Conditions>,
        findings: &mut Findings,
    ) -> Option<Sample> {
        let names = self.names.iter().filter_map(|n| set.get(*n));
        let name =
            |p: &Piece<'_>| Located::new(p.text.trim().to_owned(), self.of.at(p.range.clone()));
        let names: Vec<Located<String>> = names.map(name).collect();
        if names.iter().all(|n| n.is_empty()) {
            let at = self.of.at(set.first().map_or(0..0, |p| p.range.clone()));
            findings.push(
                Diagnostic::error("no-names", "this sample has neither a name nor a number")
                    .at(at)
                    .help("write the key, the number or the name of its colour"),
            );
            return None;
        }
        let mut read = Numbers { of: self.of, set, findings };
        let spectrum = self.spectrum_of(&mut read)?;
        let lab = read.three(self.lab)?;
        let xyz = read.three(self.xyz)?;
        let spread = match (self.spread, read.three(self.deviations)?) {
            (Some(field), _) => Some(read.number(field)?),
            (None, three) => three.map(|d| d.iter().map(|v| v * v).sum::<f64>().sqrt()),
        };
        let first = [self.spectrum.as_ref().and_then(|s| s.columns.first().copied())]
            .into_iter()
            .chain([self.pairs.as_ref().and_then(|p| p.0.first().map(|p| p.1))])
            .chain([self.lab.map(|l| l[0]), self.xyz.map(|x| x[0])])
            .flatten()
            .next();
        let text = |field: Option<usize>| {
            field
                .and_then(|f| set.get(f))
                .map(|p| p.text.trim().to_owned())
                .filter(|t| !t.is_empty())
        };
        Some(Sample {
            names,
            at: first.and_then(|f| set.get(f)).and_then(|p| self.of.at(p.range.clone())),
            lab,
            xyz,
            spectrum,
            viewed: viewed.clone(),
            spread: spread.filter(|s| *s >= 0.0),
            readings: None,
            source: text(self.source),
            note: text(self.note),
        })
    }

    /// The spectrum of a sample; outer none: it has a fault.
    fn spectrum_of(&self, read: &mut Numbers<'_, '_>) -> Option<Option<Spectrum>> {
        if let Some(Bands { columns, from, step }) = &self.spectrum {
            let values = columns.iter().map(|f| read.number(*f)).collect::<Option<Vec<f64>>>()?;
            return Some(Some(Spectrum { from: *from, step: *step, values }));
        }
        let Some((pairs, one)) = &self.pairs else { return Some(None) };
        let all: Option<Vec<(f64, f64)>> =
            pairs.iter().map(|(nm, v)| Some((read.number(*nm)?, read.number(*v)? / one))).collect();
        let mut all = all?;
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let scale: Vec<f64> = all.iter().map(|p| p.0).collect();
        let Some((from, step)) = even(&scale) else {
            let at = pairs.first().and_then(|p| read.set.get(p.0));
            read.findings.push(uneven().at(at.and_then(|p| self.of.at(p.range.clone()))));
            return None;
        };
        Some(Some(Spectrum { from, step, values: all.into_iter().map(|p| p.1).collect() }))
    }
}

/// The message for a spectrum whose wavelengths are not evenly spaced.
fn uneven() -> Diagnostic {
    Diagnostic::error("uneven-spectrum", "the wavelengths of this spectrum are not evenly spaced")
        .help("export it with a fixed step, such as 10 nm")
}

/// Fields with a wavelength in their names.
fn spectrum(of: TextFile<'_>, table: &CgatsTable<'_>, findings: &mut Findings) -> Option<Bands> {
    let named = |(i, f): (usize, &Piece<'_>)| {
        let letters = f.text.starts_with(|c: char| c.is_ascii_alphabetic());
        letters.then(|| Some((wavelength(&f.text)?, i))).flatten()
    };
    let list: Vec<(f64, usize)> = table.fields.iter().enumerate().filter_map(named).collect();
    let first = list.first()?.1;
    let found = bands(list);
    if found.is_none() {
        let at = table.fields.get(first).and_then(|f| of.at(f.range.clone()));
        findings.push(uneven().at(at));
    }
    found
}

/// Pairs of fields, a wavelength and the reflectance there.
fn pairs(table: &CgatsTable<'_>) -> Option<(Vec<(usize, usize)>, f64)> {
    let is = |i: usize, name: &str| {
        table.fields.get(i).is_some_and(|f| f.text.eq_ignore_ascii_case(name))
    };
    let wavelengths: Vec<usize> =
        (0..table.fields.len()).filter(|i| is(*i, "SPECTRAL_NM")).collect();
    let of = |name: &str| -> Option<Vec<(usize, usize)>> {
        let all = wavelengths.iter().all(|i| is(i + 1, name)) && wavelengths.len() > 1;
        all.then(|| wavelengths.iter().map(|i| (*i, i + 1)).collect())
    };
    of("SPECTRAL_DEC").map(|p| (p, 1.0)).or_else(|| of("SPECTRAL_PCT").map(|p| (p, 100.0)))
}

/// The numbers of one set.
struct Numbers<'a, 'b> {
    of: TextFile<'a>,
    set: &'b [Piece<'b>],
    findings: &'b mut Findings,
}

impl Numbers<'_, '_> {
    /// A number; none, and a message, where there is none.
    fn number(&mut self, field: usize) -> Option<f64> {
        let piece = self.set.get(field)?;
        let number = parse_decimal(&piece.text);
        if number.is_none() {
            let message = format!("'{}' is not a number", brief(&piece.text));
            self.findings.push(
                Diagnostic::error("wrong-value", message)
                    .at(self.of.at(piece.range.clone()))
                    .help("write the measured value, or remove the line"),
            );
        }
        number
    }

    /// Three numbers, if the table has them; outer none: one of them has a fault.
    fn three(&mut self, fields: Option<[usize; 3]>) -> Option<Option<[f64; 3]>> {
        let Some([a, b, c]) = fields else { return Some(None) };
        match (self.number(a), self.number(b), self.number(c)) {
            (Some(a), Some(b), Some(c)) => Some(Some([a, b, c])),
            _ => None,
        }
    }
}
