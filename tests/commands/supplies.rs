//! What to buy for a sample board: worked examples, properties, the program as a person runs it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use proptest::prelude::*;
use shadecard::diag::{Severity, Sources};
use shadecard::plan::Style;
use shadecard::plan::papers::paper;
use shadecard::range::{Loaded, load};
use shadecard::sheet::Setting;
use shadecard::sheet::{Item, ItemKind, Role, Sheet};
use shadecard::spelling::Spelling;
use shadecard::supplies::{
    Count, LabelGrid, LeftOver, Naming, Spares, Stock, Supplies, SuppliesRequest, count, markdown,
    tick_list,
};
use shadecard::work::Work;
use tempfile::TempDir;

/// Three parts, five colours, two families, gaps:
///
/// ```text
///           ring  bar  cap        (works numbers 1 2 3, trade numbers 30 20 10)
/// red        x     x    x   3
/// blue       x     .    x   2
/// green      x     x    .   2     gloss 7
/// sand       .     x    x   2
/// moss       x     .    .   1     clear 3
///            4     3    3         10
/// ```
const RANGE: &str = r##"Range(
    maker: "Tideline Works",
    listings: [(key: "works", title: "Works list"), (key: "trade", title: "Trade list")],
    families: [(key: "gloss", title: "Gloss"), (key: "clear", title: "Clear", finish: clear)],
    parts: [
        (key: "ring", numbers: {"works": "1", "trade": "30"}, title: "Ring", role: "ring", side: left, shape: "disc.svg"),
        (key: "bar", numbers: {"works": "2", "trade": "20"}, title: "Bar", role: "bar", side: left, shape: "disc.svg"),
        (key: "cap", numbers: {"works": "3", "trade": "1"}, title: "Cap", role: "cap", side: right, shape: "disc.svg"),
    ],
    colours: [
        (key: "red", family: "gloss", names: {"works": "Red Ochre", "trade": "Sail"}, numbers: {"works": "101", "trade": "7"}, value: "#a03020"),
        (key: "blue", family: "gloss", names: {"works": "Deep Blue", "trade": "Gulf"}, numbers: {"works": "102", "trade": "8"}, value: "#203080"),
        (key: "green", family: "gloss", names: {"works": "Eelgrass", "trade": "Weed"}, numbers: {"works": "103"}, value: "#307040"),
        (key: "sand", family: "clear", names: {"works": "Grey Sand", "trade": "Dune"}, numbers: {"works": "104", "trade": "9"}, value: "#d0c0a0"),
        (key: "moss", family: "clear", names: {"works": "Moss", "trade": "Sail"}, numbers: {"works": "105", "trade": "10"}, value: "#607030"),
    ],
    made: (rows: {"red": "xxx", "blue": "x.x", "green": "xx.", "sand": ".xx", "moss": "x.."}),
)"##;
const SHEET: &str = r#"Sheet(range: "range.ron", name: "board", title: "Five & three", headings: "works",
    spellings: ["en-GB", "en-US"], editions: [(name: "a4", layout: "a4")])"#;
const DISC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle cx="4.5" cy="4.5" r="4.5" fill="#888888"/></svg>"##;

struct Board {
    folder: TempDir,
    loaded: Loaded,
    spelling: Spelling,
}

impl Board {
    fn of(range: &str, sheet: &str) -> Board {
        let folder = tempfile::tempdir().expect("a folder");
        for (name, text) in [("range.ron", range), ("sheet.ron", sheet), ("disc.svg", DISC)] {
            std::fs::write(folder.path().join(name), text).expect("written");
        }
        let mut sources = Sources::default();
        let loaded = load(&folder.path().join("sheet.ron"), &mut sources).unwrap_or_else(|f| {
            panic!("{}", shadecard::diag_print::render(&f.sorted(), &sources, false))
        });
        Board { folder, loaded, spelling: Spelling::shipped("en-GB").expect("shipped") }
    }

    fn small() -> Board {
        Board::of(RANGE, SHEET)
    }

