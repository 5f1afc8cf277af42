//! Every kind of change in a pair of tiny ranges; the expected lines were written by hand.

use shadecard::compare::{Change, ChangeKind, Changes};

use super::{compare_ranges, square, write};

const OLD: &str = r##"Range(
    maker: "Wrackline Works",
    release: "Spring release",
    listings: [
        (key: "works", title: "Works list"),
        (key: "dealer", title: "Dealer list"),
        (key: "club", title: "Club list"),
    ],
    families: [
        (key: "gloss", title: "Gloss", note: "polished", legend: "opaque"),
        (key: "clear", title: "Clear", finish: clear),
        (key: "odd", title: "Odds and ends"),
        (key: "mixed", title: "Mixed"),
    ],
    parts: [
        (key: "b9", numbers: {"works": "1102"}, title: "Button", shape: "9.svg", side: left, size: "9"),
        (key: "b11", numbers: {"works": "1114"}, title: "Button", shape: "9.svg", side: left, size: "9"),
        (key: "r8", numbers: {"works": "2080"}, title: "Round", shape: "9.svg", size: "9"),
        (key: "t18", title: "Toggle", role: "toggle", shape: "9.svg", side: left, size: "18"),
        (key: "q10", title: "Square", shape: "9.svg", size: "9"),
        (key: "s6", numbers: {"works": "2609"}, title: "Star", shape: "9.svg", size: "9"),
    ],
    colours: [
        (key: "gannet", family: "gloss", names: {"works": "Gannet", "dealer": "Chalk"}, numbers: {"works": "101"}, value: "#f8f7f3"),
        (key: "prawn", family: "gloss", names: {"works": "Prawn", "dealer": "Shrimp"}, numbers: {"works": "102"}, value: "#d98c6b"),
        (key: "grey", family: "gloss", names: {"works": Forms("Sea Grey", {"en-US": "Sea Gray"})}, value: "#808080"),
        (key: "dulse", family: "gloss", names: {"works": "Dulse"}, numbers: {"works": "104", "dealer": "3-4"}, value: "#7a1f3d"),
        (key: "kelp", family: "gloss", names: {"works": "Kelp"}, value: Lab(50, 2.6772, -79.7751)),
        (key: "rust", family: "gloss", names: {"works": "Rust"}, value: "#c23b22"),
        (key: "oar", family: "gloss", names: {"works": "Oar"}, value: Spectrum(from: 400, step: 20, values: [0.05, 0.05, 0.05, 0.05, 0.06, 0.06, 0.07, 0.09, 0.14, 0.22, 0.29, 0.33, 0.35, 0.36, 0.37, 0.38])),
        (key: "brine", family: "gloss", names: {"works": "Brine"}, value: "#a0c0d0"),
        (key: "sleet", family: "gloss", names: {"works": "Sleet"}, value: "#e0e4e6", note: "in small lots"),
        (key: "tern", family: "gloss", names: {"works": "Tern"}, value: "#334455", first: 2016),
        (key: "fulmar", family: "gloss", names: {"works": "Fulmar"}, value: "#223344", first: 2016),
        (key: "sprat", family: "gloss", names: {"works": "Sprat"}, value: "#445566", last: 2024),
        (key: "quern", family: "odd", names: {"works": "Quern"}, numbers: {"works": "112"}, value: "#665544"),
        (key: "marl", family: "gloss", names: {"works": "Marl"}, numbers: {"works": "113"}, value: "#998877"),
        (key: "salp", family: "gloss", names: {"works": "Salp"}, value: "#b090d0"),
        (key: "twin", family: "gloss", names: {"works": "Twin"}, numbers: {"works": "120"}, value: "#101010"),
        (key: "left", family: "mixed", value: "#111111"),
        (key: "right", family: "mixed", value: "#222222"),
    ],
    made: (rows: {
        "gannet": "xx.xxx", "prawn": "xxxxxx", "grey": "xxxxxx", "dulse": "xxxxxx", "kelp": "xxxxxx", "rust": "xxxxxx",
        "oar": "xxxxxx", "brine": "xxxxxx", "sleet": "xxxxxx", "tern": "xxxxxx", "fulmar": "xxxxxx", "sprat": "xxxxxx",
        "quern": "x.....", "marl": "xxxxxx", "salp": "xxxxxx", "twin": "xxxxxx", "left": "xxxxxx", "right": "xxxxxx",
    }),
)"##;

