//! Writes PDFs for a made-up press, each with a JSON file of what its plates
//! have to hold, for `.ci/check-press`.
//!
//! `cargo run --example press_sheet -- FOLDER`
//!
//! `patches.pdf` has every value of every ink, overprinting, gradients and
//! layers that show through; `demo.pdf` is an edition of the demo in the values
//! that tuning finds for the coated paper. Lengths are
//! millimetres from the top left corner of the trim, pages count from 1:
//!
//! * `points`: at `x`, `y` the plates hold `cmyk`, 0 to 255 (within `tolerance`, else exactly);
//! * `words`: in the box `x0 y0 x1 y1` the coloured plates hold `cmy` throughout, as if no word were there, and black
//!   comes up to 255;
//! * `limit`: nowhere inside the trim do the plates together hold more, percent;
//! * `marks`: in the box every plate comes up to 255.
#[path = "../tests/common/mod.rs"]
mod common;

use std::path::Path;
use std::sync::Arc;

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape};
use serde_json::{Value, json};
use shadecard::diag::Sources;
use shadecard::edition::ForPaper;
use shadecard::edition::{Editions, Filter};
use shadecard::graphic::{Cmyk, Rgb};
use shadecard::paint::{self, Press};
use shadecard::press::{self, ColourMode, Origin, Print};
use shadecard::range::{ColourId, load};
use shadecard::sheet::palette::{PaletteBuilder, PaletteEntry};
use shadecard::sheet::{
    About, Area, FillRule, Gradient, Item, ItemKind, Layer, OutlineId, Page, Paint, PaletteIndex,
    Ramp, Role, Sample, Sheet, Stop, Symbol, SymbolId, Turn, Use,
};

/// From patch to patch, mm.
const PITCH: f64 = 6.0;
/// Total ink that the demo is given, percent: lower than it would take.
const LIMIT: f64 = 240.0;
const BLACK: Cmyk = Cmyk(0, 0, 0, 255);

fn main() {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("press_sheet FOLDER");
        std::process::exit(2);
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("the folder can be made");
    let (sheet, press, expected) = patches();
    write(folder, "patches", &sheet, &press, &expected);
    let (sheet, press) = demo();
    let mut expected = look_up(&sheet, &press);
    expected["limit"] = json!(LIMIT);
    write(folder, "demo", &sheet, &press, &expected);
}

fn write(folder: &Path, name: &str, sheet: &Sheet, press: &Press, expected: &Value) {
    let bytes = paint::press(sheet, press);
    let text = serde_json::to_string_pretty(expected).expect("JSON");
    std::fs::write(folder.join(format!("{name}.pdf")), bytes).expect("written");
    std::fs::write(folder.join(format!("{name}.json")), text).expect("written");
    let count = |key: &str| expected[key].as_array().map_or(0, Vec::len);
    println!(
        "{name}: {} points, {} words, {} marks, at most {:.0} % ink",
        count("points"),
        count("words"),
        count("marks"),
        press.total_ink()
    );
}

fn parts(Cmyk(c, m, y, k): Cmyk) -> [u8; 4] {
    [c, m, y, k]
}

/// Items with their colours' inks, and what follows for the plates.
struct Board {
    items: Vec<Item>,
    palette: PaletteBuilder,
    /// By the number of their sample.
    colours: Vec<Cmyk>,
    points: Vec<Value>,
    words: Vec<Value>,
    page: usize,
}

impl Board {
    fn new() -> Board {
        Board {
            items: Vec::new(),
            palette: common::palette().0,
            colours: Vec::new(),
            points: Vec::new(),
            words: Vec::new(),
            page: 1,
        }
    }

    /// A sample that is printed with `ink`. All look alike on a screen.
    fn colour(&mut self, ink: Cmyk) -> PaletteIndex {
        let colour = ColourId(self.colours.len());
        self.colours.push(ink);
        self.palette.sample(Sample { colour, ..common::sample(Rgb(99, 99, 99)) })
    }

    fn ink(&mut self, ink: Rgb) -> PaletteIndex {
        self.palette.fill(ink.into())
    }

    fn area(&mut self, role: Role, rect: Rect, fill: PaletteIndex) {
        self.items.push(common::area(role, rect.to_path(0.1), FillRule::NonZero, fill));
    }

    fn swatch(&mut self, rect: Rect, ink: Cmyk) {
        let fill = self.colour(ink);
        self.area(Role::Swatch, rect, fill);
    }

    fn point(&mut self, what: &str, at: Point, ink: [u8; 4], tolerance: u8) {
        let Point { x, y } = at;
        self.points.push(json!({
            "what": what, "page": self.page, "x": x, "y": y, "cmyk": ink, "tolerance": tolerance,
        }));
    }
}

