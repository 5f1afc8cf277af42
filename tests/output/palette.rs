//! The palette of a sheet and its mappings: what screens, presses and proofs show of one placed sheet.
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::common;
use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object};
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::finish::Shade;
use shadecard::graphic::{Cmyk, lab};
use shadecard::paint::{self, Condition, Press};
use shadecard::press::inks::inks;
use shadecard::press::{Bytes, ColourMode, Paper, PaperModel, Print, RenderingIntent};
use shadecard::proof;
use shadecard::range::{ColourId, Finish, load};
use shadecard::sheet::identity::Identity;
use shadecard::sheet::palette::{Fill, PaletteBuilder, PaletteEntry, PrintValues};
use shadecard::sheet::{
    ItemKind, Paint, Palette, PaletteIndex, PaletteMap, Rgb, Role, Sheet, Symbol,
};

const GREY: Rgb = Rgb(0x77, 0x77, 0x77);

/// Three colours, two of them of one value, in a family of clear parts and one of pearl.
const RANGE: &str = r##"Range(
    maker: "Base Works",
    listings: [(key: "works")],
    families: [(key: "gloss", title: "Gloss"), (key: "pearl", title: "Pearl", finish: pearl)],
    parts: [(key: "disc", numbers: {"works": "1"}, side: left, shape: "disc.svg")],
    colours: [
        (key: "slate", family: "gloss", names: {"works": "Slate"}, value: "#777777"),
        (key: "smoke", family: "gloss", names: {"works": "Smoke"}, value: "#777777"),
        (key: "milk", family: "pearl", names: {"works": "Milk"}, value: "#f6f4ee"),
    ],
    made: (rows: {"slate": "x", "smoke": "x", "milk": "x"}),
)"##;

fn editions(sheet: &Path, edition: &str) -> Editions {
    let mut sources = Sources::default();
    let loaded = load(sheet, &mut sources).expect("it loads");
    let filter = Filter {
        editions: vec![edition.into()],
        spellings: vec!["en-GB".into()],
        ..Filter::default()
    };
    Editions::resolve(loaded, &filter, &mut sources).expect("it resolves")
}

/// The sheet of [`RANGE`].
fn three() -> (tempfile::TempDir, Editions) {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    std::fs::copy("tests/faults/base/disc.svg", at("disc.svg")).expect("copied");
    std::fs::write(at("range.ron"), RANGE).expect("written");
    let sheet = r#"Sheet(range: "range.ron", editions: [(layout: "a4")])"#;
    std::fs::write(at("sheet.ron"), sheet).expect("written");
    let editions = editions(&at("sheet.ron"), "a4");
    (folder, editions)
}

fn placed(editions: &Editions) -> Sheet {
    let planned = editions.plan(editions.variants().next().expect("an edition")).expect("it fits");
    planned.place(&editions.workshop())
}

fn coated() -> Paper {
    let model = PaperModel::Coated;
    Paper::model(model, ColourMode::Cmyk, RenderingIntent::Relative).expect("it ships")
}

/// Values that no conversion gives, each colour its own.
fn values(count: usize) -> Vec<Bytes> {
    let by = |n: u8, k: u8, from: u8| n.wrapping_mul(k).wrapping_add(from);
    (0..count as u8).map(|n| [by(n, 1, 10), by(n, 2, 20), by(n, 3, 30), by(n, 5, 40)]).collect()
}

fn given(paper: &Paper, editions: &Editions) -> Print {
    let count = Print::plain(paper, &editions.range, &editions.sheet).colours.len();
    Print::given(paper, &editions.range, &editions.sheet, values(count))
}

fn press(paper: &Paper, print: &Print, sheet: &Sheet) -> Press {
    let condition = Condition {
        identifier: "coated".into(),
        info: paper.description(),
        registry: None,
        profile: paper.icc().clone(),
    };
    Press { condition, inks: inks(paper, print, &sheet.palette) }
}

/// The CMYK that each area of a page and each layer of a part is filled with, as the operators have it.
struct Operators {
    areas: Vec<Cmyk>,
    /// By the form's name.
    forms: BTreeMap<String, Vec<Cmyk>>,
}

