//! The board map: the very pieces that `supplies` counts, each at a place of
//! its own, at true size.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

use kurbo::Rect;
use proptest::prelude::*;
use serde_json::Value;
use shadecard::board::{Board, BoardRequest, draw};
use shadecard::diag::{Diagnostic, Sources};
use shadecard::plan::{Look, Style};
use shadecard::range::{Loaded, load};
use shadecard::sheet::{ItemKind, Role};
use shadecard::spelling::Spelling;
use shadecard::supplies::{self, LabelGrid, Naming, Spares, Stock, Supplies};
use shadecard::work::Work;

const DEMO: &str = "demo/haberdashery/sheet.ron";
const NAMED: &str = "demo/css-colours/sheet.ron";

fn shadecard(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).args(args).output().expect("runs")
}

fn stdout(args: &[&str]) -> String {
    let output = shadecard(args);
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&stdout(args)).expect("JSON")
}

struct Case {
    loaded: Loaded,
    spelling: Spelling,
    look: Look,
}

impl Case {
    fn of(sheet: &str) -> Case {
        let loaded = load(Path::new(sheet), &mut Sources::default());
        let style = Style::shipped("plate").expect("shipped");
        Case {
            loaded: loaded.unwrap_or_else(|_| panic!("{sheet} is correct")),
            spelling: Spelling::shipped("en-GB").expect("shipped"),
            look: Look::new(&style, 210.0, 297.0, 1.764).expect("a look"),
        }
    }

    fn naming(&self) -> Naming<'_> {
        let Loaded { range, sheet, .. } = &self.loaded;
        Naming { range, sheet, listing: sheet.headings(), spelling: &self.spelling }
    }

    fn supplies(&self) -> Supplies {
        let wish = supplies::SuppliesRequest {
            families: Vec::new(),
            each: 1,
            spares: Spares::NONE,
            stand_ins: true,
            labels_each: 1,
            tile_spares: Spares::NONE,
            grid: LabelGrid::new(1, 1, 0).expect("a grid"),
            used: 0,
        };
        Supplies::new(&self.loaded.range, &self.loaded.sheet, &wish, &Stock::default())
    }

    fn board(&self, wish: &BoardRequest) -> Board {
        self.try_board(wish).expect("a board")
    }

    fn try_board(&self, wish: &BoardRequest) -> Result<Board, Diagnostic> {
        let voices = draw::Voices::new(&self.look);
        let naming = self.naming();
        let caption = |part| voices.caption(&self.look, &naming, part);
        Board::new(&self.loaded.range, &self.supplies(), wish, &caption)
    }
}

const USUAL: BoardRequest = BoardRequest { columns: None, width: None, blank: (50.0, 25.0) };

/// Lines of a CSV as maps from heading to cell.
fn csv(text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.deserialize().map(|row| row.expect("a row")).collect()
}

#[test]
fn the_map_has_what_supplies_counts() {
    for sheet in [DEMO, NAMED] {
        for more in [&[][..], &["--no-stand-ins"]] {
            let map = json(&[&["board", sheet, "--json"], more].concat());
            let count = json(&[&["supplies", sheet, "--json"], more].concat());
            assert_eq!(map["pieces"], count["total"]["needed"]);
            assert_eq!(map["blank_tiles"], count["tiles"]["needed"]);
            // Line by line: part x colour, and for which part it stands in.
            let key = |row: &BTreeMap<String, String>| {
                ["part key", "colour key", "stands in for"].map(|k| row[k].clone())
            };
            let lines = csv(&stdout(&[&["supplies", sheet, "--csv"], more].concat()));
            let mut needed: Vec<[String; 3]> =
                lines.iter().filter(|r| !r["part key"].is_empty()).map(key).collect();
            let rows = csv(&stdout(&[&["board", sheet, "--csv"], more].concat()));
            let mut placed: Vec<[String; 3]> =
                rows.iter().filter(|r| r["what"] == "part").map(key).collect();
            needed.sort();
            placed.sort();
            assert!(needed.len() > 100 && needed == placed);
        }
    }
}

#[test]
fn places_follow_the_sheet() {
    let case = Case::of(DEMO);
    let board = case.board(&USUAL);
    let order = case.loaded.sheet.families().iter().flat_map(|f| f.rows().iter().copied());
    let places: Vec<_> = board.places.iter().map(|p| p.colour).collect();
    assert_eq!(places, order.collect::<Vec<_>>());
    assert!(board.places.iter().enumerate().all(|(i, p)| p.number == i + 1));
    // One heading a family, and one where it goes on.
    let heads = board.headings.iter().filter(|h| !h.again).count();
    assert_eq!(heads, case.loaded.sheet.families().len());
    assert_eq!(board.headings.iter().filter(|h| h.at.y < 42.0).count(), board.columns);
}

