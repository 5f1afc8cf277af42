//! Colours: names, numbers, years and values.

use std::collections::BTreeMap;

use crate::colour::to_rgb;
use crate::diag::{Diagnostic, Findings, Span};
use crate::graphic::Rgb;
use crate::range::observer::Light;
use crate::range::{Colour, Family, FamilyId, Finish, Value};
use crate::read::raw;
use crate::read::ron::Place;

use super::keys::{Keys, fill, text, words};
use super::parts::per_listing;

/// Years that are believed.
pub const YEARS: std::ops::RangeInclusive<i64> = 1800..=2200;

/// What a colour refers to.
#[derive(Clone, Copy)]
pub struct Around<'a> {
    pub listings: &'a Keys,
    pub families: &'a Keys,
    pub finishes: &'a [Family],
    /// Under which spectra are seen.
    pub light: Light,
}

pub fn check(
    raw: Vec<raw::Colour>,
    place: Place,
    around: Around,
    findings: &mut Findings,
) -> Vec<Colour> {
    let colours: Vec<Colour> =
        raw.into_iter().enumerate().map(|(i, c)| one(c, place.item(i), around, findings)).collect();
    doubles(&colours, place, around.listings.len(), findings);
    colours
}

fn one(raw: raw::Colour, place: Place, around: Around, findings: &mut Findings) -> Colour {
    let key = raw.key.unwrap_or_default();
    let shown =
        if key.is_empty() { "this colour".to_owned() } else { format!("the colour '{key}'") };
    let missing = |what: &str, help: &str| {
        Diagnostic::error("missing-field", format!("{shown} has no {what}"))
            .at(place.head())
            .help(fill(place, what, help))
            .cause(what)
    };
    let family = match raw.family {
        Some(f) => around.families.find(&f, place.field("family"), findings).unwrap_or(0),
        None => {
            // With one family there is nothing to choose.
            if around.families.len() > 1 && !place.faulted("family") {
                findings.push(missing("family", "add family: \"...\", the key of its family"));
            }
            0
        }
    };
    let names_at = place.field("names");
    let names = per_listing(raw.names.unwrap_or_default().0, names_at, around.listings, findings);
    let own_span = place.field("key").span();
    let name_spans: Vec<Option<Span>> = names
        .iter()
        .map(|n| n.as_ref().and_then(|(_, at)| at.span()).or(own_span.clone()))
        .collect();
    let names = names
        .into_iter()
        .map(|n| {
            n.map(|(w, at)| {
                if w.text.trim().is_empty() {
                    findings.push(
                        Diagnostic::error("empty-name", "this name is empty").at(at.span()).help(
                            "write the name, or omit the listing if the colour has no name in it",
                        ),
                    );
                }
                words(w, at, findings)
            })
        })
        .collect();
    let numbers = per_listing(
        raw.numbers.unwrap_or_default().0,
        place.field("numbers"),
        around.listings,
        findings,
    );
    let number_spans: Vec<Option<Span>> = numbers
        .iter()
        .map(|n| n.as_ref().and_then(|(_, at)| at.span()).or(own_span.clone()))
        .collect();
    let numbers = numbers
        .into_iter()
        .map(|n| {
            n.map(|(n, at)| {
                text(&n, at, findings);
                n
            })
        })
        .collect();
    let (value, rgb) = match raw.value {
        Some(v) => value(v, &shown, around.light, place.field("value"), findings),
        None => {
            if !place.faulted("value") {
                findings
                    .push(missing("value", "add value: \"#rrggbb\", or a measured Lab(l, a, b)"));
            }
            (Value::Srgb(Rgb::WHITE), Rgb::WHITE)
        }
    };
    let first_year = year(raw.first, place.field("first"), findings);
    let last_year = year(raw.last, place.field("last"), findings);
    if let (Some(first), Some(last)) = (first_year, last_year)
        && last < first
    {
        findings.push(
            Diagnostic::error(
                "year-order",
                format!("{shown} was last sold in {last}, before its first year {first}"),
            )
            .at(place.field("last").span())
            .help("correct one of the two years"),
        );
    }
    let finish = raw.finish.or(around.finishes.get(family).map(|f| f.finish));
    Colour {
        note: raw.note.map(|n| words(n, place.field("note"), findings)),
        key,
        family: FamilyId(family),
        names,
        numbers,
        first_year,
        last_year,
        aim: value.aim_under(around.light),
        value,
        rgb,
        finish: finish.unwrap_or(Finish::Opaque),
        span: own_span,
        name_spans,
        number_spans,
    }
}

/// A plausible year.
pub fn year(raw: Option<i64>, place: Place, findings: &mut Findings) -> Option<u16> {
    let y = raw?;
    if !YEARS.contains(&y) {
        findings.push(
            Diagnostic::error(
                "bad-year",
                format!("the year must be from {} to {}, not {y}", YEARS.start(), YEARS.end()),
            )
            .at(place.span())
            .help("write the year with four digits"),
        );
        return None;
    }
    u16::try_from(y).ok()
}