    fn naming(&self) -> Naming<'_> {
        let Loaded { range, sheet, .. } = &self.loaded;
        Naming { range, sheet, listing: sheet.headings(), spelling: &self.spelling }
    }

    fn count(&self, wish: &SuppliesRequest, stock: &Stock) -> Supplies {
        Supplies::new(&self.loaded.range, &self.loaded.sheet, wish, stock)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// A stock file read in the works list.
    fn stock(&self, text: &str) -> Result<Stock, String> {
        let file = self.path("stock.csv");
        std::fs::write(&file, text).expect("written");
        let mut sources = Sources::default();
        Stock::read(&file, &self.naming(), &mut sources).map(|(stock, _)| stock).map_err(|f| {
            let lines = f.sorted().into_iter().filter(|d| d.severity == Severity::Error);
            lines
                .map(|d| shadecard::diag_print::line(&d, &sources))
                .map(|l| l.replace(&format!("{}, ", file.display()), ""))
                .collect::<Vec<_>>()
                .join("\n")
        })
    }
}

fn wish(each: u64, spares: Spares) -> SuppliesRequest {
    SuppliesRequest {
        families: Vec::new(),
        each,
        spares,
        stand_ins: true,
        labels_each: 1,
        tile_spares: spares,
        grid: LabelGrid::new(2, 2, 1).expect("a grid"),
        used: 0,
    }
}

fn c(needed: u64, spares: u64, in_hand: u64, to_buy: u64) -> Count {
    Count { needed, spares, in_hand, to_buy }
}

#[test]
fn five_colours_in_three_parts_one_each() {
    let board = Board::small();
    let s = board.count(&wish(1, Spares::NONE), &Stock::default());
    // The sums in the margins of the table above.
    assert_eq!((s.total().lines, s.total().count), (10, c(10, 0, 0, 10)));
    let parts: Vec<u64> = s.per_part().iter().map(|(_, t)| t.count.to_buy).collect();
    let colours: Vec<u64> = s.per_colour().iter().map(|(_, t)| t.count.to_buy).collect();
    let families: Vec<u64> = s.per_family().iter().map(|(_, t)| t.count.to_buy).collect();
    assert_eq!((parts, colours, families), (vec![4, 3, 3], vec![3, 2, 2, 2, 1], vec![7, 3]));
    // A label and a tile a colour; two of the four labels a sheet are spoiled: 2 + 2 + 1.
    assert_eq!((s.tiles, s.sheets.labels), (c(5, 0, 0, 5), 5));
    assert_eq!((s.sheets.count, s.sheets.need.free), (c(3, 0, 0, 3), 1));
}

#[test]
fn spares_are_of_each_line_and_rounded_up() {
    let board = Board::small();
    let share = Spares::parse("5%", "--spares").expect("a share");
    let bought = |each| board.count(&wish(each, share), &Stock::default());
    // 5 % of 1 is 0.05: one more of each of the ten lines. Of the 5 tiles 0.25: one more tile.
    assert_eq!(bought(1).total().count, c(10, 10, 0, 20));
    assert_eq!(bought(1).tiles, c(5, 1, 0, 6));
    // 5 % of 40 is 2, of 41 it is 2.05.
    assert_eq!(bought(40).total().count, c(400, 20, 0, 420));
    assert_eq!(bought(41).total().count, c(410, 30, 0, 440));
    // Two of each line; the tiles are one line.
    let two = board.count(&wish(1, Spares::Count(2)), &Stock::default());
    assert_eq!((two.total().count, two.tiles), (c(10, 20, 0, 30), c(5, 2, 0, 7)));
}

#[test]
fn what_is_in_hand_is_taken_off_and_the_rest_is_left_over() {
    let board = Board::small();
    // Ring in red by key and by number, 2 + 3; bar in sand by name; a cap that is not made in green.
    let stock = board
        .stock(
            "part,colour,count\nring,red,2\n1,101,3\n2,Grey Sand,1\ncap,green,4\n\
             Blank Tiles,,2\nlabel sheets,,9\n",
        )
        .expect("understood");
    let s = board.count(&wish(1, Spares::Count(1)), &stock);
    // Wanted 20; used: 2 of the 5 rings, the one bar.
    assert_eq!(s.total().count, c(10, 10, 3, 17));
    let parts: Vec<Count> = s.per_part().iter().map(|(_, t)| t.count).collect();
    assert_eq!(parts, [c(4, 4, 2, 6), c(3, 3, 1, 5), c(3, 3, 0, 6)]);
    let families: Vec<Count> = s.per_family().iter().map(|(_, t)| t.count).collect();
    assert_eq!(families, [c(7, 7, 2, 12), c(3, 3, 1, 5)]);
    let colours: Vec<u64> = s.per_colour().iter().map(|(_, t)| t.count.to_buy).collect();
    assert_eq!(colours, [4, 4, 4, 3, 2]);
    // Tiles: 5 + 1 - 2. Sheets: three are needed, nine are there.
    assert_eq!((s.tiles, s.sheets.count), (c(5, 1, 2, 4), c(3, 0, 3, 0)));
    let left: Vec<u64> = s
        .left_over
        .iter()
        .map(|over| match over {
            LeftOver::Pieces { count, .. }
            | LeftOver::Tiles(count)
            | LeftOver::LabelSheets(count) => *count,
        })
        .collect();
    assert_eq!(left, [3, 4, 6]);
}