fn patches() -> (Sheet, Press, Value) {
    let faces = common::faces();
    let mut board = Board::new();
    every_value(&mut board);
    let first = std::mem::take(&mut board.items);
    board.page = 2;
    overprinting(&mut board, &faces);
    let (outlines, symbols) = gradients(&mut board);
    let second = std::mem::take(&mut board.items);
    let about = About {
        title: "Patches for a press".into(),
        author: "Wrackline Works".into(),
        language: "en-GB".into(),
        issue_date: None,
        year: Some(2026),
    };
    let pages = vec![Page { items: first }, Page { items: second }];
    let palette = board.palette.finish();
    let (width, height, bleed) = (110.0, 110.0, 3.0);
    let images = Vec::new();
    let sheet =
        Sheet { width, height, bleed, about, faces, palette, outlines, symbols, images, pages };
    let press = common::press::press(&sheet);
    let inks = press.inks.with(&sheet.palette, |entry, ink| match entry {
        PaletteEntry::Sample(sample) => board.colours[sample.colour.0],
        _ => ink,
    });
    let press = Press { inks, ..press };
    let marks = marks(&sheet);
    let expected = json!({"points": board.points, "words": board.words, "marks": marks});
    (sheet, press, expected)
}

/// Odd factors have every byte once.
fn every_value(board: &mut Board) {
    for v in 0..=255u8 {
        let ink = Cmyk(v, 255 - v, v.wrapping_mul(7), v.wrapping_mul(13));
        let corner = (7.0 + f64::from(v % 16) * PITCH, 7.0 + f64::from(v / 16) * PITCH);
        let rect = Rect::from_origin_size(corner, (5.0, 5.0));
        board.swatch(rect, ink);
        board.point("every value", rect.center(), parts(ink), 0);
    }
}

/// Black words and rules over a colour leave it; a black swatch takes its place.
fn overprinting(board: &mut Board, faces: &Arc<shadecard::type_::Faces>) {
    let ground = Cmyk(200, 150, 31, 64);
    board.swatch(Rect::new(10.0, 10.0, 100.0, 40.0), ground);
    let mut text = common::text(faces, common::BOLD, 14.0, (14.0, 26.0), Turn::Level, "Overprint");
    if let ItemKind::Text(t) = &mut text.kind {
        t.fill = board.ink(Rgb(0, 0, 0));
    }
    board.items.push(text);
    let cmy = [200, 150, 31];
    let around = [12.0, 12.0, 98.0, 31.0];
    board.words.push(json!({"what": "words over a colour", "page": 2, "box": around, "cmy": cmy}));
    let black = board.ink(Rgb(0, 0, 0));
    board.area(Role::Furniture, Rect::new(14.0, 33.0, 40.0, 37.0), black);
    board.point("a rule over a colour", Point::new(27.0, 35.0), [200, 150, 31, 255], 0);
    board.swatch(Rect::new(45.0, 33.0, 60.0, 37.0), BLACK);
    board.point("a black swatch over a colour", Point::new(52.0, 35.0), parts(BLACK), 0);
    // A grey rule is in black alone, but not solid: it knocks out.
    let grey = board.ink(Rgb(128, 128, 128));
    board.area(Role::Furniture, Rect::new(65.0, 33.0, 80.0, 37.0), grey);
    board.point("a grey rule over a colour", Point::new(72.0, 35.0), [0, 0, 0, 127], 0);
    board.point("between them", Point::new(62.5, 35.0), parts(ground), 0);
}

/// Discs whose gradient runs within a millimetre of the middle, and one that is half clear.
fn gradients(board: &mut Board) -> (Vec<Arc<BezPath>>, Vec<Symbol>) {
    let outline = Arc::new(Circle::new((0.0, 0.0), 9.0).to_path(1e-4));
    let (from, to) = (Cmyk(255, 3, 90, 17), Cmyk(1, 240, 128, 0));
    let stops = [from, to].map(|ink| board.colour(ink));
    let stops =
        vec![Stop { offset: 0.0, colour: stops[0] }, Stop { offset: 1.0, colour: stops[1] }];
    let linear = Ramp::Linear { x1: -1.0, y1: 0.0, x2: 1.0, y2: 0.0 };
    let radial = Ramp::Radial { cx: 0.0, cy: 0.0, r: 1.0, fx: 0.0, fy: 0.0 };
    let gradient = |ramp| {
        let stops = stops.clone();
        Paint::Gradient(Arc::new(Gradient { ramp, transform: Affine::IDENTITY, stops }))
    };
    let layer =
        |paint, opacity| Layer { outline: OutlineId(0), rule: FillRule::NonZero, paint, opacity };
    let below = Cmyk(100, 50, 200, 20);
    let (ground, black) = (board.colour(below), board.colour(BLACK));
    let layers = [
        vec![layer(gradient(linear), 1.0)],
        vec![layer(gradient(radial), 1.0)],
        vec![layer(Paint::Solid(ground), 1.0), layer(Paint::Solid(black), 0.5)],
    ];
    let body = outline.bounding_box();
    let symbols = layers.into_iter().enumerate().map(|(n, layers)| {
        let name = format!("disc-{n}");
        Symbol::new(name, layers, body, body)
    });
    for n in 0..3 {
        let (symbol, x, y) = (SymbolId(n), 25.0 + 30.0 * n as f64, 70.0);
        let bounds = body + kurbo::Vec2::new(x, y);
        let kind = ItemKind::Use(Use { symbol, x, y, scale: 1.0 });
        board.items.push(Item { role: Role::Sample, origin: None, kind, bounds });
    }
    board.point("before a gradient", Point::new(19.0, 70.0), parts(from), 0);
    board.point("after a gradient", Point::new(31.0, 70.0), parts(to), 0);
    board.point("in a gradient", Point::new(25.0, 70.0), [128, 122, 109, 9], 6);
    board.point("around a gradient", Point::new(55.0, 64.0), parts(to), 0);
    board.point("half clear black", Point::new(85.0, 70.0), [50, 25, 100, 138], 1);
    (vec![outline], symbols.collect())
}

