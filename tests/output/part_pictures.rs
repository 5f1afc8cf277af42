//! Pictures of parts on a sheet: where they are, how large, in which colours, each against readers of others.

use std::cell::Cell;
use std::io::Cursor;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::common::shelf::Memory;
use crate::{common, picture_set};
use kurbo::{Point, Vec2};
use lopdf::Object;
use picture_set::bench::{Bench, MARKS, RADIUS, RED, SEA, bar};
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::graphic::Cmyk;
use shadecard::image::encode;
use shadecard::paint::png::{Form, Frame, Picture, Raster, Strip, png_again};
use shadecard::paint::{self, png::Output};
use shadecard::range::load;
use shadecard::sheet::identity::Identity;
use shadecard::sheet::montage::moved;
use shadecard::sheet::palette::{PaletteEntry, PrintValues};
use shadecard::sheet::{Item, ItemKind, Rgb, Sheet};
use shadecard::units::Dpi;

/// A sheet of the folder as it is placed in an edition.
fn placed(bench: &Bench, file: &str, edition: &str) -> Sheet {
    let mut sources = Sources::default();
    let loaded = load(&bench.folder().join(file), &mut sources);
    let loaded = loaded.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
    let editions = Editions::resolve(loaded, &Filter::default(), &mut sources);
    let editions = editions.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
    let variant = editions.variants().find(|v| v.name() == edition).expect("an edition");
    editions.plan(variant).expect("fits").place(&editions.workshop())
}

/// A page in pixels of 300 dpi.
struct Page {
    width: usize,
    rgb: Vec<u8>,
}

impl Page {
    fn at(&self, x: usize, y: usize) -> &[u8] {
        &self.rgb[(y * self.width + x) * 3..][..3]
    }
}

fn by_ourselves(sheet: &Sheet) -> Page {
    let mut bytes = Vec::new();
    let mut outputs = [Output { dpi: Dpi::PRINT, out: &mut bytes }];
    let colours = sheet.palette.published();
    paint::png(sheet.coloured(&colours), 0, &mut outputs, 2, &|_| Ok(())).expect("painted");
    let mut reader = png::Decoder::new(Cursor::new(bytes)).read_info().expect("a PNG");
    let mut rgb = vec![0; reader.output_buffer_size().expect("small")];
    let info = reader.next_frame(&mut rgb).expect("pixels");
    Page { width: info.width as usize, rgb }
}

fn by_hayro(sheet: &Sheet) -> Page {
    use hayro::hayro_interpret::InterpreterSettings;
    use hayro::{PixmapSettings, RenderCache, RenderSettings};
    let pdf = hayro::hayro_syntax::Pdf::new(common::pdf(sheet)).expect("a PDF");
    let scale = 300.0 / 72.0;
    let white = hayro::vello_cpu::color::palette::css::WHITE;
    let size = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: white };
    let (cache, settings) = (RenderCache::new(), RenderSettings::default());
    let page = &pdf.pages()[0];
    let pixmap = hayro::render(page, &cache, &InterpreterSettings::default(), &settings, &size);
    let rgba = pixmap.data_as_u8_slice().chunks_exact(4);
    Page { width: pixmap.width().into(), rgb: rgba.flat_map(|p| [p[0], p[1], p[2]]).collect() }
}

fn by_resvg(sheet: &Sheet) -> Page {
    let svg = String::from_utf8(common::svg(sheet, 0)).expect("UTF-8");
    let tree = resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).expect("SVG");
    let scale = 300.0 / 96.0;
    let side = |v: f32| (v * scale) as u32;
    let (width, height) = (side(tree.size().width()), side(tree.size().height()));
    let mut pixmap = resvg::tiny_skia::Pixmap::new(width, height).expect("a size");
    let scale = resvg::tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, scale, &mut pixmap.as_mut());
    let rgba = pixmap.data().chunks_exact(4);
    Page { width: width as usize, rgb: rgba.flat_map(|p| [p[0], p[1], p[2]]).collect() }
}

