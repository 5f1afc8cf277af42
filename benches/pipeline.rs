//! How long planning takes on the demo, and painting on a small sheet, on a
//! poster and on a book of posters.

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/large/mod.rs"]
mod large;

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use large::Large;
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::paint;
use shadecard::paint::png::Output;
use shadecard::sheet::Sheet;
use shadecard::units::Dpi;

fn png(sheet: &Sheet, jobs: usize) -> (Vec<u8>, Vec<u8>) {
    let (mut print, mut preview) = (Vec::new(), Vec::new());
    let mut outputs = [
        Output { dpi: Dpi::PRINT, out: &mut print },
        Output { dpi: Dpi::PREVIEW, out: &mut preview },
    ];
    let colours = sheet.palette.published();
    paint::png(sheet.coloured(&colours), 0, &mut outputs, jobs, &|_| Ok(())).expect("painted");
    (print, preview)
}

fn painters(c: &mut Criterion) {
    for (name, sheet) in [("small", common::sheet(0.0)), ("poster", common::poster())] {
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        group.bench_function("svg", |b| b.iter(|| black_box(common::svg(&sheet, 0))));
        group.bench_function("pdf", |b| b.iter(|| black_box(common::pdf(&sheet))));
        group.bench_function("png, 2 jobs", |b| b.iter(|| black_box(png(&sheet, 2))));
        group.finish();
    }
    let book = common::book();
    let mut group = c.benchmark_group("20 pages");
    group.sample_size(10);
    group.bench_function("svg, one page", |b| b.iter(|| black_box(common::svg(&book, 0))));
    group.bench_function("pdf", |b| b.iter(|| black_box(common::pdf(&book))));
    group.finish();
}

fn planning(c: &mut Criterion) {
    let mut sources = Sources::default();
    let path = Path::new("demo/haberdashery/sheet.ron");
    let loaded = shadecard::range::load(path, &mut sources).expect("the demo loads");
    let editions = Editions::resolve(loaded, &Filter::default(), &mut sources).expect("resolves");
    let mut group = c.benchmark_group("plan");
    group.sample_size(10);
    for entry in editions.variants().filter(|e| e.tag == "en-GB") {
        group.bench_function(entry.name(), |b| b.iter(|| black_box(editions.plan(entry).is_ok())));
    }
    group.finish();
}

/// Sheets of many colours on posters, in two spellings.
fn planning_many(c: &mut Criterion) {
    let mut group = c.benchmark_group("plan many");
    group.sample_size(10);
    for colours in [500, 1000, 2000, 4000] {
        let folder = tempfile::tempdir().expect("a folder");
        large::write(folder.path(), &Large::posters(colours)).expect("written");
        let mut sources = Sources::default();
        let loaded = shadecard::range::load(&folder.path().join("sheet.ron"), &mut sources)
            .expect("the sheet loads");
        let editions =
            Editions::resolve(loaded, &Filter::default(), &mut sources).expect("resolves");
        let entry = editions.variants().next().expect("an edition");
        group.bench_function(colours.to_string(), |b| {
            b.iter(|| black_box(editions.plan(entry).is_ok()));
        });
    }
    group.finish();
}

criterion_group!(benches, painters, planning, planning_many);
criterion_main!(benches);