#[test]
fn a_part_used_sheet_is_used_up_first() {
    let board = Board::small();
    // 3 of 4 places are gone: one label goes there, the other four on two sheets of two.
    let s = board.count(&SuppliesRequest { used: 3, ..wish(1, Spares::NONE) }, &Stock::default());
    assert_eq!((s.sheets.need.on_part_used, s.sheets.need.free), (1, 0));
    assert_eq!(s.sheets.count, c(2, 0, 0, 2));
}

#[test]
fn one_family_and_labels_twice() {
    let board = Board::small();
    let clear = board.loaded.sheet.families()[1].family();
    let wish = SuppliesRequest { families: vec![clear], labels_each: 2, ..wish(3, Spares::NONE) };
    let s = board.count(&wish, &Stock::default());
    // Clear has three lines, two colours: 9 pieces, 4 labels.
    assert_eq!((s.total().count, s.tiles), (c(9, 0, 0, 9), c(4, 0, 0, 4)));
    assert_eq!((s.colours.len(), s.per_family().len()), (2, 1));
}

#[test]
fn columns_choose_the_parts_and_stand_ins_fill_gaps() {
    // The cap can stand in for the bar now, and only the bar has a column: blue has no bar, but a cap.
    let range =
        RANGE.replace("role: \"bar\"", "role: \"cap\"").replace("side: left", "side: right");
    let sheet = SHEET.replace(
        "spellings:",
        "families: [(family: \"gloss\", columns: Choose(from: [\"bar\"]))], leave_out: [(colours: [\"sand\", \"moss\"])], spellings:",
    );
    let board = Board::of(&range, &sheet);
    let keys = |stand_ins| -> Vec<(String, String)> {
        let s =
            board.count(&SuppliesRequest { stand_ins, ..wish(1, Spares::NONE) }, &Stock::default());
        let range = &board.loaded.range;
        let key = |l: &count::SupplyLine| {
            (range.part(l.part).key().clone(), range.colour(l.colour).key().clone())
        };
        s.lines.iter().map(key).collect()
    };
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(keys(false), [pair("bar", "red"), pair("bar", "green")]);
    assert_eq!(keys(true), [pair("bar", "red"), pair("bar", "green"), pair("cap", "blue")]);
}

#[test]
fn a_faulty_stock_says_where_and_what_is_meant() {
    let board = Board::small();
    let said = board
        .stock("part;colour;count\nrnig;red;1\nring;Red Ocher;1\n4;;2\nbar;sand;-1\ncap;blue;1.5\ntiles;;\n")
        .expect_err("faulty");
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(
        lines,
        [
            "line 2, column 1: error: there is no part 'rnig' (did you mean 'ring'?)",
            "line 3, column 6: error: there is no colour 'Red Ocher' (did you mean 'Red Ochre'?)",
            "line 4, column 1: error: there is no part '4' (write its key or its number)",
            "line 4, column 3: error: this line names no colour (name it; only 'blank tiles' and 'label sheets' have none)",
            "line 5, column 10: error: '-1' is not a count of pieces (write a whole number from 0 to 1000000)",
            "line 6, column 10: error: '1.5' is not a count of pieces (write a whole number from 0 to 1000000)",
            "line 7, column 8: error: this line gives no count (write a whole number from 0 to 1000000)",
        ]
    );
    let said = board.stock("part,shade,number of pieces\nring,red,1\n").expect_err("no columns");
    assert!(said.contains("no column 'colour'") && said.contains("no column 'count'"), "{said}");
    assert!(!said.contains("map"), "a stock list has no mapping: {said}");
}