const PER_MM: f64 = 300.0 / 25.4;

/// The middle of the dark spot near a place, and its radius, mm: what is darker than the red around.
fn spot(page: &Page, near: Point, radius: f64) -> (Point, f64) {
    let reach = radius * 1.6;
    let span = |v: f64| ((v - reach) * PER_MM) as usize..=((v + reach) * PER_MM) as usize;
    let (mut sum, mut all) = (Vec2::ZERO, 0.0);
    for y in span(near.y) {
        for x in span(near.x) {
            let red = f64::from(page.at(x, y)[0]);
            let dark = (1.0 - red / f64::from(RED.0)).clamp(0.0, 1.0);
            // Half a byte of light is more than half of the colour: edges count as they lie.
            let place = Vec2::new(x as f64 + 0.5, y as f64 + 0.5);
            sum += place * dark;
            all += dark;
        }
    }
    let area = all / PER_MM / PER_MM;
    ((sum / all / PER_MM).to_point(), (area / std::f64::consts::PI).sqrt())
}

#[test]
fn marks_in_a_picture_are_where_they_belong_in_every_painter() {
    let bench = Bench::with_pictures();
    for (edition, scale) in [("true", 1.0), ("small", 0.6)] {
        let sheet = placed(&bench, "sheet.ron", edition);
        // The size is that of the table, so the disc is on the page at its scale.
        let used = sheet.pages[0].items.iter().find_map(|i| match &i.kind {
            ItemKind::Image(used) if i.origin.as_deref() == Some("red") => Some(*used),
            _ => None,
        });
        let used = used.expect("a picture");
        assert_eq!(used.scale, scale);
        for (reader, page) in [
            ("png", by_ourselves(&sheet)),
            ("hayro", by_hayro(&sheet)),
            ("resvg", by_resvg(&sheet)),
        ] {
            for mark in MARKS {
                let wanted = Point::new(used.x, used.y) + mark.to_vec2() * scale;
                let (found, radius) = spot(&page, wanted, RADIUS * scale);
                let off = found.distance(wanted);
                println!("{edition} {reader}: {off:.3} mm, radius {radius:.3}");
                assert!(off < 0.06, "{edition} {reader}: {off:.3} mm");
                let wider = (radius - RADIUS * scale).abs();
                assert!(wider < 0.05, "{edition} {reader}: radius {radius:.3}");
            }
            let face = Point::new(used.x, used.y) + Vec2::new(0.0, 4.5 * scale);
            let at = page.at((face.x * PER_MM) as usize, (face.y * PER_MM) as usize);
            let Rgb(r, g, b) = RED;
            let off = at.iter().zip([r, g, b]).map(|(a, b)| a.abs_diff(b)).max();
            assert!(off <= Some(if reader == "hayro" { 2 } else { 0 }), "{reader}: {at:?}");
        }
    }
}

/// Everything on a page but parts: role, origin and place, and what its colour is.
fn other_items(sheet: &Sheet) -> Vec<String> {
    let entry = |fill| format!("{:?}", sheet.palette.entry(fill));
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let told = items.filter_map(|item| {
        let what = match &item.kind {
            ItemKind::Area(area) => format!("{:?} {}", area.path, entry(area.fill)),
            ItemKind::Text(t) => {
                format!("{} {} {} {} {}", t.string, t.x, t.y, t.size, entry(t.fill))
            }
            ItemKind::Use(_) | ItemKind::Image(_) => return None,
        };
        Some(format!("{:?} {:?} {:?} {what}", item.role, item.origin, item.bounds))
    });
    told.collect()
}

