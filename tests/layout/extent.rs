//! A part takes up all that is drawn of it: pieces outside its body too, on the page, in the legend, in lists, on the board.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::positions::*;
use kurbo::{Rect, Shape as _};
use shadecard::board::{Board, BoardRequest, draw};
use shadecard::diag::Sources;
use shadecard::plan::papers::paper;
use shadecard::plan::{Look, Style};
use shadecard::range::{Loaded, load};
use shadecard::read::shapes::{Shape, read_shape};
use shadecard::session::Session;
use shadecard::sheet::palette::PaletteEntry;
use shadecard::sheet::{ItemKind, Layer, Paint, Rgb, Setting, Sheet};
use shadecard::spelling::Spelling;
use shadecard::supplies::{self, LabelGrid, Naming, Spares, Stock, Supplies, tick_list};
use shadecard::work::Work;
use tempfile::TempDir;

/// A disc of 10 mm with a bar through it that reaches 10 mm over each side, and a foot at one end.
const BARRED: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="10mm" viewBox="0 0 30 10"><circle cx="15" cy="5" r="5" fill="#888"/><rect class="fixed" x="0" y="4" width="30" height="2" fill="#aaa"/><rect class="fixed" x="0" y="0" width="4" height="10" fill="#555"/></svg>"##;
/// A disc of 10 mm with a shank of 8 mm below it: the middle of all is not the middle of the body.
const SHANKED: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="18mm" viewBox="0 0 10 18"><circle class="body" cx="5" cy="5" r="5" fill="#888"/><rect class="fixed" x="4" y="9" width="2" height="9" fill="#aaa"/></svg>"##;
const DISC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></svg>"##;
/// What is fixed in the two drawings.
const BAR: Rgb = Rgb(0xaa, 0xaa, 0xaa);

const RANGE: &str = r##"Range(maker: "Tideline Works", release: "Release 1", listings: [(key: "works", title: "Works list")],
families: [(key: "gloss", title: "Gloss"), (key: "clear", title: "Clear", finish: clear)],
parts: [
    (key: "left", numbers: {"works": "1"}, side: left, shape: "disc.svg"),
    (key: "barred", numbers: {"works": "2"}, side: left, shape: "barred.svg"),
    (key: "right", numbers: {"works": "3"}, side: left, shape: "disc.svg"),
    (key: "shanked", numbers: {"works": "4"}, side: right, shape: "shanked.svg"),
],
colours: [
    (key: "tern", family: "gloss", names: {"works": "Tern"}, numbers: {"works": "101"}, value: "#3366cc"),
    (key: "gull", family: "gloss", names: {"works": "Gull"}, numbers: {"works": "102"}, value: "#996633"),
    (key: "brine", family: "clear", names: {"works": "Brine"}, numbers: {"works": "103"}, value: "#a0d0c0"),
])"##;
const SHEET: &str = r#"Sheet(range: "range.ron", name: "pieces", title: "Pieces outside", legend_parts: ["barred", "shanked"],
    spellings: ["en-GB"], editions: [(name: "a4", layout: "a4"), (name: "a3", layout: "a3")])"#;

struct Case {
    folder: TempDir,
    loaded: Loaded,
    spelling: Spelling,
}

impl Case {
    fn new() -> Case {
        let folder = tempfile::tempdir().expect("a folder");
        for (name, text) in [
            ("range.ron", RANGE),
            ("sheet.ron", SHEET),
            ("disc.svg", DISC),
            ("barred.svg", BARRED),
            ("shanked.svg", SHANKED),
        ] {
            std::fs::write(folder.path().join(name), text).expect("written");
        }
        let loaded = load(&folder.path().join("sheet.ron"), &mut Sources::default());
        let loaded = loaded.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
        Case { folder, loaded, spelling: Spelling::shipped("en-GB").expect("shipped") }
    }

    fn sheet_file(&self) -> PathBuf {
        self.folder.path().join("sheet.ron")
    }