fn cmyk(operands: &[Object]) -> Cmyk {
    let bytes: Vec<u8> =
        operands.iter().map(|v| (v.as_float().expect("a number") * 255.0).round() as u8).collect();
    Cmyk(bytes[0], bytes[1], bytes[2], bytes[3])
}

/// The colour in force at each `f` of a content stream.
fn filled(content: &[u8]) -> Vec<Cmyk> {
    let (mut now, mut out) = (Cmyk(0, 0, 0, 0), Vec::new());
    for operation in Content::decode(content).expect("operators").operations {
        match operation.operator.as_str() {
            "k" => now = cmyk(&operation.operands),
            "f" | "f*" | "Do" => out.push(now),
            _ => {}
        }
    }
    out
}

fn operators(bytes: &[u8]) -> Operators {
    let doc = Document::load_mem(bytes).expect("a PDF");
    let page = *doc.get_pages().values().next().expect("a page");
    let own = doc.get_dictionary(page).expect("a page");
    let resources = own.get(b"Resources").and_then(Object::as_reference).expect("shared");
    let resources: &Dictionary = doc.get_dictionary(resources).expect("resources");
    let named = resources.get(b"XObject").and_then(Object::as_dict).expect("forms");
    let forms = named.iter().map(|(name, form)| {
        let form = doc.get_object(form.as_reference().expect("a reference")).expect("there");
        let content = form.as_stream().expect("a form").get_plain_content().expect("content");
        (String::from_utf8_lossy(name).into_owned(), filled(&content))
    });
    let forms = forms.collect();
    let content = doc.get_page_content(page);
    let mut areas = Vec::new();
    let mut now = Cmyk(0, 0, 0, 0);
    for operation in Content::decode(&content).expect("operators").operations {
        match operation.operator.as_str() {
            "k" => now = cmyk(&operation.operands),
            "f" | "f*" => areas.push(now),
            _ => {}
        }
    }
    Operators { areas, forms }
}

/// Of a press PDF, every chip's operator is the value of its colour in the table, and every part has a layer in it.
fn holds_the_table(editions: &Editions) {
    let (sheet, paper) = (placed(editions), coated());
    let print = given(&paper, editions);
    let table: BTreeMap<&str, Cmyk> = print
        .colours
        .iter()
        .zip(&print.values)
        .map(|(id, [c, m, y, k])| (editions.range.colour(*id).key().as_str(), Cmyk(*c, *m, *y, *k)))
        .collect();
    let found = operators(&paint::press(&sheet, &press(&paper, &print, &sheet)));
    let areas = sheet.pages[0].items.iter().filter(|i| matches!(i.kind, ItemKind::Area(_)));
    let mut chips = BTreeSet::new();
    for (item, ink) in areas.zip(&found.areas) {
        let ItemKind::Area(area) = &item.kind else { continue };
        if let PaletteEntry::Sample(sample) = sheet.palette.entry(area.fill) {
            let key = editions.range.colour(sample.colour).key().as_str();
            assert_eq!(*ink, table[key], "the chip of {key}");
            chips.insert(key);
        }
    }
    assert_eq!(chips.len(), table.len());
    for (n, symbol) in sheet.symbols.iter().enumerate() {
        let (_, colour) = symbol.name.split_once("-c").expect("a part in a colour");
        let colour = ColourId(colour.parse::<usize>().expect("a number") - 1);
        let key = editions.range.colour(colour).key().as_str();
        let layers = &found.forms[&format!("S{n}")];
        assert!(layers.contains(&table[key]), "{}: {layers:?} lack {:?}", symbol.name, table[key]);
    }
}

#[test]
fn the_operators_of_a_press_hold_the_table() {
    let (_folder, editions) = three();
    holds_the_table(&editions);
    holds_the_table(&self::editions(Path::new("demo/haberdashery/sheet.ron"), "small"));
}

