//! What the furniture is measured and drawn with: words in every spelling, rules, parts.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::super::canvas::{Anchor, Canvas};
use super::super::mark;
use super::super::paragraph::{Breaker, narrowest, within};
use super::super::place::Scene;
use crate::plan::Facts;
use crate::plan::style::{Look, Voice};
use crate::range::{ColourId, PartId};
use crate::sheet::Rgb;
use crate::spelling::Spelling;
use crate::type_::FaceId;

/// A text broken into lines.
pub(super) struct Broken {
    /// In the spelling that is drawn.
    pub lines: Vec<String>,
    /// Lines in the spelling that takes most of them.
    pub count: usize,
    /// Widest line in any spelling, mm.
    pub widest: f64,
}

/// One text broken into lines, and the width of the widest, mm.
pub(super) type Lines = Rc<(Vec<String>, f64)>;

/// What lines a text is broken into.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Form {
    /// Of a width, by its bits.
    Width(Breaker, u64),
    /// So many at most, as narrow as that allows.
    Narrowest(usize),
}

/// Voice and lines: face, size, extra space between characters.
type Setting = (FaceId, [u64; 2], Form);

/// Texts as they were broken before, by their words: the solver asks for heights at many scales,
/// and most of what is said is the same at each.
#[derive(Default)]
pub(super) struct Known(RefCell<HashMap<String, HashMap<Setting, Lines>>>);

impl Known {
    fn lines(&self, look: &Look, voice: Voice, text: &str, into: Form) -> Lines {
        let setting = (voice.face, [voice.size, voice.tracking].map(f64::to_bits), into);
        if let Some(lines) = self.0.borrow().get(text).and_then(|known| known.get(&setting)) {
            return Rc::clone(lines);
        }
        let lines = match into {
            Form::Width(by, width) => within(by, look, voice, text, f64::from_bits(width)),
            Form::Narrowest(most) => narrowest(look, voice, text, most),
        };
        let widest = lines.iter().map(|l| look.width(voice, l)).fold(0.0, f64::max);
        let lines = Rc::new((lines, widest));
        let mut known = self.0.borrow_mut();
        known.entry(text.to_owned()).or_default().insert(setting, Rc::clone(&lines));
        lines
    }
}

/// Draws if there is a canvas; tells heights in any case.
///
/// Room is kept for the longest words of any spelling, and for whatever the
/// sheet may show, so that all that is no word stands in the same place in each.
pub(super) struct Sketch<'a, 'c, 'd> {
    pub facts: &'a Facts<'a>,
    /// All spellings of the edition.
    pub spellings: &'a [&'a Spelling],
    /// Which of them is drawn.
    pub own: usize,
    pub scale: f64,
    /// What is drawn; none while the sheet is being planned.
    pub scene: Option<&'a Scene<'a>>,
    pub canvas: Option<&'c mut Canvas<'d>>,
    pub known: Rc<Known>,
    /// How far right its words run when they are only measured, mm.
    pub reach: f64,
}