/// Where parts are, drawn or not; a shadow alone is none.
fn parts(sheet: &Sheet) -> Vec<String> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let told = items.filter_map(|item| match &item.kind {
        ItemKind::Use(used) if !sheet.symbols[used.symbol.0].name.ends_with("-shadow") => {
            Some(format!("{:?} {} {} {}", item.origin, used.x, used.y, used.scale))
        }
        ItemKind::Image(used) => {
            Some(format!("{:?} {} {} {}", item.origin, used.x, used.y, used.scale))
        }
        _ => None,
    });
    told.collect()
}

#[test]
fn a_sheet_is_placed_the_same_with_and_without_pictures() {
    let bench = Bench::with_pictures();
    for edition in ["true", "small", "plain"] {
        let (with, without) =
            (placed(&bench, "sheet.ron", edition), placed(&bench, "drawn.ron", edition));
        assert_eq!(other_items(&with), other_items(&without));
        assert_eq!(parts(&with), parts(&without));
        assert_eq!((with.width, with.height), (without.width, without.height));
        assert!(without.images.is_empty());
        // An edition of drawings is the sheet without pictures in every byte.
        assert_eq!(with.images.is_empty(), edition == "plain");
        assert_eq!(common::pdf(&with) == common::pdf(&without), edition == "plain");
    }
    let with = placed(&bench, "sheet.ron", "true");
    let shadows = with.symbols.iter().filter(|s| s.name.ends_with("-shadow")).count();
    assert_eq!((with.images.len(), shadows), (2, 2));
}

/// The image objects of a PDF that have a soft mask.
fn image_objects(pdf: &[u8]) -> Vec<lopdf::Stream> {
    let document = lopdf::Document::load_mem(pdf).expect("reads");
    let streams = document.objects.values().filter_map(|o| o.as_stream().ok());
    let is = |s: &&lopdf::Stream| s.dict.has(b"SMask");
    streams.filter(is).cloned().collect()
}

fn number(stream: &lopdf::Stream, key: &[u8]) -> i64 {
    stream.dict.get(key).and_then(Object::as_i64).expect("a number")
}

#[test]
fn every_image_is_in_a_file_once_and_no_larger_than_a_print_needs() {
    let bench = Bench::with_pictures();
    for (edition, scale) in [("true", 1.0), ("small", 0.6)] {
        let mut sheet = placed(&bench, "sheet.ron", edition);
        let is_image = |i: &&Item| matches!(i.kind, ItemKind::Image(_));
        let again: Vec<Item> = sheet.pages[0].items.iter().filter(is_image).cloned().collect();
        sheet.pages[0].items.extend(again.into_iter().map(|i| moved(i, Vec2::new(20.0, 9.0))));
        let mut sizes: Vec<(i64, i64)> = image_objects(&common::pdf(&sheet))
            .iter()
            .map(|s| {
                assert_eq!(
                    s.dict.get(b"Filter").and_then(Object::as_name).ok(),
                    Some(&b"DCTDecode"[..])
                );
                (number(s, b"Width"), number(s, b"Height"))
            })
            .collect();
        sizes.sort_unstable();
        // The bar is 15 x 9 mm at 300 dpi, the disc 15 x 13 mm at 400.
        let needed = |mm: f64| (mm * scale * PER_MM).ceil() as i64;
        for ((w, h), (x, y)) in sizes.iter().zip([(15.0, 9.0), (15.0, 13.0)]) {
            assert!(w.abs_diff(needed(x)) <= 1 && h.abs_diff(needed(y)) <= 1, "{sizes:?}");
        }
        let svg = String::from_utf8(common::svg(&sheet, 0)).expect("text");
        assert_eq!(svg.matches("<image ").count(), 2);
        assert_eq!(svg.split("</defs>").next().map(|d| d.matches("<image ").count()), Some(2));
        assert!(svg.matches("xlink:href=\"#i").count() > 2);
    }
}