const NEW: &str = r##"Range(
    maker: "Wrackline Works",
    release: "Autumn release",
    listings: [
        (key: "works", title: "List of the works"),
        (key: "dealer", title: "Dealer list"),
        (key: "export", title: "Export list"),
    ],
    families: [
        (key: "gloss", title: "High gloss", note: "well polished", legend: "opaque"),
        (key: "clear", title: "Clear", finish: clear),
        (key: "night", title: "Night"),
        (key: "mixed", title: "Mixed"),
    ],
    parts: [
        (key: "b9", numbers: {"works": "1102"}, title: "Button", shape: "9.svg", side: left, size: "9"),
        (key: "b11", numbers: {"works": "1115"}, title: "Button", shape: "9.svg", side: left, size: "9"),
        (key: "r8", numbers: {"works": "2080"}, title: "Round bead", shape: "10.svg", size: "9"),
        (key: "t18", title: "Toggle", role: "bar", shape: "9.svg", side: right, size: "18 × 6"),
        (key: "q10", title: "Square", shape: "9-drawn.svg", size: "9"),
        (key: "d10", numbers: {"works": "2310"}, title: "Drop", shape: "9.svg", size: "9"),
    ],
    colours: [
        (key: "gannet", family: "gloss", names: {"works": "Gannet", "dealer": "Chalk"}, numbers: {"works": "101"}, value: "#f8f7f3"),
        (key: "ulva", family: "night", names: {"works": "Ulva", "export": "Lettuce"}, numbers: {"works": "155"}, value: "#9ac64b"),
        (key: "prawn", family: "gloss", names: {"works": "Prawn Pink"}, numbers: {"works": "102"}, value: "#d98c6b"),
        (key: "grey", family: "gloss", names: {"works": Forms("Sea Grey", {"en-US": "Ocean Gray"})}, value: "#808080"),
        (key: "dulse", family: "gloss", names: {"works": "Dulse"}, numbers: {"works": "114"}, value: "#7a1f3d"),
        (key: "kelp", family: "gloss", names: {"works": "Kelp"}, value: Lab(50, 0, -82.7485)),
        (key: "rust", family: "gloss", names: {"works": "Rust"}, value: "#b8412a"),
        (key: "oar", family: "gloss", names: {"works": "Oar"}, value: Spectrum(from: 400, step: 20, values: [0.05, 0.05, 0.05, 0.05, 0.06, 0.06, 0.08, 0.11, 0.16, 0.23, 0.29, 0.32, 0.33, 0.34, 0.35, 0.36])),
        (key: "brine", family: "clear", names: {"works": "Brine"}, value: "#a0c0d0"),
        (key: "sleet", family: "gloss", names: {"works": "Sleet"}, value: "#e0e4e6", finish: satin),
        (key: "tern", family: "gloss", names: {"works": "Tern"}, value: "#334455", first: 2017),
        (key: "fulmar", family: "gloss", names: {"works": "Fulmar"}, value: "#223344", first: 2016, last: 2025),
        (key: "sprat", family: "gloss", names: {"works": "Sprat"}, value: "#445566"),
        (key: "marl-2", family: "gloss", names: {"works": "Marl"}, numbers: {"works": "113"}, value: "#998877"),
        (key: "salp-2", family: "gloss", names: {"works": "Salp"}, value: "#b090d0"),
        (key: "twin-1", family: "gloss", names: {"works": "Twin One"}, numbers: {"works": "120"}, value: "#101010"),
        (key: "twin-2", family: "gloss", names: {"works": "Twin Two"}, numbers: {"works": "120"}, value: "#101010"),
        (key: "right", family: "mixed", value: "#222222"),
        (key: "left", family: "mixed", value: "#111111"),
    ],
    made: (rows: {
        "gannet": "x.xxx.", "prawn": "xxxxx.", "grey": "xxxxx.", "dulse": "xxxxx.", "kelp": "xxxxx.", "rust": "xxxxx.",
        "oar": "xxxxx.", "brine": "xxxxx.", "sleet": "xxxxx.", "tern": "xxxxx.", "fulmar": "xxxxx.", "sprat": "xxxxx.",
        "ulva": "xx...x", "marl-2": "xxxxx.", "salp-2": "xxxxx.", "twin-1": "xxxxx.", "twin-2": "xxxxx.",
        "left": "xxxxx.", "right": "xxxxxx",
    }),
)"##;

fn compared() -> Changes {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    write(folder, "9.svg", &square(9.0, ""));
    write(folder, "10.svg", &square(10.0, ""));
    let relief = "<rect x='2' y='2' width='2' height='1' fill='#909090'/>";
    write(folder, "9-drawn.svg", &square(9.0, relief));
    let (old, new) = (write(folder, "old.ron", OLD), write(folder, "new.ron", NEW));
    compare_ranges(&old, &new)
}