#[test]
fn a_workbook_of_stock_is_read_too() {
    let board = Board::small();
    let file = board.path("stock.xlsx");
    let mut book = rust_xlsxwriter::Workbook::new();
    let page = book.add_worksheet();
    let head = ["Count", "Colour", "Part"];
    for (column, word) in (0u16..).zip(head) {
        page.write(0, column, word).expect("a cell");
    }
    // Numbers as a spreadsheet keeps them: 2 of part 1 in colour 101.
    for (column, number) in (0u16..).zip([2.0, 101.0, 1.0]) {
        page.write(1, column, number).expect("a cell");
    }
    page.write(2, 0, 1).expect("a cell");
    page.write(2, 1, "Mos").expect("a cell");
    page.write(2, 2, "ring").expect("a cell");
    book.save(&file).expect("saved");
    let mut sources = Sources::default();
    let faults = Stock::read(&file, &board.naming(), &mut sources).expect_err("one is wrong");
    let said: Vec<String> =
        faults.sorted().iter().map(|d| shadecard::diag_print::line(d, &sources)).collect();
    assert_eq!(said.len(), 1, "the numbers were understood: {said:?}");
    assert!(
        said[0].ends_with("cell B3: error: there is no colour 'Mos' (did you mean 'moss'?)"),
        "{said:?}"
    );
}

#[test]
fn the_listing_of_the_order_comes_first() {
    let board = Board::small();
    // 1 is the ring in the works list, the cap in the trade list; 30 is in the trade list alone.
    let stock = board.stock("part,colour,count\n1,7,1\n30,102,1\n").expect("understood");
    let keys: Vec<(usize, usize)> = stock.pieces.keys().map(|(p, c)| (p.0, c.0)).collect();
    assert_eq!(keys, [(0, 0), (0, 1)]);
    // Two colours are called Sail in the trade list.
    let said = board.stock("part,colour,count\n1,Sail,1\n").expect_err("which one");
    assert!(said.contains("line 2, column 3: error: 'Sail' matches 2 colours"), "{said}");
}

#[test]
fn a_colour_that_the_listing_does_not_number_is_told() {
    let board = Board::small();
    let mut naming = board.naming();
    let s = board.count(&wish(1, Spares::NONE), &Stock::default());
    assert!(naming.not_listed(&s).is_empty());
    naming.listing = shadecard::range::ListingId(1);
    let said: Vec<String> = naming.not_listed(&s).sorted().into_iter().map(|d| d.message).collect();
    assert_eq!(said, ["the colour 'Eelgrass' has no number in the listing 'trade'"]);
}

#[test]
fn the_markdown_list_says_what_to_buy_and_nothing_else() {
    let board = Board::small();
    let stock = board.stock("part,colour,count\nring,moss,1\nbar,red,1\n").expect("understood");
    let w = wish(1, Spares::NONE);
    let text = markdown::markdown(&board.count(&w, &stock), &board.naming(), &w);
    assert!(text.starts_with("# To buy for Five \\& three\n"), "{text}");
    // Of the ten lines two are in hand; tiles and sheets have a box each.
    assert_eq!(text.matches("- [ ] ").count(), 8 + 2, "{text}");
    assert!(
        text.contains("## 1 Ring, 9: 3 to buy\n\n### Gloss: 3\n\n- [ ] 101 Red Ochre: 1\n"),
        "{text}"
    );
    assert!(!text.contains("Moss"), "{text}");
    assert!(text.contains("- [ ] blank tiles: 5\n- [ ] label sheets: 3\n"), "{text}");
}

/// The words on a page, with their places.
fn words(items: &[Item]) -> Vec<(String, f64, f64)> {
    let text = |i: &Item| match &i.kind {
        ItemKind::Text(t) => Some((t.string.clone(), t.x, t.y)),
        _ => None,
    };
    items.iter().filter_map(text).collect()
}

