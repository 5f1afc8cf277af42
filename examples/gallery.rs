//! Makes sheets of generated ranges and contact sheets of them, with the figures of each:
//! `gallery DIR [NAME..]`.

#[path = "../tests/gallery/mod.rs"]
mod gallery;
#[path = "../tests/positions/mod.rs"]
mod positions;

use std::path::{Path, PathBuf};

use shadecard::edition::Planned;
use shadecard::paint::png::{Output, png};
use shadecard::units::Dpi;
use tiny_skia as sk;

use gallery::Case;

/// Pictures on a contact sheet, and the room of each, pixels.
const ACROSS: usize = 5;
const DOWN: usize = 2;
const CELL: (u32, u32) = (400, 570);

fn main() {
    let mut args = std::env::args().skip(1);
    let dir = PathBuf::from(args.next().unwrap_or_else(|| "out/gallery".to_owned()));
    let names: Vec<String> = args.collect();
    let wanted = |c: &Case| names.is_empty() || names.contains(&c.name);
    let cases: Vec<Case> = gallery::cases().into_iter().filter(wanted).collect();
    println!(
        "{:26} {:>7} {:>5} {:>5} {:>6} {:>7} {:>11} {:>6} {:>11}",
        "name", "colours", "parts", "pages", "scale", "covered", "empty mm", "feet", "gap, usual"
    );
    let mut pictures = Vec::new();
    for case in &cases {
        let folder = dir.join(&case.name);
        case.write(&folder).expect("the folder can be written to");
        pictures.extend(drawn(case, &folder));
    }
    for (n, some) in pictures.chunks(ACROSS * DOWN).enumerate() {
        contact(some).save_png(dir.join(format!("contact-{n:02}.png"))).expect("written");
    }
}

/// The first and the last page of a sheet, or its only one.
fn drawn(case: &Case, folder: &Path) -> Vec<sk::Pixmap> {
    let editions = positions::open(&folder.join("sheet.ron"), None);
    let planned = match editions.plan(editions.variants().next().expect("an edition")) {
        Ok(planned) => planned,
        Err(d) => {
            println!("{:26} {:7} {:5} {}", case.name, case.colours(), case.parts.len(), d.message);
            return Vec::new();
        }
    };
    tell(case, &planned);
    let sheet = planned.place(&editions.workshop());
    for fault in gallery::faults::all(&editions, &planned, &sheet) {
        println!("    {fault}");
    }
    let dpi = f64::from(CELL.0) / (sheet.width / 25.4);
    let dpi = dpi.min(f64::from(CELL.1) / (sheet.height / 25.4)) * 2.0;
    let dpi = Dpi::new(dpi as u32).expect("a resolution");
    let last = sheet.pages.len() - 1;
    let pages = if last == 0 { vec![0] } else { vec![0, last] };
    let colours = sheet.palette.published();
    let picture = |page: usize| {
        let mut bytes = Vec::new();
        let mut outputs = [Output { dpi, out: &mut bytes }];
        png(sheet.coloured(&colours), page, &mut outputs, 2, &|_| Ok(())).expect("drawn");
        std::fs::write(folder.join(format!("page-{}.png", page + 1)), &bytes).expect("written");
        sk::Pixmap::decode_png(&bytes).expect("a picture")
    };
    pages.into_iter().map(picture).collect()
}

fn tell(case: &Case, planned: &Planned<'_>) {
    let report = planned.report();
    let c = &report.composition;
    println!(
        "{:26} {:7} {:5} {:5} {:6.3} {:6.1}% {:>5.0}x{:<5.0} {:6.1} {:5.1} {:5.1}",
        case.name,
        case.colours(),
        case.parts.len(),
        report.pages,
        report.scale,
        100.0 * c.covered,
        c.largest_empty_mm[0],
        c.largest_empty_mm[1],
        c.feet_mm,
        c.largest_gap_mm,
        c.usual_gap_mm
    );
}

fn contact(pictures: &[sk::Pixmap]) -> sk::Pixmap {
    let gap = 12;
    let (width, height) = (CELL.0 + gap, CELL.1 + gap);
    let mut out = sk::Pixmap::new(width * ACROSS as u32, height * DOWN as u32).expect("a size");
    out.fill(sk::Color::from_rgba8(150, 150, 150, 255));
    for (i, picture) in pictures.iter().enumerate() {
        let (x, y) = ((i % ACROSS) as u32 * width, (i / ACROSS) as u32 * height);
        let fit =
            (CELL.0 as f32 / picture.width() as f32).min(CELL.1 as f32 / picture.height() as f32);
        let at =
            sk::Transform::from_row(fit, 0.0, 0.0, fit, (x + gap / 2) as f32, (y + gap / 2) as f32);
        let paint =
            sk::PixmapPaint { quality: sk::FilterQuality::Bicubic, ..sk::PixmapPaint::default() };
        out.draw_pixmap(0, 0, picture.as_ref(), &paint, at, None);
    }
    out
}
