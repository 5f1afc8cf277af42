//! The furniture that closes a column or the page: legend, look-alikes and notes.
//!
//! Measuring and drawing run the same code, once without a canvas.

mod callouts;
mod finish_cells;
mod finishes;
mod panel;
mod parts;
mod shown;
mod sketch;
mod specimen;
mod strip;
mod strip_drawn;
mod texts;

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::canvas::Canvas;
use super::place::Scene;
use crate::plan::style::FurnitureForm;
use crate::plan::{Facts, Piece};
use crate::range::Words;
use crate::spelling::Spelling;
use sketch::{Known, Sketch};
use strip::Title;

/// Height in mm for a width in mm, whichever of the spellings is drawn;
/// infinite where a word is wider than that.
pub fn height(
    facts: &Facts<'_>,
    spellings: &[&Spelling],
    width: f64,
    scale: f64,
    piece: Piece,
) -> f64 {
    Sketch::measuring(facts, spellings, scale, &Rc::default()).decided(width, piece).1
}

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

    /// As [`height`] tells it.
    pub fn of(&self, facts: &Facts<'_>, width: f64, scale: f64, piece: Piece) -> f64 {
        // A note that tells the scale may wrap otherwise at every scale.
        let tells = |note: &Words| note.text.contains("{scale}") || !note.forms.is_empty();
        let scale = if facts.sheet.notes().iter().any(tells) { scale } else { reserved(scale) };
        let page =
            (facts.layout.width * 1e3) as u64 * 10_000_000 + (facts.layout.height * 1e3) as u64;
        let floor = facts.layout.type_floor.to_bits();
        let rows = facts.look.lead.to_bits();
        let key = (piece, [width.to_bits(), scale.to_bits(), floor, page, rows]);
        if let Some(height) = self.known.borrow().get(&key) {
            return *height;
        }
        let sketch = Sketch::measuring(facts, self.spellings, scale, &self.texts);
        let height = sketch.decided(width, piece).1;
        self.known.borrow_mut().insert(key, height);
        height
    }
}

/// The scale that room is kept for: rounded up, so that the solver, which asks
/// at many scales, asks for few heights, and what is drawn is as tall as it was told.
fn reserved(scale: f64) -> f64 {
    (scale * 25.0 - 1e-9).ceil() / 25.0
}

/// Draws it with its top left corner at `x`, `y`.
pub fn draw(canvas: &mut Canvas<'_>, scene: &Scene<'_>, x: f64, y: f64, width: f64, piece: Piece) {
    canvas.from(Some("legend"));
    let (facts, spellings, scale) = (scene.facts, scene.spellings, scene.plan.scale);
    let own = spellings.iter().position(|s| std::ptr::eq(*s, scene.spelling)).unwrap_or(0);
    let mut sketch = Sketch {
        facts,
        spellings,
        own,
        scale,
        scene: Some(scene),
        canvas: Some(canvas),
        known: Rc::default(),
        reach: 0.0,
    };
    sketch.all(x, y, width, piece);
}

/// A piece of the furniture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Block {
    Finishes,
    Specimen,
    /// Texts beside or under a specimen, or with how to read the sheet in words.
    Texts {
        with_specimen: bool,
    },
    Panel,
}

/// How much taller the furniture of a poster may be with a specimen row than with how to read in
/// words, as a share.
const MOST_TALLER: f64 = 0.7;

