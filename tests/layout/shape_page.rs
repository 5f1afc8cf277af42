//! The page of shapes: every part in every finish and both colours, at true size, nothing over anything else.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use crate::positions::{inside_the_page, none, readable, samples_apart, texts_clear};
use shadecard::diag::Sources;
use shadecard::plan::Style;
use shadecard::plan::papers::paper;
use shadecard::range::{Finish, Loaded, load};
use shadecard::shape_page::{DrawnParts, sheet};
use shadecard::sheet::{ItemKind, Sheet, Text};
use shadecard::spelling::Spelling;
use shadecard::supplies::Naming;
use shadecard::work::Work;
use tempfile::TempDir;

/// 6 pt: 6 x 25.4 / 72 mm, less than which no word is set at first; what is fitted may shrink to three quarters.
const FLOOR: f64 = 6.0 * 25.4 / 72.0 * 0.75;

struct Case {
    loaded: Loaded,
    spelling: Spelling,
    shown: DrawnParts,
}

impl Case {
    fn of(file: &Path) -> Case {
        let loaded = load(file, &mut Sources::default());
        let loaded = loaded.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
        let shown = DrawnParts::new(&loaded.range, &Work::default());
        Case { loaded, spelling: Spelling::shipped("en-GB").expect("shipped"), shown }
    }

    fn sheet(&self, style: &str, size: &str) -> Sheet {
        let Loaded { range, sheet: spec, .. } = &self.loaded;
        let naming =
            Naming { range, sheet: spec, listing: spec.headings(), spelling: &self.spelling };
        let style = Style::shipped(style).expect("shipped");
        let pages = sheet(&self.shown, &naming, &style, paper(size).expect("a paper"));
        pages.unwrap_or_else(|f| panic!("{:?}", f.sorted()))
    }

    fn finishes(&self) -> Vec<Finish> {
        let of: BTreeSet<Finish> = self.loaded.range.colours().iter().map(|c| c.finish()).collect();
        of.into_iter().collect()
    }
}

fn texts(sheet: &Sheet, page: usize) -> Vec<&Text> {
    let items = sheet.pages[page].items.iter();
    items.filter_map(|i| if let ItemKind::Text(t) = &i.kind { Some(&**t) } else { None }).collect()
}

/// What must hold on any such pages.
fn holds(case: &Case, sheet: &Sheet) -> Vec<String> {
    let mut faults = samples_apart(sheet);
    faults.extend(inside_the_page(sheet));
    faults.extend(texts_clear(sheet));
    faults.extend(readable(sheet, FLOOR));
    // Each part x finish x colour once.
    let mut drawn = Vec::new();
    let mut scales = std::collections::BTreeMap::<usize, f64>::new();
    for item in sheet.pages.iter().flat_map(|p| &p.items) {
        let ItemKind::Use(used) = &item.kind else { continue };
        let symbol = &sheet.symbols[used.symbol.0];
        drawn.push(symbol.name.clone());
        let number = symbol.name[1..].split('-').next().and_then(|n| n.parse::<usize>().ok());
        let part = number.expect("a part's number") - 1;
        let extent = case.loaded.range.parts()[part].shape().extent;
        if symbol.extent != extent {
            faults.push(format!("{} is drawn {:?}, not {extent:?}", symbol.name, symbol.extent));
        }
        scales.insert(part, used.scale);
    }
    let count = drawn.len();
    let drawn: BTreeSet<String> = drawn.into_iter().collect();
    if drawn.len() != count {
        faults.push("something is drawn twice".to_owned());
    }
    let colours = ["pale", "dark"].into_iter().take(case.loaded.range.colours().len());
    for (i, part) in case.loaded.range.parts().iter().enumerate() {
        for finish in case.finishes() {
            for colour in colours.clone() {
                let name = format!("p{}-{}-{colour}", i + 1, finish.word());
                if !drawn.contains(&name) {
                    faults.push(format!("{name} ({}) is missing", part.key()));
                }
            }
        }
        // True size wherever the page has room; else the scale is said, in hundredths.
        let (w, h) = (part.shape().extent.width(), part.shape().extent.height());
        let scale = scales.get(&i).copied().unwrap_or(1.0);
        let (room, tall) = (sheet.width - 28.0, sheet.height - 75.0);
        if scale < 1.0 && w <= room && h <= tall {
            faults.push(format!("{} of {w} x {h} mm is shown at {scale}", part.key()));
        }
        let said = format!("shown at {scale:.2} of true size");
        let all: Vec<String> = (0..sheet.pages.len())
            .map(|p| texts(sheet, p).iter().map(|t| t.string.clone()).collect::<Vec<_>>().join(" "))
            .collect();
        if scale < 1.0 && !all.iter().any(|t| t.contains(&said)) {
            faults.push(format!("nothing says that {} is {said}", part.key()));
        }
    }
    // A ruler of 100 mm at the foot of each page: its first and last long tick.
    for page in 0..sheet.pages.len() {
        let ticks: Vec<f64> = sheet.pages[page]
            .items
            .iter()
            .filter(|i| i.origin.as_deref() == Some("ruler") && i.bounds.height() > 2.0)
            .map(|i| i.bounds.center().x)
            .collect();
        let first = ticks.iter().copied().fold(f64::INFINITY, f64::min);
        if !ticks.iter().any(|x| (x - first - 100.0).abs() < 1e-6) {
            faults.push(format!("page {page} has no ruler of 100 mm: {ticks:?}"));
        }
    }
    faults
}

