//! The lines of one label, put one under the other.

use kurbo::Point;

use super::form::{Form, Tags};
use super::words::ListingWords;
use crate::plan::style::Voice;
use crate::sheet::paragraph::balance;

/// Least white between texts of a line, in em of the first name.
const GAP: f64 = 0.5;
/// From a baseline to the next, in em of the lower line.
const LEAD: f64 = 1.16;
/// The same within a broken name.
const BROKEN_LEAD: f64 = 1.02;
/// White between two listings besides, in em of the first name.
const LISTINGS: f64 = 0.22;

/// A text at its place: its baseline, from the middle of the left side of the room for words, mm.
#[derive(Debug, Clone)]
pub struct Run {
    pub at: Point,
    pub text: String,
    pub voice: Voice,
    /// Its right end is at the place.
    pub right: bool,
}

/// Sets the lines of one label.
pub(super) struct Pen<'a> {
    form: &'a Form<'a>,
    em: f64,
    broken: bool,
    pub runs: Vec<Run>,
    /// The last baseline.
    pub y: f64,
}

impl<'a> Pen<'a> {
    /// At the size `em` of the first name; names may be broken or not.
    pub fn new(form: &'a Form<'a>, em: f64, broken: bool) -> Pen<'a> {
        Pen { form, em, broken, runs: Vec::new(), y: 0.0 }
    }

    /// Number and name of a listing, the number as of the size `size`; returns the size of its last line, none where it has no room.
    pub fn entry(&mut self, entry: &ListingWords, first: bool, size: f64) -> Option<f64> {
        let (form, voices) = (self.form, self.form.voices);
        let of = |(name, number): (Voice, Voice), em: f64| {
            (voices.sized(name, em), voices.sized(number, size))
        };
        let (name, number) = if first { of(voices.first, self.em) } else { of(voices.other, size) };
        let (tag, tag_room) = form.tag_of(entry);
        let above = form.tags == Tags::Above && !tag.is_empty();
        let lead = if entry.number.is_empty() { name } else { number };
        if !first {
            self.y += LISTINGS * self.em + LEAD * if above { form.tag.size } else { lead.size };
            if above {
                self.put(Point::new(0.0, self.y), &tag, form.tag, false);
                self.y += lead.cap + form.tag.size * 0.5;
            }
        } else if above {
            self.put(Point::new(0.0, form.tag.cap - form.rise), &tag, form.tag, false);
        }
        let beside = if above { 0.0 } else { tag_room };
        if beside > 0.0 {
            self.put(Point::new(form.width, self.y), &tag, form.tag, true);
        }
        let room = form.width - beside;
        let taken = voices.look.width(number, &entry.number);
        if taken > room + 1e-9 {
            return None;
        }
        self.put(Point::new(0.0, self.y), &entry.number, number, false);
        if entry.name.is_empty() {
            return Some(number.size);
        }
        let after = taken + GAP * self.em;
        let whole = after + voices.look.width(name, &entry.name) <= room;
        // Of another listing a name goes on beside its number where it need not be broken.
        let under = form.stacked && (first || (self.broken && !whole));
        let (left, room) = match (entry.number.is_empty(), under) {
            (true, _) => (0.0, room),
            (false, true) => {
                self.y += LEAD * name.size;
                (0.0, form.width)
            }
            (false, false) => (after, room - after),
        };
        self.name(&entry.name, name, left, room)?;
        Some(name.size)
    }

    fn name(&mut self, text: &str, voice: Voice, left: f64, room: f64) -> Option<()> {
        let look = &self.form.voices.look;
        if room <= 0.0 {
            return None;
        }
        let lines =
            if self.broken { balance(look, voice, text, room) } else { vec![text.to_owned()] };
        for (i, line) in lines.into_iter().enumerate() {
            if look.width(voice, &line) > room {
                return None;
            }
            if i > 0 {
                self.y += BROKEN_LEAD * voice.size;
            }
            self.put(Point::new(left, self.y), &line, voice, false);
        }
        Some(())
    }

    fn put(&mut self, at: Point, text: &str, voice: Voice, right: bool) {
        if !text.is_empty() {
            self.runs.push(Run { at, text: text.to_owned(), voice, right });
        }
    }
}
