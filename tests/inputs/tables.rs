//! Spreadsheets in and out: a range written as tables reads back as itself.

use std::fmt::Write as _;
use std::path::Path;

use proptest::prelude::*;
use shadecard::diag::Sources;
use shadecard::diag_print::render;
use shadecard::export::{To, files};
use shadecard::range::{Loaded, load};

const DISC: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";
const SHEET: &str = "Sheet(range: \"range.ron\", name: \"s\", title: \"T\", editions: [(name: \"e\", layout: \"a4\")])";

fn read(folder: &Path) -> Loaded {
    let mut sources = Sources::default();
    load(&folder.join("sheet.ron"), &mut sources)
        .unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)))
}

/// Writes a range with its sheet and shape, and reads it.
fn given(range: &str) -> (tempfile::TempDir, Loaded) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("range.ron"), range).unwrap();
    std::fs::write(folder.path().join("sheet.ron"), SHEET).unwrap();
    std::fs::write(folder.path().join("disc.svg"), DISC).unwrap();
    let loaded = read(folder.path());
    (folder, loaded)
}

fn there_and_back(loaded: &Loaded, to: To) -> Loaded {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files(&loaded.range, &loaded.sheet, to).expect("tables") {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    std::fs::write(folder.path().join("sheet.ron"), SHEET).unwrap();
    std::fs::write(folder.path().join("disc.svg"), DISC).unwrap();
    read(folder.path())
}

/// A text as people write names: odd signs included, blanks inside only.
fn text() -> impl Strategy<Value = String> {
    prop::string::string_regex(
        "[A-Za-z0-9éß真'\"=+;,#|./()-]([A-Za-z éß真'\",;\\\\]{0,9}[A-Za-z'\"é])?",
    )
    .unwrap()
}

fn number() -> impl Strategy<Value = String> {
    prop::sample::select(vec!["0042", "42", "4.0", "1e5", "10-12", "A/7", "+3", "007.50"])
        .prop_map(str::to_owned)
}

fn value() -> impl Strategy<Value = String> {
    prop_oneof![
        (0u32..0x100_0000).prop_map(|v| format!("\"#{v:06x}\"")),
        (0.0..100.0f64, -40.0..40.0f64, -40.0..40.0f64)
            .prop_map(|(l, a, b)| format!("Lab({l}, {a}, {b})")),
        prop::collection::vec(0.0..1.0f64, 31)
            .prop_map(|v| format!("Spectrum(from: 400, step: 10, values: {v:?})")),
    ]
}

#[derive(Debug, Clone)]
struct Colour {
    names: (Option<String>, Option<(String, Option<String>)>),
    number: Option<String>,
    value: String,
    years: (Option<u16>, Option<u16>),
    finish: Option<&'static str>,
    note: Option<String>,
    made: u8,
    made_years: Option<(Option<u16>, Option<u16>)>,
}

fn colour() -> impl Strategy<Value = Colour> {
    let year = || prop::option::of(1950u16..1990);
    let later = || prop::option::of(1990u16..2030);
    (
        (prop::option::of(text()), prop::option::of((text(), prop::option::of(text())))),
        prop::option::of(number()),
        value(),
        (year(), later()),
        prop::option::of(prop::sample::select(vec!["clear", "pearl", "glow"])),
        prop::option::of(text()),
        any::<u8>(),
        prop::option::of((year(), later())),
    )
        .prop_map(|(names, number, value, years, finish, note, made, made_years)| Colour {
            names,
            number,
            value,
            years,
            finish,
            note,
            made,
            made_years,
        })
}

fn range_of(colours: &[Colour], maker: &str) -> String {
    let mut out = format!(
        "Range(maker: {maker:?}, listings: [(key: \"works\"), (key: \"dealer\", title: \"Dealer's list\")],
        families: [(key: \"gloss\", title: \"Gloss\", note: \"a; \\\"b\\\"\"), (key: \"ice\", finish: clear)],
        parts: [
          (key: \"disc\", numbers: {{\"works\": \"007\"}}, shape: \"disc.svg\", title: Forms(\"Grey disc\", {{\"en-US\": \"Gray disc\"}})),
          (key: \"ball\", numbers: {{\"dealer\": \"1.0\"}}, role: \"round\", side: right, size: \"9 or so\", shape: \"disc.svg\"),
        ], colours: ["
    );
    let year = |name: &str, y: Option<u16>| y.map_or(String::new(), |y| format!("{name}: {y}, "));
    let (mut rows, mut years) = (String::new(), String::new());
    for (i, c) in colours.iter().enumerate() {
        let mut names = String::new();
        if let Some(name) = &c.names.0 {
            write!(names, "\"works\": {name:?}, ").unwrap();
        }
        if let Some((name, form)) = &c.names.1 {
            let forms = form.as_ref().map_or("{}".into(), |f| format!("{{\"en-US\": {f:?}}}"));
            write!(names, "\"dealer\": Forms({name:?}, {forms}), ").unwrap();
        }
        let numbers = c.number.as_ref().map_or(String::new(), |n| format!("\"works\": {n:?}"));
        let finish = c.finish.map_or(String::new(), |f| format!("finish: {f}, "));
        let note = c.note.as_ref().map_or(String::new(), |n| format!("note: {n:?}, "));
        let family = if i % 3 == 1 { "ice" } else { "gloss" };
        writeln!(
            out,
            "(key: \"c{i}\", family: \"{family}\", names: {{{names}}}, numbers: {{{numbers}}}, value: {}, {}{}{finish}{note}),",
            c.value,
            year("first", c.years.0),
            year("last", c.years.1),
        )
        .unwrap();
        let mark = |bit: u8| if c.made >> bit & 1 == 1 { 'x' } else { '.' };
        write!(rows, "\"c{i}\": \"{}{}\", ", mark(0), mark(1)).unwrap();
        if let Some((from, to)) = c.made_years {
            write!(years, "\"c{i}\": {{\"ball\": ({}{})}}, ", year("from", from), year("to", to))
                .unwrap();
        }
    }
    out + &format!("], made: (rows: {{{rows}}}, years: {{{years}}}))")
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(3),
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_range_reads_back_as_itself(
        colours in prop::collection::vec(colour(), 1..9),
        maker in text(),
    ) {
        let (_folder, loaded) = given(&range_of(&colours, &maker));
        for to in [To::Csv, To::Xlsx] {
            let back = there_and_back(&loaded, to);
            prop_assert_eq!(&back.range, &loaded.range, "{:?}", to);
        }
    }
}

#[test]
fn the_demo_reads_back_as_itself() {
    let mut sources = Sources::default();
    let loaded = load(Path::new("demo/haberdashery/sheet.ron"), &mut sources).expect("the demo");
    for to in [To::Csv, To::Xlsx] {
        let folder = tempfile::tempdir().unwrap();
        for (name, bytes) in files(&loaded.range, &loaded.sheet, to).expect("tables") {
            std::fs::write(folder.path().join(name), bytes).unwrap();
        }
        std::fs::copy("demo/haberdashery/sheet.ron", folder.path().join("sheet.ron")).unwrap();
        std::fs::create_dir(folder.path().join("shapes")).unwrap();
        for part in loaded.range.parts() {
            let name = part.shape_file();
            std::fs::copy(Path::new("demo/haberdashery").join(name), folder.path().join(name))
                .unwrap();
        }
        assert_eq!(read(folder.path()).range, loaded.range);
    }
}

/// What a maker's own spreadsheet looks like: headings of its own, a merged
/// heading row, a title above, empty rows, years as floats, semicolons, Latin-1.
#[test]
fn a_spreadsheet_as_it_grows() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(
        at.join("range.ron"),
        r#"Range(listings: [(key: "works", title: "Works list"), (key: "dealer")],
            families: [(key: "gloss")],
            parts: [(key: "disc", numbers: {"works": "7"}, shape: "disc.svg"), (key: "ball", shape: "disc.svg")],
            colours: Table(file: "colours.csv", headings: {"Art. no.": "key", "Remarks": ""}),
            made: Table(file: "made.csv"))"#,
    )
    .unwrap();
    std::fs::write(at.join("sheet.ron"), SHEET).unwrap();
    std::fs::write(at.join("disc.svg"), DISC).unwrap();
    std::fs::write(
        at.join("colours.csv"),
        b"All our colours;;;;;;;;\r\n;;Works list;;Measured;;;;\r\nArt. no.;Family;Name;Number;L*;a*;b*;First;Remarks\r\n\r\n\
          gannet;gloss;\"Gannet; white\";12;96,1;-0,2;1,5;1984.0;sold out?\r\nteal;gloss;T\xeate;13;40;-20;-5;;\r\n",
    )
    .unwrap();
    std::fs::write(
        at.join("made.csv"),
        "Colour,works name,7,BALL\nGannet; white,,x,\n13,,,1990-\n",
    )
    .unwrap();
    let loaded = read(at);
    let colours = loaded.range.colours();
    assert_eq!(colours.len(), 2);
    assert_eq!(colours[0].names()[0].as_ref().unwrap().text, "Gannet; white");
    let numbers: Vec<Option<&str>> = colours[0].numbers().iter().map(|n| n.as_deref()).collect();
    assert_eq!(numbers, [Some("12"), None]);
    assert_eq!(colours[0].first_year(), Some(1984));
    assert_eq!(colours[0].value(), &shadecard::range::Value::LabD50 { l: 96.1, a: -0.2, b: 1.5 });
    assert_eq!(colours[1].names()[0].as_ref().unwrap().text, "Tête");
    assert_eq!(loaded.range.made(), &[vec![true, false], vec![false, true]]);
    assert_eq!(loaded.range.years().len(), 1);
    let notes = loaded.warnings.sorted();
    let codes: Vec<&str> = notes.iter().map(|d| d.code).collect();
    assert_eq!(codes, ["old-encoding"], "{notes:?}");
}

/// Layouts, styles and spellings of one's own go along with an export.
#[test]
fn an_export_can_be_made_as_it_is() {
    let (folder, _) = given(&range_of(&[], "Maker").replace(
        "colours: [",
        "colours: [(key: \"a\", family: \"gloss\", names: {\"works\": \"Tern\"}, value: \"#f0f0f0\")",
    ));
    let at = folder.path();
    let layout = std::fs::read_to_string("layouts/a4.ron").unwrap();
    std::fs::write(at.join("mine.ron"), layout).unwrap();
    std::fs::copy("layouts/plate.style.ron", at.join("mine.style.ron")).unwrap();
    std::fs::create_dir(at.join("spelling")).unwrap();
    let spelling = std::fs::read_to_string("src/spelling/en-GB.ron").unwrap();
    std::fs::write(at.join("spelling/en-IE.ron"), spelling).unwrap();
    let sheet = "Sheet(range: \"range.ron\", name: \"s\", style: \"mine.style.ron\", spellings: [\"en-IE\"], editions: [(name: \"e\", layout: \"mine.ron\")])";
    std::fs::write(at.join("sheet.ron"), sheet).unwrap();
    for kind in ["csv", "xlsx"] {
        let out = tempfile::tempdir().unwrap();
        let run = |args: &[&str]| {
            let run = std::process::Command::new(env!("CARGO_BIN_EXE_shadecard"))
                .args(args)
                .current_dir(at)
                .output()
                .unwrap();
            let said = String::from_utf8_lossy(&run.stderr).into_owned();
            assert!(run.status.success(), "{args:?}: {said}");
        };
        let to = out.path().join("there");
        let to = to.to_str().unwrap();
        run(&["export", "sheet.ron", "--to", kind, "--out", to]);
        run(&["plan", &format!("{to}/sheet.ron")]);
        let files = ["mine.ron", "mine.style.ron", "spelling/en-IE.ron", "disc.svg"];
        assert!(files.iter().all(|f| Path::new(to).join(f).exists()), "{kind}");
        let back = std::process::Command::new(env!("CARGO_BIN_EXE_shadecard"))
            .args(["export", "sheet.ron", "--to", kind, "--out", "."])
            .current_dir(at)
            .output()
            .unwrap();
        assert_eq!(back.status.code(), Some(1), "nothing of one's own is overwritten");
    }
}

/// A list as people keep it: colours and crosses in one sheet, no keys, families by their titles.
#[test]
fn one_list_for_colours_and_crosses() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let range = |made: &str| {
        format!(
            "Range(listings: [(key: \"works\")], families: [(key: \"gl\", title: \"High Gloss\"), (key: \"ice\", finish: clear)],
            parts: [(key: \"disc\", numbers: {{\"works\": \"2080\"}}, shape: \"disc.svg\"), (key: \"ball\", side: right, shape: \"disc.svg\")],
            colours: Table(file: \"list.csv\", headings: {{\"No.\": \"number\", \"Stock\": \"\"}}), made: Table(file: \"list.csv\"{made}))"
        )
    };
    write("sheet.ron", SHEET);
    write("disc.svg", DISC);
    write("range.ron", &range(""));
    write(
        "list.csv",
        "No.,Name,Family,Hex,Stock,2080,BALL\n101,Gannet,high gloss,#f8f7f3,7,x,\n,Crème,GL,#f0e8d0,,x,x\n101,Brine,Ice,#d7e5e3,12,,2019-2024\n",
    );
    let loaded = read(folder.path());
    let keys: Vec<&str> = loaded.range.colours().iter().map(|c| c.key().as_str()).collect();
    assert_eq!(keys, ["101", "creme", "101-brine"]);
    let families: Vec<usize> = loaded.range.colours().iter().map(|c| c.family().0).collect();
    assert_eq!(families, [0, 0, 1]);
    let made: Vec<bool> = (0..3)
        .flat_map(|c| (0..2).map(move |p| (c, p)))
        .map(|(c, p)| {
            loaded.range.is_made(shadecard::range::ColourId(c), shadecard::range::PartId(p))
        })
        .collect();
    assert_eq!(made, [true, false, true, true, false, true]);
    // Two colours have one number, which is doubtful in itself; nothing else is.
    let codes: Vec<&str> = loaded.warnings.clone().sorted().iter().map(|d| d.code).collect();
    assert_eq!(codes, ["double-number"]);
    // Keys stay when a row comes before them.
    write(
        "list.csv",
        "No.,Name,Family,Hex,Stock,2080,BALL\n99,Tern,gl,#f8f7f3,7,x,\n101,Gannet,gl,#f8f7f3,7,x,\n,Crème,gl,#f0e8d0,,x,x\n",
    );
    let keys: Vec<String> =
        read(folder.path()).range.colours().iter().map(|c| c.key().clone()).collect();
    assert_eq!(keys, ["99", "101", "creme"]);
}

/// What each cell of a workbook is, read by another library.
#[test]
fn a_workbook_holds_numbers_as_numbers() {
    use calamine::{Data, Reader, Xlsx};

    let (_folder, loaded) = given(
        r##"Range(listings: [(key: "works"), (key: "dealer")], families: [(key: "gloss")],
        parts: [
            (key: "7", numbers: {"works": "1102", "dealer": "007"}, size: "9.5", shape: "disc.svg"),
            (key: "8", numbers: {"works": "1104", "dealer": "1E5"}, size: "15 × 5", shape: "disc.svg"),
        ],
        colours: [
            (key: "a", family: "gloss", names: {"works": "12"}, numbers: {"works": "101", "dealer": "0042"}, value: Lab(62.5, -1.25, 0.0), first: 2016),
            (key: "b", family: "gloss", names: {"works": "Tern"}, numbers: {"works": "102", "dealer": "42"}, value: Lab(62.12345678901234, 1, 2), last: 2020),
            (key: "c", family: "gloss", names: {"works": "Ulva"}, numbers: {"dealer": "12345678901234567"}, value: "#102030"),
        ])"##,
    );
    let out = files(&loaded.range, &loaded.sheet, To::Xlsx).expect("tables");
    let book = out.iter().find(|(name, _)| name == "range.xlsx").expect("a workbook");
    let mut book: Xlsx<_> = Xlsx::new(std::io::Cursor::new(book.1.clone())).expect("readable");
    let mut cells = |sheet: &str| -> Vec<Vec<Data>> {
        let range = book.worksheet_range(sheet).expect("a sheet");
        range.rows().map(<[Data]>::to_vec).collect()
    };
    let (n, s) = (Data::Float, |t: &str| Data::String(t.to_owned()));
    let colours = cells("colours");
    let heads = [
        "key",
        "family",
        "works number",
        "works name",
        "dealer number",
        "dealer name",
        "value",
        "L*",
        "a*",
        "b*",
        "finish",
        "first",
        "last",
        "note",
    ];
    assert_eq!(colours[0], heads.map(s));
    let e = || Data::Empty;
    assert_eq!(
        colours[1],
        [
            s("a"),
            s("gloss"),
            n(101.0),
            s("12"),
            s("0042"),
            e(),
            e(),
            n(62.5),
            n(-1.25),
            n(0.0),
            e(),
            n(2016.0),
            e(),
            e()
        ]
    );
    // A spreadsheet keeps fifteen digits.
    assert_eq!(colours[2][4..9], [s("42"), e(), s("Lab(62.12345678901234, 1, 2)"), e(), e()]);
    assert_eq!(colours[3][4..7], [s("12345678901234567"), e(), s("#102030")]);
    let parts = cells("parts");
    assert_eq!(parts[1][..3], [s("7"), n(1102.0), s("007")]);
    assert_eq!(parts[2][..3], [s("8"), n(1104.0), s("1E5")]);
    let size = parts[0].iter().position(|h| *h == s("size")).expect("a column");
    assert_eq!([&parts[1][size], &parts[2][size]], [&n(9.5), &s("15 × 5")]);
    assert_eq!(cells("made")[0], ["key", "7", "8"].map(s));
    assert_eq!(there_and_back(&loaded, To::Xlsx).range, loaded.range);
    assert_eq!(there_and_back(&loaded, To::Csv).range, loaded.range);
}