#[test]
fn a_press_prints_the_flat_face_in_exactly_the_ink_of_its_colour() {
    let bench = Bench::with_pictures();
    let sheet = placed(&bench, "sheet.ron", "true");
    let mut press = common::press::press(&sheet);
    // Inks that no rule about sRGB would give.
    press.inks = press.inks.with(&sheet.palette, |entry, ink| match entry {
        PaletteEntry::Sample(sample) if sample.published == RED => Cmyk(17, 203, 99, 41),
        PaletteEntry::Sample(sample) if sample.published == SEA => Cmyk(181, 33, 7, 12),
        _ => ink,
    });
    let images = image_objects(&paint::press(&sheet, &press));
    assert_eq!(images.len(), 2);
    for image in images {
        assert_eq!(
            image.dict.get(b"ColorSpace").and_then(Object::as_name).ok(),
            Some(&b"DeviceCMYK"[..])
        );
        let (width, height) =
            (number(&image, b"Width") as usize, number(&image, b"Height") as usize);
        let bytes = image.get_plain_content().expect("unpacked");
        assert_eq!(bytes.len(), width * height * 4);
        let is_disc = height > width / 2 + 30;
        let wanted = if is_disc { [17, 203, 99, 41] } else { [181, 33, 7, 12] };
        // Under the middle of the disc there is no mark; the bar is dark at the left.
        let at = if is_disc {
            ((8.2 * PER_MM) as usize, (10.8 * PER_MM) as usize)
        } else {
            (width * 3 / 4, height / 2)
        };
        let ink = |x: usize, y: usize| &bytes[(y * width + x) * 4..][..4];
        assert_eq!(ink(at.0, at.1), wanted, "{width} x {height}");
        if !is_disc {
            // What is darker in the picture gets its tone's ink, not the flat one.
            assert!(ink(width / 10, height / 2)[3] > 100, "{:?}", ink(width / 10, height / 2));
        }
    }
}

#[test]
fn pictures_follow_the_print_values_of_their_colours() {
    let bench = Bench::with_pictures();
    let sheet = placed(&bench, "sheet.ron", "true");
    let red = sheet.palette.entries().find_map(|entry| match entry {
        PaletteEntry::Sample(sample) if sample.published == RED => Some(sample.colour),
        _ => None,
    });
    let printed = Rgb(170, 60, 90);
    let values =
        PrintValues { shown: [(red.expect("red"), printed)].into(), ..PrintValues::default() };
    let map = sheet.palette.printed(&values);
    let image = sheet.images.iter().find(|i| i.changes(&map).is_some()).expect("the red one");
    let changes = image.changes(&map).expect("some");
    let moved = |rgb: Rgb| {
        let change = changes.of(rgb);
        let byte = |v: u8, k: usize| (f32::from(v) + change[k]).round() as u8;
        Rgb(byte(rgb.0, 0), byte(rgb.1, 1), byte(rgb.2, 2))
    };
    assert_eq!(moved(RED), printed);
    // Black stays dark.
    let Rgb(r, g, b) = moved(Rgb(0, 0, 0));
    assert!(r.max(g).max(b) < 60, "{r} {g} {b}");
    let published = sheet.palette.published();
    assert!(sheet.images.iter().all(|i| i.changes(&published).is_none()));
}

fn painted(sheet: &Sheet, shelf: &Memory, jobs: usize) -> (Vec<u8>, Vec<Strip>) {
    let mut bytes = Cursor::new(Vec::new());
    let colours = sheet.palette.published();
    let items = Identity::of(sheet.coloured(&colours)).items;
    let frame = Frame::at((sheet.width, sheet.height), 0.0, Dpi::PRINT);
    let mut rasters = [Raster { form: Form::Png, frame, out: &mut bytes }];
    let picture =
        Picture { painted: sheet.coloured(&colours), items: &items[0], rasters: &mut rasters };
    let strips = png_again(&mut [picture], 0, shelf, jobs, &|_| Ok(()));
    (bytes.into_inner(), strips.expect("painted").remove(0).remove(0))
}

