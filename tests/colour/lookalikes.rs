//! Look-alikes: the command as a person runs it, the light of a sheet, the panel on the page.

use crate::published::lights;

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use crate::positions::{
    self, colours_once_in_order, inside_the_page, none, open, readable, texts_clear,
};
use kurbo::{Rect, Shape as _};
use serde_json::Value;
use shadecard::colour::from_rgb;
use shadecard::diag::Sources;
use shadecard::graphic::Rgb;
use shadecard::proofread::{Dictionaries, words};
use shadecard::range::{Light, Loaded, Panel, load};
use shadecard::sheet::{FillRule, Item, ItemKind, Role, Sheet};
use shadecard::spelling::Spelling;
use tempfile::TempDir;

/// Pair 1 of Sharma, Wu & Dalal 2005 (2.0425 apart), and two colours of another finish that deutan eyes confuse.
const RANGE: &str = r##"Range(
    maker: "Tideline Works",
    listings: [(key: "works", title: "Works list"), (key: "trade", title: "Trade list")],
    families: [(key: "gloss", title: "Gloss"), (key: "clear", title: "Clear", finish: clear)],
    parts: [(key: "ring", numbers: {"works": "1"}, title: "Ring", shape: "disc.svg")],
    colours: [
        (key: "deep", family: "gloss", names: {"works": "Deep", "trade": "Gulf"}, numbers: {"works": "101", "trade": "7"}, value: Lab(50, 2.6772, -79.7751)),
        (key: "sound", family: "gloss", names: {"works": "Sound Grey"}, numbers: {"works": "102"}, value: Lab(50, 0, -82.7485)),
        (key: "rust", family: "clear", names: {"works": "Rust"}, numbers: {"works": "201"}, value: "#b5762e"),
        (key: "moss", family: "clear", names: {"works": "Moss"}, numbers: {"works": "202"}, value: "#8f8c2c"),
        (key: "rust-2", family: "gloss", names: {"works": "Rust Buoy"}, numbers: {"works": "103"}, value: "#b5762e"),
    ],
)"##;
const SHEET: &str = r#"Sheet(range: "range.ron", name: "shore", headings: "works",
    spellings: ["en-GB", "en-US"], editions: [(name: "a4", layout: "a4")])"#;
const DISC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle cx="4.5" cy="4.5" r="4.5" fill="#888888"/></svg>"##;

fn folder(range: &str, sheet: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in [("range.ron", range), ("sheet.ron", sheet), ("disc.svg", DISC)] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}

fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    command.current_dir(folder).args(["lookalikes", "sheet.ron"]).args(args);
    command.output().expect("runs")
}

fn said(folder: &Path, args: &[&str]) -> String {
    let out = run(folder, args);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8(out.stdout).expect("text")
}

fn json(folder: &Path, args: &[&str]) -> Value {
    let args: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
    serde_json::from_str(&said(folder, &args)).expect("JSON")
}

/// 'first second' keys of a list of pairs.
fn keys(pairs: &Value) -> Vec<String> {
    let key = |pair: &Value, which: &str| pair[which]["key"].as_str().expect("a key").to_owned();
    let pairs = pairs.as_array().expect("a list").iter();
    pairs.map(|p| format!("{} {}", key(p, "first"), key(p, "second"))).collect()
}

fn near(got: &Value, want: f64, within: f64) {
    let got = got.as_f64().expect("a number");
    assert!((got - want).abs() < within, "{got}, not {want}");
}

