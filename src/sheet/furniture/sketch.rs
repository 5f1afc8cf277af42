//! What the furniture is measured and drawn with: words in every spelling, rules, parts.

use super::super::canvas::{Anchor, Canvas};
use super::super::mark;
use super::super::paragraph::{Breaker, within};
use super::super::place::Scene;
use crate::plan::Facts;
use crate::plan::style::Voice;
use crate::range::{ColourId, PartId};
use crate::sheet::Rgb;
use crate::spelling::Spelling;

/// A text broken into lines.
pub(super) struct Broken {
    /// In the spelling that is drawn.
    pub lines: Vec<String>,
    /// Lines in the spelling that takes most of them.
    pub count: usize,
    /// Widest line in any spelling, mm.
    pub widest: f64,
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
    /// How far right its words run when they are only measured, mm.
    pub reach: f64,
}

impl<'a> Sketch<'a, '_, '_> {
    /// One that only measures.
    pub fn measuring(facts: &'a Facts<'a>, spellings: &'a [&'a Spelling], scale: f64) -> Self {
        Sketch { facts, spellings, own: 0, scale, scene: None, canvas: None, reach: 0.0 }
    }

    /// The same before there is a plan: what room is kept by must not depend on what is drawn.
    pub fn unplanned(&self) -> Self {
        let Sketch { facts, spellings, own, scale, .. } = *self;
        Sketch { facts, spellings, own, scale, scene: None, canvas: None, reach: 0.0 }
    }

    /// The same without a canvas, from the left edge on.
    pub fn measured(&self, width: f64, of: impl FnOnce(&mut Self) -> f64) -> f64 {
        let Sketch { facts, spellings, own, scale, scene, .. } = *self;
        let mut sketch = Sketch { facts, spellings, own, scale, scene, canvas: None, reach: 0.0 };
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
        let look = &self.facts.look;
        let lines = within(by, look, voice, &words[self.own], width);
        let measured = |lines: &[String]| {
            // Only who measures needs to know how wide they are.
            let widths = lines.iter().map(|l| look.width(voice, l));
            if self.canvas.is_none() { widths.fold(0.0, f64::max) } else { 0.0 }
        };
        let mut out = Broken { count: lines.len(), widest: measured(&lines), lines };
        for (i, other) in words.iter().enumerate() {
            if i != self.own && *other != words[self.own] {
                let lines = within(by, look, voice, other, width);
                out.count = out.count.max(lines.len());
                out.widest = out.widest.max(measured(&lines));
            }
        }
        out
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
