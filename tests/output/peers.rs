//! Our files read by others: PDF by hayro and lopdf, SVG by resvg, PNG by the
//! png crate; sizes against the published standards.

use std::collections::BTreeMap;
use std::io::Cursor;

use crate::common;
use shadecard::paint;
use shadecard::paint::png::Output;
use shadecard::session::Session;
use shadecard::sheet::Sheet;
use shadecard::units::Dpi;

struct Picture {
    width: usize,
    height: usize,
    rgb: Vec<u8>,
}

fn png_bytes(sheet: &Sheet, page: usize, dpi: Dpi) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut outputs = [Output { dpi, out: &mut bytes }];
    let colours = sheet.palette.published();
    paint::png(sheet.coloured(&colours), page, &mut outputs, 2, &|_| Ok(())).expect("painted");
    bytes
}

fn our_png(sheet: &Sheet, page: usize) -> Picture {
    let bytes = png_bytes(sheet, page, Dpi::PRINT);
    let mut reader = png::Decoder::new(Cursor::new(bytes)).read_info().expect("a PNG");
    let mut rgb = vec![0; reader.output_buffer_size().expect("small")];
    let info = reader.next_frame(&mut rgb).expect("pixels");
    assert_eq!((info.color_type, info.bit_depth), (png::ColorType::Rgb, png::BitDepth::Eight));
    Picture { width: info.width as usize, height: info.height as usize, rgb }
}

fn by_hayro(pdf: Vec<u8>, page: usize) -> Picture {
    use hayro::hayro_interpret::InterpreterSettings;
    use hayro::{PixmapSettings, RenderCache, RenderSettings};
    let pdf = hayro::hayro_syntax::Pdf::new(pdf).expect("a PDF");
    let scale = 300.0 / 72.0;
    let white = hayro::vello_cpu::color::palette::css::WHITE;
    let size = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: white };
    let settings = RenderSettings {
        hinting: false,
        // A cached glyph is on a quarter of a pixel, not where it is put.
        glyph_caching: false,
        ..RenderSettings::default()
    };
    let pixmap = hayro::render(
        &pdf.pages()[page],
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &settings,
        &size,
    );
    let (width, height) = (usize::from(pixmap.width()), usize::from(pixmap.height()));
    let rgba = pixmap.data_as_u8_slice();
    let rgb = rgba.chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
    Picture { width, height, rgb }
}

fn svg_tree(sheet: &Sheet, page: usize) -> resvg::usvg::Tree {
    // It knows no @supports either, in which browsers find the embedded fonts.
    let svg = String::from_utf8(common::svg(sheet, page)).expect("UTF-8");
    let fonts = usize::from(!paint::svg::webfonts(sheet, page).is_empty());
    assert_eq!(svg.matches("@supports (font-variant-caps:normal){\n").count(), fonts);
    let svg = svg.replace("@supports (font-variant-caps:normal){\n", "").replace("}\n}\n", "}\n");
    let mut options = resvg::usvg::Options::default();
    // The reader does not load embedded fonts: give it the very bytes that are embedded.
    for (family, bytes) in paint::svg::webfonts(sheet, page) {
        let before = options.fontdb.len();
        options.fontdb_mut().load_font_data(bytes);
        assert_eq!(options.fontdb.len(), before + 1, "{family} is no font");
        assert!(options.fontdb.faces().any(|f| f.families.iter().any(|(n, _)| *n == family)));
        assert!(svg.contains(&format!("font-family:{family};")));
    }
    resvg::usvg::Tree::from_str(&svg, &options).expect("an SVG")
}

fn by_resvg(sheet: &Sheet, page: usize) -> Picture {
    let tree = svg_tree(sheet, page);
    // 96 CSS px in an inch.
    let scale = 300.0 / 96.0;
    let size = tree.size();
    let (width, height) = ((size.width() * scale) as u32, (size.height() * scale) as u32);
    let mut pixmap = resvg::tiny_skia::Pixmap::new(width, height).expect("a size");
    let transform = resvg::tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    let rgb = pixmap.data().chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
    Picture { width: width as usize, height: height as usize, rgb }
}

/// Mean absolute difference of the channels, and the share of pixels with a
/// channel that differs by more than 48, over what both pictures have.
fn difference(a: &Picture, b: &Picture) -> (f64, f64) {
    assert!(a.width.abs_diff(b.width) <= 2 && a.height.abs_diff(b.height) <= 2);
    let (width, height) = (a.width.min(b.width), a.height.min(b.height));
    let (mut sum, mut far) = (0u64, 0u64);
    for y in 0..height {
        let row = |p: &'_ Picture| p.rgb[y * p.width * 3..][..width * 3].to_vec();
        for (p, q) in row(a).chunks_exact(3).zip(row(b).chunks_exact(3)) {
            let diffs = [p[0].abs_diff(q[0]), p[1].abs_diff(q[1]), p[2].abs_diff(q[2])];
            sum += diffs.iter().map(|&d| u64::from(d)).sum::<u64>();
            far += u64::from(diffs.iter().any(|&d| d > 48));
        }
    }
    let pixels = (width * height) as f64;
    (sum as f64 / pixels / 3.0, far as f64 / pixels)
}

