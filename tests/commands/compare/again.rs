//! What has to be made again after one change to a sheet or its range.

use shadecard::compare::Changes;

use super::{compare_sheets, edit, square, write};

const RANGE: &str = r##"Range(
    maker: "Wrackline Works",
    release: "Spring release",
    listings: [(key: "works"), (key: "dealer")],
    families: [
        (key: "gloss", title: "Gloss"),
        (key: "clear", title: "Clear", finish: clear),
        (key: "flecked", title: "Flecked", finish: flecked),
    ],
    parts: [
        (key: "b9", numbers: {"works": "1102", "dealer": "B9"}, title: "Button", side: left, shape: "9.svg"),
        (key: "r8", numbers: {"works": "2080", "dealer": "R8"}, title: "Round", shape: "9.svg"),
    ],
    colours: [
        (key: "gannet", family: "gloss", names: {"works": "Gannet", "dealer": "Chalk"}, numbers: {"works": "101"}, value: "#f8f7f3"),
        (key: "grey", family: "gloss", names: {"works": Forms("Sea Grey", {"en-US": "Sea Gray"})}, numbers: {"works": "102"}, value: "#808080"),
        (key: "brine", family: "clear", names: {"works": "Brine"}, numbers: {"works": "201"}, value: "#a0c0d0"),
        (key: "mica", family: "flecked", names: {"works": "Mica"}, numbers: {"works": "301"}, value: "#b0a090"),
        (key: "marl", family: "gloss", names: {"works": "Marl"}, numbers: {"works": "103"}, value: "#998877"),
    ],
    made: (rows: {"gannet": "xx", "grey": "xx", "brine": "xx", "mica": "xx", "marl": "xx"}),
)"##;

const SHEET: &str = r##"Sheet(
    range: "range.ron",
    title: "Buttons",
    edition_line: "Plate 7",
    notes: ["Dye lots differ."],
    imprint: ["Wrackline Works"],
    leave_out: [(colours: ["marl"], reason: "made to order")],
    headings: "works",
    centre: [(listing: "works")],
    spellings: ["en-GB", "en-US"],
    editions: [
        (name: "a4", layout: "a4"),
        (name: "plain", layout: "a3", spellings: ["en-GB"], families: ["clear"]),
    ],
)"##;

/// The changes after edits to the range and to the sheet.
fn changes(range: &[(&str, &str)], sheet: &[(&str, &str)]) -> Changes {
    let folder = tempfile::tempdir().expect("a folder");
    let release = |name: &str, range: &str, sheet: &str| {
        write(folder.path(), &format!("{name}/9.svg"), &square(9.0, ""));
        write(folder.path(), &format!("{name}/8.svg"), &square(8.0, ""));
        write(folder.path(), &format!("{name}/range.ron"), range);
        write(folder.path(), &format!("{name}/sheet.ron"), sheet)
    };
    let old = release("old", RANGE, SHEET);
    let new = release("new", &edit(RANGE, range), &edit(SHEET, sheet));
    compare_sheets(&old, &new)
}

/// 'a4 en-GB: because; because'.
fn editions(changes: &Changes) -> Vec<String> {
    let spelt = |d: &shadecard::compare::again::Due| d.spelling.clone().expect("a spelling");
    let each = changes.again.editions.iter();
    each.map(|d| format!("{} {}: {}", d.key, spelt(d), d.because.join("; "))).collect()
}

fn families(changes: &Changes) -> Vec<&str> {
    changes.again.families.iter().map(|d| d.key.as_str()).collect()
}

#[track_caller]
fn due(
    range: &[(&str, &str)],
    sheet: &[(&str, &str)],
    expected: &[&str],
    labels: &[&str],
) -> Changes {
    let changes = changes(range, sheet);
    assert!(!changes.is_empty());
    assert_eq!(editions(&changes), expected);
    assert_eq!(changes.again.labels, labels);
    changes
}

#[test]
fn the_same_needs_nothing() {
    assert!(changes(&[], &[]).is_empty());
}

#[test]
fn a_name_is_due_where_it_is_printed() {
    let renamed = [("\"works\": \"Gannet\"", "\"works\": \"Booby\"")];
    let because = ["a4 en-GB: gloss: names", "a4 en-US: gloss: names"];
    let changes = due(&renamed, &[], &because, &["gannet"]);
    assert_eq!(families(&changes), ["gloss"]);
    // A form for one spelling changes that edition alone.
    let form = [("Sea Gray", "Ocean Gray")];
    due(&form, &[], &["a4 en-US: gloss: names"], &["grey"]);
    // The sheet does not print the dealer's names.
    due(&[("Chalk", "Limestone")], &[], &[], &[]);
}

#[test]
fn a_form_that_says_what_the_word_list_says_prints_the_same() {
    let forms = [("Forms(\"Sea Grey\", {\"en-US\": \"Sea Gray\"})", "\"Sea Grey\"")];
    due(&forms, &[], &[], &["grey"]);
}