/// Expected distances: Sharma, Wu & Dalal 2005 (pair 1); colour-science 0.4.7,
/// `matrix_cvd_Machado2009` at severity 1, Bradford to D50, CIE 2000 (19.7805 and
/// 4.8494, 0.3965, 16.2914).
#[test]
fn pairs_words_and_eyes() {
    let at = folder(RANGE, SHEET);
    let told = json(at.path(), &[]);
    assert_eq!(told["colours"], 5);
    // The clear and the opaque rust have one value.
    assert_eq!(keys(&told["pairs"]), ["rust-2 rust", "deep sound"]);
    assert_eq!(told["pairs"][0]["second_is"], serde_json::json!(["the same"]));
    near(&told["pairs"][1]["de00"], 2.0425, 6e-5);
    // 2.6772 less along a* at one lightness: towards green, which for a blue is the hue.
    assert_eq!(told["pairs"][1]["second_is"], serde_json::json!(["greener"]));
    let some = &told["together_for_some"];
    assert_eq!(keys(some), ["rust-2 moss", "rust moss"]);
    near(&some[0]["de00"], 19.7805, 0.02);
    for (eye, want) in [("protan", 4.8494), ("deutan", 0.3965), ("tritan", 16.2914)] {
        near(&some[0]["seen"][eye], want, 0.02);
    }
    assert_eq!(some[0]["together_for"], serde_json::json!(["deutan"]));
    // A pair that is 2 apart for nobody is no matter of the eyes.
    assert_eq!(told["pairs"][0]["together_for"], serde_json::json!([]));
}

#[test]
fn what_is_asked_for() {
    let at = folder(RANGE, SHEET);
    let pairs = |args: &[&str]| keys(&json(at.path(), args)["pairs"]);
    assert_eq!(pairs(&["--same-finish"]), ["deep sound"]);
    assert_eq!(pairs(&["--limit", "2"]), ["rust-2 rust"]);
    assert_eq!(
        pairs(&["--limit", "20"]),
        ["rust-2 rust", "deep sound", "rust-2 moss", "rust moss"]
    );
    assert_eq!(pairs(&["--family", "clear", "--limit", "20"]), ["rust moss"]);
    assert!(pairs(&["--family", "clear"]).is_empty());
    let trade = json(at.path(), &["--listing", "trade"]);
    // The trade list has no name for the second: the other list's, and no number.
    assert_eq!(trade["pairs"][1]["first"]["name"], "Gulf");
    assert_eq!(trade["pairs"][1]["first"]["number"], "7");
    assert_eq!(trade["pairs"][1]["second"]["name"], "Sound Grey");
    assert!(trade["pairs"][1]["second"]["number"].is_null());
    let us = json(at.path(), &["--spelling", "en-US"]);
    assert_eq!(us["pairs"][1]["second"]["name"], "Sound Gray");
}

#[test]
fn a_table_for_people_and_lines_for_machines() {
    let at = folder(RANGE, SHEET);
    let text = said(at.path(), &[]);
    let line = |start: &str| text.lines().find(|l| l.starts_with(start)).unwrap_or("").to_owned();
    assert_eq!(
        line("101").split_whitespace().take(7).collect::<Vec<_>>(),
        ["101", "Deep", "102", "Sound", "Grey", "2.04", "greener"]
    );
    assert!(line("103").contains("Gloss / Clear"), "{text}");
    assert!(text.contains("2 pairs of 5 colours"), "{text}");
    assert!(text.contains("3 for deutan"), "{text}");
    assert!(text.contains("identify these by name and number only"), "{text}");
    assert!(text.contains("1 of them of two finishes"), "{text}");
    assert!(said(at.path(), &["--spelling", "en-US"]).contains("2 pairs of 5 colors"));
    let csv = said(at.path(), &["--csv"]);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let head = reader.headers().expect("a head").clone();
    let place = |name: &str| head.iter().position(|h| h == name).expect("a column");
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    assert_eq!(rows.len(), 4, "those further apart too");
    assert_eq!(&rows[1][place("first_number")], "101");
    assert_eq!(&rows[1][place("de00")], "2.04");
    assert_eq!(&rows[2][place("together_for")], "deutan");
    for (file, start) in [("a/pairs.csv", "first_key,"), ("pairs.json", "{"), ("pairs.txt", "Look")]
    {
        let told = said(at.path(), &["--out", file]);
        assert_eq!(told, format!("Written: {file}\n"));
        let text = std::fs::read_to_string(at.path().join(file)).expect("there");
        assert!(text.starts_with(start), "{text}");
    }
}