#[test]
fn another_renderer_draws_our_pdf_as_our_png() {
    let sheet = common::sheet(0.0);
    let pdf = common::pdf(&sheet);
    for page in 0..2 {
        let (mean, far) = difference(&our_png(&sheet, page), &by_hayro(pdf.clone(), page));
        println!("page {page}: mean {mean:.4}, far {far:.6}");
        assert!(mean < MEAN_PDF && far < FAR_PDF, "page {page}: mean {mean:.4}, far {far:.6}");
    }
}

#[test]
fn another_renderer_draws_our_svg_as_our_png() {
    let sheet = common::sheet(0.0);
    for page in 0..2 {
        let (mean, far) = difference(&our_png(&sheet, page), &by_resvg(&sheet, page));
        println!("page {page}: mean {mean:.4}, far {far:.6}");
        assert!(mean < MEAN_SVG && far < FAR_SVG, "page {page}: mean {mean:.4}, far {far:.6}");
    }
}

// Edges are smoothed differently, and in a PNG parts and letters are on a
// quarter of a pixel, up to an eighth from their place; nothing else may
// differ. Seen: 0.24 and 0.0002 for the PDF, 0.16 and 0.00045 for the SVG.
const MEAN_PDF: f64 = 0.28;
const FAR_PDF: f64 = 0.0005;
const MEAN_SVG: f64 = 0.2;
const FAR_SVG: f64 = 0.0007;

/// Code to character, from a ToUnicode map.
fn to_unicode(map: &str) -> BTreeMap<u16, char> {
    let mut out = BTreeMap::new();
    let body = map.split("beginbfchar").skip(1).flat_map(|b| b.split("endbfchar").next());
    for line in body.flat_map(str::lines).filter(|l| l.starts_with('<')) {
        let fields: Vec<&str> = line.split(['<', '>', ' ']).filter(|f| !f.is_empty()).collect();
        let code = u16::from_str_radix(fields[0], 16).expect("a code");
        let ch = u32::from_str_radix(fields[1], 16).ok().and_then(char::from_u32);
        out.insert(code, ch.expect("a character"));
    }
    out
}

#[test]
fn text_comes_out_of_the_pdf_as_it_went_in() {
    let document = lopdf::Document::load_mem(&common::pdf(&common::sheet(0.0))).expect("reads");
    let mut strings = Vec::new();
    for (_, page) in document.get_pages() {
        let maps: BTreeMap<Vec<u8>, BTreeMap<u16, char>> = document
            .get_page_fonts(page)
            .expect("fonts")
            .into_iter()
            .map(|(name, font)| {
                let map = font.get_deref(b"ToUnicode", &document).and_then(|m| m.as_stream());
                let map = map.and_then(|m| m.decompressed_content()).expect("a map");
                (name, to_unicode(&String::from_utf8(map).expect("ASCII")))
            })
            .collect();
        let content = document.get_and_decode_page_content(page).expect("content");
        let mut map = None;
        for operation in content.operations {
            match operation.operator.as_str() {
                "Tf" => map = maps.get(operation.operands[0].as_name().expect("a name")),
                "TJ" => {
                    let map = map.expect("a font before text");
                    let parts = operation.operands[0].as_array().expect("an array");
                    let bytes: Vec<u8> =
                        parts.iter().filter_map(|p| p.as_str().ok()).flatten().copied().collect();
                    let codes = bytes.chunks_exact(2).map(|c| u16::from_be_bytes([c[0], c[1]]));
                    strings.push(codes.map(|c| map[&c]).collect::<String>());
                }
                _ => {}
            }
        }
    }
    assert_eq!(strings, common::STRINGS);
}

#[test]
fn text_stands_in_the_svg_as_it_is() {
    for (page, strings) in [(0, &common::STRINGS[..7]), (1, &common::STRINGS[7..])] {
        let tree = svg_tree(&common::sheet(0.0), page);
        let mut found = Vec::new();
        fn walk(group: &resvg::usvg::Group, found: &mut Vec<String>) {
            for node in group.children() {
                match node {
                    resvg::usvg::Node::Group(g) => walk(g, found),
                    resvg::usvg::Node::Text(t) => {
                        found.push(t.chunks().iter().map(|c| c.text()).collect());
                    }
                    _ => {}
                }
            }
        }
        walk(tree.root(), &mut found);
        assert_eq!(found, strings);
    }
}