fn value(
    raw: raw::Value,
    shown: &str,
    light: Light,
    place: Place,
    findings: &mut Findings,
) -> (Value, Rgb) {
    const FORMS: &str =
        r##"write "#rrggbb", Lab(l, a, b) or Spectrum(from: 400, step: 10, values: [...])"##;
    let none = (Value::Srgb(Rgb::WHITE), Rgb::WHITE);
    if let raw::Value::Other(_) = raw {
        findings.push(
            Diagnostic::error("bad-value", "this is not a known kind of colour value")
                .at(place.head())
                .help(FORMS),
        );
        return none;
    }
    let mut fault = |message: String, help: &str| {
        findings.push(Diagnostic::error("bad-value", message).at(place.span()).help(help));
    };
    let value = match raw {
        raw::Value::Text(text) if text == "unknown" => Value::Unknown,
        raw::Value::Text(text) => match Rgb::parse(&text) {
            Some(rgb) => Value::Srgb(rgb),
            None => {
                let help = match text.strip_prefix('#').unwrap_or(&text) {
                    t if t.len() == 6 && t.bytes().all(|b| b.is_ascii_hexdigit()) => {
                        format!("write \"#{t}\"")
                    }
                    t if t.len() == 3 && t.bytes().all(|b| b.is_ascii_hexdigit()) => {
                        let long: String = t.chars().flat_map(|c| [c, c]).collect();
                        format!("write all six digits: \"#{long}\"")
                    }
                    _ => {
                        "write # and six digits 0-9 or letters a-f, for example \"#f8f7f3\"".into()
                    }
                };
                fault(format!("'{}' is not a colour value", text.escape_debug()), &help);
                return none;
            }
        },
        raw::Value::Lab(raw::Lab(l, a, b)) => {
            let good =
                (0.0..=100.0).contains(&l) && [a, b].iter().all(|v| (-160.0..=160.0).contains(v));
            if !good {
                fault(
                    format!("Lab({l}, {a}, {b}) is out of range"),
                    "L must be from 0 to 100, a and b from -160 to 160",
                );
                return none;
            }
            Value::LabD50 { l, a, b }
        }
        raw::Value::Spectrum(s) => match spectrum(s) {
            Ok((from, step, values)) => Value::Spectrum { from, step, values },
            Err((message, help)) => {
                fault(message, help);
                return none;
            }
        },
        raw::Value::Other(_) => return none,
    };
    let (rgb, excess) = match value {
        // As published: not there and back through CIELAB.
        Value::Srgb(rgb) => (rgb, 0.0),
        _ => to_rgb(value.aim_under(light)),
    };
    // A byte of sRGB near the end of the scale is about 0.009 of linear light.
    if excess > 0.009 {
        findings.push(
            Diagnostic::warning(
                "outside-srgb",
                format!("{shown} is outside the sRGB gamut; it is shown as {}", rgb.hex()),
            )
            .at(place.span())
            .help("for this colour, compare with the part itself, not with the sheet"),
        );
    }
    (value, rgb)
}

type Spectrum = (f64, f64, Vec<f64>);

fn spectrum(raw: raw::Spectrum) -> Result<Spectrum, (String, &'static str)> {
    let (Some(from), Some(values)) = (raw.from, raw.values) else {
        return Err((
            "the spectrum lacks its first wavelength or its values".into(),
            "write Spectrum(from: 400, step: 10, values: [...])",
        ));
    };
    let step = raw.step.unwrap_or(10.0);
    if !(1.0..=20.0).contains(&step) {
        return Err((
            format!("the step must be from 1 to 20 nm, not {step}"),
            "write the instrument's step; 10 is usual",
        ));
    }
    if !(2..=1000).contains(&values.len()) {
        return Err((
            format!("a spectrum must have from 2 to 1000 values, not {}", values.len()),
            "31 values, from 400 nm to 700 nm, are usual",
        ));
    }
    let last = from + step * (values.len() - 1) as f64;
    if !(300.0..=420.0).contains(&from) || !(680.0..=1000.0).contains(&last) {
        return Err((
            format!("the spectrum goes from {from} nm to {last} nm"),
            "it must start between 300 and 420 nm and reach at least 680 nm: check from, step and the number of values",
        ));
    }
    match values.iter().find(|v| !(0.0..=2.0).contains(*v)) {
        Some(v) if *v > 2.0 && *v <= 200.0 => Err((
            format!("the reflectance {v} is out of range"),
            "write values from 0 to 1, not percentages",
        )),
        Some(v) => {
            Err((format!("the reflectance {v} is out of range"), "write values from 0 to 1"))
        }
        None => Ok((from, step, values)),
    }
}

/// Two colours with one name or number in a listing: it is not clear which one is meant.
fn doubles(colours: &[Colour], place: Place, listings: usize, findings: &mut Findings) {
    for l in 0..listings {
        let mut names: BTreeMap<String, usize> = BTreeMap::new();
        let mut numbers: BTreeMap<&str, usize> = BTreeMap::new();
        for (i, c) in colours.iter().enumerate() {
            if let Some(Some(name)) = c.names.get(l)
                && let Some(first) = names.insert(name.text.to_lowercase(), i)
            {
                findings.push(
                    Diagnostic::warning(
                        "double-name",
                        format!(
                            "'{}' and '{}' have the same name, '{}'",
                            colours[first].key, c.key, name.text
                        ),
                    )
                    .at(c.name_spans[l].clone())
                    .cause(name.text.to_lowercase())
                    .help("give one of them a different name"),
                );
            }
            if let Some(Some(number)) = c.numbers.get(l)
                && let Some(first) = numbers.insert(number, i)
            {
                findings.push(
                    Diagnostic::warning(
                        "double-number",
                        format!(
                            "'{}' and '{}' have the same number, {number}",
                            colours[first].key, c.key
                        ),
                    )
                    .at(place.item(i).field("numbers").span())
                    .cause(number.clone())
                    .help("give one of them a different number"),
                );
            }
        }
    }
}