    fn naming(&self) -> Naming<'_> {
        let Loaded { range, sheet, .. } = &self.loaded;
        Naming { range, sheet, listing: sheet.headings(), spelling: &self.spelling }
    }

    fn supplies(&self) -> (supplies::SuppliesRequest, Supplies) {
        let wish = supplies::SuppliesRequest {
            families: Vec::new(),
            each: 1,
            spares: Spares::NONE,
            stand_ins: true,
            labels_each: 1,
            tile_spares: Spares::NONE,
            grid: LabelGrid::new(7, 3, 0).expect("a grid"),
            used: 0,
        };
        let Loaded { range, sheet, .. } = &self.loaded;
        let counted = Supplies::new(range, sheet, &wish, &Stock::default());
        (wish, counted)
    }
}

fn shape(text: &str) -> Shape {
    read_shape(Path::new("x.svg"), text, &Session::default()).unwrap_or_else(|e| panic!("{e:?}"))
}

/// The box of everything drawn as usvg finds it, mm: CSS Values and Units 3, 6.2: 96 px are 25.4 mm.
fn seen(text: &str) -> (f64, f64) {
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("SVG");
    let b = tree.root().abs_stroke_bounding_box();
    let mm = |px: f32| f64::from(px) * 25.4 / 96.0;
    (mm(b.width()), mm(b.height()))
}

#[test]
fn the_extent_is_the_box_that_usvg_finds() {
    for text in [BARRED, SHANKED, DISC] {
        let extent = shape(text).extent;
        let (w, h) = seen(text);
        assert!((extent.width() - w).abs() < 1e-3 && (extent.height() - h).abs() < 1e-3, "{text}");
        assert_eq!(extent.center(), kurbo::Point::ORIGIN);
    }
    let (barred, shanked) = (shape(BARRED), shape(SHANKED));
    assert_eq!((barred.extent.width(), barred.bounds.width()), (30.0, 10.0));
    // The body is 4 mm above the middle of all.
    assert!((shanked.bounds.center().y + 4.0).abs() < 1e-9, "{:?}", shanked.bounds);
    assert!((shanked.outline.bounding_box().y0 + 9.0).abs() < 1e-9);
}

#[test]
fn the_demo_has_nothing_outside_its_bodies() {
    for entry in std::fs::read_dir("demo/haberdashery/shapes").expect("the demo's shapes") {
        let path = entry.expect("a file").path();
        let text = std::fs::read_to_string(&path).expect("text");
        let shape = shape(&text);
        assert_eq!(shape.extent, shape.bounds, "{}", path.display());
        assert!(
            matches!(shape.edge(&Work::default()), std::borrow::Cow::Borrowed(_)),
            "{}",
            path.display()
        );
    }
}

