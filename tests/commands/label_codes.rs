//! Codes of single colours on labels: read again from what is printed.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use shadecard::diag::{Findings, Sources};
use shadecard::labels::choose::{self, Choice};
use shadecard::labels::stand::Places;
use shadecard::labels::{Codes, LabelSheet, LabelsRequest, Set};
use shadecard::paint::png;
use shadecard::plan::Style;
use shadecard::range::{Loaded, load};
use shadecard::sheet::palette::PrintValues;
use shadecard::spelling::Spelling;
use shadecard::units::Dpi;
use shadecard::work::Work;

const RANGE: &str = r##"Range(maker: "Tideline Works", listings: [(key: "works", title: "Works list")],
    families: [(key: "gloss", title: "Gloss")],
    parts: [(key: "ring", numbers: {"works": "1"}, role: "ring", side: left, shape: "disc.svg")],
    colours: [(key: "gannet", family: "gloss", names: {"works": "Gannet"}, numbers: {"works": "11"}, value: "#f0e8d8"),
        (key: "dulse", family: "gloss", names: {"works": "Dulse"}, numbers: {"works": "12"}, value: "#602030"),
        (key: "slate-pool", family: "gloss", names: {"works": "Slate Pool"}, numbers: {"works": "13"}, value: "#406070")])"##;
const DISC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle cx="4.5" cy="4.5" r="4.5" fill="#888888"/></svg>"##;
const ADDRESS: &str = "https://example.com/colours";

/// A sheet of three colours whose page is at an address, or has none.
fn folder(page: &str) -> tempfile::TempDir {
    let sheet = format!(
        r#"Sheet(range: "range.ron", name: "board", title: "Board", headings: "works",
            centre: [(listing: "works")], {page} editions: [(name: "a4", layout: "a4")])"#
    );
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in [("range.ron", RANGE), ("sheet.ron", &sheet), ("disc.svg", DISC)] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}

/// What all codes on the first page say, drawn with so many dots an inch.
fn read(loaded: &Loaded, label_sheet: &LabelSheet, dpi: u32) -> BTreeSet<String> {
    let Loaded { range, sheet, .. } = loaded;
    let colours = choose::colours(range, sheet, &Choice::default()).expect("all");
    let codes = Codes::new((range, sheet), &colours, label_sheet).expect("room");
    let grid = label_sheet.grid(0).expect("rows");
    let columns = label_sheet.columns();
    let places = Places { grid, columns, spoiled_rows: 0, fill: false, used: BTreeSet::new() };
    let request = LabelsRequest {
        range,
        sheet,
        label_sheet,
        style: &Style::shipped("plate").expect("shipped"),
        colours: &colours,
        lines: sheet.centre(),
        places: &places,
        copies: 1,
        codes: Some(&codes),
        work: &Work::default(),
        values: &PrintValues::default(),
    };
    let spelling = Spelling::shipped("en-GB").expect("shipped");
    let set = Set::new(&request, &spelling, &mut Findings::default());
    let set = set.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
    let values = PrintValues::default();
    let colours = set.print().palette.printed(&values);
    let painted = set.print().coloured(&colours);
    let dpi = Dpi::new(dpi).expect("a resolution");
    let drawn = png::in_memory(painted, 0, dpi, 1, &|_| Ok(())).expect("drawn");
    let picture = tiny_skia::Pixmap::decode_png(&drawn).expect("a picture");
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let grey = |x: usize, y: usize| picture.pixels()[y * width + x].green();
    let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(width, height, grey);
    prepared.detect_grids().iter().filter_map(|g| g.decode().ok().map(|(_, text)| text)).collect()
}

fn label_sheet(name: &str) -> LabelSheet {
    LabelSheet::find(name, Path::new(""), &mut Sources::default()).expect("shipped")
}

fn labels(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    command.current_dir(folder).args(["labels", "sheet.ron", "--codes"]).args(args);
    command.output().expect("it runs")
}

/// With rqrr, as an outside reader, at the resolution of desk printers.
#[test]
fn codes_on_labels_open_their_colours() {
    let folder = folder(&format!(r#"page: (address: "{ADDRESS}"),"#));
    let loaded = load(&folder.path().join("sheet.ron"), &mut Sources::default()).expect("loads");
    let wanted: BTreeSet<String> = ["gannet", "dulse", "slate-pool"]
        .map(|key| format!("{ADDRESS}#colour={key}"))
        .into_iter()
        .collect();
    for name in ["a4", "letter", "roll", "small"] {
        assert_eq!(read(&loaded, &label_sheet(name), 300), wanted, "{name}");
    }
}

#[test]
fn what_codes_need_is_reported_before_anything_is_written() {
    let nothing = folder("");
    let output = labels(nothing.path(), &[]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("no address of its page for buyers"), "{said}");
    let long = folder(r#"page: (address: "https://example.com/colours/of/the/works"),"#);
    let tiny = "Labels(sheet: (paper: \"A4\"), label: (width: 40, height: 12), lines: 1)";
    std::fs::write(long.path().join("tiny.ron"), tiny).expect("written");
    let output = labels(long.path(), &["--label-sheet", "tiny.ron"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{said}");
    // 61 characters need 33 modules of 0.33 mm, and 1.5 mm on either side are kept free: 13.89 mm.
    assert!(said.contains("at least 27.8 x 13.9 mm"), "{said}");
    assert!(!long.path().join("out").exists());
}
