//! The whole way by the commands: pages, photographs, a table of values.

use std::ffi::OsString;
use std::path::Path;

use shadecard::capture::{Lab50, difference};
use shadecard::colour::from_rgb;
use shadecard::diag::Sources;
use shadecard::graphic::Rgb;
use shadecard::range::{Value, load_range};
use shadecard::session::Session;
use shadecard::stage::{StageFile, known};

use crate::render::{self, Case, Params};
use crate::staged;

fn run(words: &[&str]) -> u8 {
    let words = ["shadecard"].iter().chain(words).map(OsString::from).collect();
    shadecard::cli::run_with(words, &Session::default())
}

#[test]
fn from_pages_to_measured_values() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let sheet = "demo/haberdashery/sheet.ron";
    assert_eq!(run(&["stage", sheet, "--one-each", "--out", &path("stage.pdf")]), 0);
    let stage = StageFile::read(Path::new(&path("stage.json")), &Session::default());
    let stage = stage.expect("what stage wrote");
    let mut names = Vec::new();
    for (i, (page, values)) in staged::pages().iter().enumerate() {
        assert!(*page == stage.pages[i], "page {i} is another in the file");
        let drawn = staged::for_renderer(page);
        let seed = 72_000 + i as u64;
        let laid = render::lay(&drawn, values, 0.0, seed);
        let photograph = render::render(&drawn, &laid, &Params::of(Case::Careful, seed));
        names.push(path(&format!("{i}.jpg")));
        std::fs::write(&names[i], photograph.bytes).expect("written");
    }
    // In another order than the pages.
    names.reverse();
    let (stage, table) = (path("stage.json"), path("measured.csv"));
    let mut words = vec!["capture", sheet, "--stage", &stage, "--out", &table, "--quiet"];
    words.push("--trust-screen-values");
    words.extend(names.iter().map(String::as_str));
    assert_eq!(run(&words), 0);
    let text = std::fs::read_to_string(&table).expect("a table");
    let values: std::collections::BTreeMap<String, [f64; 3]> = staged::pages()
        .into_iter()
        .flat_map(|(page, values)| {
            page.places.into_iter().map(|p| p.colour).zip(values).collect::<Vec<_>>()
        })
        .collect();
    let mut errors = Vec::new();
    for line in text.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |i: usize| cells[i].parse::<f64>().expect("a number");
        let [l, a, b] = values[cells[0]];
        errors.push(difference(Lab50::new(number(1), number(2), number(3)), Lab50::new(l, a, b)));
    }
    assert!(errors.len() >= 115, "{} of 119 colours", errors.len());
    let mean = errors.iter().sum::<f64>() / errors.len() as f64;
    assert!(mean < 1.3, "{mean}");
    as_values_of_a_range(folder.path(), &table);
    // A table that somebody wrote is not replaced.
    std::fs::write(&table, "mine").expect("written");
    assert_eq!(run(&words), 1);
    assert_eq!(std::fs::read_to_string(&table).expect("a table"), "mine");
}

/// The table gives a range its values, and a camera is not judged by what a camera read.
fn as_values_of_a_range(folder: &Path, table: &str) {
    let range = std::fs::read_to_string("demo/haberdashery/range.ron").expect("the range");
    let with_table = range.replacen("Range(", "Range(values: Table(file: \"measured.csv\"),", 1);
    std::fs::write(folder.join("range.ron"), with_table).expect("written");
    std::fs::create_dir(folder.join("shapes")).expect("made");
    for entry in std::fs::read_dir("demo/haberdashery/shapes").expect("shapes") {
        let path = entry.expect("an entry").path();
        let to = folder.join("shapes").join(path.file_name().expect("a name"));
        std::fs::copy(&path, to).expect("copied");
    }
    assert!(table.ends_with("measured.csv"));
    let mut sources = Sources::default();
    let range = load_range(&folder.join("range.ron"), &mut sources).expect("a range");
    let read: Vec<_> = range.colours().iter().filter(|c| c.measured().is_some()).collect();
    assert!(read.len() >= 115, "{}", read.len());
    assert!(read.iter().all(|c| matches!(c.value(), Value::LabD50 { .. })));
    assert!(read.iter().all(|c| known(c, true).is_none()));
}

#[test]
fn photographs_of_other_pages_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let sheet = "demo/haberdashery/sheet.ron";
    let (pdf, json) = (path("letter.pdf"), path("letter.json"));
    assert_eq!(run(&["stage", sheet, "--one-each", "--page", "letter", "--out", &pdf]), 0);
    let (page, values) = &staged::pages()[0];
    let drawn = staged::for_renderer(page);
    let laid = render::lay(&drawn, values, 0.0, 73_000);
    let bytes = render::render(&drawn, &laid, &Params::of(Case::Careful, 73_000)).bytes;
    std::fs::write(path("a4.jpg"), bytes).expect("written");
    let (photograph, out) = (path("a4.jpg"), path("measured.csv"));
    let words = ["capture", sheet, &photograph, "--stage", &json, "--out", &out, "--quiet"];
    assert_eq!(run(&words), 1);
    assert!(!Path::new(&out).exists());
}

