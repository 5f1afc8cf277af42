//! What was learnt, in figures and words.

use serde_json::{Value, json};

use crate::colour::{Lab50, difference};
use crate::correction::Form;
use crate::press::corrected::Errors;
use crate::press::{Correction, Paper, Print};
use crate::range::ColourRange;
use crate::table::{Align, Table};

/// A colour that comes out as near is spot on (CIEDE2000; common practice, no source).
const SPOT_ON: f64 = 2.0;
/// Fewer readings show nothing.
const ENOUGH: usize = 12;
/// So many colours are named where a list could be long.
const NAMED: usize = 12;

/// A reading that contradicts the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlier {
    /// What it is of.
    pub name: String,
    /// How far it is from what the others make of its place, as a difference in CIELAB.
    pub off: f64,
}

/// What is known of a paper after its prints were read.
pub struct Learned<'a> {
    /// With the readings; it knows what its model says by itself.
    pub after: &'a Paper,
    /// The values that were printed, and those tuned anew.
    pub printed: &'a Print,
    pub tuned: &'a Print,
    pub range: &'a ColourRange,
    /// Readings of each round.
    pub rounds: Vec<usize>,
    pub outliers: Vec<Outlier>,
}

/// A colour as it is printed now, and as it would be.
struct ColourOff<'a> {
    key: &'a str,
    aim: Lab50,
    now: Lab50,
    off: f64,
    then: f64,
}

impl Learned<'_> {
    fn form(&self) -> Form {
        self.after.correction().map_or(Form::None, Correction::form)
    }

    fn errors(&self) -> Option<Errors> {
        self.after.correction().map(Correction::errors)
    }

    fn colours(&self) -> Vec<ColourOff<'_>> {
        let each = self.printed.colours.iter().enumerate();
        let mut all: Vec<ColourOff<'_>> = each
            .map(|(i, id)| {
                let aim = self.printed.aims[i];
                let now = self.after.shows(self.printed.values[i]);
                let then = difference(aim, self.tuned.shown[i]);
                let key = self.range.colour(*id).key().as_str();
                ColourOff { key, aim, now, off: difference(aim, now), then }
            })
            .collect();
        all.sort_by(|a, b| b.off.total_cmp(&a.off));
        all
    }

    /// How uncertain the printed colours are, as a difference in CIELAB: the mean.
    fn uncertainty(&self) -> f64 {
        let Some(correction) = self.after.correction() else { return 0.0 };
        let each = self.printed.values.iter();
        let model = |value| self.after.model_shows(value);
        let sum: f64 = each.map(|value| correction.uncertainty(*value, &model)).sum();
        sum / self.printed.values.len().max(1) as f64
    }

    /// What another round would bring.
    fn advice(&self, now: f64, then: f64) -> String {
        let uncertain = self.uncertainty();
        let gain = now - then;
        if gain > 0.3 {
            return format!(
                "New values are worth printing: run 'tune' and 'make', which should bring the mean from {now:.1} to {then:.1} dE00."
            );
        }
        if uncertain > 1.0 {
            return format!(
                "New values would change little. What is shown is known within {uncertain:.1} on average; reading this print once more would show it better."
            );
        }
        format!(
            "You can stop here: new values would change the mean by {:.1} dE00, less than is known ({uncertain:.1}).",
            gain.max(0.0)
        )
    }

    /// For people.
    pub fn text(&self, totals: &str) -> String {
        let all: usize = self.rounds.iter().sum();
        let rounds = self.rounds.len();
        let s = |n: usize| if n == 1 { "" } else { "s" };
        let mut out = format!("{all} reading{} of {rounds} round{}", s(all), s(rounds));
        out += &match (self.form(), self.errors()) {
            (Form::None, Some(e)) if all >= ENOUGH => format!(
                ": they agree with the paper's model within {:.1}, which is used as it is.\n",
                e.model
            ),
            (Form::None, _) | (_, None) => {
                ": too few to learn from, the paper's model is used as it is.\n".to_owned()
            }
            (form, Some(e)) => format!(
                ".\n\nLeft out, a reading is off by (RMS, difference in CIELAB):\n  by the model alone   {:.2}\n  with the others      {:.2} (stated {:.2}; {})\n",
                e.model,
                e.learnt,
                e.stated,
                word(form)
            ),
        };
        let colours = self.colours();
        let near = colours.iter().filter(|c| c.off <= SPOT_ON).count();
        let mean = |of: fn(&ColourOff<'_>) -> f64| {
            colours.iter().map(of).sum::<f64>() / colours.len().max(1) as f64
        };
        out += &format!(
            "\nAs printed, {near} of {} colours are spot on (within {SPOT_ON:.0} dE00).",
            colours.len()
        );
        let far: Vec<&ColourOff<'_>> = colours.iter().filter(|c| c.off > SPOT_ON).collect();
        if !far.is_empty() {
            out += " The farthest:\n\n";
            let mut table = Table::new(&[
                ("colour", Align::Left),
                ("off dE00", Align::Right),
                ("tuned anew", Align::Right),
                ("the print is", Align::Left),
            ]);
            for c in far.iter().take(NAMED) {
                let (off, then) = (format!("{:.1}", c.off), format!("{:.1}", c.then));
                table.row([c.key.to_owned(), off, then, ways(c.aim, c.now)]);
            }
            out += &table.text();
        } else {
            out.push('\n');
        }
        out += &format!("\n{totals}");
        if !self.outliers.is_empty() {
            out += "\nReadings that contradict the others; look at them again:\n";
            for o in self.outliers.iter().take(NAMED) {
                out += &format!("  {} ({:.1} off)\n", o.name, o.off);
            }
        }
        out + &format!("\n{}\n", self.advice(mean(|c| c.off), mean(|c| c.then)))
    }

    /// For machines.
    pub fn json(&self) -> Value {
        let round = |v: f64| (v * 100.0).round() / 100.0;
        let errors = self.errors();
        let colours: Vec<Value> = self
            .colours()
            .iter()
            .map(|c| {
                json!({"colour": c.key, "off": round(c.off), "tuned_anew": round(c.then), "the_print_is": ways(c.aim, c.now)})
            })
            .collect();
        json!({
            "rounds": self.rounds,
            "form": key(self.form()),
            "left_out": errors.map(|e| json!({"model": round(e.model), "learnt": round(e.learnt), "stated": round(e.stated)})),
            "uncertainty": round(self.uncertainty()),
            "colours": colours,
            "contradict": self.outliers.iter().map(|o| json!({"reading": o.name, "off": round(o.off)})).collect::<Vec<_>>(),
        })
    }
}

