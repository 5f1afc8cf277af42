//! What holds for any two ranges: made-up ones, written out and read back.

use std::fmt::Write as _;
use std::path::Path;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use shadecard::compare::{ChangeKind, Changes, ranges};
use shadecard::range::ColourRange;

use super::{load, square, write};

/// Of a colour: name, number, value, family, last year or none, made parts as bits.
type Colour = (u8, Option<u8>, u8, u8, bool, u8);

/// Colours by key; few names and numbers, so that they often meet.
fn colours() -> impl Strategy<Value = Vec<(u8, Colour)>> {
    let one = (0..6u8, prop::option::of(0..8u8), 0..4u8, 0..2u8, any::<bool>(), 0..8u8);
    prop::collection::btree_map(0..12u8, one, 1..9)
        .prop_map(|map| map.into_iter().collect::<Vec<_>>())
        .prop_shuffle()
}

fn range(folder: &Path, colours: &[(u8, Colour)]) -> ColourRange {
    let mut text = String::from(
        "Range(listings: [(key: \"w\")], families: [(key: \"f0\"), (key: \"f1\")],\nparts: [",
    );
    (0..3).for_each(|p| write!(text, "(key: \"p{p}\", shape: \"9.svg\"), ").expect("a string"));
    text += "],\ncolours: [\n";
    let mut rows = String::new();
    for (key, (name, number, value, family, ends, made)) in colours {
        let number = number.map(|n| format!("numbers: {{\"w\": \"{n}\"}}, ")).unwrap_or_default();
        let last = if *ends { "last: 2020, " } else { "" };
        writeln!(
            text,
            "(key: \"c{key}\", family: \"f{family}\", names: {{\"w\": \"N{name}\"}}, {number}{last}value: \"#{value}0{value}0{value}0\"),"
        )
        .expect("a string");
        let marks: String = (0..3).map(|p| if made >> p & 1 == 1 { 'x' } else { '.' }).collect();
        write!(rows, "\"c{key}\": \"{marks}\", ").expect("a string");
    }
    write!(text, "],\nmade: (rows: {{{rows}}}))").expect("a string");
    write_shape(folder);
    load(&write(folder, "range.ron", &text)).range
}

fn write_shape(folder: &Path) {
    write(folder, "9.svg", &square(9.0, ""));
}

fn count(changes: &Changes, kind: ChangeKind) -> usize {
    changes.colours_of(kind).count()
}

/// The same cases in every run, unless others are asked for.
fn config() -> ProptestConfig {
    let default = ProptestConfig::default();
    let given = |name: &str| std::env::var_os(name).is_some();
    ProptestConfig {
        cases: if given("PROPTEST_CASES") { default.cases } else { 96 },
        rng_seed: if given("PROPTEST_RNG_SEED") { default.rng_seed } else { RngSeed::Fixed(24) },
        failure_persistence: None,
        ..default
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_range_does_not_differ_from_itself(colours in colours()) {
        let folder = tempfile::tempdir().expect("a folder");
        let range = range(folder.path(), &colours);
        let changes = ranges(&range, &range);
        prop_assert!(changes.is_empty(), "{:#?}", changes);
    }

    #[test]
    fn what_is_new_one_way_is_gone_the_other_way(a in colours(), b in colours()) {
        let folder = tempfile::tempdir().expect("a folder");
        let (a, b) = (range(folder.path(), &a), range(folder.path(), &b));
        let (there, back) = (ranges(&a, &b), ranges(&b, &a));
        for (one, other) in [
            (ChangeKind::New, ChangeKind::Withdrawn),
            (ChangeKind::Withdrawn, ChangeKind::New),
            (ChangeKind::Ending, ChangeKind::Back),
            (ChangeKind::Back, ChangeKind::Ending),
            (ChangeKind::Rekeyed, ChangeKind::Rekeyed),
            (ChangeKind::Renamed, ChangeKind::Renamed),
            (ChangeKind::Renumbered, ChangeKind::Renumbered),
            (ChangeKind::Revalued, ChangeKind::Revalued),
            (ChangeKind::Moved, ChangeKind::Moved),
        ] {
            prop_assert_eq!(count(&there, one), count(&back, other), "{:?} {:?}", one, other);
        }
        let newly: usize = there.made.iter().map(|m| m.newly.len()).sum();
        let no_longer: usize = back.made.iter().map(|m| m.no_longer.len()).sum();
        prop_assert_eq!(newly, no_longer);
        // Every new colour has a label due, and no colour has two.
        for new in there.colours_of(ChangeKind::New) {
            let labels = there.again.labels.iter().filter(|l| **l == new.key).count();
            prop_assert_eq!(labels, 1);
        }
        // What is in neither list stayed: all colours are accounted for.
        let stayed = b.colours().len() - count(&there, ChangeKind::New);
        prop_assert_eq!(stayed, a.colours().len() - count(&there, ChangeKind::Withdrawn));
    }
}