impl Sketch<'_, '_, '_> {
    /// Draws a piece.
    fn all(&mut self, x: f64, y: f64, width: f64, piece: Piece) {
        let look = &self.facts.look;
        let thick = if piece == Piece::Parts { look.hair } else { look.heavy };
        let ink = if piece == Piece::Parts { look.hair_ink } else { look.rule_ink };
        self.rule(x, y, width, thick, ink);
        let (with_specimen, _) = self.unplanned().decided(width, piece);
        self.pieces(x, y, width, piece, with_specimen);
    }

    /// Is there a specimen row, which needs room and may take little more of the page than words would?
    /// And the height that follows, infinite where a word runs past the width.
    fn decided(&self, width: f64, piece: Piece) -> (bool, f64) {
        let half = (width - self.facts.look.gutter) / 2.0;
        let own = if piece == Piece::Band { half } else { width };
        let tall = |with: bool| self.measured(width, |s| s.pieces(0.0, 0.0, width, piece, with));
        let words = tall(false);
        if piece == Piece::Parts || !self.has_specimen(own, &self.specimen_title()) {
            return (false, words);
        }
        // On a small page it must not cost scale.
        let share = self.facts.look.t.clamp(0.0, 1.0);
        let specimen = tall(true);
        if specimen <= words * (1.0 + MOST_TALLER * share) {
            (true, specimen)
        } else {
            (false, words)
        }
    }

    fn pieces(&mut self, x: f64, y: f64, width: f64, piece: Piece, with_specimen: bool) -> f64 {
        match (self.facts.look.furniture_form, piece) {
            (_, Piece::Parts) => self.part_list(x, y, width),
            (FurnitureForm::Cells, Piece::Band) => self.halves(x, y, width, with_specimen),
            (FurnitureForm::Cells, _) => {
                let blocks = self.blocks(with_specimen, true);
                self.stack(x, y, width, &blocks)
            }
            (FurnitureForm::List, piece) => self.list(x, y, width, piece, with_specimen),
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
                // Large type hangs a little, so that its stems stand on the edge.
                hang: family.size * 0.045,
            },
        }
    }

    /// The pieces of a style with cells, from above.
    fn blocks(&self, with_specimen: bool, with_panel: bool) -> Vec<Block> {
        let blocks = [
            (self.has_finishes(), Block::Finishes),
            (with_panel && self.has_panel(), Block::Panel),
            (with_specimen, Block::Specimen),
            (!self.sections(with_specimen, true).is_empty(), Block::Texts { with_specimen }),
        ];
        blocks.into_iter().filter(|(there, _)| *there).map(|(_, block)| block).collect()
    }

    /// Pieces one under the other with a hairline between; returns the height.
    fn stack(&mut self, x: f64, y: f64, width: f64, blocks: &[Block]) -> f64 {
        let look = &self.facts.look;
        let mut height = 0.0;
        for (i, block) in blocks.iter().enumerate() {
            if i > 0 {
                height += self.apart();
                self.rule(x, y + height, width, look.hair, look.hair_ink);
            }
            height += self.block(x, y + height, width, *block);
        }
        height
    }

    /// From a piece to the hairline under it, mm.
    fn apart(&self) -> f64 {
        self.facts.look.module * 1.4
    }

    fn block(&mut self, x: f64, y: f64, width: f64, block: Block) -> f64 {
        match block {
            Block::Finishes => self.finish_cells(x, y, width),
            Block::Specimen => {
                let title = self.specimen_title();
                self.specimen(x, y, width, &title)
            }
            Block::Texts { with_specimen } => self.texts(x, y, width, with_specimen),
            Block::Panel => self.panel(x, y, width),
        }
    }

    /// Pieces in two halves that end as nearly alike as they can, the panel under both.
    fn halves(&mut self, x: f64, y: f64, width: f64, with_specimen: bool) -> f64 {
        let look = &self.facts.look;
        let half = (width - look.gutter) / 2.0;
        let blocks = self.blocks(with_specimen, false);
        let each = |block: &Block| self.measured(half, |s| s.block(0.0, 0.0, half, *block));
        let heights: Vec<f64> = blocks.iter().map(each).collect();
        let tall = |side: &[f64]| {
            side.iter().sum::<f64>() + self.apart() * side.len().saturating_sub(1) as f64
        };
        let taller = |at: usize| tall(&heights[..at]).max(tall(&heights[at..]));
        let best = (0..=blocks.len()).min_by(|a, b| taller(*a).total_cmp(&taller(*b)));
        let (left, right) = blocks.split_at(best.unwrap_or(0));
        let beside = x + half + look.gutter;
        let height = self.stack(x, y, half, left).max(self.stack(beside, y, half, right));
        if !self.has_panel() {
            return height;
        }
        let rule = y + height + self.apart();
        self.rule(x, rule, width, look.hair, look.hair_ink);
        rule - y + self.panel(x, rule, width)
    }

    /// A specimen row, finishes in a list, texts, look-alikes and the list of parts.
    fn list(&mut self, x: f64, y: f64, width: f64, piece: Piece, with_specimen: bool) -> f64 {
        let look = &self.facts.look;
        let title = self.specimen_title();
        let top = y + title.down + look.module * 1.3;
        let half = (width - look.gutter) / 2.0;
        let end = match (with_specimen, piece) {
            (true, Piece::Band) => {
                let right = self.listed(x + half + look.gutter, top, half, true);
                (y + self.specimen(x, y, half, &title)).max(top + right)
            }
            (true, _) => {
                let rule = y + self.specimen(x, y, width, &title) + look.body_lead * 0.4;
                self.rule(x, rule, width, look.hair, look.hair_ink);
                let below = rule + look.body_lead * 0.4;
                below + self.listed(x, below, width, true)
            }
            (false, _) => {
                self.say(x - title.hang, y + title.down, &title.words, title.voice);
                top + self.listed(x, top, width, false)
            }
        };
        let (gap, with_parts) = (look.body_lead * 0.6, piece != Piece::Key);
        let mut below = end + gap;
        if self.has_panel() {
            self.rule(x, below, width, look.hair, look.hair_ink);
            below += self.panel(x, below, width) + look.body_lead * 0.8;
        }
        if with_parts {
            self.rule(x, below, width, look.hair, look.hair_ink);
            return below - y + self.part_list(x, below, width);
        }
        below - gap - y
    }

    /// Finishes with the texts beside or under them; returns the height.
    fn listed(&mut self, x: f64, y: f64, width: f64, with_specimen: bool) -> f64 {
        let look = &self.facts.look;
        let sections = self.sections(with_specimen, false);
        if !self.has_finishes() {
            return self.note_columns(x, y, width, &sections);
        }
        let gap = look.gutter;
        let needed = self.finish_list_width();
        let left = ((width - gap) * 0.42).max(needed);
        let beside = needed <= (width - gap) * 0.58 && !sections.is_empty();
        let side_by_side = |s: &mut Self, x: f64, y: f64| {
            let finishes = s.finish_list(x, y, left, 1);
            finishes.max(s.note_list(x + left + gap, y, width - left - gap, &sections))
        };
        let stacked = |s: &mut Self, x: f64, y: f64| {
            let finishes = s.finish_list(x, y, width, usize::MAX);
            if sections.is_empty() {
                return finishes;
            }
            let below = finishes + s.facts.look.body_lead * 0.5;
            below + s.note_columns(x, y + below, width, &sections)
        };
        let tall = self.measured(width, |s| stacked(s, 0.0, 0.0));
        if beside && self.measured(width, |s| side_by_side(s, 0.0, 0.0)) <= tall {
            side_by_side(self, x, y)
        } else {
            stacked(self, x, y)
        }
    }
}