fn demo(paper_name: &str, style: &str) -> Sheet {
    let mut sources = Sources::default();
    let loaded = load(Path::new("demo/haberdashery/sheet.ron"), &mut sources).expect("the demo");
    let spelling = Spelling::shipped("en-GB").expect("shipped");
    let listing = loaded.sheet.headings();
    let naming =
        Naming { range: &loaded.range, sheet: &loaded.sheet, listing, spelling: &spelling };
    let w = wish(1, Spares::NONE);
    let supplies = Supplies::new(&loaded.range, &loaded.sheet, &w, &Stock::default());
    let style = Style::shipped(style).expect("shipped");
    let paper = paper(paper_name).expect("a paper");
    let setting = Setting { style: &style, paper, work: &Work::default() };
    tick_list::sheet(&supplies, &naming, &w, &setting).expect("laid out")
}

#[test]
fn the_tick_list_has_a_box_a_line_inside_the_page_and_readable_type() {
    for (paper, style) in [("A4", "plate"), ("Letter", "catalogue")] {
        let sheet = demo(paper, style);
        let items = || sheet.pages.iter().flat_map(|p| &p.items);
        // 1121 lines, 16 parts in the overview, tiles and label sheets: boxes are 3.2 mm squares.
        let boxes = items()
            .filter(|i| i.role == Role::Furniture)
            .filter(|i| {
                (i.bounds.width() - 3.2).abs() < 1e-6 && (i.bounds.height() - 3.2).abs() < 1e-6
            })
            .count();
        assert_eq!(boxes, 1121 + 16 + 2, "{paper}");
        for item in items() {
            let b = item.bounds;
            assert!(b.x0 > 8.0 && b.y0 > 5.0, "{item:?}");
            assert!(b.x1 < sheet.width - 8.0 && b.y1 < sheet.height - 5.0, "{item:?}");
            if let ItemKind::Text(text) = &item.kind {
                // 7 pt, 1 pt = 25.4 / 72 mm.
                assert!(text.size >= 7.0 * 25.4 / 72.0 - 1e-9, "{} {}", text.string, text.size);
            }
        }
    }
}

#[test]
fn nothing_on_the_tick_list_overlaps() {
    let sheet = demo("A4", "plate");
    for page in &sheet.pages {
        let texts: Vec<(&str, [f64; 4])> = page
            .items
            .iter()
            .filter_map(|i| match &i.kind {
                ItemKind::Text(t) => {
                    let tall = t.size * 0.62;
                    Some((t.string.as_str(), [t.x, t.y - tall, t.x + t.advance, t.y]))
                }
                _ => None,
            })
            .collect();
        for (i, (a, p)) in texts.iter().enumerate() {
            for (b, q) in &texts[i + 1..] {
                let apart = p[2] <= q[0] || q[2] <= p[0] || p[3] <= q[1] || q[3] <= p[1];
                assert!(apart, "'{a}' and '{b}' at {p:?} and {q:?}");
            }
        }
    }
}

#[test]
fn no_heading_of_the_tick_list_stands_alone_at_the_foot() {
    let sheet = demo("A4", "plate");
    let families = ["Gloss", "Clear", "Flecked", "Plated", "Nacre", "Nightglow"];
    let mut headings = 0;
    for page in &sheet.pages {
        let words = words(&page.items);
        let boxes: Vec<(f64, f64)> = page
            .items
            .iter()
            .filter(|i| (i.bounds.width() - 3.2).abs() < 1e-6)
            .map(|i| (i.bounds.x0, i.bounds.y1))
            .collect();
        for (name, x, y) in words.iter().filter(|(w, ..)| families.contains(&w.as_str())) {
            headings += 1;
            // The next box in the same column follows at once.
            let next = boxes
                .iter()
                .filter(|(bx, by)| (bx - x).abs() < 1e-6 && by > y)
                .map(|(_, by)| by - y)
                .fold(f64::INFINITY, f64::min);
            assert!(next < 10.0, "{name} at {x}, {y}: {next}");
        }
    }
    assert!(headings > 60, "{headings}");
}

