//! The furniture that closes a column or the page: legend, look-alikes and notes.
//!
//! Each piece is a fragment. The solver asks how high it comes out, placing puts it on the page.

mod builder;
mod callouts;
mod finish_cells;
mod finishes;
mod panel;
mod parts;
mod shown;
mod specimen;
mod strip;
mod strip_drawn;
mod texts;

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use kurbo::Point;

use super::fragment::Fragment;
use super::scene::Scene;
use crate::diag::Located;
use crate::plan::style::FurnitureForm;
use crate::plan::{Facts, Piece};
use crate::range::Words;
use crate::spelling::Spelling;
use builder::{Builder, Known, reserved};
use strip::Title;

/// Heights asked for before: the solver asks for the same few again and again.
pub struct Heights<'a> {
    spellings: &'a [&'a Spelling],
    known: RefCell<HashMap<(Piece, [u64; 5]), f64>>,
    texts: Rc<Known>,
}

impl<'a> Heights<'a> {
    /// Nothing known yet; all spellings of the edition.
    pub fn new(spellings: &'a [&'a Spelling]) -> Heights<'a> {
        Heights { spellings, known: RefCell::default(), texts: Rc::default() }
    }

    /// Height in mm for a width in mm, whichever of the spellings is drawn;
    /// infinite where a word is wider than that.
    pub fn of(&self, facts: &Facts<'_>, width: f64, scale: f64, piece: Piece) -> f64 {
        // A note that gives the scale may wrap otherwise at every scale.
        let gives = |note: &Located<Words>| note.text.contains("{scale}") || !note.forms.is_empty();
        let scale = if facts.sheet.notes().iter().any(gives) { scale } else { reserved(scale) };
        let page =
            (facts.layout.width * 1e3) as u64 * 10_000_000 + (facts.layout.height * 1e3) as u64;
        let floor = facts.layout.type_floor.to_bits();
        let rows = facts.look.lead.to_bits();
        let key = (piece, [width.to_bits(), scale.to_bits(), floor, page, rows]);
        if let Some(height) = self.known.borrow().get(&key) {
            return *height;
        }
        let builder = Builder::unplanned(facts, self.spellings, scale, &self.texts);
        let height = builder.unplanned_piece(width, piece).fragment.room();
        self.known.borrow_mut().insert(key, height);
        height
    }
}

/// A piece as a scene shows it. It is as high as the plan keeps room for, which is as high as it comes
/// out for all that the sheet may show.
pub fn fragment(scene: &Scene<'_>, width: f64, piece: Piece) -> Fragment {
    let builder = Builder::of(scene);
    let unplanned = builder.before_plan().unplanned_piece(width, piece);
    let look = &scene.facts.look;
    let (thick, ink) = match piece {
        Piece::Parts => (look.hair, look.hair_ink),
        _ => (look.heavy, look.rule_ink),
    };
    let mut out = Fragment::of_width(width).of_field("legend");
    out.rule(Point::ORIGIN, width, thick, ink);
    out.put(Point::ORIGIN, builder.piece(width, piece, unplanned.with_specimen));
    out.height = unplanned.fragment.room();
    out
}

/// A piece before there is a plan.
struct Unplanned {
    fragment: Fragment,
    with_specimen: bool,
}

/// How much taller the furniture of a poster may be with a specimen row than with how to read in
/// words, as a share.
const MOST_TALLER: f64 = 0.7;