#[test]
fn two_colours_of_one_value_keep_their_inks() {
    let (_folder, editions) = three();
    let (sheet, paper) = (placed(&editions), coated());
    let print = given(&paper, &editions);
    let press = press(&paper, &print, &sheet);
    let ink_of = |key: &str| {
        let own = sheet.palette.entries().zip(press.inks.each()).filter(|(entry, _)| {
            matches!(entry, PaletteEntry::Sample(s) if editions.range.colour(s.colour).key() == key)
        });
        let own: Vec<Cmyk> = own.map(|(_, ink)| ink).collect();
        assert_eq!(own.len(), 1, "{key}");
        own[0]
    };
    assert_eq!(ink_of("slate"), Cmyk(10, 20, 30, 40));
    assert_eq!(ink_of("smoke"), Cmyk(11, 22, 33, 45));
    // On a screen they are one; what light and shade of them differ in is the paper's.
    let published = sheet.palette.published();
    let mut seen: BTreeMap<Rgb, BTreeSet<Cmyk>> = BTreeMap::new();
    for (rgb, ink) in published.each().zip(press.inks.each()) {
        seen.entry(rgb).or_default().insert(ink);
    }
    assert_eq!(seen[&GREY].len(), 2);
}

/// Indices of all fills of a sheet.
fn used(sheet: &Sheet) -> BTreeSet<PaletteIndex> {
    let mut out = BTreeSet::new();
    for layer in sheet.symbols.iter().flat_map(|s| s.layers()) {
        match &layer.paint {
            Paint::Solid(fill) => drop(out.insert(*fill)),
            Paint::Gradient(gradient) => out.extend(gradient.stops.iter().map(|s| s.colour)),
        }
    }
    for item in sheet.pages.iter().flat_map(|p| &p.items) {
        match &item.kind {
            ItemKind::Area(area) => drop(out.insert(area.fill)),
            ItemKind::Text(text) => drop(out.insert(text.fill)),
            ItemKind::Use(_) | ItemKind::Image(_) => {}
        }
    }
    out
}

#[test]
fn every_entry_is_used_and_what_is_not_a_sample_is_no_sample() {
    for edition in ["small", "a4"] {
        let editions = editions(Path::new("demo/haberdashery/sheet.ron"), edition);
        let sheet = placed(&editions);
        let mut used = used(&sheet);
        used.insert(PaletteIndex::PAPER);
        assert_eq!(used.len(), sheet.palette.entries().count(), "{edition}");
        let keys: BTreeSet<ColourId> =
            editions.sheet.families().iter().flat_map(|f| f.rows().iter().copied()).collect();
        let mut kinds = [0; 4];
        for entry in sheet.palette.entries() {
            match entry {
                PaletteEntry::Paper => {}
                PaletteEntry::Sample(sample) => {
                    kinds[0] += 1;
                    assert!(keys.contains(&sample.colour));
                }
                PaletteEntry::Tone(sample, _) => {
                    kinds[1] += 1;
                    assert!(keys.contains(&sample.colour));
                }
                PaletteEntry::Fixed(_) => kinds[2] += 1,
                PaletteEntry::Ink(_) => kinds[3] += 1,
                PaletteEntry::Value(value) => panic!("a value as it is: {value:?}"),
            }
        }
        assert!(kinds.iter().all(|n| *n > 0), "{kinds:?}");
        // Words are inks, and parts have none.
        let ink = |fill: PaletteIndex| matches!(sheet.palette.entry(fill), PaletteEntry::Ink(_));
        let mut items = sheet.pages.iter().flat_map(|p| &p.items);
        assert!(items.all(|i| !matches!(&i.kind, ItemKind::Text(t) if !ink(t.fill))));
        let mut layers = sheet.symbols.iter().flat_map(|s| s.layers());
        assert!(layers.all(|l| !matches!(l.paint, Paint::Solid(fill) if ink(fill))));
    }
}