#[test]
fn an_export_keeps_panel_and_light() {
    let at = lit(&SHEET.replace(
        "name: \"shore\",",
        "name: \"shore\", light: \"LED-B3\", lookalikes: (show: 3, limit: 4.5),",
    ));
    let mut command = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    command.current_dir(at.path()).args(["export", "sheet.ron", "--to", "csv", "--out", "tables"]);
    assert!(command.output().expect("runs").status.success());
    let (before, after) = (loaded(at.path()), loaded(&at.path().join("tables")));
    assert_eq!(before.sheet.lookalikes(), Some(Panel { show: 3, limit: 4.5 }));
    assert_eq!(before.sheet.lookalikes(), after.sheet.lookalikes());
    assert_eq!((before.sheet.light(), after.sheet.light()), (Light::LedB3, Light::LedB3));
    assert!(before.range == after.range);
}

/// The rows show the works' names, the panel those of the headings: these are read too.
#[test]
fn words_of_the_panel_are_proofread() {
    let tag = "en-GB";
    let doubtful = |sheet: &str| -> Vec<String> {
        let range = RANGE.replace("\"Gulf\"", "Forms(\"Gulf\", {\"en-GB\": \"Gulf Color\"})");
        let at = folder(&range, &SHEET.replace("headings: \"works\"", sheet));
        let loaded = loaded(at.path());
        let spelling = Spelling::shipped(tag).expect("shipped");
        let none = Dictionaries::default();
        let found = words(&loaded.range, &loaded.sheet, tag, &spelling, &none);
        found.sorted().into_iter().map(|d| d.message).collect()
    };
    let form = "headings: \"trade\", centre: [(listing: \"works\")]";
    assert!(doubtful(form).is_empty());
    let told = doubtful(&format!("{form}, lookalikes: ()"));
    assert!(told.len() == 1 && told[0].contains("'Color'"), "{told:?}");
}

#[test]
fn every_fault_of_the_arguments_at_once() {
    let at = folder(RANGE, SHEET);
    let args = [
        "--limit",
        "0",
        "--listing",
        "works-2",
        "--spelling",
        "en-XX",
        "--family",
        "glos",
        "--light",
        "B",
        "--out",
        "pairs.pdf",
    ];
    let out = run(at.path(), &args);
    assert_eq!(out.status.code(), Some(1));
    let text = String::from_utf8(out.stderr).expect("text");
    for piece in [
        "--limit must be above 0 and at most 100, not 0",
        "there is no listing 'works-2'",
        "did you mean 'works'?",
        "There is no spelling 'en-XX'",
        "This sheet shows no family 'glos'",
        "did you mean 'gloss'?",
        "There is no light 'B'",
        "'pairs.pdf' does not have a supported ending",
    ] {
        assert!(text.to_lowercase().contains(&piece.to_lowercase()), "{piece}: {text}");
    }
    assert!(!at.path().join("pairs.pdf").exists() && out.stdout.is_empty());
    for wrong in ["101", "NaN", "-1"] {
        let out = run(at.path(), &[&format!("--limit={wrong}")]);
        assert_eq!(out.status.code(), Some(1), "{wrong}");
    }
    let same = run(at.path(), &["--light", "d50"]);
    assert_eq!(same.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&same.stderr).contains("is already D50"));
}

fn spectrum(values: &[f64]) -> String {
    format!("Spectrum(from: 400, step: 10, values: {values:?})")
}

