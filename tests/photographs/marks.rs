//! By the commands: a board with marks, a picture without, a part without a drawing.

use std::ffi::OsString;
use std::path::Path;

use shadecard::session::Session;
use shadecard::stage::StageFile;

use crate::render::{self, Camera, Case, Params};
use crate::staged;

pub fn run(words: &[&str]) -> u8 {
    let words = ["shadecard"].iter().chain(words).map(OsString::from).collect();
    shadecard::cli::run_with(words, &Session::default())
}

/// A range of three parts in twelve colours, of which one has no drawing.
pub fn small(folder: &Path, shape: &str) -> String {
    // Muted, so that matte paper can show them.
    let colours = [
        "#8c8f94", "#b08d7a", "#9fa98a", "#7f93a8", "#c2b59b", "#a88f9f", "#8aa39c", "#b59a6a",
        "#c4a9a0", "#6f7d74", "#a0a6b8", "#d8cdb8",
    ];
    let key = |i: usize| format!("c{i}");
    let line = |(i, hex): (usize, &&str)| {
        format!(
            "(key: \"{}\", family: \"all\", names: {{\"own\": \"Hue {i}\"}}, value: \"{hex}\"),",
            key(i)
        )
    };
    let lines: String = colours.iter().enumerate().map(line).collect();
    let text = format!(
        "Range(listings: [(key: \"own\", title: \"Own list\")], families: [(key: \"all\", title: \"All\", finish: satin)],
         parts: [(key: \"b\", numbers: {{\"own\": \"12\"}}, shape: \"{shape}\")], colours: [{lines}])"
    );
    std::fs::write(folder.join("range.ron"), text).expect("written");
    let sheet = "Sheet(name: \"small\", title: \"Small\", range: \"range.ron\", spellings: [\"en-GB\"], families: [\"all\"], editions: [(name: \"a4\", layout: \"a4\")])";
    let path = folder.join("sheet.ron");
    std::fs::write(&path, sheet).expect("written");
    std::fs::create_dir_all(folder.join("shapes")).expect("made");
    let from = "demo/haberdashery/shapes/toggle-18.svg";
    std::fs::copy(from, folder.join("shapes/toggle-18.svg")).expect("copied");
    path.display().to_string()
}

/// The values of the colours of a page, as the range gives them.
pub fn values(page: &shadecard::capture::StagePage, sheet: &str) -> Vec<[f64; 3]> {
    let mut sources = shadecard::diag::Sources::default();
    let loaded = shadecard::range::load(Path::new(sheet), &mut sources).expect("the sheet");
    let of = |key: &str| {
        let colour = loaded.range.colours().iter().find(|c| c.key() == key).expect("a colour");
        [colour.aim().l, colour.aim().a, colour.aim().b]
    };
    page.places.iter().map(|p| of(&p.colour)).collect()
}

#[test]
fn a_board_with_marks_is_read_from_its_photograph() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let sheet = "demo/haberdashery/sheet.ron";
    let (pdf, json) = (path("board.pdf"), path("board-marks.json"));
    let words = ["board", sheet, "--family", "nacre", "--whole", "--out", &pdf, "--marks", &json];
    assert_eq!(run(&words), 0);
    let stage = StageFile::read(Path::new(&json), &Session::default()).expect("the marks");
    let [page] = &stage.pages[..] else { panic!("{} pages", stage.pages.len()) };
    let drawn = staged::for_renderer(page);
    let values = values(page, sheet);
    let laid = render::lay(&drawn, &values, 0.0, 78_000);
    let mut params = Params::of(Case::Careful, 78_000);
    let (w, h) = page.size;
    let long = (9.6 * w.max(h)) as usize;
    let size = (long, (long as f64 * w.min(h) / w.max(h) * 1.1) as usize);
    params.view.size = if w > h { size } else { (size.1, size.0) };
    let bytes = render::render(&drawn, &laid, &params).bytes;
    std::fs::write(path("board.jpg"), bytes).expect("written");
    let (photograph, out) = (path("board.jpg"), path("measured.csv"));
    let words = [
        "capture",
        sheet,
        &photograph,
        "--stage",
        &json,
        "--out",
        &out,
        "--quiet",
        "--trust-screen-values",
    ];
    assert_eq!(run(&words), 0);
    let table = std::fs::read_to_string(&out).expect("a table");
    let mut colours: Vec<&str> = page.places.iter().map(|p| p.colour.as_str()).collect();
    colours.sort_unstable();
    colours.dedup();
    assert_eq!(table.lines().count(), colours.len() + 1, "{table}");
}

#[test]
fn a_part_without_a_drawing_gets_one_from_a_photograph() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    // What is really laid is drawn; the range knows width and height only.
    let sheet = small(folder.path(), "shapes/toggle-18.svg");
    assert_eq!(run(&["stage", &sheet, "--page", "a5", "--out", &path("true.pdf")]), 0);
    let stage = StageFile::read(Path::new(&path("true.json")), &Session::default()).expect("pages");
    let (mut page, values) = (stage.pages[0].clone(), values(&stage.pages[0], &sheet));
    let outline = page.places[0].outline.clone();
    let side = |of: fn(&(f64, f64)) -> f64| {
        let all = outline.iter().flatten().map(of);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    };
    let (w, h) = (side(|p| p.0), side(|p| p.1));
    let boxed = format!("{:.1}x{:.1}", w, h);
    assert_eq!(small(folder.path(), &boxed), sheet);
    let (pdf, json) = (path("stage.pdf"), path("stage.json"));
    assert_eq!(run(&["stage", &sheet, "--page", "a5", "--out", &pdf]), 0);
    let stage = StageFile::read(Path::new(&json), &Session::default()).expect("pages");
    assert!(stage.pages[0].places.iter().all(|p| p.boxed));
    // Laid is the toggle, on the page that was printed for the box.
    for (place, printed) in page.places.iter_mut().zip(&stage.pages[0].places) {
        let (old, new) = (place.frame.centre(), printed.frame.centre());
        let by = (new.0 - old.0, new.1 - old.1);
        place.outline.iter_mut().flatten().for_each(|p| *p = (p.0 + by.0, p.1 + by.1));
        place.frame = printed.frame;
    }
    (page.code, page.dots) = (stage.pages[0].code.clone(), stage.pages[0].dots.clone());
    let drawn = staged::for_renderer(&page);
    let mut laid = render::lay(&drawn, &values, 0.0, 79_000);
    laid.iter_mut().for_each(|part| part.scale = 1.0);
    let mut params = Params::of(Case::Careful, 79_000);
    params.view.size = (2000, 2800);
    let bytes = render::render(&drawn, &laid, &params).bytes;
    std::fs::write(path("one.jpg"), bytes).expect("written");
    let (photograph, out, shapes) = (path("one.jpg"), path("measured.csv"), path("traced"));
    let words = [
        "capture",
        &sheet,
        &photograph,
        "--outlines",
        &shapes,
        "--stage",
        &json,
        "--out",
        &out,
        "--quiet",
    ];
    assert_eq!(run(&words), 0);
    let svg = std::fs::read_to_string(Path::new(&shapes).join("b.svg")).expect("a drawing");
    let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("a drawing");
    let mm = |px: f32| f64::from(px) / 96.0 * 25.4;
    let (tw, th) = (mm(tree.size().width()), mm(tree.size().height()));
    // The camera is near: the sides of these toggles are seen as parts of them, or are lost in their shadows.
    assert!((tw - w).abs() < 0.4 && (th - h).abs() < 0.4, "{tw} x {th}, not {w} x {h}");
    // It can take the place of the box, and then there is nothing left to trace.
    std::fs::copy(Path::new(&shapes).join("b.svg"), folder.path().join("shapes/b.svg"))
        .expect("copied");
    small(folder.path(), "shapes/b.svg");
    assert_eq!(run(&["stage", &sheet, "--page", "a5", "--out", &pdf, "--replace"]), 0);
    let mut again = words.to_vec();
    again.push("--replace");
    assert_eq!(run(&again), 1);
}