fn numbers(object: &lopdf::Object) -> Vec<f64> {
    let array = object.as_array().expect("an array");
    array.iter().map(|v| f64::from(v.as_float().expect("a number"))).collect()
}

#[test]
fn page_boxes_are_of_true_size() {
    // ISO 32000-1, 8.3.2.3: a unit of default user space is 1/72 inch.
    // ISO 32000-1, 14.11.2: boxes are given by two opposite corners.
    let points = |mm: f64| mm / 25.4 * 72.0;
    let (w, h) = (points(120.0), points(90.0));
    for bleed in [0.0, 3.0] {
        let document =
            lopdf::Document::load_mem(&common::pdf(&common::sheet(bleed))).expect("reads");
        for (_, page) in document.get_pages() {
            let page = document.get_dictionary(page).expect("a page");
            let [media, bled, trim] = [b"MediaBox".as_slice(), b"BleedBox", b"TrimBox"]
                .map(|key| numbers(page.get(key).expect("a box")));
            let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-3, "{a} {b}");
            near(trim[2] - trim[0], w);
            near(trim[3] - trim[1], h);
            for k in 0..4 {
                let out = if k < 2 { -points(bleed) } else { points(bleed) };
                near(bled[k], trim[k] + out);
                if bleed == 0.0 {
                    near(media[k], trim[k]);
                } else {
                    assert!((media[k] - bled[k]).abs() > points(3.0 + 5.0));
                }
            }
            near(media[0], 0.0);
            near(media[1], 0.0);
        }
    }
}

#[test]
fn metadata_says_what_the_sheet_says() {
    let document = lopdf::Document::load_mem(&common::pdf(&common::sheet(0.0))).expect("reads");
    let catalog = document.catalog().expect("a catalog");
    assert_eq!(catalog.get(b"Lang").and_then(|l| l.as_str()).expect("a language"), b"en-GB");
    let info = document.trailer.get(b"Info").and_then(|i| i.as_reference()).expect("info");
    let info = document.get_dictionary(info).expect("a dictionary");
    assert_eq!(info.get(b"Producer").and_then(|p| p.as_str()).expect("one"), b"shadecard");
    let title = info.get(b"Title").and_then(|t| t.as_str()).expect("a title");
    let units = title[2..].chunks_exact(2).map(|u| u16::from_be_bytes([u[0], u[1]]));
    let title: String = char::decode_utf16(units).map(|c| c.expect("UTF-16")).collect();
    assert_eq!(title, "Shades & “shapes” <2046>");
    let xmp = catalog.get_deref(b"Metadata", &document).and_then(|m| m.as_stream()).expect("XMP");
    let xmp = String::from_utf8(xmp.content.clone()).expect("UTF-8");
    assert!(xmp.contains("Shades &amp; “shapes” &lt;2046&gt;"), "{xmp}");
    let svg = String::from_utf8(common::svg(&common::sheet(0.0), 0)).expect("UTF-8");
    assert!(
        svg.contains("Shades &amp; “shapes” &lt;2046&gt;") && svg.contains("xml:lang=\"en-GB\"")
    );
}

#[test]
fn an_svg_is_of_true_size() {
    // CSS Values and Units 3, 6.2: 96 px in an inch, 25.4 mm in an inch.
    for bleed in [0.0, 3.0] {
        let size = svg_tree(&common::sheet(bleed), 0).size();
        for (got, mm) in [(size.width(), 120.0 + 2.0 * bleed), (size.height(), 90.0 + 2.0 * bleed)]
        {
            assert!((f64::from(got) - mm / 25.4 * 96.0).abs() < 1e-3, "{got} px for {mm} mm");
        }
    }
}

#[test]
fn a_png_says_its_size_before_its_pixels() {
    // PNG (Third Edition), 11.3.4.3: pHYs counts pixels in a metre, unit 1.
    // 300 / 0.0254 = 11811.02 and 100 / 0.0254 = 3937.01.
    let sheet = common::sheet(0.0);
    for (dpi, metre, width, height) in [(300, 11811u32, 1416u32, 1062u32), (100, 3937, 472, 354)] {
        let bytes = png_bytes(&sheet, 0, Dpi::new(dpi).expect("in range"));
        assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
        let mut chunks: Vec<(&[u8], &[u8])> = Vec::new();
        let mut rest = &bytes[8..];
        while !rest.is_empty() {
            let length = u32::from_be_bytes(rest[..4].try_into().expect("four")) as usize;
            chunks.push((&rest[4..8], &rest[8..8 + length]));
            rest = &rest[12 + length..];
        }
        // PNG (Third Edition), 5.6: IHDR first, sRGB and pHYs before IDAT,
        // IDAT chunks together, IEND last.
        let mut names: Vec<&[u8]> = chunks.iter().map(|c| c.0).collect();
        names.dedup();
        let place = |name: &[u8]| {
            assert_eq!(names.iter().filter(|n| **n == name).count(), 1, "one run of {name:?}");
            names.iter().position(|n| *n == name)
        };
        assert_eq!(place(b"IHDR"), Some(0));
        assert!(place(b"sRGB") < place(b"IDAT") && place(b"pHYs") < place(b"IDAT"));
        assert_eq!(place(b"IEND"), Some(names.len() - 1));
        let data = |name: &[u8]| chunks.iter().find(|c| c.0 == name).expect("there").1;
        let metre = metre.to_be_bytes();
        assert_eq!(data(b"pHYs"), [&metre[..], &metre[..], &[1]].concat());
        assert_eq!(data(b"IHDR")[..8], [width.to_be_bytes(), height.to_be_bytes()].concat());
    }
}

