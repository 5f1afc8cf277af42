//! Colours: names, numbers, years and values.

use std::collections::BTreeMap;

use crate::diag::{Diagnostic, Findings, Located, Span};
use crate::graphic::Rgb;
use crate::range::observer::Light;
use crate::range::{Colour, Family, FamilyId, Finish, Measured, Value, Words};
use crate::read::raw;
use crate::read::ron::Place;

use super::days::year;
use super::keys::{Keys, fill, per_listing, text, words};
use super::measured::Measurements;
use super::values::{seen, typed};

/// What a colour refers to.
#[derive(Clone, Copy)]
pub struct Around<'a> {
    pub listings: &'a Keys,
    pub families: &'a Keys,
    pub finishes: &'a [Family],
    /// Under which spectra are seen.
    pub light: Light,
    /// By the numbers of the colours in their list.
    pub measured: &'a Measurements,
}

pub fn check(
    raw: Vec<raw::Colour>,
    place: Place,
    around: Around,
    findings: &mut Findings,
) -> Vec<Colour> {
    let colours: Vec<Colour> = raw
        .into_iter()
        .enumerate()
        .map(|(i, c)| one(c, i, (place.item(i), around), findings))
        .collect();
    doubles(&colours, place, around.listings.len(), findings);
    colours
}

fn one(
    raw: raw::Colour,
    number: usize,
    (place, around): (Place, Around),
    findings: &mut Findings,
) -> Colour {
    let key = raw.key.unwrap_or_default();
    let shown =
        if key.is_empty() { "this colour".to_owned() } else { format!("the colour '{key}'") };
    let one = One { number, shown, place, around };
    let family = one.family(raw.family, findings);
    let names = one.names(raw.names.unwrap_or_default(), findings);
    let numbers = one.numbers(raw.numbers.unwrap_or_default(), findings);
    let Valued { value, rgb, measured } = one.value(raw.value, findings);
    let first_year = year(raw.first, place.field("first"), findings);
    let last_year = year(raw.last, place.field("last"), findings);
    if let (Some(first), Some(last)) = (first_year, last_year)
        && last < first
    {
        let shown = &one.shown;
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
        key: Located::new(key, one.span()),
        family: FamilyId(family),
        names,
        numbers,
        first_year,
        last_year,
        aim: value.aim_under(around.light),
        value,
        measured,
        rgb,
        finish: finish.unwrap_or(Finish::Opaque),
    }
}

/// What a colour has in each listing, and where it is written, else the colour.
type InListings<T> = Vec<Located<Option<T>>>;

/// What is known of a colour's value.
struct Valued {
    value: Value,
    rgb: Rgb,
    measured: Option<Measured>,
}

/// One colour while it is checked.
struct One<'a> {
    /// In its list.
    number: usize,
    /// What messages call it.
    shown: String,
    place: Place<'a>,
    around: Around<'a>,
}

impl One<'_> {
    fn span(&self) -> Option<Span> {
        self.place.field("key").span()
    }

    fn missing(&self, what: &str, help: &str) -> Diagnostic {
        Diagnostic::error("missing-field", format!("{} has no {what}", self.shown))
            .at(self.place.head())
            .help(fill(self.place, what, help))
            .cause(what)
    }

    fn family(&self, raw: Option<String>, findings: &mut Findings) -> usize {
        let families = self.around.families;
        let Some(key) = raw else {
            // With one family there is nothing to choose.
            if families.len() > 1 && !self.place.faulted("family") {
                findings.push(self.missing("family", "add family: \"...\", the key of its family"));
            }
            return 0;
        };
        families.find(&key, self.place.field("family"), findings).unwrap_or(0)
    }

    fn names(&self, raw: raw::Pairs<raw::Words>, findings: &mut Findings) -> InListings<Words> {
        self.in_listings(raw, "names", findings, |name, at, findings| {
            if name.text.trim().is_empty() {
                findings.push(
                    Diagnostic::error("empty-name", "this name is empty").at(at.span()).help(
                        "write the name, or omit the listing if the colour has no name in it",
                    ),
                );
            }
            words(name, at, findings)
        })
    }

    fn numbers(&self, raw: raw::Pairs<String>, findings: &mut Findings) -> InListings<String> {
        self.in_listings(raw, "numbers", findings, |number, at, findings| {
            text(&number, at, findings);
            number
        })
    }

    fn in_listings<V, T>(
        &self,
        raw: raw::Pairs<V>,
        field: &str,
        findings: &mut Findings,
        check: impl Fn(V, Place, &mut Findings) -> T,
    ) -> InListings<T> {
        let found = per_listing(raw.0, self.place.field(field), self.around.listings, findings);
        let own = self.span();
        let span = |v: &Option<(V, Place)>| v.as_ref().and_then(|(_, at)| at.span());
        let located = |v: Option<(V, Place)>| {
            let span = span(&v).or(own.clone());
            Located::new(v.map(|(v, at)| check(v, at, findings)), span)
        };
        found.into_iter().map(located).collect()
    }

    /// The measured value, else the typed one.
    fn value(&self, raw: Option<raw::Value>, findings: &mut Findings) -> Valued {
        let Around { light, measured, .. } = self.around;
        let place = self.place.field("value");
        let given = raw.is_some();
        let own = raw.and_then(|raw| typed(raw, place, findings));
        if let Some(of) = measured.of(self.number) {
            let rgb = seen(&of.value, &self.shown, light, of.at.clone(), findings);
            let measured = Measured { typed: own, ..of.measured.clone() };
            return Valued { value: of.value.clone(), rgb, measured: Some(measured) };
        }
        if !given && !self.place.faulted("value") && !measured.lost() {
            findings.push(self.no_value());
        }
        let value = own.unwrap_or(Value::Srgb(Rgb::WHITE));
        let rgb = seen(&value, &self.shown, light, place.span(), findings);
        Valued { value, rgb, measured: None }
    }

    fn no_value(&self) -> Diagnostic {
        const ADD: &str = "add value: \"#rrggbb\", or a measured Lab(l, a, b)";
        if !self.around.measured.named() {
            return self.missing("value", ADD);
        }
        let message = format!("{} has no value, typed or measured", self.shown);
        let help =
            "measure it, or add value: \"#rrggbb\", or value: \"unknown\" until it is measured";
        Diagnostic::error("missing-field", message)
            .at(self.place.head())
            .help(fill(self.place, "value", help))
            .cause("value")
    }
}

/// Two colours with one name or number in a listing: it is not clear which one is meant.
fn doubles(colours: &[Colour], place: Place, listings: usize, findings: &mut Findings) {
    for l in 0..listings {
        let mut names: BTreeMap<String, usize> = BTreeMap::new();
        let mut numbers: BTreeMap<&str, usize> = BTreeMap::new();
        for (i, c) in colours.iter().enumerate() {
            if let Some(name) = c.names.get(l).and_then(|name| name.as_ref())
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
                    .at(c.names[l].span.clone())
                    .cause(name.text.to_lowercase())
                    .help("give one of them a different name"),
                );
            }
            if let Some(number) = c.numbers.get(l).and_then(|number| number.as_ref())
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
