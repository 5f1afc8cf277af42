//! Words fitted to a label: broken first, then made smaller down to the floor.

use super::recipe::Recipe;
use super::words::{Entry, Said};
use crate::diag::Diagnostic;
use crate::plan::style::{SpineForm, Voice};
use crate::plan::{Look, Style};
use crate::sheet::paragraph::balance;

/// From a baseline to the next, in em of the lower line.
const LEAD: f64 = 1.16;
/// The same within a broken name.
const BROKEN_LEAD: f64 = 1.02;
/// White between two listings besides, in em of the first name.
const LISTINGS: f64 = 0.22;
/// Least white between a name and its number, in em of the first name.
const NUMBER_GAP: f64 = 0.5;
/// What hangs below a baseline, in em.
const FALL: f64 = 0.26;
/// From one size that is tried to the next.
const STEP: f64 = 0.97;
/// The page whose type gives the proportions: a style's largest, where no floor bends them.
const PROPORTIONS: (f64, f64) = (610.0, 914.0);

/// The style's voices for labels, the first name 1 mm large.
#[derive(Debug, Clone)]
pub struct Voices {
    pub look: Look,
    /// Name and number, of the first listing and of the others.
    first: (Voice, Voice),
    other: (Voice, Voice),
    numbers_first: bool,
    floor: f64,
}

/// A text at its place: baseline from the label's corner, mm.
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

/// A line of a label before it has a size.
enum Piece<'a> {
    Both(&'a Entry),
    Name(&'a Entry),
    Number(&'a Entry),
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
        let first = (per_name(v.name), per_name(v.number));
        let other = (per_name(v.other_name), per_name(v.other_number));
        let numbers_first = look.forms.first() != Some(&SpineForm::NamesThenNumbers);
        Ok(Voices { first, other, numbers_first, floor: recipe.type_floor(), look })
    }

    /// Name and number of a listing where the first name has the size `em`.
    fn of(&self, first: bool, em: f64) -> (Voice, Voice) {
        let (name, number) = if first { self.first } else { self.other };
        let sized = |v: Voice| v.sized((v.size * em).max(self.floor));
        (sized(name), sized(number))
    }

    /// Every voice that a label uses.
    pub fn each(&self) -> [(&'static str, Voice, bool); 4] {
        [
            ("the name", self.first.0, true),
            ("the number", self.first.1, true),
            ("the name", self.other.0, false),
            ("the number", self.other.1, false),
        ]
    }
}

/// The lines of a label: a listing each; where there are more lines than
/// listings, the first ones have their numbers on a line of their own.
fn pieces<'a>(said: &'a Said, lines: usize, numbers_first: bool) -> Vec<Piece<'a>> {
    let apart = lines.saturating_sub(said.entries.len());
    let mut out = Vec::new();
    for (i, e) in said.entries.iter().enumerate() {
        let both = !e.name.is_empty() && !e.number.is_empty();
        match (both, i < apart) {
            (true, true) if numbers_first => out.extend([Piece::Number(e), Piece::Name(e)]),
            (true, true) => out.extend([Piece::Name(e), Piece::Number(e)]),
            (false, true) if e.name.is_empty() => out.push(Piece::Number(e)),
            // A number without a name keeps to its column.
            _ if e.number.is_empty() => out.push(Piece::Name(e)),
            _ => out.push(Piece::Both(e)),
        }
    }
    out
}

/// Fits a label's words into `width` x `height` mm; none where they do not
/// fit at the floor. Places are from the middle of the left side.
pub fn fit(
    said: &Said,
    lines: usize,
    voices: &Voices,
    most: f64,
    (width, height): (f64, f64),
) -> Option<Fitted> {
    let pieces = pieces(said, lines, voices.numbers_first);
    let mut em = most.max(voices.floor);
    loop {
        for broken in [false, true] {
            if let Some(runs) = set(said, &pieces, voices, em, (width, height), broken) {
                return Some(Fitted { runs, size: em });
            }
        }
        if em <= voices.floor {
            return None;
        }
        em = (em * STEP).max(voices.floor);
    }
}

/// Sets the lines at one size; names may be broken or not.
fn set(
    said: &Said,
    pieces: &[Piece<'_>],
    voices: &Voices,
    em: f64,
    (width, height): (f64, f64),
    broken: bool,
) -> Option<Vec<Run>> {
    let look = &voices.look;
    let is_first = |e: &Entry| said.entries.first() == Some(e);
    let gap = NUMBER_GAP * em;
    // Numbers before names stand in a column of their own.
    let column = match voices.numbers_first {
        true => pieces
            .iter()
            .filter_map(|p| match p {
                Piece::Both(e) => Some(look.width(voices.of(is_first(e), em).1, &e.number)),
                _ => None,
            })
            .fold(0.0, f64::max),
        false => 0.0,
    };
    let mut runs: Vec<Run> = Vec::new();
    let mut y = 0.0;
    let mut listing = None;
    let mut fall = 0.0;
    let mut rise = 0.0;
    for piece in pieces {
        let (Piece::Both(e) | Piece::Name(e) | Piece::Number(e)) = piece;
        let (name, number) = voices.of(is_first(e), em);
        let lead = if matches!(piece, Piece::Number(_)) { number } else { name };
        match listing {
            None => rise = lead.cap,
            Some(l) if l == e.listing => y += LEAD * lead.size,
            Some(_) => y += LEAD * lead.size + LISTINGS * em,
        }
        listing = Some(e.listing);
        fall = FALL * lead.size;
        let mut number_at = |x: f64, right: bool| {
            if look.width(number, &e.number) > width {
                return None;
            }
            let text = e.number.clone();
            runs.push(Run { x, y, text, voice: number, right });
            Some(())
        };
        let (left, room) = match piece {
            Piece::Number(_) => {
                number_at(0.0, false)?;
                continue;
            }
            Piece::Name(_) => (0.0, width),
            Piece::Both(_) if voices.numbers_first => {
                number_at(column, true)?;
                (column + gap, width - column - gap)
            }
            Piece::Both(_) => {
                number_at(width, true)?;
                (0.0, width - look.width(number, &e.number) - gap)
            }
        };
        if room <= 0.0 {
            return None;
        }
        let lines = if broken { balance(look, name, &e.name, room) } else { vec![e.name.clone()] };
        for (i, line) in lines.into_iter().enumerate() {
            if look.width(name, &line) > room {
                return None;
            }
            if i > 0 {
                y += BROKEN_LEAD * name.size;
            }
            runs.push(Run { x: left, y, text: line, voice: name, right: false });
        }
    }
    // From the first capitals to the last baseline is centred; what hangs below must have room too.
    let tall = rise + y;
    if tall + 2.0 * fall > height {
        return None;
    }
    runs.iter_mut().for_each(|r| r.y += rise - tall / 2.0);
    Some(runs)
}