#[test]
fn the_demo_stands_on_its_pages() {
    for file in ["demo/haberdashery/sheet.ron", "demo/css-colours/sheet.ron"] {
        let case = Case::of(Path::new(file));
        for (style, size) in [("plate", "A4"), ("catalogue", "A4"), ("plate", "Letter")] {
            let sheet = case.sheet(style, size);
            none(&format!("{file} {style} {size}"), holds(&case, &sheet));
        }
    }
}

/// A range of as many parts as sizes, in as many finishes as asked for.
fn range_of(sizes: &[(f64, f64)], finishes: usize) -> (TempDir, Case) {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        std::fs::write(folder.path().join(name), text).expect("written");
    };
    let mut parts = String::new();
    for (i, (w, h)) in sizes.iter().enumerate() {
        let (rx, ry) = (w / 2.0, h / 2.0);
        let inside = match i % 3 {
            0 => format!(r##"<ellipse cx="{rx}" cy="{ry}" rx="{rx}" ry="{ry}" fill="#888"/>"##),
            1 => format!(
                r##"<rect width="{w}" height="{h}" rx="{}" fill="#888"/>"##,
                rx.min(ry) / 3.0
            ),
            // A body in the middle with a fixed frame round it.
            _ => format!(
                r##"<rect class="body" x="{}" y="{}" width="{}" height="{}" fill="#888"/><path class="fixed" fill-rule="evenodd" d="M0 0H{w}V{h}H0ZM{a} {b}V{c}H{d}V{b}Z" fill="#aaa"/>"##,
                w * 0.25,
                h * 0.25,
                w / 2.0,
                h / 2.0,
                a = w * 0.1,
                b = h * 0.1,
                c = h * 0.9,
                d = w * 0.9,
            ),
        };
        write(
            &format!("{i}.svg"),
            &format!(
                r##"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">{inside}</svg>"##
            ),
        );
        parts += &format!(
            "(key: \"k{i}\", numbers: {{\"works\": \"{}\"}}, title: \"Part of {w:.1} by {h:.1} with rather a long name\", side: {}, shape: \"{i}.svg\"),",
            1000 + i,
            if i % 2 == 0 { "left" } else { "right" },
        );
    }
    let families: String = Finish::ALL[..finishes]
        .iter()
        .map(|f| format!("(key: \"{0}\", finish: {0}),", f.word()))
        .collect();
    let colours: String = Finish::ALL[..finishes]
        .iter()
        .enumerate()
        .map(|(i, f)| {
            let (l, other) = (20 + 10 * i, 90 - 5 * i);
            format!("(key: \"a{i}\", family: \"{0}\", names: {{\"works\": \"Sea {i}\"}}, value: Lab({l}, 5, -9)), (key: \"b{i}\", family: \"{0}\", names: {{\"works\": \"Sand {i}\"}}, value: Lab({other}, 4, 19)),", f.word())
        })
        .collect();
    write(
        "range.ron",
        &format!(
            "Range(maker: \"Tideline Works\", listings: [(key: \"works\")], families: [{families}], parts: [{parts}], colours: [{colours}])"
        ),
    );
    write(
        "sheet.ron",
        "Sheet(range: \"range.ron\", name: \"sizes\", title: \"Sizes\", spellings: [\"en-GB\"], editions: [(name: \"a\", layout: \"a3\")])",
    );
    let case = Case::of(&folder.path().join("sheet.ron"));
    (folder, case)
}

#[test]
fn forty_parts_of_2_to_200_mm() {
    // Evenly in the logarithm, tall and wide in turns.
    let size = |i: u32| 2.0 * 100f64.powf(f64::from(i) / 39.0);
    let ratio = |i: u32| [1.0, 0.4, 1.6, 0.15][i as usize % 4];
    let sizes: Vec<(f64, f64)> = (0..40)
        .map(|i| ((size(i) * 100.0).round() / 100.0, size(i) * f64::min(ratio(i), 200.0 / size(i))))
        .map(|(w, h)| (w, (h * 100.0).round() / 100.0))
        .collect();
    assert!(sizes[0].0 == 2.0 && sizes[39].0 == 200.0);
    for (finishes, style, size) in
        [(1, "plate", "A4"), (4, "catalogue", "Letter"), (7, "plate", "A4")]
    {
        let (_folder, case) = range_of(&sizes, finishes);
        let sheet = case.sheet(style, size);
        none(&format!("{finishes} finishes {style} {size}"), holds(&case, &sheet));
    }
}