/// Two spectra that are equal under D50, and a measured colour near them.
fn lit(sheet: &str) -> TempDir {
    let mut range =
        RANGE.replace("\"#b5762e\"", "\"#808080\"").replace("\"#8f8c2c\"", "\"#204060\"");
    let plain = format!(
        r#"(key: "plain", family: "gloss", names: {{"works": "Plain"}}, value: {}),"#,
        spectrum(&lights::PLAIN)
    );
    let wavy = format!(
        r#"(key: "wavy", family: "gloss", names: {{"works": "Wavy"}}, value: {}),"#,
        spectrum(&lights::WAVY)
    );
    let lab = r#"(key: "near", family: "gloss", names: {"works": "Near"}, value: Lab(71, 9, 14)),"#;
    range = range.replace("colours: [", &format!("colours: [{plain}{wavy}{lab}"));
    folder(&range, sheet)
}

/// Expected distances: colour-science 0.4.7, see `published/lights.rs`.
#[test]
fn another_light_opens_a_pair() {
    let at = lit(SHEET);
    let told = json(at.path(), &["--light", "A"]);
    assert_eq!((&told["light"], &told["under"]), (&"D50".into(), &"A".into()));
    assert_eq!(keys(&told["pairs"]), ["plain wavy"]);
    let pair = &told["pairs"][0];
    near(&pair["de00"], 0.0, 0.06);
    near(&pair["de00_under"], 6.0825, 0.06);
    assert_eq!(pair["pair"], "opens");
    // plain and wavy with the Lab colour, deep and sound, and the two greys.
    assert_eq!(told["unknown_pairs"], 4);
    let text = said(at.path(), &["--light", "A"]);
    assert!(text.contains("0 close up and 1 opens"), "{text}");
    assert!(text.contains("4 pairs with a colour without a spectrum"), "{text}");
    // The other way round: seen under A they are apart, under D50 they close up, although beyond the limit before.
    let at = lit(&SHEET.replace("name: \"shore\",", "name: \"shore\", light: \"A\","));
    let told = json(at.path(), &["--light", "D50", "--limit", "3"]);
    assert_eq!(told["pairs"][0]["pair"], "closes up");
    near(&told["pairs"][0]["de00"], 6.0825, 0.06);
    assert!(said(at.path(), &["--light", "LED-B3"]).contains("Seen under LED-B3 instead of A"));
    let none = folder(RANGE, SHEET);
    assert!(
        said(none.path(), &["--light", "A"])
            .contains("No pair up to this limit consists of two spectra")
    );
}

fn loaded(at: &Path) -> Loaded {
    load(&at.join("sheet.ron"), &mut Sources::default()).expect("it loads")
}

#[test]
fn the_light_of_a_sheet_changes_spectra_only() {
    let day = loaded(lit(SHEET).path());
    let lamp = loaded(lit(&SHEET.replacen("name:", "light: \"a\", name:", 1)).path());
    assert_eq!((day.sheet.light(), lamp.sheet.light()), (Light::D50, Light::A));
    for (a, b) in day.range.colours().iter().zip(lamp.range.colours()) {
        let spectrum = a.value().is_spectrum();
        assert_eq!(a.aim() != b.aim(), spectrum, "{}", a.key());
        assert_eq!(a.rgb() != b.rgb(), spectrum, "{}", a.key());
        assert_eq!(a.aim(), a.value().aim());
        assert_eq!(b.aim(), b.value().aim_under(Light::A));
    }
    // A published value is the aim of its bytes.
    let grey = day.range.colours().iter().find(|c| c.key() == "rust").expect("there");
    assert_eq!(grey.aim(), from_rgb(Rgb(0x80, 0x80, 0x80)));
}

/// The flat fields of the panel in drawing order.
fn fields(sheet: &Sheet) -> Vec<(Rect, Rgb)> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let published = sheet.palette.published();
    let own = |i: &&Item| i.role == Role::Swatch && i.origin.as_deref() == Some("lookalikes");
    items
        .filter(own)
        .filter_map(|i| match &i.kind {
            ItemKind::Area(a) if a.rule == FillRule::NonZero => {
                Some((a.path.bounding_box(), published.of(a.fill)))
            }
            _ => None,
        })
        .collect()
}