#[test]
fn a_changed_picture_redraws_the_strips_that_show_it_and_no_other() {
    let bench = Bench::with_pictures();
    let first = placed(&bench, "sheet.ron", "true");
    let (bytes, strips) = painted(&first, &Memory::default(), 2);
    assert!(painted(&first, &Memory::default(), 1).0 == bytes, "not the same on one thread");
    let kept = |s: &Strip| (s.key, (bytes[s.at as usize..][..s.len as usize].to_vec(), s.adler));
    let memory =
        || Memory { strips: strips.iter().map(kept).collect(), taken: AtomicUsize::new(0) };
    // Another bar, as large and of the same colours, so that the file alone tells: a dark block in it.
    let mut changed = bar(SEA, 0.5);
    for y in 48..56 {
        for x in 120..128 {
            let at = (y * changed.width as usize + x) * 4;
            changed.rgba[at..at + 3].copy_from_slice(&[SEA.0 / 3, SEA.1 / 3, SEA.2 / 3]);
        }
    }
    bench.write("pictures/bar.sea.png", &encode(&changed));
    let second = placed(&bench, "sheet.ron", "true");
    let shelf = memory();
    let (again, _) = painted(&second, &shelf, 2);
    assert!(again == painted(&second, &Memory::default(), 2).0);
    assert!(again != bytes);
    let shows = |n: usize| {
        let (top, bottom) = (n as f64 * 42.0 / PER_MM, (n as f64 + 1.0) * 42.0 / PER_MM);
        let page = &second.pages[0];
        page.items.iter().any(|i| {
            let ItemKind::Image(used) = &i.kind else { return false };
            let frame = second.images[used.image.0].frame;
            // The bar is the wide one; a strip knows what is within a pixel of it.
            frame.width() > frame.height() * 1.5
                && i.bounds.y0 < bottom + 2.0 / PER_MM
                && i.bounds.y1 > top - 2.0 / PER_MM
        })
    };
    let same = (0..strips.len()).filter(|n| !shows(*n)).count();
    let taken = shelf.taken.load(Ordering::Relaxed);
    println!("{taken} of {} strips taken", strips.len());
    assert!(taken >= same && taken < strips.len(), "{taken} of {same} and {}", strips.len());
}

#[test]
fn pictures_of_the_demo_are_as_large_as_their_parts_and_need_few_nodes() {
    // Three colours of each family, to keep it short.
    let path = Path::new("demo/haberdashery/sheet.ron");
    let loaded = load(path, &mut Sources::default()).expect("the demo loads");
    let (range, sheet) = (&loaded.range, &loaded.sheet);
    let look = shadecard::plan::Style::shipped("plate")
        .and_then(|style| shadecard::plan::Look::new(&style, 210.0, 297.0, 1.0))
        .expect("a look");
    let camera = picture_set::Camera::new(range, &look, 400.0);
    let taken = Cell::new(0);
    for family in sheet.families() {
        for colour in family.rows().iter().take(3) {
            let parts = (0..range.parts().len()).map(shadecard::range::PartId);
            for part in parts.filter(|p| range.is_made(*colour, *p)).take(2) {
                let picture = camera.take(part, *colour);
                let extent = range.part(part).shape().extent;
                let seen = picture.pixels.seen().expect("something");
                let per_mm = 400.0 / 25.4;
                assert!((seen.width() / per_mm - extent.width()).abs() < 0.05, "{part:?}");
                assert!((seen.height() / per_mm - extent.height()).abs() < 0.05, "{part:?}");
                let nodes = shadecard::image::nodes(
                    range.colour(*colour).rgb(),
                    &picture.pixels,
                    &shadecard::image::Light::default(),
                );
                // So few that a sheet of thousands has a palette of reasonable size.
                assert!(nodes.len() < 700, "{} nodes", nodes.len());
                taken.set(taken.get() + 1);
            }
        }
    }
    assert!(taken.get() > 20);
}
