//! Values of colours.

use crate::colour::to_rgb;
use crate::diag::{Diagnostic, Findings, Span};
use crate::graphic::Rgb;
use crate::range::Value;
use crate::range::observer::Light;
use crate::read::raw;
use crate::read::ron::Place;

/// What is wrong with a value, and the suggestion.
pub struct Fault {
    message: String,
    help: String,
}

impl Fault {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Fault {
        Fault { message: message.into(), help: help.into() }
    }

    /// The message at a place.
    pub fn at(self, span: Option<Span>) -> Diagnostic {
        Diagnostic::error("bad-value", self.message).at(span).help(self.help)
    }
}

/// What a value says in itself.
///
/// # Errors
/// It is no value.
pub fn parsed(raw: raw::Value) -> Result<Value, Fault> {
    const FORMS: &str =
        r##"write "#rrggbb", Lab(l, a, b) or Spectrum(from: 400, step: 10, values: [...])"##;
    match raw {
        raw::Value::Text(text) if text == "unknown" => Ok(Value::Unknown),
        raw::Value::Text(text) => published(&text),
        raw::Value::Lab(raw::Lab(l, a, b)) => lab(l, a, b),
        raw::Value::Spectrum(s) => spectrum(s),
        raw::Value::Other(_) => Err(Fault::new("this is not a known kind of colour value", FORMS)),
    }
}

/// Checks a value that the range gives.
pub fn typed(raw: raw::Value, place: Place, findings: &mut Findings) -> Option<Value> {
    let at = if matches!(raw, raw::Value::Other(_)) { place.head() } else { place.span() };
    match parsed(raw) {
        Ok(value) => Some(value),
        Err(fault) => {
            findings.push(fault.at(at));
            None
        }
    }
}

/// Sees a value under a light. `shown` names its colour.
pub fn seen(
    value: &Value,
    shown: &str,
    light: Light,
    at: Option<Span>,
    findings: &mut Findings,
) -> Rgb {
    let (rgb, excess) = match value {
        // As published: not there and back through CIELAB.
        Value::Srgb(rgb) => (*rgb, 0.0),
        _ => to_rgb(value.aim_under(light)),
    };
    // A byte of sRGB near the end of the scale is about 0.009 of linear light.
    if excess > 0.009 {
        findings.push(
            Diagnostic::warning(
                "outside-srgb",
                format!("{shown} is outside the sRGB gamut; it is shown as {}", rgb.hex()),
            )
            .at(at)
            .help("for this colour, compare with the part itself, not with the sheet"),
        );
    }
    rgb
}

/// An sRGB value of six digits.
fn published(text: &str) -> Result<Value, Fault> {
    if let Some(rgb) = Rgb::parse(text) {
        return Ok(Value::Srgb(rgb));
    }
    let help = match text.strip_prefix('#').unwrap_or(text) {
        t if t.len() == 6 && t.bytes().all(|b| b.is_ascii_hexdigit()) => {
            format!("write \"#{t}\"")
        }
        t if t.len() == 3 && t.bytes().all(|b| b.is_ascii_hexdigit()) => {
            let long: String = t.chars().flat_map(|c| [c, c]).collect();
            format!("write all six digits: \"#{long}\"")
        }
        _ => "write # and six digits 0-9 or letters a-f, for example \"#f8f7f3\"".into(),
    };
    Err(Fault::new(format!("'{}' is not a colour value", text.escape_debug()), help))
}

fn lab(l: f64, a: f64, b: f64) -> Result<Value, Fault> {
    let good = (0.0..=100.0).contains(&l) && [a, b].iter().all(|v| (-160.0..=160.0).contains(v));
    if good {
        return Ok(Value::LabD50 { l, a, b });
    }
    let message = format!("Lab({l}, {a}, {b}) is out of range");
    Err(Fault::new(message, "L must be from 0 to 100, a and b from -160 to 160"))
}

fn spectrum(raw: raw::Spectrum) -> Result<Value, Fault> {
    let (Some(from), Some(values)) = (raw.from, raw.values) else {
        return Err(Fault::new(
            "the spectrum lacks its first wavelength or its values",
            "write Spectrum(from: 400, step: 10, values: [...])",
        ));
    };
    let step = raw.step.unwrap_or(10.0);
    if !(1.0..=20.0).contains(&step) {
        return Err(Fault::new(
            format!("the step must be from 1 to 20 nm, not {step}"),
            "write the instrument's step; 10 is usual",
        ));
    }
    if !(2..=1000).contains(&values.len()) {
        return Err(Fault::new(
            format!("a spectrum must have from 2 to 1000 values, not {}", values.len()),
            "31 values, from 400 nm to 700 nm, are usual",
        ));
    }
    let last = from + step * (values.len() - 1) as f64;
    if !(300.0..=420.0).contains(&from) || !(680.0..=1000.0).contains(&last) {
        return Err(Fault::new(
            format!("the spectrum goes from {from} nm to {last} nm"),
            "it must start between 300 and 420 nm and reach at least 680 nm: check from, step and the number of values",
        ));
    }
    match values.iter().find(|v| !(0.0..=2.0).contains(*v)) {
        Some(v) if *v > 2.0 && *v <= 200.0 => Err(Fault::new(
            format!("the reflectance {v} is out of range"),
            "write values from 0 to 1, not percentages",
        )),
        Some(v) => Err(Fault::new(
            format!("the reflectance {v} is out of range"),
            "write values from 0 to 1",
        )),
        None => Ok(Value::Spectrum { from, step, values }),
    }
}
