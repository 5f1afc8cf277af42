//! Writes the inputs that fuzzing begins with into `fuzz/corpus`: from the fixtures of faults, the demo and what
//! ships with the program.
//!
//! Run in the project's folder: `cargo run --example fuzz_seeds [CORPUS [DRAWINGS...]]`. Into another folder than
//! `fuzz/corpus` it also copies drawings of other people, such as those that `.ci/check-drawings` has fetched.

#[path = "../tests/common/press.rs"]
mod press;

use std::fs;
use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use shadecard::diag::Sources;
use shadecard::export::{To, files};
use shadecard::range::{Loaded, load};

/// Files of one kind: more would not reach more of the program.
const MOST: usize = 40;

fn main() {
    ranges_and_sheets();
    tables();
    shapes();
    profiles();
    words();
    arguments();
    for (target, most) in [
        ("plan", 500),
        ("pdf", 600),
        ("drawing", 400),
        ("placing", 400),
        ("solver", 60),
        ("photograph", 300),
    ] {
        noise(target, 24, most);
    }
    for target in ["begin", "stock", "published", "places", "measured", "tables"] {
        as_for("csv", target);
    }
    as_for("spelling", "lines");
    as_for("spelling", "labels");
    as_for("arguments", "commands");
    pages();
    drawings();
}

/// What is on photographed pages: as `stage` writes it, and as somebody does.
fn pages() {
    let out = tempfile::tempdir().expect("a folder");
    let pdf = out.path().join("stage.pdf");
    for part in ["b9", "r8", "b13", "t18"] {
        let words = [
            "shadecard",
            "stage",
            "demo/haberdashery/sheet.ron",
            "--family",
            "nacre",
            "--page",
            "a6",
        ];
        let words = words.iter().copied().chain(["--part", part, "--replace", "--out"]);
        let words = words.map(Into::into).chain([pdf.clone().into_os_string()]).collect();
        assert_eq!(shadecard::cli::run_with(words, &Default::default()), 0);
        let json = fs::read(pdf.with_extension("json")).expect("written");
        put("pages", &format!("{part}.json"), json);
    }
    for (name, text) in [
        (
            "picture",
            "Picture(paper: (210, 297), corners: [(312, 204), (3871, 190), (3902, 5230), (280, 5248)],\n    places: [(part: \"b9\", colour: \"gannet\", at: (30, 40)), (part: \"r8\", colour: \"dulse\", at: (60.5, 40), turned: 30)])",
        ),
        (
            "boxed",
            "Picture(paper: (60, 40), corners: [(0, 0), (600, 0), (600, 400), (0, 400)], places: [(part: \"disc\", colour: \"red\", at: (30, 20), turned: -1000.5)])",
        ),
        ("empty", "Picture(paper: (60, 40), corners: [], places: [])"),
        ("kind", "Sheet(range: \"range.ron\")"),
        (
            "wrong",
            "Picture(paper: (210, 9297), corners: [(312, 204)], places: [(part: \"b99\", at: (30))])",
        ),
    ] {
        put("pages", name, text.as_bytes());
    }
}

/// Where the inputs are put.
fn corpus() -> PathBuf {
    std::env::args().nth(1).unwrap_or_else(|| "fuzz/corpus".into()).into()
}

/// The inputs of one target for another: `tables`, `lines` and `labels` choose by the first byte.
fn as_for(from: &str, target: &str) {
    let mut names: Vec<PathBuf> = fs::read_dir(corpus().join(from))
        .expect("a folder")
        .map(|e| e.expect("an entry").path())
        .collect();
    names.sort();
    for (n, file) in names.iter().enumerate() {
        let bytes = fs::read(file).expect("readable");
        let chosen = matches!(target, "tables" | "lines" | "labels").then_some(n as u8);
        let bytes: Vec<u8> = chosen.into_iter().chain(bytes).collect();
        put(target, &file.file_name().expect("a name").to_string_lossy(), bytes);
    }
}

/// Drawings of other people: those that come with the tests, and where another folder is named, all that are there.
fn drawings() {
    let folders = std::env::args().skip(2).map(PathBuf::from);
    for folder in folders.chain([PathBuf::from("tests/drawings")]) {
        let mut open = vec![folder];
        while let Some(folder) = open.pop() {
            let entries = fs::read_dir(&folder).expect("a folder");
            for path in entries.map(|e| e.expect("an entry").path()) {
                if path.is_dir() {
                    open.push(path);
                } else if path.extension().is_some_and(|e| e == "svg") {
                    let of = folder.file_name().unwrap_or_default().to_string_lossy();
                    put(
                        "shape",
                        &format!("{of}-{}", stem(&path)),
                        fs::read(&path).expect("readable"),
                    );
                }
            }
        }
    }
}

