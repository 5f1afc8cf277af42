//! What the fragments of the furniture are made with: words in every spelling, broken into lines.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use kurbo::Point;

use super::super::canvas::Anchor;
use super::super::fragment::{Fragment, Lines};
use super::super::item::Role;
use super::super::mark;
use super::super::paragraph::{Breaker, narrowest, within};
use super::super::scene::Scene;
use crate::plan::Facts;
use crate::plan::style::{Look, Voice};
use crate::spelling::Spelling;
use crate::type_::FaceId;

/// A text broken into lines.
pub(super) struct Broken {
    /// In the spelling that is drawn.
    own: Rc<Lines>,
    voice: Voice,
    /// Lines in the spelling that takes most of them.
    pub count: usize,
    /// Widest line in any spelling, mm.
    widest: f64,
}

impl Broken {
    /// Lines in the spelling that is drawn.
    pub fn own_count(&self) -> usize {
        self.own.texts.len()
    }

    /// Puts the lines into a fragment, `lead` mm apart, the first from `at` on its baseline.
    pub fn put_into(&self, out: &mut Fragment, at: Point, lead: f64) {
        out.runs_to(at.x + self.widest);
        out.lines(at, lead, &self.own, self.voice);
    }
}

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
pub(super) struct Known(RefCell<HashMap<String, HashMap<Setting, Rc<Lines>>>>);

impl Known {
    fn lines(&self, look: &Look, voice: Voice, text: &str, into: Form) -> Rc<Lines> {
        let setting = (voice.face, [voice.size, voice.tracking].map(f64::to_bits), into);
        if let Some(lines) = self.0.borrow().get(text).and_then(|known| known.get(&setting)) {
            return Rc::clone(lines);
        }
        let texts = match into {
            Form::Width(by, width) => within(by, look, voice, text, f64::from_bits(width)),
            Form::Narrowest(most) => narrowest(look, voice, text, most),
        };
        let widest = texts.iter().map(|l| look.width(voice, l)).fold(0.0, f64::max);
        let lines = Rc::new(Lines { texts, widest });
        let mut known = self.0.borrow_mut();
        known.entry(text.to_owned()).or_default().insert(setting, Rc::clone(&lines));
        lines
    }
}

/// Makes the fragments of the furniture.
///
/// Room is kept for the longest words of any spelling, and for whatever the
/// sheet may show, so that all that is no word is in the same place in each.
pub(super) struct Builder<'a> {
    pub facts: &'a Facts<'a>,
    /// All spellings of the edition.
    pub spellings: &'a [&'a Spelling],
    /// Which of them is drawn.
    pub own: usize,
    pub scale: f64,
    /// What is drawn; none while the sheet is being planned.
    pub scene: Option<&'a Scene<'a>>,
    known: Rc<Known>,
}

impl<'a> Builder<'a> {
    /// One before there is a plan: of all that the sheet may show.
    pub fn unplanned(
        facts: &'a Facts<'a>,
        spellings: &'a [&'a Spelling],
        scale: f64,
        known: &Rc<Known>,
    ) -> Builder<'a> {
        Builder { facts, spellings, own: 0, scale, scene: None, known: Rc::clone(known) }
    }

    /// One of what a scene shows, in the scene's spelling.
    pub fn of(scene: &'a Scene<'a>) -> Builder<'a> {
        let Scene { facts, plan, spelling, spellings } = *scene;
        let own = spellings.iter().position(|s| std::ptr::eq(*s, spelling)).unwrap_or(0);
        let (scale, scene) = (plan.scale, Some(scene));
        Builder { facts, spellings, own, scale, scene, known: Rc::default() }
    }

    /// The same before there is a plan: what room is kept by must not depend on what is drawn.
    pub fn before_plan(&self) -> Builder<'a> {
        Builder { scene: None, known: Rc::clone(&self.known), ..*self }
    }

    /// Text from `at` on its baseline, which is the same in every spelling.
    pub fn text(&self, out: &mut Fragment, at: Point, string: &str, voice: Voice) {
        out.runs_to(at.x + self.facts.look.width(voice, string));
        out.text(at, string, voice, Anchor::Left);
    }

    /// Text in the spelling that is drawn, with room for it in all of them.
    pub fn say(&self, out: &mut Fragment, at: Point, words: &[String], voice: Voice) {
        out.runs_to(at.x + self.widest(voice, words));
        out.text(at, &words[self.own], voice, Anchor::Left);
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
        let mut out = Broken { count: own.texts.len(), widest: own.widest, own, voice };
        for other in words.iter().filter(|other| **other != words[self.own]) {
            let other = set(other);
            out.count = out.count.max(other.texts.len());
            out.widest = out.widest.max(other.widest);
        }
        out
    }

    /// A text in at most `most` lines, as narrow as that allows.
    pub fn narrowest(&self, voice: Voice, text: &str, most: usize) -> Rc<Lines> {
        self.known.lines(&self.facts.look, voice, text, Form::Narrowest(most))
    }

    /// The mark of new colours before a line of body text, where it has one; returns how far the text moves in.
    pub fn mark(&self, out: &mut Fragment, marked: bool, at: Point) -> f64 {
        let look = &self.facts.look;
        if !marked {
            return 0.0;
        }
        let body = look.voices.body;
        let middle = Point::new(at.x, at.y - body.cap / 2.0);
        out.fill(Role::Furniture, mark::outline(look, middle), mark::ink(look));
        mark::width(look) + body.size * 0.35
    }

    /// Scale of the legend's parts: never so small that their finish is lost.
    pub fn drawn_scale(&self) -> f64 {
        self.scale.max(self.facts.look.legend_part.min(1.0))
    }

    /// Scale that the legend keeps room for.
    pub fn room_scale(&self) -> f64 {
        reserved(self.scale).max(self.facts.look.legend_part.min(1.0))
    }
}

/// The scale that room is kept for: rounded up, so that the solver, which asks
/// at many scales, asks for few heights, and what is drawn is as tall as was reported.
pub(super) fn reserved(scale: f64) -> f64 {
    (scale * 25.0 - 1e-9).ceil() / 25.0
}