fn strings(sheet: &Sheet, origin: &str) -> Vec<String> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let own = items.filter(|i| i.origin.as_deref() == Some(origin));
    own.filter_map(|i| match &i.kind {
        ItemKind::Text(text) => Some(text.string.clone()),
        _ => None,
    })
    .collect()
}

/// 5 pt, the least type on any page: 5 x 25.4 / 72 mm.
const FLOOR: f64 = 5.0 * 25.4 / 72.0;

/// The demo with a panel, in both styles, on small and large pages, upright and not.
#[test]
fn the_panel_shows_the_closest_clusters() {
    let demo = std::fs::read_to_string("demo/haberdashery/sheet.ron").expect("the demo");
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    std::fs::create_dir(at.join("shapes")).expect("made");
    for file in std::fs::read_dir("demo/haberdashery/shapes").expect("shapes").flatten() {
        std::fs::copy(file.path(), at.join("shapes").join(file.file_name())).expect("copied");
    }
    std::fs::copy("demo/haberdashery/range.ron", at.join("range.ron")).expect("copied");
    let file = at.join("sheet.ron");
    let start = demo.find("    editions: [").expect("editions");
    let end = start + demo[start..].find("    ],").expect("an end");
    let sheet = format!(
        "{}    lookalikes: (show: 6, limit: 30),\n    editions: [\n        (name: \"medium\", layout: \"poster-457x610\"),\n        (name: \"a4\", layout: \"a4\"),\n        (name: \"few\", layout: \"a4\", families: [\"nacre\", \"nightglow\"]),\n        (name: \"one\", layout: \"a3\", families: [\"gloss\"]),\n        (name: \"metal\", layout: \"a4\", families: [\"plated\"]),\n        (name: \"two\", layout: \"a4\", families: [\"gloss\", \"plated\"]),\n{}",
        &demo[..start],
        &demo[end..]
    );
    std::fs::write(&file, sheet).expect("written");
    let mut places = BTreeSet::new();
    for style in ["plate", "catalogue"] {
        let editions = open(&file, Some(style));
        let workshop = editions.workshop();
        for entry in editions.variants() {
            let name = format!("{style} {}", entry.stem());
            let planned = editions.plan(entry).unwrap_or_else(|d| panic!("{name}: {}", d.message));
            let sheet = planned.place(&workshop);
            places.insert(format!("{style} {:?}", planned.plan.furniture));

            let clusters = &planned.facts.alike;
            let mut fields = fields(&sheet).into_iter();
            // Within so wide a limit the colours of the smallest editions make fewer than six.
            let small = ["few", "metal"].contains(&entry.name());
            let most = if small { 2..=6 } else { 6..=6 };
            assert!(most.contains(&clusters.len()), "{name}: {}", clusters.len());
            let chip = planned.facts.look.chip;
            let told = strings(&sheet, "lookalikes");
            let mut seen = BTreeSet::new();
            for cluster in clusters {
                let own: Vec<(Rect, Rgb)> = fields.by_ref().take(cluster.colours.len()).collect();
                let colours: Vec<_> =
                    cluster.colours.iter().map(|c| editions.range.colour(c.colour)).collect();
                let drawn: Vec<Rgb> = own.iter().map(|f| f.1).collect();
                let values: Vec<Rgb> = colours.iter().map(|c| c.rgb()).collect();
                assert_eq!(drawn, values, "{name}");
                assert!(colours.iter().all(|c| c.finish() == colours[0].finish()), "{name}");
                assert!(
                    cluster.colours.iter().all(|c| seen.insert(c.colour)),
                    "{name}: shown twice"
                );
                // They share an edge and are larger than any chip.
                for two in own.windows(2) {
                    let [upper, lower] = [two[0].0, two[1].0];
                    // The upper one goes on under the lower: no white in a pixel that the edge crosses.
                    assert!(upper.y1 >= lower.y0 + 0.254 && upper.y1 < lower.y1, "{name}");
                    let step = lower.y0 - upper.y0;
                    assert!(lower.height() >= step - 1e-9 && step > chip.1, "{name}");
                    assert!(upper.width() > chip.0 * 2.0, "{name}");
                    assert_eq!((upper.x0, upper.x1), (lower.x0, lower.x1), "{name}");
                }
                for words in cluster.colours.iter().map(|c| &c.words) {
                    assert!(told.contains(&words.0) && told.contains(&words.1), "{name}: {told:?}");
                }
            }
            assert_eq!(fields.next(), None, "{name}");
            let grey = if entry.tag == "en-US" { "grayer" } else { "greyer" };
            assert!(
                entry.name() == "few" || told.iter().any(|t| t.contains(grey)),
                "{name}: {told:?}"
            );
            let mut faults = inside_the_page(&sheet);
            faults.extend(texts_clear(&sheet));
            faults.extend(readable(&sheet, FLOOR));
            faults.extend(colours_once_in_order(&editions, &planned, &sheet));
            for (field, _) in self::fields(&sheet) {
                for item in sheet.pages.iter().flat_map(|p| &p.items) {
                    let ItemKind::Text(text) = &item.kind else { continue };
                    if positions::depth(field, positions::text_box(text)) > 0.05 {
                        faults.push(format!("'{}' lies over a field", text.string));
                    }
                }
            }
            none(&name, faults);
        }
    }
    for style in ["plate", "catalogue"] {
        for place in ["Column", "Band"] {
            assert!(
                places.contains(&format!("{style} {place}")),
                "not met: {style} {place} in {places:?}"
            );
        }
    }
}