#[test]
fn numbers_values_and_availability() {
    let because = ["a4 en-GB: gloss: numbers", "a4 en-US: gloss: numbers"];
    due(&[("\"works\": \"101\"", "\"works\": \"111\"")], &[], &because, &["gannet"]);
    let because =
        ["a4 en-GB: clear: values", "a4 en-US: clear: values", "plain en-GB: clear: values"];
    due(&[("#a0c0d0", "#a0c0e0")], &[], &because, &["brine"]);
    let because = ["a4 en-GB: gloss: availability", "a4 en-US: gloss: availability"];
    due(&[("\"grey\": \"xx\"", "\"grey\": \"x.\"")], &[], &because, &[]);
}

#[test]
fn a_new_colour_and_one_that_goes() {
    let ling = r##"(key: "ling", family: "clear", names: {"works": "Ling"}, numbers: {"works": "202"}, value: "#c0a0d0"),
        (key: "mica","##;
    let new =
        [("(key: \"mica\",", ling), ("\"mica\": \"xx\"", "\"mica\": \"xx\", \"ling\": \"xx\"")];
    let because = [
        "a4 en-GB: clear: colours newly shown",
        "a4 en-US: clear: colours newly shown",
        "plain en-GB: clear: colours newly shown",
    ];
    due(&new, &[], &because, &["ling"]);
    let hidden = [("colours: [\"marl\"]", "colours: [\"marl\", \"grey\"]")];
    let because = [
        "a4 en-GB: what is left out; gloss: colours gone",
        "a4 en-US: what is left out; gloss: colours gone",
        "plain en-GB: what is left out",
    ];
    let changes = due(&[], &hidden, &because, &[]);
    assert_eq!(changes.sheet.len(), 1);
    assert_eq!((changes.sheet[0].kind.word(), changes.sheet[0].key.as_str()), ("hidden", "grey"));
    let shown = [("    leave_out: [(colours: [\"marl\"], reason: \"made to order\")],\n", "")];
    let because = [
        "a4 en-GB: what is left out; gloss: colours newly shown",
        "a4 en-US: what is left out; gloss: colours newly shown",
        "plain en-GB: what is left out",
    ];
    due(&[], &shown, &because, &["marl"]);
}

#[test]
fn parts_and_their_numbers() {
    let all = |why: &str| -> Vec<String> {
        let a4 = format!("clear: {why}; flecked: {why}");
        vec![
            format!("a4 en-GB: gloss: {why}; {a4}"),
            format!("a4 en-US: gloss: {why}; {a4}"),
            format!("plain en-GB: clear: {why}"),
        ]
    };
    let check = |edits: &[(&str, &str)], why: &str| {
        assert_eq!(editions(&changes(edits, &[])), all(why));
    };
    check(&[("\"works\": \"2080\"", "\"works\": \"2081\"")], "part numbers");
    check(&[("\"Round\", shape: \"9.svg\"", "\"Round\", shape: \"8.svg\"")], "parts");
    // The headings are the works'.
    due(&[("\"dealer\": \"R8\"", "\"dealer\": \"R9\"")], &[], &[], &[]);
}

#[test]
fn flecks_lie_by_the_key() {
    let rekeyed =
        [("key: \"mica\"", "key: \"mica-2\""), ("\"mica\": \"xx\"", "\"mica-2\": \"xx\"")];
    let because = [
        "a4 en-GB: flecked: the positions of flecks",
        "a4 en-US: flecked: the positions of flecks",
    ];
    due(&rekeyed, &[], &because, &[]);
    let rekeyed =
        [("key: \"brine\"", "key: \"brine-2\""), ("\"brine\": \"xx\"", "\"brine-2\": \"xx\"")];
    due(&rekeyed, &[], &[], &[]);
}

#[test]
fn words_of_the_sheet_and_the_release() {
    let all = |why: &str| ["a4 en-GB", "a4 en-US", "plain en-GB"].map(|e| format!("{e}: {why}"));
    let release = [("Spring release", "Autumn release")];
    // Nothing prints it.
    due(&release, &[], &[], &[]);
    let tells = |field: &str, text: &str, why: &str| {
        let folder = tempfile::tempdir().expect("a folder");
        let sheet = edit(SHEET, &[(field, text)]);
        let release = |name: &str, range: &str| {
            write(folder.path(), &format!("{name}/9.svg"), &square(9.0, ""));
            write(folder.path(), &format!("{name}/range.ron"), range);
            write(folder.path(), &format!("{name}/sheet.ron"), &sheet)
        };
        let old = release("old", RANGE);
        let new = release("new", &edit(RANGE, &[("Spring release", "Autumn release")]));
        assert_eq!(editions(&compare_sheets(&old, &new)), all(why), "{field}");
    };
    tells("[\"Wrackline Works\"]", "[\"As of {release}\"]", "the imprint");
    tells("    imprint: [\"Wrackline Works\"],\n", "", "the imprint");
    tells("    edition_line: \"Plate 7\",\n", "", "the title block");
    tells("[\"Dye lots differ.\"]", "[\"{release}: dye lots differ.\"]", "the notes");
    let check = |sheet: &[(&str, &str)], why: &str| {
        assert_eq!(editions(&changes(&[], sheet)), all(why));
    };
    check(&[("\"Buttons\"", "\"Beads\"")], "the title block");
    check(&[("Dye lots differ.", "Dye lots vary.")], "the notes");
    check(&[("made to order", "sold out")], "what is left out");
    check(&[("    headings", "    style: \"catalogue\",\n    headings")], "the style");
    check(&[("    headings", "    legend_parts: [\"r8\"],\n    headings")], "the legend");
    // 'plain' shows one colour: no pair.
    let panel = [("    headings", "    lookalikes: (limit: 60),\n    headings")];
    let because = ["a4 en-GB: the look-alikes", "a4 en-US: the look-alikes"];
    due(&[], &panel, &because, &[]);
    // Nothing is that close.
    due(&[], &[("    headings", "    lookalikes: (limit: 1),\n    headings")], &[], &[]);
    // Only spectra are seen otherwise.
    due(&[], &[("    headings", "    light: \"A\",\n    headings")], &[], &[]);
}

/// The rows show the works' names, the panel those of the headings.
#[test]
fn a_name_in_the_panel() {
    let folder = tempfile::tempdir().expect("a folder");
    let dealers = [("headings: \"works\"", "headings: \"dealer\", lookalikes: (limit: 60)")];
    let sheet = edit(SHEET, &dealers);
    let release = |name: &str, range: &str| {
        write(folder.path(), &format!("{name}/9.svg"), &square(9.0, ""));
        write(folder.path(), &format!("{name}/range.ron"), range);
        write(folder.path(), &format!("{name}/sheet.ron"), &sheet)
    };
    let old = release("old", RANGE);
    let new = release("new", &edit(RANGE, &[("\"Chalk\"", "\"Limestone\"")]));
    let because = ["a4 en-GB: the look-alikes", "a4 en-US: the look-alikes"];
    assert_eq!(editions(&compare_sheets(&old, &new)), because);
}

#[test]
fn editions_come_and_change() {
    let changes = changes(
        &[],
        &[
            ("(name: \"a4\", layout: \"a4\")", "(name: \"a4\", layout: \"letter\")"),
            ("spellings: [\"en-GB\"], families", "spellings: [\"en-GB\", \"en-US\"], families"),
            (
                "    ],\n)",
                "        (name: \"small\", layout: \"a4\", spellings: [\"en-GB\"]),\n    ],\n)",
            ),
        ],
    );
    assert_eq!(
        editions(&changes),
        [
            "a4 en-GB: its layout",
            "a4 en-US: its layout",
            "plain en-US: a new spelling of it",
            "small en-GB: a new edition",
        ]
    );
    let told: Vec<String> = changes
        .sheet
        .iter()
        .map(|c| format!("{} {} {} {}", c.what.word(), c.kind.word(), c.key, c.name))
        .collect();
    assert_eq!(
        told,
        ["edition changed a4 layout", "edition changed plain spellings", "edition new small small"]
    );
}

#[test]
fn orders_of_colours() {
    let headings = "headings: \"works\",";
    let told = |changes: &Changes| -> Vec<String> {
        let text = |t: &Option<String>| t.clone().unwrap_or_default();
        let line = |c: &shadecard::compare::Change| {
            format!("{}: {} > {}", c.key, text(&c.old), text(&c.new))
        };
        changes.sheet.iter().map(line).collect()
    };
    // From light to dark as listed already: told, but nothing prints otherwise.
    let lightness = [(headings, "headings: \"works\", order: lightness,")];
    let changes = due(&[], &lightness, &[], &[]);
    assert_eq!(
        told(&changes),
        ["gloss", "clear", "flecked"].map(|f| format!("{f}: order: listed > order: lightness"))
    );
    // The other way round.
    let from_grey = r#"headings: "works", families: [(family: "gloss", order: neighbours, first: "grey"), "clear", "flecked"],"#;
    let because = ["a4 en-GB: gloss: the order", "a4 en-US: gloss: the order"];
    let changes = due(&[], &[(headings, from_grey)], &because, &[]);
    assert_eq!(told(&changes), ["gloss: order: listed > order: neighbours from grey"]);
    assert_eq!(families(&changes), ["gloss"]);
}

/// A value that is shown alike may still move a row or a split.
#[test]
fn values_that_are_shown_alike() {
    let because = ["a4 en-GB: gloss: values", "a4 en-US: gloss: values"];
    due(&[("\"#808080\"", "Lab(53.585, 0, 0)")], &[], &because, &[]);
}

/// The day is in the files' properties, not on the page.
#[test]
fn another_day_is_told_and_prints_nothing() {
    let changes =
        changes(&[], &[("    headings", "    issue_date: \"2026-03-01\",\n    headings")]);
    let told: Vec<&str> = changes.sheet.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(told, ["issue_date"]);
    assert!(editions(&changes).is_empty());
}