/// What everything takes up: blank tiles, outlines, numbers under them.
fn taken(case: &Case, board: &Board) -> Vec<Rect> {
    let range = &case.loaded.range;
    let pieces = board.places.iter().flat_map(|p| &p.pieces);
    let outlines = pieces.map(|p| range.part(p.part).shape().extent + p.at.to_vec2());
    board.places.iter().map(|p| p.blank).chain(outlines).collect()
}

fn apart(case: &Case, board: &Board) {
    let mut all = taken(case, board);
    let whole = Rect::new(0.0, 0.0, board.width, board.height).inset(-14.9);
    for rect in &all {
        assert!(whole.contains_rect(*rect), "{rect:?} is not on {whole:?}");
    }
    all.sort_by(|a, b| a.x0.total_cmp(&b.x0));
    for (i, a) in all.iter().enumerate() {
        for b in all[i + 1..].iter().take_while(|b| b.x0 < a.x1) {
            assert!(a.intersect(*b).area() < 1e-9, "{a:?} lies on {b:?}");
        }
    }
}

#[test]
fn nothing_lies_on_anything_else() {
    for sheet in [DEMO, NAMED] {
        let case = Case::of(sheet);
        for (columns, blank) in
            [(None, (50.0, 25.0)), (Some(1), (20.0, 8.0)), (Some(9), (63.5, 38.1))]
        {
            apart(&case, &case.board(&BoardRequest { columns, width: None, blank }));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn any_board_keeps_its_word(columns in 1usize..20, w in 8.0..120.0f64, h in 8.0..80.0f64, width in 300.0..3000.0f64) {
        let case = Case::of(DEMO);
        for wish in [
            BoardRequest { columns: Some(columns), width: None, blank: (w, h) },
            BoardRequest { columns: None, width: Some(width), blank: (w, h) },
        ] {
            let board = match case.try_board(&wish) {
                Ok(board) => board,
                Err(d) => {
                    // One row of 119 tiles of 80 mm, or twenty columns, is more than 5 m.
                    prop_assert_eq!(d.code, "board-too-large");
                    continue;
                }
            };
            prop_assert_eq!(board.columns, wish.columns.unwrap_or(board.columns));
            prop_assert_eq!(board.width, wish.width.unwrap_or(board.width));
            apart(&case, &board);
        }
    }
}

#[test]
fn outlines_are_true_and_not_filled() {
    let case = Case::of(DEMO);
    let board = case.board(&USUAL);
    let map = draw::sheet(&board, &case.naming(), (&case.look, &Work::default()), None).unwrap();
    let uses = map.pages[0].items.iter().filter(|i| matches!(i.kind, ItemKind::Use(_)));
    assert_eq!(uses.clone().count(), board.pieces());
    // One symbol a part, whatever its colour.
    assert_eq!(map.symbols.len(), case.loaded.range.parts().len());
    for item in uses {
        let ItemKind::Use(used) = &item.kind else { continue };
        assert!(used.scale == 1.0 && item.role == Role::Sample);
    }
    for (symbol, part) in map.symbols.iter().zip(case.loaded.range.parts()) {
        // The line's middle is the true edge: half of 0.2 mm more at each side.
        let (drawn, own) = (symbol.bounds, part.shape().extent.inflate(0.1, 0.1));
        let off = [drawn.x0 - own.x0, drawn.y0 - own.y0, drawn.x1 - own.x1, drawn.y1 - own.y1];
        // A pointed corner's mitre reaches further.
        assert!(off.iter().all(|d| d.abs() < 0.16), "{}: {off:?}", part.key());
        let area: f64 = kurbo::Shape::area(&*map.outlines[symbol.drawn()[0].outline.0]).abs();
        let edge = kurbo::Shape::perimeter(&part.shape().outline, 1e-3);
        assert!((area / (edge * 0.2) - 1.0).abs() < 0.05, "{}: {area} {edge}", part.key());
    }
}

#[test]
fn a_disc_of_nine_millimetres_is_nine_millimetres() {
    let case = Case::of(DEMO);
    let board = case.board(&USUAL);
    let map = draw::sheet(&board, &case.naming(), (&case.look, &Work::default()), None).unwrap();
    // The demo's first button: its drawing says 9 mm.
    let disc = case.loaded.range.parts().iter().position(|p| p.key() == "b9").expect("a part");
    let bounds = map.symbols[disc].bounds;
    assert!(
        (bounds.width() - 9.2).abs() < 0.01 && (bounds.height() - 9.2).abs() < 0.01,
        "{bounds:?}"
    );
}

#[test]
fn files_say_the_same_and_are_the_same_twice() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |name: &str| {
        let file = |ending: &str| folder.path().join(format!("{name}.{ending}"));
        let outs = ["pdf", "csv", "json"].map(|e| file(e).display().to_string());
        let args = [
            "board", DEMO, "--family", "plated", "--out", &outs[0], "--out", &outs[1], "--out",
            &outs[2],
        ];
        let text = stdout(&args);
        assert!(text.contains("Board map of 'haberdashery'"), "{text}");
        outs.map(|f| std::fs::read(f).expect("written"))
    };
    let (a, b) = (run("a"), run("b"));
    assert_eq!(a, b);
    let map: Value = serde_json::from_slice(&a[2]).expect("JSON");
    let rows = csv(&String::from_utf8(a[1].clone()).expect("UTF-8"));
    assert_eq!(map["positions"].as_array().expect("a list").len(), rows.len());
    let pdf = lopdf::Document::load_mem(&a[0]).expect("reads");
    let size = |key: &str| map["panels"][key].as_u64().expect("a number") as usize;
    assert_eq!(pdf.get_pages().len(), 1 + size("rows") * size("columns"));
    // A position's panel is the one on which it counts: panels are in order, on A4 each.
    let mut spans: BTreeMap<String, [f64; 4]> = BTreeMap::new();
    for row in &rows {
        let at = |key: &str| row[key].parse::<f64>().expect("a number");
        let (x, y) = (at("x mm"), at("y mm"));
        let span = spans.entry(row["panel"].clone()).or_insert([x, x, y, y]);
        *span = [span[0].min(x), span[1].max(x), span[2].min(y), span[3].max(y)];
    }
    assert!(spans.len() > 1 && spans.len() <= size("rows") * size("columns"));
    for (panel, [x0, x1, y0, y1]) in &spans {
        assert!((x1 - x0).max(y1 - y0) < 297.0 && (x1 - x0).min(y1 - y0) < 210.0, "{panel}");
        for (other, [u0, _, v0, _]) in &spans {
            let [same_row, same_column] =
                [0..1, 1..2].map(|at| panel.get(at.clone()) == other.get(at));
            assert!(!same_row || panel >= other || x1 < u0, "{panel} {other}");
            assert!(!same_column || panel >= other || y1 < v0, "{panel} {other}");
        }
    }
}

#[test]
fn the_width_that_is_asked_for_is_enough() {
    let map = json(&["board", DEMO, "--width", "113", "--whole", "--family", "plated", "--json"]);
    assert_eq!((map["board_mm"][0].as_f64(), map["panels"].is_null()), (Some(113.0), true));
}

#[test]
fn the_help_has_a_caution() {
    let help = stdout(&["board", "--help"]);
    assert!(help.contains("blades are sharp") && help.contains("glue off skin and eyes"), "{help}");
}

#[test]
fn wrong_arguments_are_told_together() {
    let output = shadecard(&[
        "board",
        DEMO,
        "--width",
        "20",
        "--tile-size",
        "3x3",
        "--panels",
        "a44",
        "--family",
        "glos",
        "--listing",
        "deeler",
        "--out",
        "map.txt",
    ]);
    let text = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1));
    for expected in [
        "--width must be from 50 to 5000 mm, not 20",
        "must be two sides from 8 to 300 mm, not 3x3",
        "did you mean 'A4'?",
        "did you mean 'gloss'?",
        "did you mean 'dealer'?",
        "end its name with .pdf, .csv or .json",
    ] {
        assert!(text.contains(expected), "no '{expected}' in {text}");
    }
    for (args, expected) in [
        (&["--columns", "0"][..], "--columns must be from 1 to 50, not 0"),
        (&["--width", "80"], "use at least 113 mm"),
        (&["--tile-size", "NaNx20"], "write width x height in mm"),
        (&["--columns", "50", "--tile-size", "300x300"], "too large to map"),
    ] {
        let output = shadecard(&[&["board", DEMO], args].concat());
        let text = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{args:?}");
        assert!(text.contains(expected), "{args:?}: {text}");
    }
}