#[test]
fn long_names_and_missing_numbers_stay_in_their_column() {
    let long = "Unbreakably".repeat(12);
    let range = RANGE
        .replace("Red Ochre", "The red of the ochre that the long tide leaves on the third groyne")
        .replace("Deep Blue", &long)
        .replace("\"works\": \"103\"", "\"trade\": \"11\"");
    let board = Board::of(&range, SHEET);
    let w = wish(1, Spares::NONE);
    let s = board.count(&w, &Stock::default());
    let style = Style::shipped("plate").expect("shipped");
    let a4 = paper("A4").expect("a paper");
    let setting = Setting { style: &style, paper: a4, work: &Work::default() };
    let sheet = tick_list::sheet(&s, &board.naming(), &w, &setting).expect("laid out");
    let all: Vec<_> = sheet.pages.iter().flat_map(|p| words(&p.items)).collect();
    assert!(all.iter().any(|(w, ..)| w == "—"), "no number is shown as a dash");
    let pieces: String = all
        .iter()
        .filter(|(w, ..)| long.contains(w.as_str()) && w.len() > 3)
        .map(|w| w.0.clone())
        .collect();
    // Blue comes in two parts.
    assert_eq!(pieces, long.repeat(2), "cut, not lost");
    for item in sheet.pages.iter().flat_map(|p| &p.items) {
        assert!(item.bounds.x1 < 210.0 - 13.0 && item.bounds.y1 < 297.0, "{item:?}");
    }
}

/// What is made (by colour, then part), the wish, pieces in hand by colour and part, tiles, sheets.
type Case = (Vec<Vec<bool>>, SuppliesRequest, Vec<(usize, usize, u64)>, u64, u64);

/// Any range of up to 9 colours and 6 parts, what is wished, and what is in hand.
fn cases() -> impl Strategy<Value = Case> {
    let made = (1usize..7).prop_flat_map(|parts| {
        prop::collection::vec(prop::collection::vec(any::<bool>(), parts), 1..10)
    });
    let spares = || {
        prop_oneof![(0u64..5).prop_map(Spares::Count), (0u64..3_000_000).prop_map(Spares::Share)]
    };
    let grid = (1u32..9, 1u32..6, 0u32..8).prop_map(|(rows, columns, spoiled)| {
        LabelGrid::new(rows, columns, spoiled.min(rows - 1)).expect("a grid")
    });
    let wish = (1u64..50, spares(), 0u64..4, spares(), grid, 0u64..45).prop_map(
        |(each, spares, labels_each, tile_spares, grid, used)| SuppliesRequest {
            families: Vec::new(),
            each,
            spares,
            stand_ins: true,
            labels_each,
            tile_spares,
            grid,
            used: used.min(grid.places()),
        },
    );
    let stock = prop::collection::vec((0usize..9, 0usize..6, 0u64..100), 0..30);
    (made, wish, stock, 0u64..100, 0u64..20)
}