fn put(target: &str, name: &str, bytes: impl AsRef<[u8]>) {
    let folder = corpus().join(target);
    fs::create_dir_all(&folder).expect("made");
    fs::write(folder.join(name), bytes).expect("written");
}

fn text(file: &Path) -> String {
    fs::read_to_string(file).expect("readable")
}

/// Files of a folder with this ending, by name.
fn of(folder: &str, ending: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder").map(|e| e.expect("an entry").path());
    let mut all: Vec<PathBuf> =
        entries.filter(|p| p.extension().is_some_and(|e| e == ending)).collect();
    all.sort();
    all
}

fn stem(file: &Path) -> String {
    file.file_stem().expect("a name").to_string_lossy().into_owned()
}

/// At most [`MOST`], evenly taken.
fn some<T>(all: Vec<T>) -> impl Iterator<Item = T> {
    let step = all.len().div_ceil(MOST).max(1);
    all.into_iter().step_by(step)
}

fn ranges_and_sheets() {
    let mut kinds = [("range", "Range(", Vec::new()), ("sheet", "Sheet(", Vec::new())];
    for file in of("tests/faults", "ron") {
        // Comments say what the fixture expects.
        let lines: Vec<String> = text(&file).lines().map(str::to_owned).collect();
        let body: Vec<&str> =
            lines.iter().map(String::as_str).skip_while(|l| l.starts_with("//!")).collect();
        let body = body.join("\n") + "\n";
        for (_, start, all) in &mut kinds {
            if body.trim_start().starts_with(*start) {
                all.push((stem(&file), body.clone()));
            }
        }
    }
    for (target, _, all) in kinds {
        some(all).for_each(|(name, body)| put(target, &name, body));
        put(target, "base", text(&Path::new("tests/faults/base").join(format!("{target}.ron"))));
    }
    put("range", "demo", demo_range());
    for folder in ["gap", "loose", "split", "stand-in"] {
        let range = text(&Path::new("tests/golden").join(folder).join("range.ron"));
        put("range", &format!("golden-{folder}"), with_discs(&range));
    }
    let base = text(Path::new("tests/faults/base/sheet.ron"));
    let style = base.replace("editions:", "style: \"own.style.ron\", editions:");
    for file in of("layouts", "ron") {
        let (name, own) = (stem(&file), text(&file));
        let sheet = match name.rsplit_once('.') {
            Some((_, "style")) => format!("{style}\n== own.style.ron\n{own}"),
            Some(_) => format!("{base}\n== own.labels.ron\n{own}"),
            None => format!("{}\n== own.ron\n{own}", base.replace("\"a4\"", "\"own.ron\"")),
        };
        put("sheet", &format!("with-{name}"), sheet);
    }
    let spelled = base.replace("editions:", "spellings: [\"xx\"], editions:");
    let own = text(Path::new("src/spelling/en-GB.ron"));
    put("sheet", "with-spelling", format!("{spelled}\n== spelling/xx.ron\n{own}"));
    let papers = base.replace("editions:", "papers: [(name: \"matte\", model: matte)], editions:");
    let values = "Values(sheet: \"base\", paper: \"matte\", colour_mode: srgb, colours: [(key: \"red\", aim: (40.1, 60.2, 50.3), value: \"#cc0000\")])";
    put("sheet", "with-values", format!("{papers}\n== matte.values.ron\n{values}"));
}

/// Its parts are all discs, since a range is read beside no other shape.
fn demo_range() -> String {
    with_discs(&text(Path::new("demo/haberdashery/range.ron")))
}

fn with_discs(range: &str) -> String {
    let pieces = range.split('"');
    let disc = |piece: &str| match piece.ends_with(".svg") {
        true => "disc.svg".to_owned(),
        false => piece.to_owned(),
    };
    pieces.map(disc).collect::<Vec<_>>().join("\"")
}

/// Sections `== file NAME` of the fixtures of command lines with this ending.
fn attached(ending: &str) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for file in of("tests/faults/commands", "fault") {
        for part in text(&file).split("\n== file ").skip(1) {
            let part = part.split("\n== ").next().unwrap_or_default();
            let (name, body) = part.split_once('\n').unwrap_or((part, ""));
            if name.ends_with(ending) {
                out.push((stem(&file), format!("{body}\n")));
            }
        }
    }
    out
}