#[test]
fn no_panel_where_none_is_asked_for_or_nothing_is_close() {
    for (field, drawn) in [
        ("", 0),
        ("lookalikes: (limit: 1),", 0),
        ("lookalikes: (),", 1),
        ("lookalikes: (show: 40, limit: 50),", 2),
    ] {
        let at =
            folder(RANGE, &SHEET.replace("name: \"shore\",", &format!("name: \"shore\", {field}")));
        let editions = open(&at.path().join("sheet.ron"), None);
        let planned =
            editions.plan(editions.variants().next().expect("an edition")).expect("a plan");
        let sheet = planned.place(&editions.workshop());
        assert_eq!(fields(&sheet).len(), drawn * 2, "{field}");
        assert_eq!(strings(&sheet, "lookalikes").is_empty(), drawn == 0, "{field}");
    }
}

/// Wherever it is: the reason of every colour left out is on the page once.
#[test]
fn what_is_left_out_is_always_told() {
    let text = std::fs::read_to_string("demo/haberdashery/sheet.ron").expect("the demo");
    assert!(text.contains("colour not final"));
    let mut legend = 0;
    for style in ["plate", "catalogue"] {
        let editions = open(Path::new("demo/haberdashery/sheet.ron"), Some(style));
        let workshop = editions.workshop();
        for entry in editions.variants() {
            let planned = editions.plan(entry).expect("a plan");
            let sheet = planned.place(&workshop);
            let told = |origin: &str| {
                strings(&sheet, origin)
                    .join(" ")
                    .replace("color ", "colour ")
                    .matches("colour not final")
                    .count()
            };
            let name = format!("{style} {}", entry.stem());
            assert_eq!(told("imprint") + told("legend"), 1, "{name}");
            if style == "catalogue" && told("legend") == 1 {
                legend += 1;
                assert!(
                    strings(&sheet, "legend").join(" ").contains("Left out: Hull Red"),
                    "{name}"
                );
            }
        }
    }
    assert!(legend > 0, "the foot has room everywhere: this test tells nothing");
}
