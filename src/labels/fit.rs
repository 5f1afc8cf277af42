//! Words fitted to labels: the number by which people order stands first and in one place on all
//! labels of a set, no smaller than the name. A long name is broken, then made smaller, down to the floor.

use super::recipe::Recipe;
use super::words::{Entry, Said};
use crate::diag::Diagnostic;
use crate::plan::style::Voice;
use crate::plan::{Look, Style};
use crate::sheet::paragraph::{balance, fitting};

/// From a baseline to the next, in em of the lower line.
const LEAD: f64 = 1.16;
/// The same within a broken name.
const BROKEN_LEAD: f64 = 1.02;
/// White between two listings besides, in em of the first name.
const LISTINGS: f64 = 0.22;
/// Least white between texts of a line, in em of the first name.
const GAP: f64 = 0.5;
/// What hangs below a baseline, in em.
const FALL: f64 = 0.26;
/// From one size that is tried to the next.
const STEP: f64 = 0.97;
/// The word for the listing, in em of the recipe's type, and the most of a line that it takes.
const TAG: f64 = 0.42;
const TAG_SHARE: f64 = 0.45;
/// One very long number makes those of all other labels no smaller than this share of the recipe's type.
const LEAST_NUMBER: f64 = 0.6;
/// The other listings are set in these shares of their usual size, the largest that has room.
const OTHERS: [f64; 4] = [1.0, 0.88, 0.77, 0.67];
/// The page whose type gives the proportions: a style's largest, where no floor bends them.
const PROPORTIONS: (f64, f64) = (610.0, 914.0);

/// The style's voices for labels, the first name 1 mm large.
#[derive(Debug, Clone)]
pub struct Voices {
    pub look: Look,
    /// Name and number, of the first listing and of the others.
    first: (Voice, Voice),
    other: (Voice, Voice),
    /// Which listing it is.
    tag: Voice,
    floor: f64,
}

/// A text at its place: baseline from the middle of the left side of the room for words, mm.
#[derive(Debug, Clone)]
pub struct Run {
    pub x: f64,
    pub y: f64,
    pub text: String,
    pub voice: Voice,
    /// Its right end is at `x`.
    pub right: bool,
}

/// A label's words in their places.
#[derive(Debug, Clone)]
pub struct Fitted {
    pub runs: Vec<Run>,
    /// Em size of the first name, mm.
    pub size: f64,
}

impl Voices {
    /// # Errors
    /// The style lacks a face or an ink.
    pub fn new(style: &Style, recipe: &Recipe) -> Result<Voices, Diagnostic> {
        // No floor yet: sizes of the page are proportions only.
        let look = Look::new(style, PROPORTIONS.0, PROPORTIONS.1, 0.1)?;
        let v = &look.voices;
        let unit = v.name.size;
        let per_name = |voice: Voice| voice.sized(voice.size / unit);
        // Whoever orders reads the number first: it is as large as the name.
        let first = (per_name(v.name), v.number.inked(v.name.ink).sized(1.0));
        let other = (per_name(v.other_name), per_name(v.other_number));
        Ok(Voices {
            first,
            other,
            tag: v.other_number.sized(1.0),
            floor: recipe.type_floor(),
            look,
        })
    }

    fn sized(&self, voice: Voice, em: f64) -> Voice {
        voice.sized((voice.size * em).max(self.floor))
    }

    /// Every voice that a label uses: name and number of the first listing, of the others, and the
    /// word for the listing.
    pub fn each(&self) -> [(&'static str, Voice); 5] {
        [
            ("the name", self.first.0),
            ("the number", self.first.1),
            ("the name", self.other.0),
            ("the number", self.other.1),
            ("the listing's title", self.tag),
        ]
    }
}

/// Where the listing is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tags {
    /// At the right end of the listing's first line.
    Beside,
    /// On a line of its own above it.
    Above,
}

/// What all labels of a set share, mm.
struct Form<'a> {
    voices: &'a Voices,
    width: f64,
    height: f64,
    /// The name begins a line under the number, not beside it.
    stacked: bool,
    tags: Tags,
    /// Voice of the word for the listing.
    tag: Voice,
    /// Em size of the numbers.
    number: f64,
    /// From the top of the words to the first baseline.
    rise: f64,
}

/// Fits the words of all labels of a set into `width` x `height` mm, at most at the size `most`;
/// none where one does not fit at the floor. `lines` is the recipe's: with one the name stands
/// beside the number.
pub fn fit_all(
    said: &[Said],
    lines: usize,
    voices: &Voices,
    most: f64,
    size: (f64, f64),
) -> Vec<Option<Fitted>> {
    let stacked: &[bool] = if lines > 1 { &[true, false] } else { &[false] };
    let forms = stacked.iter().flat_map(|s| [Tags::Beside, Tags::Above].map(|t| (*s, t)));
    let mut best: Option<(usize, Vec<Option<Set>>)> = None;
    for (stacked, tags) in forms {
        let form = Form::new(said, voices, most.max(voices.floor), size, (stacked, tags));
        let sets: Vec<Option<Set>> = said.iter().map(|s| form.label(s, most)).collect();
        let fit = sets.iter().flatten().count();
        let small = form.number < most * 0.85 && tags == Tags::Beside && form.tagged(said);
        let better = best.as_ref().is_none_or(|(n, _)| fit > *n);
        if better {
            best = Some((fit, sets));
        }
        if fit == said.len() && !small {
            break;
        }
    }
    let sets = best.map(|(_, sets)| sets).unwrap_or_default();
    // All labels begin at one height; the tallest is in the middle.
    let tallest = sets.iter().flatten().map(|s| s.tall).fold(0.0, f64::max);
    let placed = |set: Set| {
        let mut runs = set.runs;
        runs.iter_mut().for_each(|r| r.y += set.rise - tallest / 2.0);
        Fitted { runs, size: set.size }
    };
    sets.into_iter().map(|set| set.map(placed)).collect()
}