fn tables() {
    some(attached(".csv")).for_each(|(name, body)| put("csv", &name, body));
    let base = "tests/faults/base/sheet.ron";
    for (from, file) in [("base", base), ("demo", "demo/haberdashery/sheet.ron")] {
        let loaded: Loaded = load(Path::new(file), &mut Sources::default()).expect("faultless");
        let csv = files(&loaded.range, &loaded.sheet, To::Csv).expect("tables");
        for (name, bytes) in csv.iter().filter(|(name, _)| name.ends_with(".csv")) {
            put("csv", &format!("{from}-{}", stem(Path::new(name))), bytes);
        }
        let book = files(&loaded.range, &loaded.sheet, To::Xlsx).expect("a workbook");
        for (_, bytes) in book.iter().filter(|(name, _)| name.ends_with(".xlsx")) {
            put("xlsx", &format!("{from}-zip"), bytes);
            if from == "base" {
                put("xlsx", &format!("{from}-parts"), parts(bytes));
            }
        }
    }
    books();
    put("csv", "semicolons", "Nummer;Name;Wert\r\n1;Ebbe;\"#aa\"\"bb\"\r\n2,5;Flut;#00ff00\r\n");
    put("csv", "tabs", "key\tname\tL*\ta*\tb*\nred\tRed\t50.5\t1\t-2\n");
    put("csv", "latin", b"name,number\nT\xeate,1\n");
    put(
        "csv",
        "stock",
        "part,colour,count\n1,Red,3\nball,ice,1\nblank tiles,,40\nlabel sheets,,2\n",
    );
    put("csv", "used", "place\n1\n2\n17\n");
    put("csv", "offset", "mark,dx,dy\n1,0.1,-0.2\n2,0.12,-0.18\n3,0.3,0\n4,0.2,0.1\n");
    put("csv", "made", "Colour,1,2\nred,x,\nmid-grey,,1990-\nice,x,-2004\n");
    let cell = |value: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{value}</text:p></table:table-cell>"
        )
    };
    let row = |values: &[&str]| {
        let cells: String = values.iter().map(|v| cell(v)).collect();
        format!("<table:table-row>{cells}</table:table-row>")
    };
    let rows = row(&["key", "name", "value"])
        + &row(&["red", "Red", "#cc0000"])
        + "<table:table-row table:number-rows-repeated=\"3\"><table:table-cell table:number-columns-repeated=\"4\" office:value-type=\"float\" office:value=\"1.5\"/></table:table-row>";
    let names = ["office", "table", "text"]
        .map(|n| format!(" xmlns:{n}=\"urn:oasis:names:tc:opendocument:xmlns:{n}:1.0\""))
        .concat();
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content{names}><office:body><office:spreadsheet><table:table table:name=\"one\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let manifest = "<?xml version=\"1.0\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
    put(
        "xlsx",
        "open-parts",
        format!(
            "\n== mimetype\napplication/vnd.oasis.opendocument.spreadsheet\n== META-INF/manifest.xml\n{manifest}\n== content.xml\n{content}"
        ),
    );
}

/// What cells of a workbook can be.
fn books() {
    type Fill = fn(&mut Workbook);
    let fills: [(&str, Fill); 4] = [
        ("dates", |book| {
            let format = Format::new().set_num_format("yyyy-mm-dd");
            let day = ExcelDateTime::parse_from_str("2026-12-10").expect("a day");
            let sheet = book.add_worksheet();
            sheet.write(0, 0, "key").expect("written");
            sheet.write_datetime_with_format(1, 0, day, &format).expect("written");
        }),
        ("formulas", |book| {
            let sheet = book.add_worksheet();
            sheet.write(0, 0, "name").expect("written");
            let formula = Formula::new("A1").set_result("#REF!");
            sheet.write_formula(1, 0, formula).expect("written");
        }),
        ("merged", |book| {
            let sheet = book.add_worksheet();
            sheet.merge_range(0, 0, 0, 2, "All colours", &Format::new()).expect("merged");
            sheet.write(1, 0, "name").expect("written");
            sheet.write(2, 0, 4.5).expect("written");
            sheet.write(3, 1, true).expect("written");
        }),
        ("hidden", |book| {
            book.add_worksheet().set_hidden(true);
            let sheet = book.add_worksheet();
            sheet.set_active(true);
            sheet.write(0, 0, "key").expect("written");
        }),
    ];
    for (name, fill) in fills {
        let mut book = Workbook::new();
        fill(&mut book);
        let bytes = book.save_to_buffer().expect("a workbook");
        put("xlsx", &format!("{name}-parts"), parts(&bytes));
        put("xlsx", &format!("{name}-zip"), bytes);
    }
}