/// The form in words.
fn word(form: Form) -> &'static str {
    match form {
        Form::None => "nothing learnt",
        Form::Shift => "one shift for all colours",
        Form::Affine => "an affine correction",
        Form::Quadratic => "a quadratic correction",
        Form::Cubic => "a cubic correction",
        Form::Process => "a Gaussian process",
    }
}

/// The form for machines.
fn key(form: Form) -> &'static str {
    match form {
        Form::None => "none",
        Form::Shift => "shift",
        Form::Affine => "affine",
        Form::Quadratic => "quadratic",
        Form::Cubic => "cubic",
        Form::Process => "process",
    }
}

/// How a print differs from its aim, the largest way first.
fn ways(aim: Lab50, print: Lab50) -> String {
    let chroma = |c: Lab50| c.a.hypot(c.b);
    let (dl, dc) = (print.l - aim.l, chroma(print) - chroma(aim));
    let dh2 = (print.a - aim.a).powi(2) + (print.b - aim.b).powi(2) - dc * dc;
    // Differences of chroma and hue count less the stronger a colour is (CIE94's weights).
    let weighed = [
        (dl.abs(), if dl > 0.0 { "lighter" } else { "darker" }),
        (dc.abs() / (1.0 + 0.045 * chroma(aim)), if dc > 0.0 { "stronger" } else { "duller" }),
        (dh2.max(0.0).sqrt() / (1.0 + 0.015 * chroma(aim)), "of another hue"),
    ];
    let mut seen: Vec<(f64, &str)> = weighed.into_iter().filter(|(far, _)| *far > 1.0).collect();
    seen.sort_by(|a, b| b.0.total_cmp(&a.0));
    seen.iter().map(|(_, way)| *way).collect::<Vec<_>>().join(", ")
}