/// A range of these cells; colour and part keys are c0, c1 ... and p0, p1 ...
fn range_of(made: &[Vec<bool>]) -> String {
    let parts: String = (0..made[0].len())
        .map(|p| format!("(key: \"p{p}\", role: \"r{p}\", shape: \"disc.svg\"),"))
        .collect();
    let colours: String = (0..made.len())
        .map(|c| {
            let family = if c % 2 == 0 { "even" } else { "odd" };
            format!("(key: \"c{c}\", family: \"{family}\", names: {{\"list\": \"N{c}\"}}, value: \"#808080\"),")
        })
        .collect();
    let rows: String = made
        .iter()
        .enumerate()
        .map(|(c, row)| {
            let cells: String = row.iter().map(|m| if *m { 'x' } else { '.' }).collect();
            format!("\"c{c}\": \"{cells}\",")
        })
        .collect();
    let families = match made.len() {
        1 => "(key: \"even\")",
        _ => "(key: \"even\"), (key: \"odd\")",
    };
    format!(
        "Range(maker: \"M\", listings: [(key: \"list\")], families: [{families}], parts: [{parts}], \
         colours: [{colours}], made: (rows: {{{rows}}}))"
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(24), ..ProptestConfig::default() })]

    #[test]
    fn totals_agree_and_nothing_is_lost((made, wish, stock, tiles, sheets) in cases()) {
        // Loose rows: every part that is made is on the board.
        let shown: Vec<&str> = if made.len() > 1 { vec!["even", "odd"] } else { vec!["even"] };
        let shown: Vec<String> =
            shown.iter().map(|f| format!("(family: \"{f}\", columns: Loose)")).collect();
        let sheet = format!(
            "Sheet(range: \"range.ron\", families: [{}], editions: [(layout: \"a4\")])",
            shown.join(", ")
        );
        let board = Board::of(&range_of(&made), &sheet);
        let mut text = format!("part,colour,count\ntiles,,{tiles}\nsheets,,{sheets}\n");
        let mut had = 0;
        for (c, p, n) in stock.iter().filter(|(c, p, _)| *c < made.len() && *p < made[0].len()) {
            text.push_str(&format!("p{p},c{c},{n}\n"));
            had += n;
        }
        let stock = board.stock(&text).expect("understood");
        let s = board.count(&wish, &stock);
        let cells = made.iter().flatten().filter(|m| **m).count() as u64;
        let total = s.total();
        prop_assert_eq!(total.lines, cells);
        prop_assert_eq!(total.count.needed, cells * wish.each);
        // Every line: what is bought and what is in hand make up what is wanted.
        for line in s.lines.iter().map(|l| l.count).chain([s.tiles, s.sheets.count]) {
            prop_assert_eq!(line.to_buy + line.in_hand, line.needed + line.spares);
        }
        for line in &s.lines {
            // Never rounded down, and by less than one piece up.
            if let Spares::Share(share) = wish.spares {
                let exact = wish.each as f64 * share as f64 / 1e6;
                prop_assert!(line.count.spares as f64 >= exact - 1e-9);
                prop_assert!((line.count.spares as f64) < exact + 1.0);
            }
        }
        let sum = |counts: Vec<Count>| counts.iter().fold([0; 4], |a, c| {
            [a[0] + c.needed, a[1] + c.spares, a[2] + c.in_hand, a[3] + c.to_buy]
        });
        let all = sum(s.lines.iter().map(|l| l.count).collect());
        prop_assert_eq!(sum(vec![total.count]), all);
        prop_assert_eq!(sum(s.per_part().iter().map(|t| t.1.count).collect()), all);
        prop_assert_eq!(sum(s.per_colour().iter().map(|t| t.1.count).collect()), all);
        prop_assert_eq!(sum(s.per_family().iter().map(|t| t.1.count).collect()), all);
        // The stock is used or left over.
        let left: u64 = s.left_over.iter().map(|o| match o {
            LeftOver::Pieces { count, .. } => *count,
            _ => 0,
        }).sum();
        prop_assert_eq!(total.count.in_hand + left, had);
        // The sheets suffice, and one fewer does not.
        let need = s.sheets.need;
        let room = if wish.used == 0 { 0 } else { wish.grid.free_after(wish.used) };
        let usable = wish.grid.usable();
        prop_assert!(room + need.new * usable >= s.sheets.labels);
        if need.new > 0 {
            prop_assert!(room + (need.new - 1) * usable < s.sheets.labels);
        }
        // Every label has a place of its own, in order, on a row that is not spoiled, on these sheets.
        let places: Vec<_> = (0..s.sheets.labels).map(|n| wish.grid.place(n, wish.used)).collect();
        prop_assert!(places.windows(2).all(|w| w[0] < w[1]));
        if let Some(last) = places.last() {
            prop_assert_eq!(last.sheet + 1, need.new + u64::from(room > 0));
        }
    }
}

