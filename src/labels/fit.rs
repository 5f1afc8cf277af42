//! Words fitted to labels: the number by which people order comes first and in one place on all
//! labels of a set, no smaller than the name. A long name is broken, then made smaller, down to the floor.

use kurbo::Size;

use super::form::{Form, Tags, Way};
use super::pen::{Pen, Run};
pub use super::voices::Voices;
use super::words::Said;
use crate::work::Work;

/// What hangs below a baseline, in em.
const FALL: f64 = 0.26;
/// From one size that is tried to the next.
const STEP: f64 = 0.97;
/// The other listings are set in these shares of their usual size, the largest that has room.
const OTHERS: [f64; 4] = [1.0, 0.88, 0.77, 0.67];

/// A label's words in their places.
#[derive(Debug, Clone)]
pub struct Fitted {
    pub runs: Vec<Run>,
    /// Em size of the first name, mm.
    pub size: f64,
}

/// What a label holds.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// The label sheet's: with one the name is beside the number.
    pub lines: usize,
    /// The largest size of type, mm.
    pub most: f64,
    /// For words, mm.
    pub size: Size,
}

/// Fits the words of all labels of a set into their room; none where one does not fit at the floor.
pub fn fit_all(said: &[Said], voices: &Voices, room: Room, work: &Work) -> Vec<Option<Fitted>> {
    let Room { lines, most, size } = room;
    let stacked: &[bool] = if lines > 1 { &[true, false] } else { &[false] };
    let ways = stacked
        .iter()
        .flat_map(|s| [Tags::Beside, Tags::Above].map(|tags| Way { stacked: *s, tags }));
    let mut best: Option<(usize, Vec<Option<Lines>>)> = None;
    for way in ways {
        let form = Form::new(said, voices, most.max(voices.floor), size, way);
        let sets: Vec<Option<Lines>> = said.iter().map(|s| label(&form, s, most, work)).collect();
        let fit = sets.iter().flatten().count();
        let small = form.number < most * 0.85 && way.tags == Tags::Beside && form.tagged(said);
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
    let placed = |set: Lines| {
        let mut runs = set.runs;
        runs.iter_mut().for_each(|r| r.at.y += set.rise - tallest / 2.0);
        Fitted { runs, size: set.size }
    };
    sets.into_iter().map(|set| set.map(placed)).collect()
}

/// A label's words, baselines from the first one.
struct Lines {
    runs: Vec<Run>,
    size: f64,
    rise: f64,
    /// From the top of the first line to the last baseline.
    tall: f64,
}

/// Em sizes of a label's type, mm.
#[derive(Clone, Copy)]
struct Sizes {
    number: f64,
    /// Of the first listing's name.
    first: f64,
    /// Of what the other listings are set in.
    other: f64,
}

/// The label at the largest size at which it fits: whole, then broken, then with the other
/// listings smaller, then smaller itself; a smaller number comes last.
fn label(form: &Form<'_>, said: &Said, most: f64, work: &Work) -> Option<Lines> {
    let floor = form.voices.floor;
    let less = |em: f64| (em > floor).then(|| (em * STEP).max(floor));
    let set = |number: f64, first: f64, shares: &[f64]| {
        let sizes = shares.iter().map(|share| Sizes { number, first, other: first * share });
        let ways = sizes.flat_map(|sizes| [(sizes, false), (sizes, true)]);
        ways.into_iter().find_map(|(sizes, broken)| lines(form, said, sizes, broken))
    };
    let mut number = form.number;
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

/// Sets a label at these sizes; names may be broken or not.
fn lines(form: &Form<'_>, said: &Said, sizes: Sizes, broken: bool) -> Option<Lines> {
    let mut pen = Pen::new(form, sizes.first, broken);
    let mut last = form.tag.size;
    for (i, entry) in said.entries.iter().enumerate() {
        last = pen.entry(entry, i == 0, if i == 0 { sizes.number } else { sizes.other })?;
    }
    let tall = form.rise + pen.y;
    // What hangs below the last line has room, and so much is left above the first one.
    (tall + 2.0 * FALL * last <= form.height).then_some(Lines {
        runs: pen.runs,
        size: sizes.first,
        rise: form.rise,
        tall,
    })
}