/// The parts of a zip file as text.
fn parts(bytes: &[u8]) -> Vec<u8> {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).expect("a zip file");
    let mut out = Vec::new();
    for i in 0..zip.len() {
        let mut part = zip.by_index(i).expect("a part");
        out.extend(format!("\n== {}\n", part.name().expect("a name")).bytes());
        part.read_to_end(&mut out).expect("readable");
    }
    out
}

fn shapes() {
    for file in of("demo/haberdashery/shapes", "svg") {
        put("shape", &stem(&file), text(&file));
    }
    put("shape", "disc", text(Path::new("tests/faults/base/disc.svg")));
    some(attached(".svg")).for_each(|(name, body)| put("shape", &name, body));
}

fn profiles() {
    let small = press::profile();
    put("icc", "made-up", &small);
    put("icc", "cut-short", &small[..small.len() - 40]);
    let with = |at: usize, bytes: &[u8]| {
        let mut all = small.clone();
        all[at..at + bytes.len()].copy_from_slice(bytes);
        all
    };
    put("icc", "of-a-screen", with(12, b"mntr"));
    put("icc", "of-rgb", with(16, b"RGB "));
    put("icc", "in-xyz", with(20, b"XYZ "));
    put("icc", "version-4", with(8, &[4, 0x20]));
    put("icc", "no-parts", with(128, &[0; 4]));
    put("icc", "one-part", with(128, &[0, 0, 0, 1]));
}

fn words() {
    let gb = text(Path::new("src/spelling/en-GB.ron"));
    put("spelling", "en-gb", &gb);
    some(attached("xx.ron")).for_each(|(name, body)| put("spelling", &name, body));
    put(
        "spelling",
        "small",
        "Spelling(name: \"Small\", words: {\"colour\": \"color\"}, phrases: {\"continued\": \"on\"})",
    );
    put("spelling", "nothing", "Spelling()");
    put("spelling", "unknown-phrase", "Spelling(phrases: {\"contnued\": \"on\"})");
    put("spelling", "unknown-place", "Spelling(phrases: {\"family_count\": \"{m} of {n}\"})");
    put("spelling", "names", "Ship’s Bell\n403\nMid Grey, coloured\nA/7\n");
    put(
        "spelling",
        "long-name",
        "A Name That Is Much Too Long For Any Label Of This World\n1234567890123\n",
    );
    put("spelling", "long-word", "Unbreakablenamewithoutanyblankwhatsoeverinit\n\n\n12\n");
    put(
        "spelling",
        "cases",
        "grey GREY Grey gReY colour-fast Harbor’s cheque CATALOGUE ßtraße İ ǅ",
    );
}

/// Command lines of the fixtures, one word a line.
fn arguments() {
    let mut all = Vec::new();
    for file in of("tests/faults/commands", "fault") {
        let line =
            text(&file).lines().find_map(|l| l.strip_prefix("$ shadecard ").map(str::to_owned));
        all.extend(line.map(|line| (stem(&file), line)));
    }
    for (name, line) in some(all) {
        put("arguments", &name, line.split(' ').collect::<Vec<_>>().join("\n"));
    }
    for line in [
        "supplies sheet.ron --each 3 --spares 5% --tile-spares 2 --label-grid 7x3 --first-free 5 --per colour",
        "supplies sheet.ron --listing dealer --json --labels-per-sheet 21",
        "supplies sheet.ron --out buy.pdf --paper letter --style catalogue",
        "board sheet.ron --out board.pdf --out board.csv --panels a4 --tile-size 50x25 --columns 2",
        "board sheet.ron --family gloss --width 300 --overlap 5 --margin 4",
        "lookalikes sheet.ron --limit 40 --same-finish --light A --csv",
        "lookalikes sheet.ron --out pairs.json --json",
        "tune sheet.ron --paper matte --limit 20",
        "tune sheet.ron --paper coated --colour-mode cmyk --csv",
        "make sheet.ron --panels 210x297 --overlap 3 --margin 2 --dpi 150 --dpi 72 --format pdf",
        "help board",
        "--version",
    ] {
        let name = line.replace(|c: char| !c.is_ascii_alphanumeric(), "-");
        put("arguments", &format!("whole-{:.30}", name), line.replace(' ', "\n"));
    }
}

/// Bytes that look like chance and are the same on every run (Knuth's MMIX generator).
fn noise(target: &str, count: u64, most: u64) {
    for n in 0..count {
        let mut state = n;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            state >> 33
        };
        let length = 20 + next() % most;
        let bytes: Vec<u8> = (0..length).map(|_| next() as u8).collect();
        put(target, &format!("noise-{n:02}"), bytes);
    }
}