/// 'kind key listing spelling: old > new', blanks where there is nothing.
fn lines(changes: &[Change]) -> Vec<String> {
    let text = |t: &Option<String>| t.clone().unwrap_or_else(|| "-".into());
    let line = |c: &Change| {
        let (listing, spelling) = (text(&c.listing), text(&c.spelling));
        let (kind, key, old, new) = (c.kind.word(), &c.key, text(&c.old), text(&c.new));
        format!("{kind} {key} {listing} {spelling}: {old} > {new}")
    };
    changes.iter().map(line).collect()
}

#[test]
fn every_kind_of_change_of_a_colour_in_order() {
    let expected = [
        "new ulva - -: - > Ulva 155, Lettuce; Night",
        "renamed prawn works -: Prawn > Prawn Pink",
        "renamed prawn dealer -: Shrimp > -",
        "renamed grey works en-US: Sea Gray > Ocean Gray",
        "renumbered dulse works -: 104 > 114",
        "renumbered dulse dealer -: 3-4 > -",
        "re-valued kelp - -: Lab(50, 2.6772, -79.7751) > Lab(50, 0, -82.7485)",
        "re-valued rust - -: #c23b22 > #b8412a",
        "re-valued oar - -: spectrum shown as",
        "moved brine - -: gloss > clear",
        "finish brine - -: opaque > clear",
        "finish sleet - -: opaque > satin",
        "note sleet - -: in small lots > -",
        "years tern - -: from 2016 > from 2017",
        "ending fulmar - -: from 2016 > 2016 to 2025",
        "back sprat - -: to 2024 > -",
        "re-keyed marl-2 - -: marl > marl-2",
        "re-keyed salp-2 - -: salp > salp-2",
        "new twin-1 - -: - > Twin One 120; High gloss",
        "new twin-2 - -: - > Twin Two 120; High gloss",
        "withdrawn quern - -: Quern 112; Odds and ends > -",
        "withdrawn twin - -: Twin 120; Gloss > -",
    ];
    let got = lines(&compared().colours);
    assert_eq!(got.len(), expected.len(), "{got:#?}");
    for (got, expected) in got.iter().zip(expected) {
        assert!(got.starts_with(expected), "{got}\n{expected}");
    }
}

#[test]
fn differences_of_values() {
    let changes = compared();
    let de = |key: &str| {
        let change = changes.colours_of(ChangeKind::Revalued).find(|c| c.key == key);
        change.and_then(|c| c.de00).expect("a difference")
    };
    // Sharma, Wu and Dalal 2005, table 1, pair 1: measured values, as given.
    assert!((de("kelp") - 2.0425).abs() < 5e-5, "{}", de("kelp"));
    // colour-science 0.4.7, sRGB to Lab D65, CIE 2000.
    assert!((de("rust") - 2.1789).abs() < 0.01, "{}", de("rust"));
    // colour-science 0.4.7, interpolation by Sprague, integration at 5 nm under D50, CIE 2000.
    assert!((de("oar") - 3.2757).abs() < 0.02, "{}", de("oar"));
}

#[test]
fn listings_families_and_parts() {
    let changes = compared();
    assert_eq!(
        lines(&changes.listings),
        [
            "changed release - -: Spring release > Autumn release",
            "renamed works - -: Works list > List of the works",
            "new export - -: - > Export list",
            "withdrawn club - -: Club list > -",
        ]
    );
    assert_eq!(
        lines(&changes.families),
        [
            "renamed gloss - -: Gloss > High gloss",
            "note gloss - -: polished > well polished",
            "new night - -: - > Night",
            "order mixed - -: - > its colours in another order",
            "withdrawn odd - -: Odds and ends > -",
        ]
    );
    assert_eq!(
        lines(&changes.parts),
        [
            "renumbered b11 works -: 1114 > 1115",
            "renamed r8 - -: Round > Round bead",
            "shape r8 - -: 9.00 x 9.00 mm > 10.00 x 10.00 mm",
            "side t18 - -: left > right",
            "role t18 - -: toggle > bar",
            "size t18 - -: 18 > 18 × 6",
            "drawing q10 - -: - > drawn differently within the same outline",
            "new d10 - -: - > 2310; made in 2 colours",
            "withdrawn s6 - -: 2609; made in 17 colours > -",
        ]
    );
}

