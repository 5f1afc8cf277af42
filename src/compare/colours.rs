//! Colours: new, gone, and what differs in those that stayed.

use palette::color_difference::Ciede2000;

use super::change::{About, Change, ChangeKind, What};
use super::pairs::Pairs;
use crate::colour;
use crate::graphic::lab;
use crate::range::{Colour, ColourRange, Value};

/// In the new order, then those gone in the old one.
pub(super) fn changes(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Vec<Change> {
    let mut out = Vec::new();
    for (i, colour) in new.colours().iter().enumerate() {
        let mut about = about(colour, &mut out);
        match pairs.colours.before(i) {
            None => drop(about.push(ChangeKind::New, None, Some(described(new, colour)))),
            Some(was) => {
                let was = ColourOf { range: old, colour: &old.colours()[was] };
                one(&mut about, was, ColourOf { range: new, colour }, pairs);
            }
        }
    }
    for i in pairs.colours.gone() {
        let colour = &old.colours()[i];
        about(colour, &mut out).push(ChangeKind::Withdrawn, Some(described(old, colour)), None);
    }
    out
}

fn about<'a>(colour: &'a Colour, out: &'a mut Vec<Change>) -> About<'a> {
    About { what: What::Colour, key: colour.key(), name: colour.any_name(), out }
}

/// A colour of one of the two ranges.
#[derive(Clone, Copy)]
struct ColourOf<'a> {
    range: &'a ColourRange,
    colour: &'a Colour,
}

fn one(about: &mut About<'_>, was: ColourOf<'_>, is: ColourOf<'_>, pairs: &Pairs) {
    let (old, new) = (was.range, is.range);
    let (was, is) = (was.colour, is.colour);
    lifetime(about, was, is);
    about.text(ChangeKind::Rekeyed, was.key(), is.key());
    for (o, n) in pairs.listings.both() {
        let listing = new.listings()[n].key();
        let (before, after) = (was.names()[o].as_ref(), is.names()[n].as_ref());
        about.words(ChangeKind::Renamed, Some(listing), before, after);
        let (before, after) = (was.numbers()[o].as_ref(), is.numbers()[n].as_ref());
        about.listed(ChangeKind::Renumbered, listing, before, after);
    }
    if was.value() != is.value() {
        let change =
            about.push(ChangeKind::Revalued, Some(value_words(was)), Some(value_words(is)));
        let known = was.value().is_known() && is.value().is_known();
        change.de00 = known.then(|| difference(was, is));
    }
    let (from, to) = (old.family(was.family()), new.family(is.family()));
    about.text(ChangeKind::Moved, from.key(), to.key());
    // A colour that takes its family's finish changes with it: that is reported once.
    let follows = was.finish() == from.finish() && is.finish() == to.finish();
    if !(follows && from.key() == to.key()) {
        about.text(ChangeKind::Finish, was.finish().word(), is.finish().word());
    }
    about.words(ChangeKind::Note, None, was.note().as_ref(), is.note().as_ref());
}

/// A last year set since is a withdrawal to come, one taken away a return; other years are years.
fn lifetime(about: &mut About<'_>, was: &Colour, is: &Colour) {
    let (before, after) = (years(was), years(is));
    match (was.last_year(), is.last_year()) {
        (None, Some(_)) => drop(about.push(ChangeKind::Ending, before, after)),
        (Some(_), None) => drop(about.push(ChangeKind::Back, before, after)),
        _ if before != after => drop(about.push(ChangeKind::Years, before, after)),
        _ => {}
    }
}

/// '2016 to 2025', 'from 2016', 'to 2025'.
fn years(colour: &Colour) -> Option<String> {
    match (colour.first_year(), colour.last_year()) {
        (None, None) => None,
        (Some(first), None) => Some(format!("from {first}")),
        (None, Some(last)) => Some(format!("to {last}")),
        (Some(first), Some(last)) => Some(format!("{first} to {last}")),
    }
}

/// 'Gannet 101, Chalk Ledge 3-237; gloss': names and numbers by listing, and the family.
fn described(range: &ColourRange, colour: &Colour) -> String {
    let lines = colour.names().iter().zip(colour.numbers()).filter_map(|(name, number)| {
        let both = [name.as_ref().map(|w| w.text.as_str()), number.as_deref()];
        let line = both.into_iter().flatten().collect::<Vec<_>>().join(" ");
        (!line.is_empty()).then_some(line)
    });
    let lines = lines.collect::<Vec<_>>().join(", ");
    let family = &range.family(colour.family()).title().text;
    if lines.is_empty() { family.clone() } else { format!("{lines}; {family}") }
}

fn value_words(colour: &Colour) -> String {
    match colour.value() {
        Value::Srgb(rgb) => rgb.hex(),
        Value::Unknown => "unknown".to_owned(),
        Value::LabD50 { l, a, b } => format!("Lab({l}, {a}, {b})"),
        Value::Spectrum { .. } => format!("spectrum shown as {}", colour.rgb().hex()),
    }
}

/// CIEDE2000 (all weights 1), rounded to four decimals.
///
/// Between two measured values (Lab or spectrum) in Lab D50, as measured;
/// else between the sRGB values that are shown, in Lab D65.
fn difference(was: &Colour, is: &Colour) -> f64 {
    let de = if measured(was) && measured(is) {
        colour::difference(was.aim(), is.aim())
    } else {
        lab(was.rgb()).difference(lab(is.rgb()))
    };
    (de * 1e4).round() / 1e4
}

fn measured(colour: &Colour) -> bool {
    !matches!(colour.value(), Value::Srgb(_))
}
