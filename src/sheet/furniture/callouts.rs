//! Callouts: short words over or under a specimen row, side by side, each with a fine line to what it names.

use std::rc::Rc;

use super::super::fragment::Lines;
use super::builder::Builder;
use super::shown::Shown;
use crate::plan::style::Voice;
use crate::range::{CentreLine, PartId};

/// Most lines of a callout.
const MOST_LINES: usize = 4;

/// What a callout names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    /// The part number over a column.
    Number,
    /// The first line of the spine.
    FirstLine,
    Gap,
    Chip,
    /// The other lines of the spine.
    OtherLines,
    StandIn,
    /// A number under a part of loose rows.
    Loose,
}

/// One callout, set.
#[derive(Debug, Clone)]
pub(super) struct Callout {
    pub named: Named,
    /// In the spelling that is drawn.
    pub lines: Rc<Lines>,
    /// How many there are in the spelling that takes most.
    pub count: usize,
    pub width: f64,
}

/// What is said of a thing, in every spelling.
#[derive(Debug, Clone)]
pub(super) struct Said {
    pub named: Named,
    words: Vec<String>,
}

/// Callouts side by side.
#[derive(Debug, Clone)]
pub(super) struct Tier {
    pub callouts: Vec<Callout>,
    /// Lines of the tallest.
    pub lines: usize,
}

impl Builder<'_> {
    /// What is said of which thing, over and under the row, of what occurs.
    pub(super) fn callout_words(&self, shown: &Shown) -> [Vec<Said>; 2] {
        let say = |named, key: &str| Said { named, words: self.phrase(key) };
        let mut over = Vec::new();
        if shown.grid {
            let sized = self.says_sizes(shown) && self.sizes_in_mm();
            let key = if sized { "callout_number_size" } else { "callout_number" };
            over.push(say(Named::Number, key));
        }
        let lines = self.facts.sheet.centre();
        let listed = |lines: &[CentreLine]| self.listed_words(lines);
        if let Some(words) = lines.first().and_then(|first| listed(std::slice::from_ref(first))) {
            over.push(Said { named: Named::FirstLine, words });
        }
        let mut under = Vec::new();
        if shown.gap {
            under.push(say(Named::Gap, "callout_gap"));
        }
        under.push(say(Named::Chip, "callout_chip"));
        if let Some(words) = lines.get(1..).and_then(listed) {
            under.push(Said { named: Named::OtherLines, words });
        }
        if shown.stand_in {
            under.push(say(Named::StandIn, "callout_stand_in"));
        }
        if shown.loose {
            under.push(say(
                Named::Loose,
                if shown.grid { "callout_loose" } else { "callout_under" },
            ));
        }
        [over, under]
    }

    /// Do the headings of the columns give sizes? Turned numbers are alone.
    pub(super) fn says_sizes(&self, shown: &Shown) -> bool {
        let turned = self.scene.is_some_and(|s| s.plan.turned);
        let sized = |p: &PartId| !self.facts.range.part(*p).size().text.is_empty();
        !turned && shown.parts.iter().any(sized)
    }

    /// 'name and number in the Works list'; none of lines that show neither.
    fn listed_words(&self, lines: &[CentreLine]) -> Option<Vec<String>> {
        let name = lines.iter().any(|l| l.name);
        let number = lines.iter().any(|l| l.number);
        let key = match (name, number) {
            (true, true) => "callout_name_number",
            (true, false) => "callout_name",
            (false, true) => "callout_only_number",
            (false, false) => return None,
        };
        let several = self.facts.range.listings().len() > 1;
        Some(self.in_each(|s| {
            let mut titles: Vec<String> = Vec::new();
            for line in lines {
                let title = s.apply(self.facts.range.listings()[line.listing.0].title());
                if !titles.contains(&title) {
                    titles.push(title);
                }
            }
            let said = s.phrase(key, &[]);
            if !several {
                return said;
            }
            s.phrase("callout_in", &[("what", &said), ("listing", &s.list(&titles))])
        }))
    }

    /// White between neighbouring callouts, mm.
    pub(super) fn callout_gap(&self) -> f64 {
        self.facts.look.voices.legend_note.size * 0.9
    }

    /// Sets callouts side by side in as few lines as fit the width; none where nothing does.
    pub(super) fn tier(&self, words: &[Said], width: f64) -> Option<Tier> {
        let voice = self.facts.look.voices.legend_note;
        let gaps = self.callout_gap() * words.len().saturating_sub(1) as f64;
        (1..=MOST_LINES).find_map(|most| {
            let set = words.iter().map(|words| self.callout(words, voice, most));
            let callouts: Vec<Callout> = set.collect::<Option<_>>()?;
            let taken: f64 = callouts.iter().map(|c| c.width).sum();
            let lines = callouts.iter().map(|c| c.count).max().unwrap_or(0);
            (taken + gaps <= width).then_some(Tier { callouts, lines })
        })
    }

    /// One callout in at most so many lines, as narrow as that allows.
    fn callout(&self, said: &Said, voice: Voice, most: usize) -> Option<Callout> {
        let (set, width) = self.narrow(&said.words, voice, most);
        Some(Callout {
            named: said.named,
            width,
            count: set.iter().map(|lines| lines.texts.len()).max()?,
            lines: Rc::clone(set.get(self.own)?),
        })
    }

    /// Words in every spelling in at most so many lines, as narrow as that allows, and their width.
    pub(super) fn narrow(
        &self,
        words: &[String],
        voice: Voice,
        most: usize,
    ) -> (Vec<Rc<Lines>>, f64) {
        let set: Vec<Rc<Lines>> =
            words.iter().map(|text| self.narrowest(voice, text, most)).collect();
        let width = set.iter().map(|lines| lines.widest).fold(0.0, f64::max);
        (set, width)
    }
}

/// Left edges of callouts whose lines lead to `targets`, both from left to right:
/// each as near under its target as its neighbours and the width allow.
pub(super) fn spread(targets: &[f64], widths: &[f64], gap: f64, width: f64) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    let mut free = 0.0f64;
    for (target, own) in targets.iter().zip(widths) {
        let at = (target - own / 2.0).max(free);
        free = at + own + gap;
        out.push(at);
    }
    let mut end = width;
    for (at, own) in out.iter_mut().zip(widths).rev() {
        *at = at.min(end - own).max(0.0);
        end = *at - gap;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn callouts_stand_under_their_targets_and_apart() {
        // Room enough: each has its middle under its target.
        assert_eq!(spread(&[10.0, 40.0], &[8.0, 10.0], 2.0, 60.0), [6.0, 35.0]);
        // The second is pushed by the first, the first by the left edge.
        assert_eq!(spread(&[1.0, 6.0], &[8.0, 8.0], 2.0, 60.0), [0.0, 10.0]);
        // The right edge pushes back.
        assert_eq!(spread(&[50.0, 58.0], &[10.0, 10.0], 2.0, 60.0), [38.0, 50.0]);
    }
}