fn shadecard(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shadecard")).args(args).output().expect("runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

const DEMO: &str = "demo/haberdashery/sheet.ron";

#[test]
fn the_program_speaks_json_csv_and_tables() {
    let run = shadecard(&["supplies", DEMO, "--json", "--spares", "1", "--tile-spares", "10%"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let json: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    let lines = json["lines"].as_array().expect("lines");
    let buy = |list: &serde_json::Value| -> u64 {
        list.as_array()
            .expect("a list")
            .iter()
            .map(|l| l["to_buy"].as_u64().expect("a count"))
            .sum()
    };
    let total = json["total"]["to_buy"].as_u64().expect("a count");
    assert_eq!(total, 2 * lines.len() as u64);
    for list in ["lines", "parts", "families", "colours"] {
        assert_eq!(buy(&json[list]), total, "{list}");
    }
    // 119 colours: 119 tiles and 11.9, so 12, more; 119 labels on sheets of 21: 5 sheets hold 105.
    assert_eq!(json["tiles"]["to_buy"], 131);
    assert_eq!(json["label_sheets"]["to_buy"], 6);
    let run = shadecard(&["supplies", DEMO, "--csv"]);
    let csv = text(&run.stdout);
    assert_eq!(csv.lines().count(), 1 + lines.len() + 2);
    assert!(csv.starts_with("part,part key,title,size,family,colour,"), "{csv:.200}");
    let run = shadecard(&["supplies", DEMO, "--per", "colour", "--spelling", "en-US"]);
    let table = text(&run.stdout);
    assert!(table.contains("170     Boardwalk Gray"), "{table}");
    assert!(table.contains("pieces") && table.contains("label sheets"), "{table}");
}

#[test]
fn files_appear_by_their_ending_and_whole() {
    let out = tempfile::tempdir().expect("a folder");
    for (name, begins) in
        [("a.pdf", "%PDF-"), ("b.md", "# To buy for"), ("c.csv", "part,"), ("deep/d.json", "{")]
    {
        let path = out.path().join(name);
        let run = shadecard(&["supplies", DEMO, "--out", path.to_str().expect("a name")]);
        assert!(run.status.success(), "{}", text(&run.stderr));
        let bytes = std::fs::read(&path).expect("there");
        assert!(bytes.starts_with(begins.as_bytes()), "{name}");
        assert!(text(&run.stdout).contains("Written: "), "{}", text(&run.stdout));
        let again = shadecard(&["supplies", DEMO, "--out", path.to_str().expect("a name")]);
        assert!(again.status.success() && std::fs::read(&path).expect("there") == bytes, "{name}");
    }
    // And the record of what was written.
    let left: Vec<_> = std::fs::read_dir(out.path()).expect("a folder").collect();
    assert_eq!(left.len(), 5, "{left:?}");
}

#[test]
fn a_faulty_stock_exits_1_and_writes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let stock = folder.path().join("stock.csv");
    std::fs::write(&stock, "part,colour,count\nb9,Gannet,1\nb9,Ganet,1\n").expect("written");
    let out = folder.path().join("buy.md");
    let (stock, out) = (stock.to_str().expect("a name"), out.to_str().expect("a name"));
    let run = shadecard(&["supplies", DEMO, "--stock", stock, "--out", out]);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    assert!(
        said.contains("stock.csv, line 3, column 4") && said.contains("did you mean"),
        "{said}"
    );
    assert!(!Path::new(out).exists());
    let run = shadecard(&["supplies", DEMO, "--stock", stock, "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    assert_eq!((json[0]["line"].as_u64(), json[0]["column"].as_u64()), (Some(3), Some(4)));
}

#[test]
fn a_place_that_cannot_be_written_exits_2() {
    let folder = tempfile::tempdir().expect("a folder");
    let blocked = folder.path().join("file");
    std::fs::write(&blocked, "in the way").expect("written");
    let out = blocked.join("buy.md");
    let run = shadecard(&["supplies", DEMO, "--out", out.to_str().expect("a name")]);
    assert_eq!(run.status.code(), Some(2), "{}", text(&run.stderr));
    assert!(text(&run.stderr).contains("a file has that name"), "{}", text(&run.stderr));
}

#[test]
fn every_wrong_argument_is_told_at_once() {
    let args = [
        "supplies",
        DEMO,
        "--listing",
        "deeler",
        "--family",
        "glos",
        "--each",
        "0",
        "--spares",
        "5 percent",
        "--label-grid",
        "7x0",
        "--first-free",
        "3",
        "--out",
        "buy.doc",
    ];
    let run = shadecard(&args);
    assert_eq!(run.status.code(), Some(1));
    let said = text(&run.stderr);
    for part in [
        "did you mean 'dealer'?",
        "did you mean 'gloss'?",
        "--each must be from 1 to 10000, not 0",
        "--spares must be a count or a share, not '5 percent'",
        "rows and columns of labels, not 7 x 0",
        "end its name with .pdf, .md, .csv or .json",
    ] {
        assert!(said.contains(part), "{part} is missing in {said}");
    }
    let run = shadecard(&["supplies", DEMO, "--first-free", "23"]);
    assert!(text(&run.stderr).contains("from 1 to 21"), "{}", text(&run.stderr));
    let run = shadecard(&["supplies", DEMO, "--spoiled-rows", "7"]);
    assert!(text(&run.stderr).contains("spoil at most 6 rows"), "{}", text(&run.stderr));
}
