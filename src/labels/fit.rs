//! Words fitted to labels: the number by which people order comes first and in one place on all
//! labels of a set, no smaller than the name. A long name is broken, then made smaller, down to the floor.

use super::label_sheet::LabelSheet;
use super::pen::Pen;
use super::words::{Entry, Said};
use crate::diag::Diagnostic;
use crate::plan::style::Voice;
use crate::plan::{Look, Style};
use crate::sheet::paragraph::fitting;
use crate::work::Work;

/// Least white between texts of a line, in em of the first name.
pub(super) const GAP: f64 = 0.5;
/// What hangs below a baseline, in em.
const FALL: f64 = 0.26;
/// From one size that is tried to the next.
const STEP: f64 = 0.97;
/// The word for the listing, in em of the label sheet's type, and the most of a line that it takes.
const TAG: f64 = 0.42;
const TAG_SHARE: f64 = 0.45;
/// One very long number makes those of all other labels no smaller than this share of the label sheet's type.
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
    pub(super) first: (Voice, Voice),
    pub(super) other: (Voice, Voice),
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
    pub fn new(style: &Style, label_sheet: &LabelSheet) -> Result<Voices, Diagnostic> {
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
            floor: label_sheet.type_floor(),
            look,
        })
    }

    pub fn sized(&self, voice: Voice, em: f64) -> Voice {
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
pub(super) enum Tags {
    /// At the right end of the listing's first line.
    Beside,
    /// On a line of its own above it.
    Above,
}

/// What all labels of a set share, mm.
pub(super) struct Form<'a> {
    pub voices: &'a Voices,
    pub width: f64,
    height: f64,
    /// The name begins a line under the number, not beside it.
    pub stacked: bool,
    pub tags: Tags,
    /// Voice of the word for the listing.
    pub tag: Voice,
    /// Em size of the numbers.
    number: f64,
    /// From the top of the words to the first baseline.
    pub rise: f64,
}

/// What a label holds.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// The label sheet's: with one the name stands beside the number.
    pub lines: usize,
    /// The largest size of type, mm.
    pub most: f64,
    /// Width and height for words, mm.
    pub size: (f64, f64),
}

/// Fits the words of all labels of a set into their room; none where one does not fit at the floor.
pub fn fit_all(said: &[Said], voices: &Voices, room: Room, work: &Work) -> Vec<Option<Fitted>> {
    let Room { lines, most, size } = room;
    let stacked: &[bool] = if lines > 1 { &[true, false] } else { &[false] };
    let forms = stacked.iter().flat_map(|s| [Tags::Beside, Tags::Above].map(|t| (*s, t)));
    let mut best: Option<(usize, Vec<Option<Set>>)> = None;
    for (stacked, tags) in forms {
        let form = Form::new(said, voices, most.max(voices.floor), size, (stacked, tags));
        let sets: Vec<Option<Set>> = said.iter().map(|s| form.label(s, most, work)).collect();
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
    pub fn tag_of(&self, entry: &Entry) -> (String, f64) {
        let share = if self.tags == Tags::Beside { TAG_SHARE } else { 1.0 };
        let (voice, text) =
            fitting(&self.voices.look, self.tag, &entry.tag, self.width * share, 1.0);
        let width = self.voices.look.width(voice, &text);
        (text, if width > 0.0 { width + self.tag.size } else { 0.0 })
    }

    /// The label at the largest size at which it fits: whole, then broken, then with the other
    /// listings smaller, then smaller itself; a smaller number comes last.
    fn label(&self, said: &Said, most: f64, work: &Work) -> Option<Set> {
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
        while !work.is_stopped() {
            let shares: &[f64] = if said.entries.len() > 1 { &OTHERS } else { &[1.0] };
            let set = set(number, em, shares);
            if set.is_some() {
                return set;
            }
            em = less(em)?;
        }
        None
    }

    /// Sets a label with a number of this size, and names as of the first listing and as of the
    /// others at these; names may be broken or not.
    fn set(&self, said: &Said, number: f64, (em, other): (f64, f64), broken: bool) -> Option<Set> {
        let mut pen = Pen::new(self, em, broken);
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
