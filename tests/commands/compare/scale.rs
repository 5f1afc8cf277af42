//! Five thousand colours in two hundred parts compare, all changes found.
//! How long it takes is for `benches/range.rs`.

use std::fmt::Write as _;
use std::path::Path;

use shadecard::compare::{ChangeKind, ranges, report};
use shadecard::range::ColourRange;

use super::{load, square, write};

const COLOURS: usize = 5000;
const PARTS: usize = 200;

/// `shift` renames every tenth colour, re-keys every seventh and moves every third cell.
fn range(folder: &Path, file: &str, shift: usize) -> ColourRange {
    let mut text = String::from(
        "Range(listings: [(key: \"w\"), (key: \"d\")], families: [(key: \"f\")],\nparts: [",
    );
    for p in 0..PARTS {
        write!(text, "(key: \"p{p}\", shape: \"9.svg\"), ").expect("a string");
    }
    text += "],\ncolours: [\n";
    let mut rows = String::new();
    for c in 0..COLOURS {
        let key = if c % 7 == 0 { format!("k{c}-{shift}") } else { format!("k{c}") };
        let name = if c % 10 == 0 { format!("Name {c} {shift}") } else { format!("Name {c}") };
        writeln!(
            text,
            "(key: \"{key}\", names: {{\"w\": \"{name}\", \"d\": \"Other {c}\"}}, numbers: {{\"w\": \"{c}\", \"d\": \"3-{c}\"}}, value: \"#{c:06x}\"),"
        )
        .expect("a string");
        let marks: String = (0..PARTS)
            .map(|p| if (c + p + if c % 3 == 0 { shift } else { 0 }) % 4 == 0 { '.' } else { 'x' })
            .collect();
        writeln!(rows, "\"{key}\": \"{marks}\",").expect("a string");
    }
    write!(text, "],\nmade: (rows: {{{rows}}}))").expect("a string");
    load(&write(folder, file, &text)).range
}

#[test]
fn a_large_range_compares() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "9.svg", &square(9.0, ""));
    let old = range(folder.path(), "old.ron", 0);
    let new = range(folder.path(), "new.ron", 1);
    let changes = ranges(&old, &new);
    // 0, 10, ... 4990 and 0, 7, ... 4998 and 0, 3, ... 4998.
    assert_eq!(changes.colours_of(ChangeKind::Renamed).count(), 500);
    assert_eq!(changes.colours_of(ChangeKind::Rekeyed).count(), 715);
    assert_eq!(changes.colours_of(ChangeKind::New).count(), 0);
    assert_eq!(changes.made.len(), 1667);
    assert!(report::csv(&changes).lines().count() > 1667 * 100 / 2);
}
