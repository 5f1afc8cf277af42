//! What somebody saw: the patch that is like the part shows the part's colour.

use super::ReadFile;
use crate::capture::page::{PartPlace, PrintPatch, StagePage};
use crate::colour::{Lab50, difference, to_rgb};
use crate::press::tune::nearest_value;
use crate::press::{Paper, PrintReading, ReadBy};
use crate::range::ColourRange;
use crate::target::{Answer, FormLine};

/// How much less exact an answer is where a patch at the edge is nearest: the part may be beyond it; and between two.
const AT_THE_EDGE: f64 = 1.25;
const BETWEEN: f64 = 1.2;

/// The readings of a form. `pages` are those of the target.
pub fn by_eye(
    lines: &[FormLine],
    pages: &[StagePage],
    range: &ColourRange,
    paper: &Paper,
) -> ReadFile {
    let mut out = ReadFile::default();
    for line in lines {
        let Some((page, place)) = place(pages, line.place) else { continue };
        let colour = range.colours().iter().find(|c| *c.key() == place.colour);
        let Some(aim) = colour.filter(|c| c.value().is_known()).map(|c| c.aim()) else { continue };
        let patch = |k: usize| page.prints.iter().find(|p| p.name == format!("{}.{k}", line.place));
        // Of a colour that the paper cannot show, the nearest patch says little.
        let sigma = ReadBy::Eye.sigma().hypot(out_of_reach(paper, aim));
        match line.answer {
            Answer::None => out.without += 1,
            Answer::Patch(k) => {
                let edge = if k == 0 { 1.0 } else { AT_THE_EDGE };
                out.take(patch(k), aim, sigma * edge);
            }
            Answer::Between(a, b) => {
                let (Some(a), Some(b)) = (patch(a), patch(b)) else { continue };
                let (one, other) = (paper.shows(a.value), paper.shows(b.value));
                // Half way from one to the other is the part: each is half their difference off it.
                let half = [one.l - other.l, one.a - other.a, one.b - other.b].map(|d| d / 2.0);
                let off = |sign: f64| {
                    let [l, x, y] = half.map(|d| sign * d);
                    Lab50::new(aim.l + l, aim.a + x, aim.b + y)
                };
                out.take(Some(a), off(1.0), sigma * BETWEEN);
                out.take(Some(b), off(-1.0), sigma * BETWEEN);
            }
        }
    }
    out
}

/// How far the nearest that a paper can show is from an aim, CIEDE2000.
pub fn out_of_reach(paper: &Paper, aim: Lab50) -> f64 {
    let plain = paper.plain(aim, to_rgb(aim).0);
    difference(aim, paper.shows(nearest_value(paper, aim, plain)))
}

impl ReadFile {
    fn take(&mut self, patch: Option<&PrintPatch>, shown: Lab50, sigma: f64) {
        let Some(patch) = patch else { return };
        let name = format!("place {}", patch.name.replace('.', ", patch "));
        self.push(name, PrintReading { value: patch.value, shown, by: ReadBy::Eye, sigma });
    }
}

/// The place of a number.
fn place(pages: &[StagePage], number: usize) -> Option<(&StagePage, &PartPlace)> {
    let number = number.to_string();
    pages.iter().find_map(|page| {
        let place = page.places.iter().find(|place| place.number == number)?;
        Some((page, place))
    })
}
