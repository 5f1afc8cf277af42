//! Several colours moved together, where one alone cannot mend what is broken.
//!
//! Colours that hang together by broken pairs are taken back from the edge of the gamut with their
//! nearest kin, where there is room for all of them in their order, and come out again one by one.

use std::collections::{BTreeMap, BTreeSet};

use super::order::Seen;
use super::search::Search;
use crate::colour::Lab50;

/// How far colours are taken back, as a share of the way to the middle of CIELAB.
const BACK: [f64; 4] = [0.12, 0.25, 0.45, 0.7];
/// Lightness is taken back by so much of that.
const BACK_IN_LIGHTNESS: f64 = 0.6;
/// Nearest kin that move with a colour.
const WITH: usize = 6;
/// What the pairs of those that move cost at least, times the price.
const FORCE: f64 = 4.0;
/// Work for each colour that moves, and for one repair.
const WORK_EACH: u64 = 100_000;
const MOST_WORK: u64 = 1_500_000;
const ROUNDS: usize = 8;

impl Search<'_> {
    /// Takes colours back from the edge of the gamut.
    pub fn draw_back(&mut self, colours: impl IntoIterator<Item = usize>, by: f64) {
        for i in colours {
            let aim = self.own[i].aim.lab;
            let to_middle = (50.0 - aim.l) * by * BACK_IN_LIGHTNESS;
            let back = Lab50::new(aim.l + to_middle, aim.a * (1.0 - by), aim.b * (1.0 - by));
            self.go_near(i, Seen::of(back));
        }
    }

    /// Tries to mend what is broken, group by group; what does not help is undone.
    pub fn repair(&mut self) {
        let end = self.end;
        let last = end.min(self.work + MOST_WORK.min(end.saturating_sub(self.work) / 2));
        let mut tried: BTreeSet<(Vec<usize>, usize)> = BTreeSet::new();
        while self.work < last && !self.is_spent() {
            let groups = self.groups();
            let mut ways = groups.iter().flat_map(|g| (0..BACK.len()).map(move |n| (g, n)));
            let Some((group, back)) = ways.find(|(g, n)| !tried.contains(&((*g).clone(), *n)))
            else {
                break;
            };
            tried.insert((group.clone(), back));
            self.come_out_again(group, BACK[back]);
            self.end = end;
        }
    }

    fn come_out_again(&mut self, group: &[usize], by: f64) {
        let mut colours: Vec<usize> = group.to_vec();
        for &i in group {
            let kin = self.kin[i].iter().take(WITH).map(|k| k.other);
            let new: Vec<usize> = kin.filter(|k| !colours.contains(k)).collect();
            colours.extend(new);
        }
        let before = self.broken().len();
        let (kept, forces) = (self.found(), self.forces());
        self.draw_back(colours.iter().copied(), by);
        for &i in &colours {
            self.kin[i].iter_mut().for_each(|k| k.force = k.force.max(FORCE));
        }
        self.end = self.end.min(self.work + WORK_EACH * colours.len() as u64);
        self.mend(colours.into_iter().collect(), ROUNDS);
        if self.broken().len() >= before {
            self.go_back(kept);
            self.force(&forces);
        }
    }

    fn forces(&self) -> Vec<Vec<f64>> {
        self.kin.iter().map(|kin| kin.iter().map(|k| k.force).collect()).collect()
    }

    fn force(&mut self, forces: &[Vec<f64>]) {
        for (kin, forces) in self.kin.iter_mut().zip(forces) {
            kin.iter_mut().zip(forces).for_each(|(k, f)| k.force = *f);
        }
    }

    /// Colours that hang together by broken pairs, the largest group first.
    fn groups(&self) -> Vec<Vec<usize>> {
        let mut group_of: BTreeMap<usize, usize> = BTreeMap::new();
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for (i, j) in self.broken() {
            let (a, b) = (group_of.get(&i).copied(), group_of.get(&j).copied());
            let (into, from) = match (a, b) {
                (Some(a), Some(b)) if a == b => continue,
                (Some(a), Some(b)) => (a, std::mem::take(&mut groups[b])),
                (Some(a), None) => (a, vec![j]),
                (None, Some(b)) => (b, vec![i]),
                (None, None) => {
                    groups.push(Vec::new());
                    (groups.len() - 1, vec![i, j])
                }
            };
            group_of.extend(from.iter().map(|c| (*c, into)));
            groups[into].extend(from);
        }
        groups.retain(|g| !g.is_empty());
        groups.iter_mut().for_each(|g| g.sort_unstable());
        groups.sort_by(|a, b| b.len().cmp(&a.len()).then(a.cmp(b)));
        groups
    }
}