/// A label's words, baselines from the first one.
struct Set {
    runs: Vec<Run>,
    size: f64,
    rise: f64,
    /// From the top of the first line to the last baseline.
    tall: f64,
}

impl<'a> Form<'a> {
    fn new(
        said: &[Said],
        voices: &'a Voices,
        most: f64,
        (width, height): (f64, f64),
        (stacked, tags): (bool, Tags),
    ) -> Form<'a> {
        let look = &voices.look;
        let tag = voices.sized(voices.tag, most * TAG);
        let mut form = Form { voices, width, height, stacked, tags, tag, number: most, rise: 0.0 };
        let first = said.iter().filter_map(|s| s.entries.first()).filter(|e| !e.number.is_empty());
        let share = |e: &Entry| {
            let beside = if form.tags == Tags::Beside { form.tag_of(e).1 } else { 0.0 };
            let taken = look.width(voices.sized(voices.first.1, most), &e.number);
            (width - beside) / taken.max(1e-9)
        };
        let least = first.map(share).fold(1.0, f64::min).max(LEAST_NUMBER);
        form.number = (most * least).max(voices.floor);
        let cap = |voice| voices.sized(voice, form.number).cap;
        let above = match tags {
            Tags::Above if form.tagged(said) => form.tag.cap + form.tag.size * 0.5,
            _ => 0.0,
        };
        form.rise = cap(voices.first.0).max(cap(voices.first.1)) + above;
        form
    }

    fn tagged(&self, said: &[Said]) -> bool {
        said.iter().flat_map(|s| &s.entries).any(|e| !e.tag.is_empty())
    }

    /// The word for a listing as it is shown, and the room that it takes with white before it.
    fn tag_of(&self, entry: &Entry) -> (String, f64) {
        let share = if self.tags == Tags::Beside { TAG_SHARE } else { 1.0 };
        let (voice, text) =
            fitting(&self.voices.look, self.tag, &entry.tag, self.width * share, 1.0);
        let width = self.voices.look.width(voice, &text);
        (text, if width > 0.0 { width + self.tag.size } else { 0.0 })
    }

    /// The label at the largest size at which it fits: whole, then broken, then with the other
    /// listings smaller, then smaller itself; a smaller number comes last.
    fn label(&self, said: &Said, most: f64) -> Option<Set> {
        let floor = self.voices.floor;
        let less = |em: f64| (em > floor).then(|| (em * STEP).max(floor));
        let set = |number: f64, em: f64, shares: &[f64]| {
            let ways = shares.iter().flat_map(|s| [(em * s, false), (em * s, true)]);
            ways.into_iter().find_map(|(other, b)| self.set(said, number, (em, other), b))
        };
        let mut number = self.number;
        while set(number, floor, &[1.0]).is_none() {
            number = less(number)?;
        }
        let mut em = most.max(floor).min(number);
        loop {
            let shares: &[f64] = if said.entries.len() > 1 { &OTHERS } else { &[1.0] };
            let set = set(number, em, shares);
            if set.is_some() {
                return set;
            }
            em = less(em)?;
        }
    }

    /// Sets a label with a number of this size, and names as of the first listing and as of the
    /// others at these; names may be broken or not.
    fn set(&self, said: &Said, number: f64, (em, other): (f64, f64), broken: bool) -> Option<Set> {
        let mut pen = Pen { form: self, em, broken, runs: Vec::new(), y: 0.0 };
        let mut last = self.tag.size;
        for (i, entry) in said.entries.iter().enumerate() {
            last = pen.entry(entry, i == 0, if i == 0 { number } else { other })?;
        }
        let tall = self.rise + pen.y;
        // What hangs below the last line has room, and so much is left above the first one.
        (tall + 2.0 * FALL * last <= self.height).then_some(Set {
            runs: pen.runs,
            size: em,
            rise: self.rise,
            tall,
        })
    }
}

/// Sets the lines of one label.
struct Pen<'a> {
    form: &'a Form<'a>,
    em: f64,
    broken: bool,
    runs: Vec<Run>,
    /// The last baseline.
    y: f64,
}

impl Pen<'_> {
    /// Number and name of a listing, the number as of the size `size`; returns the size of its last line, none where it has no room.
    fn entry(&mut self, entry: &Entry, first: bool, size: f64) -> Option<f64> {
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
                self.put(0.0, self.y, &tag, form.tag, false);
                self.y += lead.cap + form.tag.size * 0.5;
            }
        } else if above {
            self.put(0.0, form.tag.cap - form.rise, &tag, form.tag, false);
        }
        let beside = if above { 0.0 } else { tag_room };
        if beside > 0.0 {
            self.put(form.width, self.y, &tag, form.tag, true);
        }
        let room = form.width - beside;
        let taken = voices.look.width(number, &entry.number);
        if taken > room + 1e-9 {
            return None;
        }
        self.put(0.0, self.y, &entry.number, number, false);
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
            self.put(left, self.y, &line, voice, false);
        }
        Some(())
    }

    fn put(&mut self, x: f64, y: f64, text: &str, voice: Voice, right: bool) {
        if !text.is_empty() {
            self.runs.push(Run { x, y, text: text.to_owned(), voice, right });
        }
    }
}