#[test]
fn a_picture_without_marks_is_described_in_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let sheet = small(folder.path(), "shapes/toggle-18.svg");
    assert_eq!(run(&["stage", &sheet, "--page", "a5", "--out", &path("true.pdf")]), 0);
    let stage = StageFile::read(Path::new(&path("true.json")), &Session::default()).expect("pages");
    let (mut page, values) = (stage.pages[0].clone(), values(&stage.pages[0], &sheet));
    page.dots.clear();
    page.patches.clear();
    let drawn = staged::for_renderer(&page);
    let laid = render::lay(&drawn, &values, 0.0, 79_500);
    let mut params = Params::of(Case::Careful, 79_500);
    params.view.size = (2000, 2800);
    (params.view.k1, params.view.k2, params.view.bow) = (0.0, 0.0, 0.0);
    std::fs::write(path("old.jpg"), render::render(&drawn, &laid, &params).bytes).expect("written");
    let camera = Camera::new(&params.view, page.size);
    let (w, h) = page.size;
    let corners: String = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]
        .map(|p| camera.to_pixel(p))
        .iter()
        .map(|(x, y)| format!("({x:.0}, {y:.0}), "))
        .collect();
    let places: String = page
        .places
        .iter()
        .map(|p| {
            let (x, y) = p.frame.centre();
            format!("(part: \"{}\", colour: \"{}\", at: ({x:.1}, {y:.1})),\n", p.part, p.colour)
        })
        .collect();
    let text = format!("Picture(paper: ({w}, {h}), corners: [{corners}], places: [{places}])");
    std::fs::write(path("old.ron"), &text).expect("written");
    let (photograph, ron, out) = (path("old.jpg"), path("old.ron"), path("measured.csv"));
    let words = [
        "capture",
        &sheet,
        &photograph,
        "--stage",
        &ron,
        "--out",
        &out,
        "--quiet",
        "--trust-screen-values",
    ];
    assert_eq!(run(&words), 0);
    let table = std::fs::read_to_string(&out).expect("a table");
    assert_eq!(table.lines().count(), 13, "{table}");
    let bad =
        text.replacen("\"c3\"", "\"c33\"", 1).replacen("corners: [(", "corners: [(1, 2), (", 1);
    std::fs::write(path("old.ron"), bad).expect("written");
    std::fs::remove_file(&out).expect("removed");
    assert_eq!(run(&words), 1);
    assert!(!Path::new(&out).exists());
}