/// Around the crop marks at the top left corner, one of each direction.
fn marks(sheet: &Sheet) -> Vec<Value> {
    let each = |page: usize| {
        let boxes = [[-10.0, -0.5, -7.0, 0.5], [-0.5, -10.0, 0.5, -7.0]];
        boxes.map(|b| json!({"what": "a crop mark", "page": page + 1, "box": b}))
    };
    (0..sheet.pages.len()).flat_map(each).collect()
}

/// The demo on a page of middle size, with bleed, in tuned inks.
fn demo() -> (Sheet, Press) {
    let mut sources = Sources::default();
    let loaded = load(Path::new("demo/haberdashery/sheet.ron"), &mut sources).expect("it loads");
    let filter = Filter {
        editions: vec!["small".into()],
        spellings: vec!["en-GB".into()],
        ..Filter::default()
    };
    let editions = Editions::resolve(loaded, &filter, &mut sources).expect("it resolves");
    let mut chosen =
        press::open_plain("coated", &editions.sheet, Some(ColourMode::Cmyk), &sources.session)
            .expect("it ships");
    chosen.paper = chosen.paper.with_ink_limit(LIMIT);
    let print =
        Print::tuned(&chosen.paper, &editions.range, &editions.sheet, &editions.session.work);
    let paper = ForPaper { chosen, print, origin: Origin::Tuned };
    let planned = editions.plan(editions.variants().next().expect("an edition")).expect("it fits");
    let mut sheet = planned.place(&editions.workshop());
    sheet.bleed = 3.0;
    let press = paper.press(&sheet.palette).expect("it carries ink");
    (sheet, press)
}

/// Swatches that nothing covers, and black words that are on white.
fn look_up(sheet: &Sheet, press: &Press) -> Value {
    let (mut points, mut words) = (Vec::new(), Vec::new());
    let published = sheet.palette.published();
    for (n, page) in sheet.pages.iter().enumerate() {
        for (i, item) in page.items.iter().enumerate() {
            match &item.kind {
                ItemKind::Area(area) if item.role == Role::Swatch => {
                    let at = item.bounds.center();
                    let covered = page.items[i + 1..].iter().any(|later| covers(later, at));
                    if !covered && inside(area, at) {
                        let what = published.of(area.fill).hex();
                        let ink = parts(press.inks.of(area.fill));
                        points.push(json!({
                            "what": what, "page": n + 1, "x": at.x, "y": at.y, "cmyk": ink,
                        }));
                    }
                }
                ItemKind::Text(text) if press.inks.of(text.fill) == BLACK => {
                    let b = item.bounds;
                    let touches = |other: &Item| {
                        coloured(other, press)
                            && !other.bounds.inflate(0.5, 0.5).intersect(b).is_zero_area()
                    };
                    if !page.items.iter().any(touches) {
                        let (what, area) = (&text.string, [b.x0, b.y0, b.x1, b.y1]);
                        words.push(json!({
                            "what": what, "page": n + 1, "box": area, "cmy": [0, 0, 0],
                        }));
                    }
                }
                _ => {}
            }
        }
    }
    json!({"points": points, "words": words, "marks": marks(sheet)})
}

/// May it leave ink on another plate than black?
fn coloured(item: &Item, press: &Press) -> bool {
    let fill = match &item.kind {
        ItemKind::Area(area) => area.fill,
        ItemKind::Text(text) => text.fill,
        ItemKind::Use(_) | ItemKind::Image(_) => return true,
    };
    !matches!(press.inks.of(fill), Cmyk(0, 0, 0, _))
}

fn inside(area: &Area, at: Point) -> bool {
    let winding = area.path.winding(at);
    if area.rule == FillRule::EvenOdd { winding % 2 != 0 } else { winding != 0 }
}

fn covers(item: &Item, at: Point) -> bool {
    match &item.kind {
        ItemKind::Area(area) => inside(area, at),
        _ => item.bounds.contains(at),
    }
}
