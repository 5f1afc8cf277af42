//! The range: its lists, wherever they are, its keys and what is made.

use std::path::PathBuf;

use super::colours::Around;
use super::drawings::Shapes;
use super::index::Index;
use super::keys::{proper_names, words};
use super::lists::Lists;
use super::made::{Axes, CheckedMade};
use super::measured::Measurements;
use super::tables::Files;
use super::{colours, families, made, parts};
use crate::diag::{Findings, Located, Sources};
use crate::range::{ColourRange, Light, Words};
use crate::read::{raw, ron};

/// A range file, decoded.
pub struct RangeFile {
    pub file: PathBuf,
    pub doc: ron::Document<raw::Range>,
}

/// A range, and what the sheet's check needs besides.
pub struct Checked {
    pub range: ColourRange,
    pub index: Index,
}

/// Checks a range file and the files that it names. Spectra are seen under `light`.
pub fn check(
    range: RangeFile,
    light: Light,
    shapes: &Shapes,
    sources: &mut Sources,
    findings: &mut Findings,
) -> Checked {
    let RangeFile { file, doc } = range;
    let root = doc.source.root();
    let mut raw = doc.value;
    let mut files = Files { range: &file, sources, shapes };
    let lists = Lists::read(&mut raw, root, &mut files, findings);
    lists.not_empty(root, findings);
    let index = lists.index(root, findings);
    let colours_at = lists.colours.stands.place(root);
    let parts_at = lists.parts.stands.place(root);
    let families_at = root.field("families");
    let made_at = lists.made_source.as_ref().map_or(root.field("made"), ron::Source::root);
    let listings = families::listings(lists.listings.items, root.field("listings"), findings);
    let families = families::check(lists.families.items, families_at, findings);
    let parts = parts::check(&mut files, lists.parts.items, parts_at, &index.listings, findings);
    let known = lists.colours.items.as_slice();
    let whole = !lists.colours.stands.lost();
    let measured =
        Measurements::read(raw.values.take(), root, (known, whole), &mut files, findings);
    let around = Around {
        listings: &index.listings,
        families: &index.families,
        finishes: &families,
        light,
        measured: &measured,
    };
    let colours = colours::check(lists.colours.items, colours_at, around, findings);
    let axes = Axes { index: &index, parts: &parts, colours: &colours };
    let CheckedMade { cells, years } = made::check(lists.made, made_at, &axes, findings);
    if !lists.colours.stands.lost() && !index.families.missed() {
        families::unused(&families, families_at, &colours, colours_at, findings);
    }
    let maker = raw.maker.map(|w| words(w, root.field("maker"), findings)).unwrap_or_default();
    let proper_names = proper_names(raw.proper_names, root.field("proper_names"), findings);
    let release =
        raw.release.map(|w| words(w, root.field("release"), findings)).unwrap_or_default();
    let range = ColourRange {
        maker: Located::new(Words { is_name: true, ..maker }, root.or_head("maker")),
        release: Located::new(release, root.or_head("release")),
        proper_names,
        listings,
        families,
        parts,
        colours,
        made: cells,
        years,
    };
    Checked { range, index }
}