/// Light and shade follow what a sample is printed as; words do not.
#[test]
fn tones_are_made_from_the_mapped_sample() {
    let (_folder, editions) = three();
    let sheet = placed(&editions);
    let red = Rgb(200, 30, 40);
    let values = PrintValues {
        shown: BTreeMap::from([(ColourId(0), red)]),
        earlier: BTreeMap::from([(ColourId(1), red)]),
    };
    let published: Vec<Rgb> = sheet.palette.published().each().collect();
    let printed: Vec<Rgb> = sheet.palette.printed(&values).each().collect();
    let mut moved = 0;
    for (n, entry) in sheet.palette.entries().enumerate() {
        let (before, after) = (published[n], printed[n]);
        match entry {
            PaletteEntry::Sample(s) if s.colour.0 == 0 => assert_eq!(after, red),
            PaletteEntry::Tone(s, shade) if s.colour.0 == 0 => {
                assert_eq!((before, after), (shade.on(GREY), shade.on(red)));
                moved += u32::from(before != after);
            }
            _ => assert_eq!(before, after, "{entry:?}"),
        }
    }
    assert!(moved > 5, "{moved}");
}

/// What is drawn on whites, which the palest line would lose, goes by the published value on any paper: the sheet is
/// placed before anything is known of papers.
#[test]
fn a_pale_part_keeps_its_edge_on_every_paper() {
    let (_folder, editions) = three();
    let sheet = placed(&editions);
    let milk = Rgb(0xf6, 0xf4, 0xee);
    let edges: Vec<PaletteEntry> = sheet
        .palette
        .entries()
        .filter(|e| matches!(e, PaletteEntry::Tone(s, Shade::Tinted { share: 0.3, .. }) if s.published == milk))
        .collect();
    assert_eq!(edges.len(), 1);
    let PaletteEntry::Tone(_, shade) = edges[0] else { panic!("{edges:?}") };
    // On a paper that shows the colour darker, the line is still darker than the colour.
    for printed in [milk, Rgb(226, 223, 214)] {
        assert!(lab(shade.on(printed)).l < lab(printed).l - 8.0);
    }
}

#[test]
fn a_proof_shows_the_paper_where_nothing_is_printed() {
    let (_folder, editions) = three();
    let sheet = placed(&editions);
    for carries in [ColourMode::Srgb, ColourMode::Cmyk] {
        let matte =
            Paper::model(PaperModel::Matte, carries, RenderingIntent::Relative).expect("ships");
        let print = Print::plain(&matte, &editions.range, &editions.sheet);
        let seen = proof::seen(&matte, &print, &sheet.palette);
        let white = seen.of(PaletteIndex::PAPER);
        assert!(white != Rgb::WHITE && lab(white).l > 85.0, "{white:?}");
        assert_eq!(seen.each().count(), sheet.palette.entries().count());
    }
}

fn digest(sheet: &Sheet, colours: &PaletteMap<Rgb>) -> String {
    Identity::of(sheet.coloured(colours)).whole.hex()
}

/// Files are known by what entries are painted as, not by their numbers.
#[test]
fn a_digest_goes_by_the_colours_that_are_painted() {
    let sheet = common::sheet(0.0);
    let colours = sheet.palette.published();
    let own = digest(&sheet, &colours);
    let mut used = used(&sheet);
    used.insert(PaletteIndex::PAPER);
    let entries = sheet.palette.entries().count();
    assert_eq!(used.len(), entries);
    for n in 0..entries {
        let mut at = 0;
        let changed = colours.map(|Rgb(r, g, b)| {
            at += 1;
            if at == n + 1 { Rgb(r ^ 1, g, b) } else { Rgb(r, g, b) }
        });
        assert_ne!(digest(&sheet, &changed), own, "entry {n}");
    }
    // The same colours in another order.
    let mut palette = PaletteBuilder::default();
    palette.fill(Rgb(1, 2, 3).into());
    let mut other = sheet.clone();
    let mut again = |fill: &mut PaletteIndex| {
        *fill = match sheet.palette.entry(*fill) {
            PaletteEntry::Paper => PaletteIndex::PAPER,
            PaletteEntry::Sample(sample) => palette.sample(sample),
            PaletteEntry::Tone(sample, shade) => palette.shade(sample, shade),
            PaletteEntry::Fixed(rgb) => palette.shade(common::sample(rgb), Shade::Fixed(rgb)),
            PaletteEntry::Ink(ink) => palette.fill(ink.into()),
            PaletteEntry::Value(value) => palette.fill(Fill::Value(value)),
        };
    };
    for item in other.pages.iter_mut().flat_map(|p| &mut p.items).rev() {
        match &mut item.kind {
            ItemKind::Area(area) => again(&mut area.fill),
            ItemKind::Text(text) => again(&mut text.fill),
            ItemKind::Use(_) | ItemKind::Image(_) => {}
        }
    }
    for symbol in &mut other.symbols {
        let layers = symbol.layers().map(|layer| {
            layer.map(|mut fill| {
                again(&mut fill);
                fill
            })
        });
        *symbol = Symbol::new(symbol.name.clone(), layers.collect(), symbol.bounds, symbol.extent);
    }
    other.palette = palette.finish();
    assert_ne!(used, self::used(&other));
    assert_eq!(digest(&other, &other.palette.published()), own);
    assert_eq!(common::pdf(&other), common::pdf(&sheet));
    // For a press the same numbers say something else.
    let inks = colours.map(|Rgb(r, g, b)| Cmyk(r, g, b, 0));
    assert_ne!(Identity::of(sheet.coloured(&inks)).whole.hex(), own);
}