/// Width and height in pixels of what is darker than middle grey.
fn dark_extent(picture: &Picture) -> (f64, f64) {
    let (mut x0, mut y0, mut x1, mut y1) = (usize::MAX, usize::MAX, 0, 0);
    for (i, p) in picture.rgb.chunks_exact(3).enumerate().filter(|(_, p)| p[0] < 128) {
        let (x, y) = (i % picture.width, i / picture.width);
        assert!(p[0] == p[1] && p[1] == p[2], "grey");
        (x0, y0, x1, y1) = (x0.min(x), y0.min(y), x1.max(x + 1), y1.max(y + 1));
    }
    ((x1 - x0) as f64, (y1 - y0) as f64)
}

/// Box in CSS pixels of the black paths of an SVG.
fn black_box(group: &resvg::usvg::Group) -> Option<resvg::usvg::Rect> {
    use resvg::usvg::{Color, Node, Paint};
    group.children().iter().find_map(|node| match node {
        Node::Group(inner) => black_box(inner),
        Node::Path(path) => {
            let black = path.fill().is_some_and(|f| *f.paint() == Paint::Color(Color::black()));
            black.then(|| path.abs_bounding_box())
        }
        _ => None,
    })
}

/// Every demo part at scale 1, in black, without light and shade: within
/// 0.02 mm of its drawing in the SVG, within a pixel in the PNG and in the PDF
/// as another renderer draws it at 300 dpi (1 in = 25.4 mm).
#[test]
fn a_part_has_its_true_size_in_every_file() {
    use shadecard::sheet::{FillRule, Layer, OutlineId, Paint, Rgb, Symbol};
    for entry in std::fs::read_dir("demo/haberdashery/shapes").expect("the demo's shapes") {
        let path = entry.expect("a file").path();
        let text = std::fs::read_to_string(&path).expect("readable");
        let shape = shadecard::read::shapes::read_shape(&path, &text, &Session::default())
            .expect("a shape");
        let outline = shape.outline.clone();
        let mut sheet = common::sheet(0.0);
        let layer = Layer {
            outline: OutlineId(0),
            rule: FillRule::NonZero,
            paint: Paint::Solid(sheet.palette.add_ink(Rgb(0, 0, 0))),
            opacity: 1.0,
        };
        let symbol = Symbol::new("part".into(), vec![layer], shape.bounds, shape.extent);
        sheet.outlines = vec![std::sync::Arc::new(outline)];
        sheet.symbols = vec![symbol];
        let at = shadecard::sheet::Use {
            symbol: shadecard::sheet::SymbolId(0),
            x: 30.123,
            y: 30.456,
            scale: 1.0,
        };
        let bounds = shape.bounds + kurbo::Vec2::new(at.x, at.y);
        let item = shadecard::sheet::Item {
            role: shadecard::sheet::Role::Sample,
            origin: None,
            kind: shadecard::sheet::ItemKind::Use(at),
            bounds,
        };
        sheet.pages = vec![shadecard::sheet::Page { items: vec![item] }];
        let (width, height) = (shape.bounds.width(), shape.bounds.height());
        let name = path.display();
        let pixels = |mm: f64| mm / 25.4 * 300.0;
        for picture in [our_png(&sheet, 0), by_hayro(common::pdf(&sheet), 0)] {
            let (w, h) = dark_extent(&picture);
            assert!((w - pixels(width)).abs() <= 1.0, "{name}: {w} px for {width} mm");
            assert!((h - pixels(height)).abs() <= 1.0, "{name}: {h} px for {height} mm");
        }
        let found = black_box(svg_tree(&sheet, 0).root()).expect("the part");
        let mm = |px: f32| f64::from(px) * 25.4 / 96.0;
        assert!((mm(found.width()) - width).abs() <= 0.02, "{name}: {} mm", mm(found.width()));
        assert!((mm(found.height()) - height).abs() <= 0.02, "{name}: {} mm", mm(found.height()));
    }
}