#[test]
fn parts_larger_than_the_page() {
    let sizes =
        [(499.0, 499.0), (0.5, 400.0), (499.0, 0.5), (182.0, 30.0), (183.0, 30.0), (91.0, 240.0)];
    for finishes in [1, 7] {
        let (_folder, case) = range_of(&sizes, finishes);
        none("large parts", holds(&case, &case.sheet("plate", "A4")));
        none("large parts", holds(&case, &case.sheet("catalogue", "Letter")));
    }
}

#[test]
fn a_range_of_one_colour_shows_each_part_once() {
    let (folder, _) = range_of(&[(9.0, 9.0)], 1);
    let file = folder.path().join("range.ron");
    let text = std::fs::read_to_string(&file).expect("there");
    let cut = text.find("(key: \"b0\"").expect("a second colour");
    std::fs::write(&file, format!("{}])", &text[..cut])).expect("written");
    let case = Case::of(&folder.path().join("sheet.ron"));
    let sheet = case.sheet("plate", "A4");
    assert_eq!(sheet.symbols.len(), 1);
    none("one colour", holds(&case, &sheet));
}

/// A square of 20 mm with a bar of 20 x 6 mm in another grey across it: 14 of 20 mm stay flat, less the pixels that an
/// edge crosses.
#[test]
fn the_flat_share_is_that_of_the_drawing() {
    let svg = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><rect class="body" width="20" height="20" fill="#888"/><rect class="opaque" y="7" width="20" height="6" fill="#666"/></svg>"##;
    let (folder, _) = range_of(&[(20.0, 20.0)], 2);
    std::fs::write(folder.path().join("0.svg"), svg).expect("written");
    let case = Case::of(&folder.path().join("sheet.ron"));
    let understood = &case.shown.entries[0].understood;
    let opaque = understood.flat.iter().find(|f| f.0 == Finish::Opaque).expect("opaque").1;
    assert!((opaque - 0.7).abs() < 0.03, "{opaque}");
    // The bar is drawn in one finish only.
    let clear = understood.flat.iter().find(|f| f.0 == Finish::Clear).expect("clear").1;
    assert!(clear > opaque && understood.holes == 0 && understood.shading == 1, "{understood:?}");
}

fn shadecard(args: &[&str], folder: &Path) -> Output {
    let sheet = std::fs::canonicalize("demo/haberdashery/sheet.ron").expect("the demo");
    Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .current_dir(folder)
        .args(["shapes", sheet.to_str().expect("a name")])
        .args(args)
        .output()
        .expect("runs")
}

#[test]
fn the_command_writes_what_its_ending_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let names = |at: &Path| -> Vec<String> {
        let entries = std::fs::read_dir(at).expect("a folder").flatten();
        let mut all: Vec<String> =
            entries.map(|e| e.file_name().to_string_lossy().into_owned()).collect();
        // The record of what was written is beside it.
        all.retain(|name| name != ".shadecard");
        all.sort();
        all
    };
    let run = shadecard(&[], folder.path());
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    assert_eq!(names(&folder.path().join("out/haberdashery")), ["shapes.pdf"]);
    let text = String::from_utf8_lossy(&run.stdout).into_owned();
    assert!(text.contains("Shapes of 'haberdashery': 16 drawings"), "{text}");
    let pdf = std::fs::read(folder.path().join("out/haberdashery/shapes.pdf")).expect("there");
    let pages = lopdf::Document::load_mem(&pdf).expect("reads").get_pages().len();
    let again = shadecard(&["--out", "again.pdf"], folder.path());
    assert!(again.status.success());
    assert_eq!(std::fs::read(folder.path().join("again.pdf")).expect("there"), pdf);
    assert!(shadecard(&["--out", "sub/s.svg", "--json"], folder.path()).status.success());
    let expected: Vec<String> = (1..=pages).map(|n| format!("s.p{n}.svg")).collect();
    assert_eq!(names(&folder.path().join("sub")), expected);
}

#[test]
fn the_table_says_what_was_understood() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = shadecard(&["--json"], folder.path());
    let json: serde_json::Value = serde_json::from_slice(&run.stdout).expect("JSON");
    let parts = json["parts"].as_array().expect("a list");
    let part = |key: &str| parts.iter().find(|p| p["part"] == key).expect("a part");
    // A button of 9 mm with two holes.
    assert_eq!(part("b9")["size_mm"], serde_json::json!([9.0, 9.0]));
    assert_eq!(part("b9")["holes"], 2);
    for part in parts {
        for (finish, share) in part["flat"].as_object().expect("shares") {
            let share = share.as_f64().expect("a number");
            assert!((0.4..=1.0).contains(&share), "{} {finish}: {share}", part["part"]);
        }
    }
}