#[test]
fn gradients_move_with_their_drawing() {
    let text = BARRED.replace("<circle", r##"<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="0" x2="4"><stop stop-color="#333"/><stop offset="1" stop-color="#ccc"/></linearGradient><circle"##)
        .replace(r##"x="0" y="0" width="4" height="10" fill="#555""##, r##"x="0" y="0" width="4" height="18" fill="url(#g)""##);
    let shape = shape(&text);
    let shadecard::read::shapes::TonePaint::Gradient { ramp, transform, .. } =
        &shape.layers[2].paint
    else {
        panic!("{:?}", shape.layers[2].paint)
    };
    let shadecard::sheet::Ramp::Linear { x1, x2, y1, .. } = *ramp else { panic!("{ramp:?}") };
    let at = |x| (*transform * kurbo::Point::new(x, y1)).x;
    // From the left edge of the foot, which is that of all, over its 4 mm.
    assert!((at(x1) + 15.0).abs() < 1e-4 && (at(x2) + 11.0).abs() < 1e-4, "{} {}", at(x1), at(x2));
}

fn is_bar(sheet: &Sheet, layer: &Layer) -> bool {
    let bar = PaletteEntry::Fixed(BAR);
    matches!(layer.paint, Paint::Solid(fill) if sheet.palette.entry(fill) == bar)
}

/// The box of what is fixed in a symbol: the bar or the shank.
fn bars(sheet: &Sheet) -> Vec<Rect> {
    let layers = sheet.symbols.iter().flat_map(|s| s.layers());
    let bars = layers.filter(|l| is_bar(sheet, l));
    bars.map(|l| sheet.outlines[l.outline.0].bounding_box()).collect()
}

#[test]
fn columns_and_legend_have_room_for_it() {
    let case = Case::new();
    for style in ["plate", "catalogue"] {
        let editions = open(&case.sheet_file(), Some(style));
        let workshop = editions.workshop();
        for entry in editions.variants() {
            let planned = editions.plan(entry).unwrap_or_else(|d| panic!("{style}: {}", d.message));
            let facts: Vec<(f64, f64)> =
                planned.facts.parts.iter().map(|p| (p.width, p.height)).collect();
            assert_eq!(facts, [(10.0, 10.0), (30.0, 10.0), (10.0, 10.0), (10.0, 18.0)]);
            let sheet = planned.place(&workshop);
            let mut faults = samples_apart(&sheet);
            faults.extend(inside_the_page(&sheet));
            faults.extend(texts_clear(&sheet));
            none(&format!("{style} {}", entry.stem()), faults);
            // Centred: the bar from -15 to 15 mm, the shank down to 9 mm.
            let bars = bars(&sheet);
            assert!(bars.iter().any(|b| (b.x0 + 15.0).abs() < 1e-3 && (b.x1 - 15.0).abs() < 1e-3));
            assert!(bars.iter().any(|b| (b.y1 - 9.0).abs() < 1e-3 && (b.x0 + 1.0).abs() < 1e-3));
            for symbol in &sheet.symbols {
                let drawn = symbol.layers().filter(|l| is_bar(&sheet, l));
                for bar in drawn.map(|l| sheet.outlines[l.outline.0].bounding_box()) {
                    assert!(
                        symbol.extent.inflate(1e-6, 1e-6).contains_rect(bar),
                        "{}",
                        symbol.name
                    );
                }
            }
            // Printed under its number, where sizes are.
            let printed = |size: &str| {
                let mut items = sheet.pages.iter().flat_map(|p| &p.items);
                items.any(|i| matches!(&i.kind, ItemKind::Text(t) if t.string == size))
            };
            assert!(!printed("10 × 5") && (printed("30 × 10") || planned.plan.turned), "{style}");
        }
    }
}

#[test]
fn the_tick_list_and_the_board_have_room_for_it() {
    let case = Case::new();
    let naming = case.naming();
    let (wish, counted) = case.supplies();
    let style = Style::shipped("plate").expect("shipped");
    let (paper, work) = (paper("A4").expect("a paper"), Work::default());
    let setting = Setting { style: &style, paper, work: &work };
    let list = tick_list::sheet(&counted, &naming, &wish, &setting);
    let list = list.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
    none("tick list", [samples_apart(&list), inside_the_page(&list), texts_clear(&list)].concat());

    let look = Look::new(&style, 210.0, 297.0, 1.764).expect("a look");
    let voices = draw::Voices::new(&look);
    let caption = |part| voices.caption(&look, &naming, part);
    let wish = BoardRequest { columns: None, width: None, blank: (60.0, 37.0) };
    let board = Board::new(&case.loaded.range, &counted, &wish, &caption).expect("a board");
    let map = draw::sheet(&board, &naming, (&look, &Work::default()), None).unwrap();
    none("board", [samples_apart(&map), inside_the_page(&map), texts_clear(&map)].concat());
    for (symbol, (w, h)) in map.symbols.iter().zip([(10., 10.), (30., 10.), (10., 10.), (10., 18.)])
    {
        // The line of 0.2 mm lies on the edge of all that is drawn; corners may reach further.
        let b = symbol.bounds;
        let off = (b.width() - w - 0.2).abs().max((b.height() - h - 0.2).abs());
        assert!(off < 0.12, "{}: {b:?}", symbol.name);
    }
    // One line round disc, bar and foot together: none runs through the disc where the bar crosses it.
    let outline = &map.outlines[map.symbols[1].drawn()[0].outline.0];
    assert_eq!(outline.winding(kurbo::Point::new(0.0, 1.0)), 0);
    assert_ne!(outline.winding(kurbo::Point::new(-8.0, 1.0)), 0);
}

#[test]
fn a_new_piece_outside_is_a_change_of_shape() {
    let (old, new) = (Case::new(), Case::new());
    std::fs::write(new.folder.path().join("disc.svg"), SHANKED).expect("written");
    let run = Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(["compare".as_ref(), old.sheet_file().as_os_str(), new.sheet_file().as_os_str()])
        .output()
        .expect("runs");
    let text = String::from_utf8_lossy(&run.stdout).into_owned();
    assert!(text.contains("10.00 x 10.00 mm") && text.contains("10.00 x 18.00 mm"), "{text}");
}
