//! Which parts to take: in how many colours each is made, and in which order they show the most.

use serde::Serialize;

use super::facts::{Speller, name_and_number, part_label};
use crate::range::{ColourId, ColourRange, FamilyId, PartId, SheetSpec};

/// The figures of a choice of parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Coverage {
    /// How many colours are looked at.
    pub colours: usize,
    /// Every part that is made in any of them, in the range's order.
    pub parts: Vec<PartCoverage>,
    /// The parts taken, the most useful first.
    pub order: Vec<Step>,
    /// Colours that no part taken shows.
    pub shown_by_none: Vec<Named>,
}

/// Something by its key, number and name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Named {
    pub key: String,
    pub number: String,
    pub name: String,
    /// Of a part, as printed: '15 × 5'.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub size: String,
}

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartCoverage {
    #[serde(flatten)]
    pub part: Named,
    pub taken: bool,
    /// How many colours it is made in: as many samples it adds.
    pub colours: usize,
    /// Their share of all colours, 0 to 1.
    pub share: f64,
    /// In how many families.
    pub families: usize,
    /// Colours that no other part taken shows.
    pub nowhere_else: usize,
}

/// One part more.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    #[serde(flatten)]
    pub part: Named,
    /// Colours that none of the parts before it shows.
    pub adds_colours: usize,
    /// Colours shown by it and the parts before it, and their share of all, 0 to 1.
    pub colours: usize,
    pub share: f64,
    pub adds_samples: usize,
    /// Samples of it and the parts before it.
    pub samples: usize,
}

/// The figures for the colours of these of the sheet's families; `taken[part]`: is the part chosen?
pub fn coverage(
    range: &ColourRange,
    sheet: &SheetSpec,
    shown: &[usize],
    taken: &[bool],
    say: Speller<'_>,
) -> Coverage {
    let families = shown.iter().map(|&i| &sheet.families()[i]);
    let rows: Vec<(ColourId, FamilyId)> =
        families.flat_map(|f| f.rows().iter().map(|c| (*c, f.family()))).collect();
    let sets: Vec<Set> = (0..range.parts().len())
        .map(|p| Set::new(rows.iter().map(|(c, _)| range.is_made(*c, PartId(p)))))
        .collect();
    let named = |p: usize| {
        let part = &range.parts()[p];
        Named {
            key: part.key().clone(),
            number: part_label(part, sheet),
            name: say(part.title()),
            size: say(part.size()),
        }
    };
    let made: Vec<usize> = (0..sets.len()).filter(|p| sets[*p].count() > 0).collect();
    let chosen: Vec<usize> = made.iter().copied().filter(|p| taken[*p]).collect();
    let share = |n: usize| if rows.is_empty() { 0.0 } else { n as f64 / rows.len() as f64 };
    // How many of the parts taken show each colour.
    let mut times = vec![0usize; rows.len()];
    for p in &chosen {
        (0..rows.len()).filter(|i| sets[*p].has(*i)).for_each(|i| times[i] += 1);
    }
    let parts = made.iter().map(|&p| {
        let own = usize::from(taken[p]);
        let mut families: Vec<FamilyId> =
            (0..rows.len()).filter(|i| sets[p].has(*i)).map(|i| rows[i].1).collect();
        families.dedup();
        PartCoverage {
            part: named(p),
            taken: taken[p],
            colours: sets[p].count(),
            share: share(sets[p].count()),
            families: families.len(),
            nowhere_else: (0..rows.len()).filter(|i| sets[p].has(*i) && times[*i] == own).count(),
        }
    });
    let (mut so_far, mut samples) = (Set::new(rows.iter().map(|_| false)), 0);
    let order = greedy(&sets, &chosen).into_iter().map(|p| {
        let before = so_far.count();
        so_far.add(&sets[p]);
        samples += sets[p].count();
        Step {
            part: named(p),
            adds_colours: so_far.count() - before,
            colours: so_far.count(),
            share: share(so_far.count()),
            adds_samples: sets[p].count(),
            samples,
        }
    });
    let none = (0..rows.len()).filter(|i| times[*i] == 0).map(|i| {
        let (name, number) = name_and_number(range, sheet, rows[i].0, say);
        Named { key: range.colour(rows[i].0).key().clone(), number, name, size: String::new() }
    });
    Coverage {
        colours: rows.len(),
        parts: parts.collect(),
        order: order.collect(),
        shown_by_none: none.collect(),
    }
}

