//! Same sheet, same bytes: twice, in reverse order, with any number of jobs.

use crate::common;
use shadecard::paint;
use shadecard::paint::png::Output;
use shadecard::sheet::Sheet;
use shadecard::units::Dpi;

fn png(sheet: &Sheet, page: usize, dpis: &[u32], jobs: usize) -> Vec<Vec<u8>> {
    let mut files: Vec<Vec<u8>> = dpis.iter().map(|_| Vec::new()).collect();
    let mut outputs: Vec<Output> = files
        .iter_mut()
        .zip(dpis)
        .map(|(out, &dpi)| Output { dpi: Dpi::new(dpi).expect("in range"), out })
        .collect();
    let colours = sheet.palette.published();
    paint::png(sheet.coloured(&colours), page, &mut outputs, jobs, &|_| Ok(())).expect("painted");
    files
}

/// Paints one file.
type Job = Box<dyn Fn() -> (String, Vec<u8>)>;

fn everything(bleed: f64, jobs: usize, backwards: bool) -> Vec<(String, Vec<u8>)> {
    let mut work: Vec<Job> = Vec::new();
    for page in 0..2 {
        work.push(Box::new(move || {
            (format!("svg {page}"), common::svg(&common::sheet(bleed), page))
        }));
        for dpi in [300, 100, 72] {
            work.push(Box::new(move || {
                let bytes = png(&common::sheet(bleed), page, &[dpi], jobs).remove(0);
                (format!("png {page} {dpi}"), bytes)
            }));
        }
    }
    work.push(Box::new(move || ("pdf".into(), common::pdf(&common::sheet(bleed)))));
    work.push(Box::new(move || {
        let sheet = common::sheet(bleed);
        let bytes = paint::press(&sheet, &common::press::press(&sheet));
        ("press pdf".into(), bytes)
    }));
    if backwards {
        work.reverse();
    }
    let mut made: Vec<_> = work.iter().map(|w| w()).collect();
    made.sort();
    made
}

#[test]
fn painting_again_in_reverse_order_gives_the_same_bytes() {
    for bleed in [0.0, 3.0] {
        let first = everything(bleed, 1, false);
        let second = everything(bleed, 2, true);
        for (a, b) in first.iter().zip(&second) {
            assert_eq!(a.0, b.0);
            assert!(a.1 == b.1, "{} differs", a.0);
        }
    }
}

#[test]
fn a_preview_is_the_same_alone_and_beside_the_print_file() {
    let sheet = common::sheet(0.0);
    let alone = png(&sheet, 0, &[100], 1).remove(0);
    for jobs in 1..=4 {
        let both = png(&sheet, 0, &[100, 300], jobs);
        assert!(both[0] == alone, "{jobs} jobs");
        assert!(both[1] == png(&sheet, 0, &[300], 1)[0], "{jobs} jobs");
    }
}

#[test]
fn a_file_has_no_date_and_no_place() {
    let pdf = common::pdf(&common::sheet(0.0));
    let document = lopdf::Document::load_mem(&pdf).expect("reads");
    let info = document.trailer.get(b"Info").and_then(|i| i.as_reference()).expect("info");
    let info = document.get_dictionary(info).expect("a dictionary");
    for key in [b"CreationDate".as_slice(), b"ModDate"] {
        assert!(!info.has(key));
    }
    let id = document.trailer.get(b"ID").and_then(|i| i.as_array()).expect("an id");
    assert_eq!(id[0], id[1]);
    // Another sheet, another id.
    let other = lopdf::Document::load_mem(&common::pdf(&common::sheet(3.0))).expect("reads");
    assert_ne!(&id[0], &other.trailer.get(b"ID").and_then(|i| i.as_array()).expect("an id")[0]);
}

/// The demo's editions through reading, planning, placing and painting; PNGs
/// at a low resolution, which is drawn by the same code.
fn editions(backwards: bool, jobs: usize) -> Vec<(String, Vec<u8>)> {
    let mut sources = shadecard::diag::Sources::default();
    let path = std::path::Path::new("demo/haberdashery/sheet.ron");
    let loaded = shadecard::range::load(path, &mut sources).expect("the demo loads");
    let filter = shadecard::edition::Filter::default();
    let editions =
        shadecard::edition::Editions::resolve(loaded, &filter, &mut sources).expect("resolves");
    let workshop = editions.workshop();
    let mut entries: Vec<_> = editions.variants().collect();
    if backwards {
        entries.reverse();
    }
    let mut made = Vec::new();
    for entry in entries {
        let sheet = editions.plan(entry).expect("fits").place(&workshop);
        made.push((format!("{}.svg", entry.stem()), common::svg(&sheet, 0)));
        made.push((format!("{}.pdf", entry.stem()), common::pdf(&sheet)));
        made.push((format!("{}.png", entry.stem()), png(&sheet, 0, &[40], jobs).remove(0)));
    }
    made.sort();
    made
}

#[test]
fn the_whole_matrix_backwards_gives_the_same_bytes() {
    let (first, second) = (editions(false, 1), editions(true, 2));
    assert_eq!(first.len(), 30);
    for (a, b) in first.iter().zip(&second) {
        assert_eq!(a.0, b.0);
        assert!(a.1 == b.1, "{} differs", a.0);
    }
}