#[test]
fn a_palette_has_each_colour_once_and_an_index_of_another_is_paper() {
    let sample = common::sample(GREY);
    let mut palette = PaletteBuilder::default();
    let shades = [
        Shade::Exact,
        Shade::Shine,
        Shade::Through,
        Shade::Fixed(GREY),
        Shade::Tinted { l: 70.0, share: 0.3 },
        Shade::Shed { l: 70.0, c: 0.3 },
        Shade::Offset { dl: 70.0, da: 0.3, db: 0.0, finish: Finish::Opaque },
        Shade::Offset { dl: 70.0, da: 0.3, db: 0.0, finish: Finish::Pearl },
    ];
    let first: Vec<PaletteIndex> = shades.iter().map(|s| palette.shade(sample, *s)).collect();
    let ink = palette.fill(GREY.into());
    let all: BTreeSet<PaletteIndex> = first.iter().copied().chain([ink]).collect();
    assert_eq!(all.len(), shades.len() + 1);
    let again: Vec<PaletteIndex> = shades.iter().map(|s| palette.shade(sample, *s)).collect();
    assert_eq!((again, palette.sample(sample)), (first.clone(), first[0]));
    assert_eq!(palette.fill(Rgb::WHITE.into()), PaletteIndex::PAPER);
    let palette = palette.finish();
    assert_eq!(palette.entry(first[3]), PaletteEntry::Fixed(GREY));
    // What goes on from a palette keeps its indices.
    let mut more = PaletteBuilder::from(palette.clone());
    assert_eq!(more.shade(sample, shades[6]), first[6]);
    let new = more.fill(Rgb(9, 9, 9).into());
    let more = more.finish();
    assert_eq!(
        more.entries().take(palette.entries().count()).collect::<Vec<_>>(),
        palette.entries().collect::<Vec<_>>()
    );
    assert_eq!(palette.entry(new), PaletteEntry::Paper);
    assert_eq!(palette.published().of(new), Rgb::WHITE);
    assert_eq!(Palette::default().published().of(PaletteIndex::PAPER), Rgb::WHITE);
}

/// The edge of a pale chip is a line of the page: in black alone on a press, though it belongs to a swatch.
#[test]
fn the_edge_of_a_chip_is_an_ink_of_the_page() {
    let (_folder, editions) = three();
    let (sheet, paper) = (placed(&editions), coated());
    let press = press(&paper, &given(&paper, &editions), &sheet);
    let edges: Vec<Cmyk> = sheet.pages[0]
        .items
        .iter()
        .filter(|i| i.role == Role::Swatch)
        .filter_map(|i| match &i.kind {
            ItemKind::Area(a) if matches!(sheet.palette.entry(a.fill), PaletteEntry::Ink(_)) => {
                Some(press.inks.of(a.fill))
            }
            _ => None,
        })
        .collect();
    assert!(!edges.is_empty());
    assert!(edges.iter().all(|Cmyk(c, m, y, k)| (*c, *m, *y) == (0, 0, 0) && *k > 0), "{edges:?}");
}