impl<'a> Sketch<'a, '_, '_> {
    /// One that only measures.
    pub fn measuring(
        facts: &'a Facts<'a>,
        spellings: &'a [&'a Spelling],
        scale: f64,
        known: &Rc<Known>,
    ) -> Self {
        let known = Rc::clone(known);
        Sketch { facts, spellings, own: 0, scale, scene: None, canvas: None, known, reach: 0.0 }
    }

    /// The same before there is a plan: what room is kept by must not depend on what is drawn.
    pub fn unplanned(&self) -> Self {
        Sketch { scene: None, ..self.uncanvassed() }
    }

    fn uncanvassed(&self) -> Self {
        let Sketch { facts, spellings, own, scale, scene, .. } = *self;
        let known = Rc::clone(&self.known);
        Sketch { facts, spellings, own, scale, scene, canvas: None, known, reach: 0.0 }
    }

    /// The same without a canvas, from the left edge on.
    pub fn measured(&self, width: f64, of: impl FnOnce(&mut Self) -> f64) -> f64 {
        let mut sketch = self.uncanvassed();
        let height = of(&mut sketch);
        sketch.if_within(width, height)
    }

    pub fn text(&mut self, x: f64, y: f64, string: &str, voice: Voice, anchor: Anchor) {
        if let Some(canvas) = &mut self.canvas {
            canvas.text(x, y, string, voice, anchor);
        } else if anchor == Anchor::Left {
            self.reach = self.reach.max(x + self.facts.look.width(voice, string));
        }
    }

    /// Text in the spelling that is drawn; measured in all of them.
    pub fn say(&mut self, x: f64, y: f64, words: &[String], voice: Voice) {
        if self.canvas.is_some() {
            self.text(x, y, &words[self.own], voice, Anchor::Left);
        } else {
            words.iter().for_each(|text| self.text(x, y, text, voice, Anchor::Left));
        }
    }

    /// Words in every spelling.
    pub fn in_each(&self, words: impl Fn(&Spelling) -> String) -> Vec<String> {
        self.spellings.iter().map(|s| words(s)).collect()
    }

    /// A fixed text in every spelling.
    pub fn phrase(&self, key: &str) -> Vec<String> {
        self.in_each(|s| s.phrase(key, &[]))
    }

    /// Width of the longest of the spellings' words, mm.
    pub fn widest(&self, voice: Voice, words: &[String]) -> f64 {
        words.iter().map(|text| self.facts.look.width(voice, text)).fold(0.0, f64::max)
    }

    /// Breaks words into lines, in every spelling.
    pub fn broken(&self, by: Breaker, voice: Voice, words: &[String], width: f64) -> Broken {
        let into = Form::Width(by, width.to_bits());
        let set = |text: &str| self.known.lines(&self.facts.look, voice, text, into);
        let own = set(&words[self.own]);
        let mut out = Broken { count: own.0.len(), widest: own.1, lines: own.0.clone() };
        for other in words.iter().filter(|other| **other != words[self.own]) {
            let other = set(other);
            out.count = out.count.max(other.0.len());
            out.widest = out.widest.max(other.1);
        }
        out
    }

    /// A text in at most `most` lines, as narrow as that allows.
    pub fn narrowest(&self, voice: Voice, text: &str, most: usize) -> Lines {
        self.known.lines(&self.facts.look, voice, text, Form::Narrowest(most))
    }

    /// Draws broken lines downwards, the first on the baseline `base`.
    pub fn lines(&mut self, x: f64, base: f64, lead: f64, broken: &Broken, voice: Voice) {
        self.reach = self.reach.max(x + broken.widest);
        if self.canvas.is_some() {
            for (i, line) in broken.lines.iter().enumerate() {
                self.text(x, base + lead * i as f64, line, voice, Anchor::Left);
            }
        }
    }

    /// A height that holds if no word ran past the width.
    pub fn if_within(&self, width: f64, height: f64) -> f64 {
        if self.reach > width + 1e-6 { f64::INFINITY } else { height }
    }

    pub fn rule(&mut self, x: f64, y: f64, width: f64, thick: f64, ink: Rgb) {
        if let Some(canvas) = &mut self.canvas {
            canvas.rule(x, y, width, thick, ink);
        }
    }

    /// The mark of new colours before a line of body text, where it has one; tells how far the text moves in.
    pub fn mark(&mut self, marked: bool, x: f64, base: f64) -> f64 {
        let look = &self.facts.look;
        if !marked {
            return 0.0;
        }
        if let Some(canvas) = &mut self.canvas {
            mark::at(canvas, x, base - look.voices.body.cap / 2.0);
        }
        mark::width(look) + look.voices.body.size * 0.35
    }

    pub fn part(&mut self, part: PartId, colour: ColourId, x: f64, y: f64, scale: f64) {
        if let Some(canvas) = &mut self.canvas {
            canvas.part(part, colour, x, y, scale);
        }
    }

    /// Scale of the legend's parts: never so small that their finish is lost.
    pub fn drawn_scale(&self) -> f64 {
        self.scale.max(self.facts.look.legend_part.min(1.0))
    }

    /// Scale that the legend keeps room for.
    pub fn room_scale(&self) -> f64 {
        super::reserved(self.scale).max(self.facts.look.legend_part.min(1.0))
    }
}
