//! What in the old range is what in the new one: by key, and for colours
//! whose key changed by number or by name and value. Linear in their count.

use std::collections::BTreeMap;

use crate::range::{Colour, ColourRange};

/// Which of a kind are the same.
#[derive(Debug, Default)]
pub(super) struct Match {
    /// Per new one.
    old: Vec<Option<usize>>,
    /// Per old one.
    new: Vec<Option<usize>>,
}

impl Match {
    fn by_key<'a>(
        old: impl Iterator<Item = &'a String>,
        new: impl Iterator<Item = &'a String>,
    ) -> Match {
        let places: BTreeMap<&String, usize> = old.enumerate().map(|(i, key)| (key, i)).collect();
        let old_of: Vec<Option<usize>> = new.map(|key| places.get(key).copied()).collect();
        let mut new_of = vec![None; places.len()];
        old_of.iter().enumerate().for_each(|(new, old)| {
            if let Some(old) = old {
                new_of[*old] = Some(new);
            }
        });
        Match { old: old_of, new: new_of }
    }

    /// The old one that a new one was.
    pub fn before(&self, new: usize) -> Option<usize> {
        self.old.get(new).copied().flatten()
    }

    /// The new one that an old one is.
    pub fn after(&self, old: usize) -> Option<usize> {
        self.new.get(old).copied().flatten()
    }

    /// Both numbers of each that is in both, in the new order.
    pub fn both(&self) -> impl Iterator<Item = (usize, usize)> {
        self.old.iter().enumerate().filter_map(|(new, old)| old.map(|old| (old, new)))
    }

    /// Those without an old one.
    pub fn added(&self) -> impl Iterator<Item = usize> {
        (0..self.old.len()).filter(|&i| self.old[i].is_none())
    }

    /// Those without a new one.
    pub fn gone(&self) -> impl Iterator<Item = usize> {
        (0..self.new.len()).filter(|&i| self.new[i].is_none())
    }

    /// Are those in both in another order?
    pub fn reordered(&self) -> bool {
        let places: Vec<usize> = self.old.iter().flatten().copied().collect();
        !places.is_sorted()
    }

    fn join(&mut self, old: usize, new: usize) {
        self.old[new] = Some(old);
        self.new[old] = Some(new);
    }
}

/// What is the same in two ranges.
pub(super) struct Pairs {
    pub listings: Match,
    pub families: Match,
    pub parts: Match,
    pub colours: Match,
}

impl Pairs {
    pub fn new(old: &ColourRange, new: &ColourRange) -> Pairs {
        fn keys<T>(of: &[T], key: fn(&T) -> &String) -> impl Iterator<Item = &String> {
            of.iter().map(key)
        }
        let listings =
            Match::by_key(keys(old.listings(), |l| l.key()), keys(new.listings(), |l| l.key()));
        let families =
            Match::by_key(keys(old.families(), |f| f.key()), keys(new.families(), |f| f.key()));
        let parts = Match::by_key(keys(old.parts(), |p| p.key()), keys(new.parts(), |p| p.key()));
        let mut colours =
            Match::by_key(keys(old.colours(), |c| c.key()), keys(new.colours(), |c| c.key()));
        for (was, is) in rekeyed(old, new, &listings, &colours) {
            colours.join(was, is);
        }
        Pairs { listings, families, parts, colours }
    }
}

/// What a colour is known by besides its key: a number in a listing, or a
/// name there with the value shown.
type Sign<'a> = (usize, Option<(u8, u8, u8)>, &'a str);

/// Who bears a sign, per side: nobody, one, or more than one.
#[derive(Default)]
struct Bearers {
    old: Vec<usize>,
    new: Vec<usize>,
}

/// Colours that only changed their key: `(old, new)`.
///
/// Each sign that exactly one old and one new colour bear joins the two. A
/// colour that is joined to two, or bears a sign with others of its own side,
/// stays alone: a wrong guess is worse than none.
fn rekeyed(
    old: &ColourRange,
    new: &ColourRange,
    listings: &Match,
    by_key: &Match,
) -> Vec<(usize, usize)> {
    let mut signs: BTreeMap<Sign<'_>, Bearers> = BTreeMap::new();
    for i in by_key.added() {
        for sign in bears(&new.colours()[i], Some) {
            signs.entry(sign).or_default().new.push(i);
        }
    }
    for i in by_key.gone() {
        for sign in bears(&old.colours()[i], |l| listings.after(l)) {
            signs.entry(sign).or_default().old.push(i);
        }
    }
    // `Some(None)`: more than one partner.
    let mut partner: [BTreeMap<usize, Option<usize>>; 2] = Default::default();
    let mut meet = |side: usize, one: usize, other: Option<usize>| {
        let entry = partner[side].entry(one).or_insert(other);
        if *entry != other {
            *entry = None;
        }
    };
    for bearers in signs.values().filter(|b| !b.old.is_empty() && !b.new.is_empty()) {
        let alone = bearers.old.len() == 1 && bearers.new.len() == 1;
        bearers.old.iter().for_each(|&o| meet(0, o, alone.then(|| bearers.new[0])));
        bearers.new.iter().for_each(|&n| meet(1, n, alone.then(|| bearers.old[0])));
    }
    let [old_partner, new_partner] = partner;
    old_partner
        .into_iter()
        .filter_map(|(o, n)| n.map(|n| (o, n)))
        .filter(|(o, n)| new_partner.get(n) == Some(&Some(*o)))
        .collect()
}

/// The signs of a colour, `place` giving the new number of a listing.
fn bears<'a>(colour: &'a Colour, place: impl Fn(usize) -> Option<usize>) -> Vec<Sign<'a>> {
    let rgb = colour.rgb();
    let mut out: Vec<Sign<'a>> = Vec::new();
    for (l, (name, number)) in colour.names().iter().zip(colour.numbers()).enumerate() {
        let Some(listing) = place(l) else { continue };
        out.extend(number.iter().map(|n| (listing, None, n.as_str())));
        out.extend(name.iter().map(|w| (listing, Some((rgb.0, rgb.1, rgb.2)), w.text.as_str())));
    }
    out
}