/// The parts in the order in which each adds most: colours first, then samples, then as the range lists them.
///
/// The first k of them show at least 1 - (1 - 1/k)^k, more than 63 %, of what the best k could show
/// (Nemhauser, Wolsey & Fisher 1978, Mathematical Programming 14, 265-294).
fn greedy(sets: &[Set], parts: &[usize]) -> Vec<usize> {
    let mut left = parts.to_vec();
    let mut out = Vec::with_capacity(left.len());
    let Some(first) = sets.first() else { return out };
    let mut so_far = first.empty();
    while !left.is_empty() {
        let worth = |p: usize| (sets[p].beyond(&so_far), sets[p].count());
        // The first of equals: `max_by_key` would take the last.
        let best = (0..left.len()).rev().max_by_key(|i| worth(left[*i])).unwrap_or(0);
        let part = left.remove(best);
        so_far.add(&sets[part]);
        out.push(part);
    }
    out
}

/// A set of colours, a bit each.
#[derive(Debug, Clone)]
struct Set(Vec<u64>);

impl Set {
    fn new(bits: impl Iterator<Item = bool>) -> Set {
        let mut words = Vec::new();
        for (i, bit) in bits.enumerate() {
            if i % 64 == 0 {
                words.push(0);
            }
            words[i / 64] |= u64::from(bit) << (i % 64);
        }
        Set(words)
    }

    fn empty(&self) -> Set {
        Set(vec![0; self.0.len()])
    }

    fn has(&self, i: usize) -> bool {
        self.0[i / 64] >> (i % 64) & 1 == 1
    }

    fn count(&self) -> usize {
        self.0.iter().map(|w| w.count_ones() as usize).sum()
    }

    fn add(&mut self, other: &Set) {
        self.0.iter_mut().zip(&other.0).for_each(|(a, b)| *a |= b);
    }

    /// How many are in it that the other has not.
    fn beyond(&self, other: &Set) -> usize {
        self.0.iter().zip(&other.0).map(|(a, b)| (a & !b).count_ones() as usize).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sets(rows: &[&str]) -> Vec<Set> {
        rows.iter().map(|row| Set::new(row.chars().map(|c| c == 'x'))).collect()
    }

    #[test]
    fn each_next_part_adds_the_most() {
        let s = sets(&["xx....", "xxx...", "...xx.", "..xxx.", ".....x"]);
        // 1 and 3 both show three: the range's order decides; then 2 adds two, 4 adds one.
        assert_eq!(greedy(&s, &[0, 1, 2, 3, 4]), [1, 3, 4, 0, 2]);
        assert_eq!(greedy(&s, &[0, 2]), [0, 2]);
        assert!(greedy(&[], &[]).is_empty());
    }

    /// Against every choice of k parts: at least the share that is proved.
    #[test]
    fn it_is_as_near_to_the_best_choice_as_it_is_proved_to_be() {
        let mut seed = 7u64;
        let mut random = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            seed >> 33
        };
        for _ in 0..200 {
            let s: Vec<Set> = (0..8)
                .map(|_| {
                    let share = random() % 6 + 1;
                    let bits: Vec<bool> = (0..70).map(|_| random() % 8 < share).collect();
                    Set::new(bits.into_iter())
                })
                .collect();
            let all: Vec<usize> = (0..8).collect();
            let order = greedy(&s, &all);
            for k in 1..=8u32 {
                let shows = |parts: &[usize]| {
                    let mut set = s[0].empty();
                    parts.iter().for_each(|p| set.add(&s[*p]));
                    set.count() as f64
                };
                let best = (0u32..256)
                    .filter(|m| m.count_ones() == k)
                    .map(|m| {
                        shows(&all.iter().copied().filter(|p| m >> p & 1 == 1).collect::<Vec<_>>())
                    })
                    .fold(0.0, f64::max);
                let bound = 1.0 - (1.0 - 1.0 / f64::from(k)).powi(k as i32);
                let ours = shows(&order[..k as usize]);
                assert!(ours >= bound * best - 1e-9, "{ours} of {best} with {k}");
            }
        }
    }
}
