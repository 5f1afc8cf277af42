//! Listings, families and parts: new, gone, and what differs in those that stayed.

use kurbo::{BezPath, PathEl, Point};

use super::change::{About, Change, ChangeKind, What, some};
use super::pairs::{Match, Pairs};
use crate::range::{ColourRange, Part};

/// Movement of an outline's points that counts as none: 0.1 µm, a saved file's rounding, mm.
const STILL: f64 = 1e-4;

/// The release itself, then the published listings.
pub(super) fn listings(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Vec<Change> {
    let mut out = Vec::new();
    for (key, was, is) in
        [("maker", old.maker(), new.maker()), ("release", old.release(), new.release())]
    {
        About { what: What::Range, key, name: key, out: &mut out }.words(
            ChangeKind::Changed,
            None,
            Some(was),
            Some(is),
        );
    }
    for (i, is) in new.listings().iter().enumerate() {
        let mut about =
            About { what: What::Listing, key: is.key(), name: &is.title().text, out: &mut out };
        match pairs.listings.before(i) {
            None => drop(about.push(ChangeKind::New, None, some(&is.title().text))),
            Some(o) => about.words(
                ChangeKind::Renamed,
                None,
                Some(old.listings()[o].title()),
                Some(is.title()),
            ),
        }
    }
    for was in pairs.listings.gone().map(|i| &old.listings()[i]) {
        About { what: What::Listing, key: was.key(), name: &was.title().text, out: &mut out }.push(
            ChangeKind::Withdrawn,
            some(&was.title().text),
            None,
        );
    }
    order(&mut out, What::Listing, &pairs.listings);
    out
}

/// Families, and whether their colours are in another order.
pub(super) fn families(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Vec<Change> {
    let mut out = Vec::new();
    let mixed = mixed(old, new, pairs);
    for (i, is) in new.families().iter().enumerate() {
        let mut about =
            About { what: What::Family, key: is.key(), name: &is.title().text, out: &mut out };
        let Some(was) = pairs.families.before(i).map(|o| &old.families()[o]) else {
            about.push(ChangeKind::New, None, some(&is.title().text));
            continue;
        };
        about.words(ChangeKind::Renamed, None, Some(was.title()), Some(is.title()));
        about.words(ChangeKind::Note, None, Some(was.note()), Some(is.note()));
        about.words(ChangeKind::Legend, None, Some(was.legend()), Some(is.legend()));
        about.text(ChangeKind::Finish, was.finish().word(), is.finish().word());
        if mixed[i] {
            about.push(ChangeKind::Order, None, Some("its colours in another order".into()));
        }
    }
    for was in pairs.families.gone().map(|i| &old.families()[i]) {
        About { what: What::Family, key: was.key(), name: &was.title().text, out: &mut out }.push(
            ChangeKind::Withdrawn,
            some(&was.title().text),
            None,
        );
    }
    order(&mut out, What::Family, &pairs.families);
    out
}

/// Per new family: are the colours that it had before in another order?
fn mixed(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Vec<bool> {
    let mut last = vec![0; new.families().len()];
    let mut mixed = vec![false; new.families().len()];
    for (o, n) in pairs.colours.both() {
        let (was, is) = (old.colours()[o].family().0, new.colours()[n].family().0);
        if pairs.families.before(is) == Some(was) {
            mixed[is] |= o < last[is];
            last[is] = last[is].max(o);
        }
    }
    mixed
}

/// Parts.
pub(super) fn parts(old: &ColourRange, new: &ColourRange, pairs: &Pairs) -> Vec<Change> {
    let mut out = Vec::new();
    let name = |p: &Part| if p.title().text.is_empty() { p.key() } else { &p.title().text }.clone();
    for (i, is) in new.parts().iter().enumerate() {
        let shown = name(is);
        let mut about = About { what: What::Part, key: is.key(), name: &shown, out: &mut out };
        match pairs.parts.before(i) {
            None => drop(about.push(ChangeKind::New, None, Some(described(new, i)))),
            Some(o) => one(&mut about, &old.parts()[o], new, is, pairs),
        }
    }
    for i in pairs.parts.gone() {
        let was = &old.parts()[i];
        About { what: What::Part, key: was.key(), name: &name(was), out: &mut out }.push(
            ChangeKind::Withdrawn,
            Some(described(old, i)),
            None,
        );
    }
    order(&mut out, What::Part, &pairs.parts);
    out
}

fn one(about: &mut About<'_>, was: &Part, new: &ColourRange, is: &Part, pairs: &Pairs) {
    about.words(ChangeKind::Renamed, None, Some(was.title()), Some(is.title()));
    for (o, n) in pairs.listings.both() {
        let listing = new.listings()[n].key();
        let (before, after) = (was.numbers()[o].as_ref(), is.numbers()[n].as_ref());
        about.listed(ChangeKind::Renumbered, listing, before, after);
    }
    if !same_outline(was, is) {
        about.push(ChangeKind::Shape, Some(extent(was)), Some(extent(is)));
    } else if was.shape() != is.shape() {
        about.push(
            ChangeKind::Drawing,
            None,
            Some("drawn differently within the same outline".into()),
        );
    }
    let side = |p: &Part| format!("{:?}", p.side()).to_lowercase();
    about.text(ChangeKind::Side, &side(was), &side(is));
    about.text(ChangeKind::Role, was.role(), is.role());
    about.words(ChangeKind::Size, None, Some(was.size()), Some(is.size()));
}

/// '1102, B-09; made in 37 colours'.
fn described(range: &ColourRange, part: usize) -> String {
    let numbers: Vec<&str> =
        range.parts()[part].numbers().iter().flatten().map(String::as_str).collect();
    let count = range.made().iter().filter(|row| row[part]).count();
    let made = if count == 1 { "1 colour".to_owned() } else { format!("{count} colours") };
    let numbers = numbers.join(", ");
    let gap = if numbers.is_empty() { "" } else { "; " };
    format!("{numbers}{gap}made in {made}")
}

/// '9.00 x 9.00 mm'.
fn extent(part: &Part) -> String {
    let b = part.shape().extent;
    format!("{:.2} x {:.2} mm", b.width(), b.height())
}

fn order(out: &mut Vec<Change>, what: What, of: &Match) {
    if of.reordered() {
        About { what, key: "", name: "", out }.push(
            ChangeKind::Order,
            None,
            Some("in another order".into()),
        );
    }
}

/// Is the outline the same, and what reaches over it, but for rounding?
fn same_outline(was: &Part, is: &Part) -> bool {
    let (a, b) = (was.shape(), is.shape());
    let (wider, taller) =
        (a.extent.width() - b.extent.width(), a.extent.height() - b.extent.height());
    let as_large = wider.abs() <= 2.0 * STILL && taller.abs() <= 2.0 * STILL;
    a.rule == b.rule && as_large && same_path(&a.outline, &b.outline)
}

fn same_path(a: &BezPath, b: &BezPath) -> bool {
    let (a, b) = (a.elements(), b.elements());
    let near = |p: &Point, q: &Point| p.distance(*q) <= STILL;
    a.len() == b.len()
        && a.iter().zip(b).all(|(x, y)| match (x, y) {
            (PathEl::MoveTo(p), PathEl::MoveTo(q)) | (PathEl::LineTo(p), PathEl::LineTo(q)) => {
                near(p, q)
            }
            (PathEl::QuadTo(p1, p2), PathEl::QuadTo(q1, q2)) => near(p1, q1) && near(p2, q2),
            (PathEl::CurveTo(p1, p2, p3), PathEl::CurveTo(q1, q2, q3)) => {
                near(p1, q1) && near(p2, q2) && near(p3, q3)
            }
            (PathEl::ClosePath, PathEl::ClosePath) => true,
            _ => false,
        })
}

/// Is a part placed or drawn differently: outline, drawing, side, role or size?
pub(super) fn looks_changed(was: &Part, is: &Part) -> bool {
    !same_outline(was, is)
        || was.shape() != is.shape()
        || (was.side(), was.role(), was.size()) != (is.side(), is.role(), is.size())
}
