//! An edition is planned once for all its spellings: everything that is no
//! word is in the same place in each.

use std::fmt::Write as _;
use std::path::Path;

use crate::positions::*;
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::plan::Report;
use shadecard::range::load;
use shadecard::sheet::{Item, ItemKind, Sheet};

const PARTS: [(&str, f64, f64); 6] = [
    ("left", 9.0, 9.0),
    ("left", 11.0, 11.0),
    ("left", 7.0, 7.0),
    ("right", 6.0, 6.0),
    ("right", 15.0, 5.0),
    ("right", 8.0, 8.0),
];

/// Names that are wide in one spelling or in the other, in turn.
fn words(n: usize) -> String {
    match n % 4 {
        0 => format!("\"Grey Harbour {n}\""),
        1 => format!("Forms(\"Slate {n}\", {{\"en-US\": \"A great deal of slate colour {n}\"}})"),
        2 => format!(
            "Forms(\"Quite an ashen-grey theatre curtain {n}\", {{\"en-US\": \"Ash {n}\"}})"
        ),
        _ => format!("\"Fern {n}\""),
    }
}

/// A sheet of 90 colours in three families, in both spellings, with a panel of
/// look-alikes, notes, and colours left out for a reason.
fn write(folder: &Path, editions: &str) {
    let mut range = String::from(
        "Range(maker: Forms(\"Works\", {\"en-US\": \"The Works and Sons\"}), release: \"R\", listings: [(key: \"w\")], families: [",
    );
    for f in 0..3 {
        let long = "seen by the light of a grey day in the harbour, and by no other";
        write!(
            range,
            "(key: \"f{f}\", title: Forms(\"Family {f}\", {{\"en-US\": \"Extended family {f}\"}}), note: \"note\", legend: Forms(\"{long}\", {{\"en-US\": \"grey\"}})),"
        )
        .unwrap();
    }
    range += "],\nparts: [";
    for (p, (side, w, h)) in PARTS.iter().enumerate() {
        writeln!(
            range,
            "(key: \"p{p}\", numbers: {{\"w\": \"{}\"}}, title: Forms(\"Part\", {{\"en-US\": \"Part of some length\"}}), side: {side}, role: \"r{p}\", shape: \"p{p}.svg\"),",
            100 + p
        )
        .unwrap();
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' viewBox='0 0 {w} {h}'><rect width='{w}' height='{h}'/></svg>"
        );
        std::fs::write(folder.join(format!("p{p}.svg")), svg).unwrap();
    }
    range += "],\ncolours: [\n";
    let mut rows = String::new();
    for n in 0..92 {
        let value = (n * 2_654_435) & 0xff_ffff;
        writeln!(
            range,
            "(key: \"c{n}\", family: \"f{}\", names: {{\"w\": {}}}, numbers: {{\"w\": \"{n}\"}}, value: \"#{value:06x}\"),",
            (n / 30).min(2),
            words(n)
        )
        .unwrap();
        let marks: String =
            (0..PARTS.len()).map(|p| if (n * 7 + p * 5) % 11 < 9 { 'x' } else { '.' }).collect();
        writeln!(rows, "\"c{n}\": \"{marks}\",").unwrap();
    }
    write!(range, "],\nmade: (rows: {{{rows}}}))").unwrap();
    std::fs::write(folder.join("range.ron"), range).unwrap();
    let sheet = format!(
        "Sheet(range: \"range.ron\", name: \"s\", title: Forms(\"Title\", {{\"en-US\": \"A title of some length, as titles go\"}}),
        spellings: [\"en-GB\", \"en-US\"], lookalikes: (show: 5, limit: 40),
        notes: [Forms(\"A note.\", {{\"en-US\": \"A note that goes on for a good deal longer than a note should, to be told in more lines.\"}}), \"Centre and theatre in grey.\"],
        leave_out: [(colours: [\"c90\"], reason: Forms(\"gone\", {{\"en-US\": \"no longer made in any works that we know of\"}})), (colours: [\"c91\"], reason: \"grey\")],
        editions: [{editions}])"
    );
    std::fs::write(folder.join("sheet.ron"), sheet).unwrap();
}

const EDITIONS: &str = "(name: \"a3\", layout: \"a3\"), (name: \"poster\", layout: \"poster-305x406\"), (name: \"pages\", layout: \"a4-pages\"), (name: \"few\", layout: \"a4\", families: [\"f1\"]),";

/// All that is no text: what it is, where it comes from, where it is.
fn still(sheet: &Sheet) -> Vec<(usize, String)> {
    let kind = |item: &Item| match &item.kind {
        ItemKind::Text(_) => None,
        ItemKind::Use(u) => Some(format!(
            "{:?} {:?} {} {:.9} {:.9} {:.9}",
            item.role, item.origin, sheet.symbols[u.symbol.0].name, u.x, u.y, u.scale
        )),
        _ => Some(format!("{:?} {:?} {:?}", item.role, item.origin, item.bounds)),
    };
    let pages = sheet.pages.iter().enumerate();
    pages.flat_map(|(n, p)| p.items.iter().filter_map(kind).map(move |k| (n, k))).collect()
}

#[test]
fn all_but_the_words_stands_alike_in_every_spelling() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), EDITIONS);
    for style in ["plate", "catalogue"] {
        let editions = open(&folder.path().join("sheet.ron"), Some(style));
        let workshop = editions.workshop();
        let planned = editions.plan_all().unwrap_or_else(|f| panic!("{:?}", f.sorted()));
        assert_eq!(planned.len(), 4);
        for edition in &planned {
            let name = format!("{style} {}", edition.edition.name);
            let pair = &edition.variants;
            assert_eq!(pair.len(), 2, "{name}");
            let sheets = [pair[0].place(&workshop), pair[1].place(&workshop)];
            let (british, american) = (still(&sheets[0]), still(&sheets[1]));
            assert!(british.len() > 300, "{name}: {}", british.len());
            for (a, b) in british.iter().zip(&american) {
                assert_eq!(a, b, "{name}");
            }
            assert_eq!(british.len(), american.len(), "{name}");
            for (planned, sheet) in pair.iter().zip(&sheets) {
                let mut faults = colours_once_in_order(&editions, planned, sheet);
                faults.extend(samples_apart(sheet));
                faults.extend(texts_clear(sheet));
                faults.extend(inside_the_page(sheet));
                none(&planned.variant.stem(), faults);
            }
        }
    }
}

fn resolved(folder: &Path, spellings: &[&str]) -> Result<Editions, Vec<String>> {
    let mut sources = Sources::default();
    let loaded = load(&folder.join("sheet.ron"), &mut sources).expect("a sheet");
    let spellings = spellings.iter().map(|s| (*s).to_owned()).collect();
    let filter = Filter { spellings, ..Filter::default() };
    Editions::resolve(loaded, &filter, &mut sources)
        .map_err(|f| f.sorted().iter().map(|d| d.code.to_owned()).collect())
}

#[test]
fn the_plan_does_not_depend_on_the_spelling_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), EDITIONS);
    let plans = |spellings: &[&str]| -> Vec<String> {
        let editions = resolved(folder.path(), spellings).expect("it resolves");
        assert_eq!(editions.spellings().count(), spellings.len().max(1));
        let planned = editions.plan_all().expect("it fits");
        let told = |p: &shadecard::edition::Planned<'_>| {
            serde_json::to_string(&Report::new(&p.facts, &p.plan)).expect("a report")
        };
        planned.iter().flat_map(|e| &e.variants).map(told).collect()
    };
    let british = plans(&["en-GB"]);
    assert_eq!(british.len(), 4);
    assert_eq!(british, plans(&["en-US"]));
    let both = plans(&["en-GB", "en-US"]);
    assert_eq!(both.iter().step_by(2).collect::<Vec<_>>(), british.iter().collect::<Vec<_>>());
    assert_eq!(
        both.iter().skip(1).step_by(2).collect::<Vec<_>>(),
        british.iter().collect::<Vec<_>>()
    );
}

#[test]
fn a_fault_in_a_spelling_that_is_not_asked_for_is_told() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "(name: \"a3\", layout: \"a3\")");
    std::fs::create_dir(folder.path().join("spelling")).unwrap();
    let file = folder.path().join("spelling/en-US.ron");
    std::fs::write(&file, "Spelling(phrases: {\"continued\": \"{n}\"})").unwrap();
    let told = resolved(folder.path(), &["en-GB"]).err().expect("a fault");
    assert_eq!(told, ["unknown-place"]);
}