/// Width and height of what is opaque in a picture, mm, and the middle colour of its face.
fn opaque(bytes: &[u8]) -> ((f64, f64), [u8; 3]) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut pixels).expect("pixels");
    assert_eq!(info.color_type, png::ColorType::Rgba);
    let scale = reader.info().pixel_dims.expect("a resolution");
    let per_mm = f64::from(scale.xppu) / 1000.0;
    let solid = |x: usize, y: usize| pixels[(y * info.width as usize + x) * 4 + 3] >= 128;
    let (width, height) = (info.width as usize, info.height as usize);
    let columns = (0..width).filter(|x| (0..height).any(|y| solid(*x, y))).count();
    let rows = (0..height).filter(|y| (0..width).any(|x| solid(x, *y))).count();
    let mut face: [Vec<u8>; 3] = Default::default();
    for pixel in pixels.chunks_exact(4).filter(|p| p[3] == 255) {
        face.iter_mut().zip(pixel).for_each(|(list, v)| list.push(*v));
    }
    let middle = face.map(|mut list| {
        list.sort_unstable();
        list[list.len() / 2]
    });
    ((columns as f64 / per_mm, rows as f64 / per_mm), middle)
}

#[test]
fn parts_are_cut_out_at_their_size_in_their_colour() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let sheet = "demo/haberdashery/sheet.ron";
    assert_eq!(run(&["stage", sheet, "--one-each", "--out", &path("stage.pdf")]), 0);
    let (page, values) = &staged::pages()[0];
    let drawn = staged::for_renderer(page);
    let mut laid = render::lay(&drawn, values, 0.0, 75_000);
    laid.iter_mut().for_each(|part| part.scale = 1.0);
    let photograph = render::render(&drawn, &laid, &Params::of(Case::Careful, 75_000));
    std::fs::write(path("one.jpg"), photograph.bytes).expect("written");
    let (photograph, stage) = (path("one.jpg"), path("stage.json"));
    let (pictures, table) = (path("pictures"), path("measured.csv"));
    let words = [
        "capture",
        sheet,
        &photograph,
        "--stage",
        &stage,
        "--out",
        &table,
        "--pictures",
        &pictures,
    ];
    assert_eq!(run(&words), 0);
    let (mut good, mut all) = (0, 0);
    for (place, value) in page.places.iter().zip(values) {
        let file = Path::new(&pictures).join(format!("{}.{}.png", place.part, place.colour));
        let Ok(bytes) = std::fs::read(&file) else { continue };
        let ((width, height), [r, g, b]) = opaque(&bytes);
        let points = || place.outline.iter().flatten();
        let extent = |of: fn(&(f64, f64)) -> f64| {
            let (low, high) =
                points().map(of).fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            high - low
        };
        let [l, a, b2] = *value;
        let off = difference(from_rgb(Rgb(r, g, b)), Lab50::new(l, a, b2));
        all += 1;
        let is_good = (width - extent(|p| p.0)).abs() < 0.3
            && (height - extent(|p| p.1)).abs() < 0.3
            && off < 3.0;
        good += usize::from(is_good);
    }
    assert!(all * 10 >= page.places.len() * 9, "{all} of {}", page.places.len());
    assert!(good * 10 >= all * 9, "{good} of {all}");
}

/// The photograph that the documentation reads; `UPDATE_GOLDEN=1` takes it again.
const DOCUMENTED: &str = "tests/photographs/nacre.jpg";

#[test]
fn the_documented_photograph_is_of_the_page_that_is_documented() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let sheet = "demo/haberdashery/sheet.ron";
    let family = ["stage", sheet, "--family", "nacre", "--one-each", "--page", "a5"];
    let pdf = path("nacre.pdf");
    assert_eq!(run(&[&family[..], &["--out", &pdf]].concat()), 0);
    let stage = StageFile::read(Path::new(&path("nacre.json")), &Session::default());
    let page = &stage.expect("what stage wrote").pages[0];
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        let values = staged::values(page);
        let drawn = staged::for_renderer(page);
        let laid = render::lay(&drawn, &values, 0.0, 74_000);
        let mut params = Params::of(Case::Careful, 74_000);
        params.view.size = (1600, 2200);
        let photograph = render::render(&drawn, &laid, &params);
        std::fs::write(DOCUMENTED, photograph.bytes).expect("written");
    }
    let bytes = std::fs::read(DOCUMENTED).expect("the photograph");
    let read = shadecard::capture::read(&bytes, page, &Default::default()).expect("readings");
    assert!(read.readings.iter().all(|r| r.lab.is_some()));
}