#[test]
fn availability_cell_by_cell() {
    let changes = compared();
    let of = |key: &str| {
        let made = changes.made.iter().find(|m| m.colour == key).expect("a change");
        (made.newly.join(" "), made.no_longer.join(" "))
    };
    assert_eq!(of("gannet"), ("r8".into(), "b11 s6".into()));
    assert_eq!(of("ulva"), ("b9 b11 d10".into(), String::new()));
    assert_eq!(of("quern"), (String::new(), "b9".into()));
    assert_eq!(of("right"), ("d10".into(), "s6".into()));
    // Re-keyed, so only the withdrawn star differs.
    assert_eq!(of("marl-2"), (String::new(), "s6".into()));
    // All 17 that stayed or came, and the two that went but one.
    assert_eq!(changes.made.len(), 21);
    assert_eq!(changes.made.last().map(|m| m.colour.as_str()), Some("twin"));
}

#[test]
fn a_range_has_families_and_labels_to_make_again() {
    let again = compared().again;
    assert!(again.editions.is_empty());
    let families: Vec<&str> = again.families.iter().map(|d| d.key.as_str()).collect();
    assert_eq!(families, ["gloss", "clear", "night", "mixed"]);
    assert_eq!(again.families[2].because, ["new"]);
    // Mixed changed its order, its availability, and the parts that it shows.
    let mixed = ["the order", "availability", "part numbers", "parts"];
    assert_eq!(again.families[3].because, mixed);
    // New ones, and other names, numbers and values; not other finishes, years or keys.
    let labels = ["ulva", "prawn", "grey", "dulse", "kelp", "rust", "oar", "twin-1", "twin-2"];
    assert_eq!(again.labels, labels);
}

/// Colours of one range, each `(key, name, number, value)`.
fn small(folder: &std::path::Path, name: &str, colours: &[[&str; 4]]) -> std::path::PathBuf {
    let each = colours.iter().map(|[key, name, number, value]| {
        format!("(key: \"{key}\", names: {{\"w\": \"{name}\"}}, numbers: {{\"w\": \"{number}\"}}, value: \"{value}\")")
    });
    let text = format!(
        "Range(listings: [(key: \"w\")], families: [(key: \"f\")], parts: [(key: \"p\", shape: \"9.svg\")], colours: [{}])",
        each.collect::<Vec<_>>().join(", ")
    );
    write(folder, name, &text)
}

#[test]
fn a_colour_that_two_could_be_stays_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "9.svg", &square(9.0, ""));
    // The number of one, the name and value of the other.
    let two = small(
        folder.path(),
        "two.ron",
        &[["a", "One", "1", "#111111"], ["b", "Two", "2", "#222222"]],
    );
    let one = small(folder.path(), "one.ron", &[["c", "Two", "1", "#222222"]]);
    let there = lines(&compare_ranges(&two, &one).colours);
    let expected = [
        "new c - -: - > Two 1; f",
        "withdrawn a - -: One 1; f > -",
        "withdrawn b - -: Two 2; f > -",
    ];
    assert_eq!(there, expected);
    let back = lines(&compare_ranges(&one, &two).colours);
    assert_eq!(back.len(), 3, "{back:?}");
    // With the second gone there is no doubt, and a name alone says nothing.
    let first = small(folder.path(), "first.ron", &[["a", "One", "1", "#111111"]]);
    let kinds = lines(&compare_ranges(&first, &one).colours);
    assert_eq!(kinds[0], "re-keyed c - -: a > c");
    let alike = small(folder.path(), "alike.ron", &[["d", "One", "4", "#333333"]]);
    assert_eq!(compare_ranges(&first, &alike).colours_of(ChangeKind::Rekeyed).count(), 0);
}

#[test]
fn years_of_what_stays_made() {
    let with = |years: &str| OLD.replacen("made: (", &format!("made: (years: {{{years}}}, "), 1);
    let (old, new) = (
        with(r#""gannet": {"b9": (from: 1990), "b11": (to: 2001)}"#),
        with(r#""gannet": {"b9": (from: 1990, to: 2005)}, "prawn": {"b9": (from: 2010)}"#),
    );
    assert!(old != OLD, "the matrix is where it was");
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "9.svg", &square(9.0, ""));
    let (old, new) = (write(folder.path(), "old.ron", &old), write(folder.path(), "new.ron", &new));
    let changes = compare_ranges(&old, &new);
    let years: Vec<String> = changes
        .made
        .iter()
        .flat_map(|m| {
            m.years.iter().map(|y| format!("{} {} {} > {}", m.colour, y.part, y.old, y.new))
        })
        .collect();
    assert_eq!(
        years,
        ["gannet b9 1990- > 1990-2005", "gannet b11 -2001 > always", "prawn b9 always > 2010-"]
    );
    assert!(changes.made.iter().all(|m| m.newly.is_empty() && m.no_longer.is_empty()));
}