impl Builder<'_> {
    /// A piece for the solver: with a specimen row, which needs room and may take little more of the
    /// page than words would, or with words.
    fn unplanned_piece(&self, width: f64, piece: Piece) -> Unplanned {
        let words = Unplanned { fragment: self.piece(width, piece, false), with_specimen: false };
        let half = (width - self.facts.look.gutter) / 2.0;
        let own = if piece == Piece::Band { half } else { width };
        if piece == Piece::Parts || !self.has_specimen(own, &self.specimen_title()) {
            return words;
        }
        // On a small page it must not cost scale.
        let share = self.facts.look.t.clamp(0.0, 1.0);
        let most = words.fragment.room() * (1.0 + MOST_TALLER * share);
        let fragment = self.piece(width, piece, true);
        if fragment.room() <= most { Unplanned { fragment, with_specimen: true } } else { words }
    }

    fn piece(&self, width: f64, piece: Piece, with_specimen: bool) -> Fragment {
        match (self.facts.look.furniture_form, piece) {
            (_, Piece::Parts) => self.part_list(width),
            (FurnitureForm::Cells, Piece::Band) => self.halves(width, with_specimen),
            (FurnitureForm::Cells, _) => {
                let blocks = self.blocks(width, with_specimen, true);
                self.stack(width, blocks)
            }
            (FurnitureForm::List, piece) => self.list(width, piece, with_specimen),
        }
    }

    /// The title over a specimen row.
    fn specimen_title(&self) -> Title {
        let look = &self.facts.look;
        let (section, family) = (look.voices.section, look.voices.family);
        match look.furniture_form {
            FurnitureForm::Cells => Title {
                words: self.phrase("how_title"),
                voice: section,
                down: section.size * 1.45,
                hang: 0.0,
            },
            FurnitureForm::List => Title {
                words: self.phrase("key_title"),
                voice: family,
                down: look.head_name.max(family.size),
                // Large type hangs a little, so that its stems are on the edge.
                hang: family.size * 0.045,
            },
        }
    }

    /// The blocks of a style with cells, from above.
    fn blocks(&self, width: f64, with_specimen: bool, with_panel: bool) -> Vec<Fragment> {
        let mut out = Vec::new();
        if self.has_finishes() {
            out.push(self.finish_cells(width));
        }
        if with_panel && self.has_panel() {
            out.push(self.panel(width));
        }
        if with_specimen {
            out.push(self.specimen(width, &self.specimen_title()));
        }
        if !self.sections(with_specimen, true).is_empty() {
            out.push(self.texts(width, with_specimen));
        }
        out
    }

    /// Blocks one under the other with a hairline between.
    fn stack(&self, width: f64, blocks: Vec<Fragment>) -> Fragment {
        let mut out = Fragment::of_width(width);
        for (i, block) in blocks.into_iter().enumerate() {
            let mut top = out.height;
            if i > 0 {
                top += self.apart();
                self.hairline(&mut out, top);
            }
            out.put(Point::new(0.0, top), block);
        }
        out
    }

    /// From a block to the hairline under it, mm.
    fn apart(&self) -> f64 {
        self.facts.look.module * 1.4
    }

    /// A hairline as wide as the fragment.
    fn hairline(&self, out: &mut Fragment, y: f64) {
        let look = &self.facts.look;
        out.rule(Point::new(0.0, y), out.width, look.hair, look.hair_ink);
    }

    /// Blocks in two halves that end as nearly alike as they can, the panel under both.
    fn halves(&self, width: f64, with_specimen: bool) -> Fragment {
        let look = &self.facts.look;
        let half = (width - look.gutter) / 2.0;
        let mut left = self.blocks(half, with_specimen, false);
        let heights: Vec<f64> = left.iter().map(Fragment::room).collect();
        let tall = |side: &[f64]| {
            side.iter().sum::<f64>() + self.apart() * side.len().saturating_sub(1) as f64
        };
        let taller = |at: usize| tall(&heights[..at]).max(tall(&heights[at..]));
        let best = (0..=heights.len()).min_by(|a, b| taller(*a).total_cmp(&taller(*b)));
        let right = left.split_off(best.unwrap_or(0));
        let mut out = Fragment::of_width(width);
        out.put(Point::ORIGIN, self.stack(half, left));
        out.put(Point::new(half + look.gutter, 0.0), self.stack(half, right));
        if self.has_panel() {
            let top = out.height + self.apart();
            self.hairline(&mut out, top);
            out.put(Point::new(0.0, top), self.panel(width));
        }
        out
    }

    /// A specimen row, finishes in a list, texts, look-alikes and the list of parts.
    fn list(&self, width: f64, piece: Piece, with_specimen: bool) -> Fragment {
        let look = &self.facts.look;
        let title = self.specimen_title();
        let top = title.down + look.module * 1.3;
        let half = (width - look.gutter) / 2.0;
        let mut out = Fragment::of_width(width);
        match (with_specimen, piece) {
            (true, Piece::Band) => {
                out.put(Point::new(half + look.gutter, top), self.listed(half, true));
                out.put(Point::ORIGIN, self.specimen(half, &title));
            }
            (true, _) => {
                out.put(Point::ORIGIN, self.specimen(width, &title));
                let rule = out.height + look.body_lead * 0.4;
                self.hairline(&mut out, rule);
                let below = rule + look.body_lead * 0.4;
                out.put(Point::new(0.0, below), self.listed(width, true));
            }
            (false, _) => {
                let at = Point::new(-title.hang, title.down);
                self.say(&mut out, at, &title.words, title.voice);
                out.put(Point::new(0.0, top), self.listed(width, false));
            }
        }
        let gap = look.body_lead * 0.6;
        let mut below = out.height + gap;
        if self.has_panel() {
            self.hairline(&mut out, below);
            let panel = self.panel(width);
            let tall = panel.height + look.body_lead * 0.8;
            out.put(Point::new(0.0, below), panel);
            below += tall;
        }
        out.height = below - gap;
        if piece != Piece::Key {
            self.hairline(&mut out, below);
            out.put(Point::new(0.0, below), self.part_list(width));
        }
        out
    }

    /// Finishes with the texts beside or under them.
    fn listed(&self, width: f64, with_specimen: bool) -> Fragment {
        let look = &self.facts.look;
        let sections = self.sections(with_specimen, false);
        if !self.has_finishes() {
            return self.note_columns(width, &sections);
        }
        let entries = self.entries();
        let mut stacked = Fragment::of_width(width);
        stacked.put(Point::ORIGIN, self.finish_list(&entries, width, usize::MAX));
        if sections.is_empty() {
            return stacked;
        }
        let below = Point::new(0.0, stacked.height + look.body_lead * 0.5);
        stacked.put(below, self.note_columns(width, &sections));
        let gap = look.gutter;
        let needed = self.finish_list_width(&entries);
        if needed > (width - gap) * 0.58 {
            return stacked;
        }
        let left = ((width - gap) * 0.42).max(needed);
        let mut beside = Fragment::of_width(width);
        beside.put(Point::ORIGIN, self.finish_list(&entries, left, 1));
        let notes = self.note_list(width - left - gap, &sections);
        beside.put(Point::new(left + gap, 0.0), notes);
        if beside.room() <= stacked.room() { beside } else { stacked }
    }
}
