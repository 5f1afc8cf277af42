//! Painters one by one: what a peer cannot see.

use crate::common;
use kurbo::{Affine, Rect, Shape};
use shadecard::paint;
use shadecard::paint::png::{Cancelled, Output, PngError};
use shadecard::sheet::{
    FillRule, Gradient, Item, ItemKind, Page, Paint, Ramp, Rgb, Role, Sheet, Stop,
};
use shadecard::units::Dpi;

fn pixels(sheet: &Sheet, dpi: u32, jobs: usize) -> (u32, u32, Vec<u8>) {
    let mut bytes = Vec::new();
    let dpi = Dpi::new(dpi).expect("in range");
    let colours = sheet.palette.published();
    let mut outputs = [Output { dpi, out: &mut bytes }];
    paint::png(sheet.coloured(&colours), 0, &mut outputs, jobs, &|_| Ok(())).expect("painted");
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG");
    let mut rgb = vec![0; reader.output_buffer_size().expect("small")];
    let info = reader.next_frame(&mut rgb).expect("pixels");
    (info.width, info.height, rgb)
}

/// A page with one black square.
fn square(width: f64, height: f64, rect: Rect) -> Sheet {
    let mut sheet = common::sheet(0.0);
    let black = sheet.palette.add_ink(Rgb(0, 0, 0));
    let item = common::area(Role::Swatch, rect.to_path(0.1), FillRule::NonZero, black);
    (sheet.width, sheet.height) = (width, height);
    sheet.pages = vec![Page { items: vec![item] }];
    sheet
}

#[test]
fn a_millimetre_is_a_millimetre_at_every_resolution() {
    // 25.4 mm are an inch: as many pixels as dots in an inch, to the pixel.
    for dpi in [72, 100, 150, 300, 600] {
        let (width, _, rgb) = pixels(&square(60.0, 40.0, Rect::new(12.7, 0.0, 38.1, 25.4)), dpi, 1);
        let row = &rgb[..width as usize * 3];
        let dark = row.chunks_exact(3).map(|p| 255.0 - f64::from(p[0])).sum::<f64>() / 255.0;
        assert!((dark - f64::from(dpi)).abs() < 0.1, "{dark} px at {dpi} dpi");
    }
}

#[test]
fn no_seam_shows_between_strips() {
    // At 300 dpi this page is higher than five strips.
    let sheet = square(20.0, 60.0, Rect::new(0.0, 0.0, 20.0, 60.0));
    let (width, height, rgb) = pixels(&sheet, 300, 2);
    assert!(height > 5 * 126);
    let inner = |y: usize| &rgb[(y * width as usize + 3) * 3..][..3];
    assert!((0..height as usize - 1).all(|y| inner(y) == [0, 0, 0]));
}

#[test]
fn a_preview_pixel_is_the_mean_of_nine() {
    let sheet = common::sheet(0.0);
    let (width, height, print) = pixels(&sheet, 300, 2);
    let (small_width, small_height, preview) = pixels(&sheet, 100, 2);
    assert_eq!((small_width * 3, small_height * 3), (width, height));
    let (width, small_width) = (width as usize, small_width as usize);
    for y in 0..small_height as usize {
        for x in 0..small_width * 3 {
            let at = |dx: usize, dy: usize| {
                let column = (x / 3 * 3 + dx) * 3 + x % 3;
                u32::from(print[(y * 3 + dy) * width * 3 + column])
            };
            let sum: u32 = (0..9).map(|k| at(k % 3, k / 3)).sum();
            let mean = (f64::from(sum) / 9.0).round() as u8;
            assert_eq!(preview[y * small_width * 3 + x], mean, "{x} {y}");
        }
    }
}

#[test]
fn stopping_stops() {
    let mut bytes = Vec::new();
    let mut outputs = [Output { dpi: Dpi::PRINT, out: &mut bytes }];
    for jobs in [1, 3] {
        let stop = |share: f64| if share > 0.1 { Err(Cancelled) } else { Ok(()) };
        let sheet = common::sheet(0.0);
        let colours = sheet.palette.published();
        let result = paint::png(sheet.coloured(&colours), 0, &mut outputs, jobs, &stop);
        assert!(matches!(result, Err(PngError::Cancelled)));
    }
}

#[test]
fn a_full_disk_is_an_error() {
    struct Full(usize);
    impl std::io::Write for Full {
        fn write(&mut self, buffer: &[u8]) -> std::io::Result<usize> {
            self.0 = self.0.checked_sub(buffer.len()).ok_or(std::io::ErrorKind::StorageFull)?;
            Ok(buffer.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    for room in [0, 20, 5000] {
        let mut full = Full(room);
        let mut outputs = [Output { dpi: Dpi::PRINT, out: &mut full }];
        let sheet = common::sheet(0.0);
        let colours = sheet.palette.published();
        let result = paint::png(sheet.coloured(&colours), 0, &mut outputs, 2, &|_| Ok(()));
        let Err(PngError::Io(error)) = result else { panic!("written") };
        assert_eq!(error.kind(), std::io::ErrorKind::StorageFull);
    }
}

#[test]
fn odd_sheets_are_painted_without_a_word() {
    let mut sheet = common::sheet(0.0);
    // A page without anything, a gradient without extent, one without stops,
    // a symbol that does not exist, an empty text, control characters.
    let gradient = |stops: Vec<Stop>| {
        Paint::Gradient(std::sync::Arc::new(Gradient {
            ramp: Ramp::Radial { cx: 0.0, cy: 0.0, r: 0.0, fx: 0.0, fy: 0.0 },
            transform: Affine::IDENTITY,
            stops,
        }))
    };
    let ink = sheet.palette.add_ink(Rgb(1, 2, 3));
    common::repaint(&mut sheet.symbols[0], 1, gradient(Vec::new()));
    let stops = vec![Stop { offset: 2.0, colour: ink }, Stop { offset: f64::NAN, colour: ink }];
    common::repaint(&mut sheet.symbols[0], 2, gradient(stops));
    let mut ghost = sheet.pages[0].items[9].clone();
    if let ItemKind::Use(used) = &mut ghost.kind {
        used.symbol.0 = 99;
    }
    let faces = sheet.faces.clone();
    let text = |s: &str| {
        common::text(&faces, common::BOLD, 3.0, (5.0, 5.0), shadecard::sheet::Turn::Level, s)
    };
    let items: Vec<Item> = vec![ghost, text(""), text("a\u{1}b\tc\u{FFFF}")];
    sheet.pages[0].items.extend(items);
    sheet.pages.push(Page::default());
    for page in [0, 2] {
        let svg = String::from_utf8(common::svg(&sheet, page)).expect("UTF-8");
        resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).expect("an SVG");
        let mut bytes = Vec::new();
        let mut outputs = [Output { dpi: Dpi::PREVIEW, out: &mut bytes }];
        let colours = sheet.palette.published();
        let painted = sheet.coloured(&colours);
        paint::png(painted, page, &mut outputs, 1, &|_| Ok(())).expect("painted");
    }
    let pdf = common::pdf(&sheet);
    assert_eq!(lopdf::Document::load_mem(&pdf).expect("reads").get_pages().len(), 3);
    assert!(!common::svg(&sheet, 7).is_empty());
}
