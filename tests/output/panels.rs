//! Pages in panels: nothing lost, nothing doubled, marks that meet, true size
//! in the file, and a picture put together from panels against the whole.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::Arc;

use crate::common;
use kurbo::{Rect, Shape as _, Vec2};
use lopdf::Document;
use lopdf::content::Operation;
use shadecard::panels::{Desk, Grid, Panel, Split, marks, split_up};
use shadecard::plan::{Look, Style};
use shadecard::sheet::montage::Montage;
use shadecard::sheet::{FillRule, Item, ItemKind, Page, PaletteIndex, Rgb, Role, Sheet};
use shadecard::spelling::Spelling;

/// Half the overlap by default.
const SHARE: f64 = 5.0;

fn split(paper: &str) -> Split {
    Split::new("--panels", paper, 10.0, 8.0).expect("a paper")
}

fn english() -> Spelling {
    Spelling::shipped("en-GB").expect("shipped")
}

fn grid(sheet: &Sheet, split: &Split) -> Grid {
    let even = Grid::new(sheet.width, sheet.height, sheet.pages.len(), split).expect("panels");
    even.clear_of(sheet)
}

/// A look whose voices speak with a face of the test's own sheets.
fn look(sheet: &Sheet) -> Look {
    let style = Style::shipped("plate").expect("shipped");
    let mut look = Look::new(&style, 210.0, 297.0, 1.764).expect("a look");
    look.faces = Arc::clone(&sheet.faces);
    let v = &mut look.voices;
    for voice in [&mut v.title, &mut v.name, &mut v.number, &mut v.body, &mut v.ruler] {
        voice.face = common::BARLOW;
    }
    v.imprint_more.face = common::BARLOW;
    look
}

/// 245 x 130 mm: both pages of the common sheet side by side, twice.
fn wide() -> Sheet {
    let half = || {
        let sheet = common::sheet(0.0);
        Montage { colours: sheet.palette.published(), sheet }
    };
    half().beside(half(), 5.0).lowered(40.0).sheet
}

/// The panels of a page among the pages that come out; the overview is not one.
fn tile_pages<'a>(out: &'a Sheet, grid: &Grid, page: usize) -> &'a [Page] {
    let each = grid.count() + 1;
    &out.pages[page * each + 1..(page + 1) * each]
}

fn back(item: &Item, by: Vec2) -> Rect {
    item.bounds - by
}

#[test]
fn what_counts_covers_the_page_once() {
    for (width, height, paper) in [
        (610.0, 914.0, "a4"),
        (457.2, 609.6, "letter"),
        (245.0, 130.0, "150x150"),
        (90.0, 50.0, "a3"),
    ] {
        let split = split(paper);
        let grid = Grid::new(width, height, 1, &split).expect("panels");
        let panels: Vec<Panel> = grid.panels().collect();
        let area: f64 = panels.iter().map(|t| t.counts.area()).sum();
        assert!((area - width * height).abs() < 1e-6, "{paper}: {area}");
        for (i, a) in panels.iter().enumerate() {
            for b in &panels[i + 1..] {
                assert!(a.counts.intersect(b.counts).area() < 1e-9, "{} {}", a.name(), b.name());
            }
            // By hand: half the overlap more at every seam, nothing at the page's own edges.
            let more =
                |edge: f64, at: f64, end: f64| if (at - end).abs() < 1e-9 { edge } else { SHARE };
            let c = a.counts;
            let window = Rect::new(
                c.x0 - more(0.0, c.x0, 0.0),
                c.y0 - more(0.0, c.y0, 0.0),
                c.x1 + more(0.0, c.x1, width),
                c.y1 + more(0.0, c.y1, height),
            );
            assert_eq!(a.window, window, "{}", a.name());
            // On the paper it keeps off the margin of 8 mm.
            let (w, h) = grid.page();
            let on_paper = a.window + a.shift;
            let room = Rect::new(8.0, 8.0, w - 8.0, h - 8.0).inflate(1e-9, 1e-9);
            assert!(room.contains_rect(on_paper), "{}: {on_paper:?}", a.name());
            assert!(on_paper.y1 <= grid.foot().0 + 1e-9, "{}: over the foot", a.name());
        }
    }
}

#[test]
fn the_paper_is_turned_where_that_takes_fewer() {
    // A4 upright has room for 184 x 257 mm, across for 271 x 170 mm.
    for (size, panels, landscape) in [
        ((184.0, 257.0), (1, 1), false),
        ((184.1, 257.0), (1, 2), false),
        ((271.0, 170.0), (1, 1), true),
        ((368.0, 514.0), (2, 2), false),
        ((542.0, 170.0), (1, 2), true),
    ] {
        let grid = Grid::new(size.0, size.1, 1, &split("A4")).expect("panels");
        assert_eq!((grid.size(), grid.landscape()), (panels, landscape), "{size:?}");
    }
}

/// Four parts across and down with white between them: even seams would cut parts, these go between.
#[test]
fn seams_go_between_the_parts() {
    let sheet = common::poster();
    let split = split("150x150");
    let even = Grid::new(sheet.width, sheet.height, sheet.pages.len(), &split).expect("panels");
    let moved = even.clear_of(&sheet);
    assert_eq!(moved.size(), even.size(), "as many panels");
    let cut = |grid: &Grid| {
        let inner = |lines: &[f64]| lines[1..lines.len() - 1].to_vec();
        let (columns, rows) = (inner(grid.columns()), inner(grid.rows()));
        let items = sheet.pages.iter().flat_map(|p| &p.items);
        let parts = items.filter(|i| matches!(i.kind, ItemKind::Use(_))).map(|i| i.bounds);
        let through = |b: &Rect| {
            columns.iter().any(|x| b.x0 < *x && *x < b.x1)
                || rows.iter().any(|y| b.y0 < *y && *y < b.y1)
        };
        parts.filter(through).count()
    };
    let (before, after) = (cut(&even), cut(&moved));
    assert!(after < before || before == 0, "{after} parts are cut, {before} by even seams");
}

#[test]
fn a_tile_has_what_touches_it_and_nothing_else() {
    for (sheet, paper) in [(common::poster(), "a4"), (wide(), "150x150")] {
        let (split, look) = (split(paper), look(&sheet));
        let grid = grid(&sheet, &split);
        let out = split_up(&sheet, (&look, &english()), &split, &grid);
        assert_eq!(out.pages.len(), sheet.pages.len() * (grid.count() + 1));
        let mut left_out = 0;
        for (number, page) in sheet.pages.iter().enumerate() {
            let mut seen = BTreeSet::new();
            for (panel, cut) in grid.panels().zip(tile_pages(&out, &grid, number)) {
                let w = panel.window;
                let touches =
                    |b: Rect| b.x1 >= w.x0 && b.x0 <= w.x1 && b.y1 >= w.y0 && b.y0 <= w.y1;
                let expected: Vec<usize> =
                    (0..page.items.len()).filter(|i| touches(page.items[*i].bounds)).collect();
                left_out += page.items.len() - expected.len();
                for (i, item) in expected.iter().zip(&cut.items) {
                    let own = &page.items[*i];
                    let (a, b) = (own.bounds, back(item, panel.shift));
                    let far = [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1];
                    assert!(far.iter().all(|d| d.abs() < 1e-9), "{}: {a:?} {b:?}", panel.name());
                    let what = |k: &ItemKind| match k {
                        ItemKind::Use(u) => format!("{:?} {}", u.symbol, u.scale),
                        ItemKind::Image(i) => format!("{:?} {}", i.image, i.scale),
                        ItemKind::Text(t) => format!("{} {} {:?}", t.string, t.size, t.fill),
                        ItemKind::Area(a) => format!("{:?} {}", a.fill, a.path.elements().len()),
                    };
                    assert_eq!(what(&own.kind), what(&item.kind));
                }
                // Then the white frame, which hides what reaches out of the window.
                let ItemKind::Area(frame) = &cut.items[expected.len()].kind else {
                    panic!("a frame")
                };
                assert_eq!((frame.fill, frame.rule), (PaletteIndex::PAPER, FillRule::EvenOdd));
                let rings: Vec<Rect> = frame
                    .path
                    .to_path(0.1)
                    .elements()
                    .split(|e| matches!(e, kurbo::PathEl::ClosePath))
                    .filter(|ring| !ring.is_empty())
                    .map(|ring| kurbo::BezPath::from_vec(ring.to_vec()).bounding_box())
                    .collect();
                let (width, height) = grid.page();
                assert_eq!(rings, [Rect::new(0.0, 0.0, width, height), w + panel.shift]);
                assert!(cut.items.len() > expected.len() + 8, "marks follow");
                seen.extend(expected);
            }
            let on_page = Rect::new(0.0, 0.0, sheet.width, sheet.height);
            let shown = |i: &usize| page.items[*i].bounds.intersect(on_page).area() > 0.0;
            let all: BTreeSet<usize> = (0..page.items.len()).filter(shown).collect();
            assert!(seen.is_superset(&all), "an item is on no panel");
        }
        assert!(left_out > 0, "{paper}: every item stands on every panel");
        // Symbols and outlines are not copied.
        assert_eq!(
            (out.symbols.len(), out.outlines.len()),
            (sheet.symbols.len(), sheet.outlines.len())
        );
        assert!(out.outlines.iter().zip(&sheet.outlines).all(|(a, b)| Arc::ptr_eq(a, b)));
    }
}

/// Filled polygons of a page of a PDF: their boxes in mm from the upper left
/// corner of the page, through the page's own matrix and media box.
fn boxes(document: &Document, page: lopdf::ObjectId) -> Vec<Rect> {
    let media = media(document, page);
    let content = document.get_and_decode_page_content(page).expect("content");
    let number = |o: &Operation, i: usize| f64::from(o.operands[i].as_float().expect("a number"));
    let mut matrix = None;
    let (mut points, mut out) = (Vec::new(), Vec::new());
    for op in &content.operations {
        match op.operator.as_str() {
            "cm" if matrix.is_none() => {
                let m: Vec<f64> = (0..6).map(|i| number(op, i)).collect();
                matrix = Some(kurbo::Affine::new([m[0], m[1], m[2], m[3], m[4], m[5]]));
            }
            "m" | "l" => points.push(kurbo::Point::new(number(op, 0), number(op, 1))),
            "c" => points.push(kurbo::Point::new(number(op, 4), number(op, 5))),
            "f" | "f*" => {
                let to = matrix.expect("a matrix first");
                let mut all = points.drain(..).map(|p| {
                    let p = to * p;
                    kurbo::Point::new((p.x - media.x0) * MM, (media.y1 - p.y) * MM)
                });
                let first = all.next().expect("a polygon");
                out.push(all.fold(Rect::from_points(first, first), |r, p| r.union_pt(p)));
            }
            _ => {}
        }
    }
    out
}

/// ISO 32000-1, 8.3.2.3: a point is 1/72 in; an inch is 25.4 mm.
const MM: f64 = 25.4 / 72.0;

fn media(document: &Document, page: lopdf::ObjectId) -> Rect {
    let page = document.get_dictionary(page).expect("a page");
    let numbers = page.get(b"MediaBox").and_then(|b| b.as_array()).expect("a box");
    let n: Vec<f64> = numbers.iter().map(|v| f64::from(v.as_float().expect("a number"))).collect();
    Rect::new(n[0], n[1], n[2], n[3])
}

struct Printed {
    grid: Grid,
    /// Boxes of filled polygons of every page, in sheet coordinates for panels.
    pages: Vec<Vec<Rect>>,
    sizes: Vec<(f64, f64)>,
}

fn printed(sheet: &Sheet, paper: &str) -> Printed {
    let (split, look) = (split(paper), look(sheet));
    let grid = grid(sheet, &split);
    let pdf = common::pdf(&split_up(sheet, (&look, &english()), &split, &grid));
    let document = Document::load_mem(&pdf).expect("reads");
    let ids: Vec<lopdf::ObjectId> = document.get_pages().into_values().collect();
    let size = |id: &lopdf::ObjectId| {
        let m = media(&document, *id);
        (m.width() * MM, m.height() * MM)
    };
    let sizes = ids.iter().map(size).collect();
    let pages = ids.iter().map(|id| boxes(&document, *id)).collect();
    Printed { grid, pages, sizes }
}

/// As far apart as marks of neighbours may lie, mm.
const APART: f64 = 0.005;

fn near(a: Rect, b: Rect) -> bool {
    [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1].iter().all(|d| d.abs() <= APART)
}

#[test]
fn marks_of_neighbours_meet_in_the_file() {
    let sheet = common::poster();
    let Printed { grid, pages, .. } = printed(&sheet, "a4");
    let panels: Vec<Panel> = grid.panels().collect();
    let on_sheet: Vec<Vec<Rect>> = panels
        .iter()
        .zip(&pages[1..])
        .map(|(t, boxes)| boxes.iter().map(|b| *b - t.shift).collect())
        .collect();
    let (rows, columns) = grid.size();
    let mut met = 0;
    let mut meet = |a: usize, b: usize, wanted: &dyn Fn(Rect) -> bool, least: usize| {
        // Ticks are 0.15 mm thin, rings 3.2 mm wide.
        let mark = |r: &Rect| {
            let (w, h) = (r.width(), r.height());
            let tick = (w.min(h) - 0.15).abs() < APART && (w.max(h) - 4.5).abs() < APART;
            tick || ((w - 3.2).abs() < APART && (h - 3.2).abs() < APART)
        };
        let of = |i: usize| -> Vec<Rect> {
            on_sheet[i].iter().copied().filter(|r| mark(r) && wanted(*r)).collect()
        };
        let (first, second) = (of(a), of(b));
        assert!(first.len() >= least, "{}: {first:?}", panels[a].name());
        assert_eq!(first.len(), second.len(), "{} {}", panels[a].name(), panels[b].name());
        for one in &first {
            assert!(second.iter().any(|two| near(*one, *two)), "{}: {one:?}", panels[a].name());
        }
        met += first.len();
    };
    for (i, panel) in panels.iter().enumerate() {
        if panel.column + 1 < columns {
            // The seam's two ticks and its ring.
            let seam = panel.counts.x1;
            meet(i, i + 1, &|r| (r.center().x - seam).abs() < 0.01, 3);
        }
        if panel.row + 1 < rows {
            let seam = panel.counts.y1;
            let end = panel.column == 0 || panel.column + 1 == columns;
            meet(i, i + columns, &|r| (r.center().y - seam).abs() < 0.01, if end { 3 } else { 2 });
        }
    }
    assert!(met > 60, "{met}");
}

#[test]
fn marks_stay_out_of_what_counts() {
    let sheet = common::poster();
    let grid = grid(&sheet, &split("a4"));
    for panel in grid.panels() {
        let shapes = marks::ticks(&grid, &panel).into_iter();
        let rings = marks::circles(&grid, &panel).into_iter().map(|c| c.bounding_box());
        for mark in shapes.chain(rings) {
            assert!(mark.intersect(panel.counts).area() < 1e-9, "{}: {mark:?}", panel.name());
        }
    }
}

#[test]
fn the_file_is_of_true_size() {
    // ISO 216: A4 is 210 x 297 mm, A3 is 297 x 420 mm. ASME Y14.1: Letter is 8.5 x 11 in.
    for (paper, size) in
        [("a4", (210.0, 297.0)), ("A3", (297.0, 420.0)), ("letter", (215.9, 279.4))]
    {
        let mut sheet = common::poster();
        // Two squares 60 mm apart, on one panel.
        let square = |x: f64| Rect::new(x, 60.0, x + 7.77, 67.77);
        let blue = sheet.palette.add_ink(Rgb(0x12, 0x34, 0x56));
        for x in [4.0, 64.0] {
            let item = common::area(Role::Swatch, square(x).to_path(0.1), FillRule::NonZero, blue);
            sheet.pages[0].items.push(item);
        }
        let Printed { grid, pages, sizes } = printed(&sheet, paper);
        let size = if grid.landscape() { (size.1, size.0) } else { size };
        for own in &sizes {
            assert!((own.0 - size.0).abs() < 0.001 && (own.1 - size.1).abs() < 0.001, "{own:?}");
        }
        let shift = grid.panels().next().expect("a panel").shift;
        let squares: Vec<Rect> =
            pages[1].iter().copied().filter(|b| (b.width() - 7.77).abs() < APART).collect();
        let at: Vec<Rect> = [4.0, 64.0].iter().map(|x| square(*x) + shift).collect();
        assert_eq!(squares.len(), 2, "{paper}");
        assert!(squares.iter().zip(&at).all(|(a, b)| near(*a, *b)), "{squares:?} {at:?}");
        // The ruler on every page: long ticks of 3 mm, from 0 to 100 mm and from 0 to 4 in.
        for (page, boxes) in pages.iter().enumerate() {
            let foot = grid.foot().0;
            let tall =
                |b: &&Rect| (b.height() - 3.0).abs() < APART && b.width() < 0.5 && b.y0 > foot;
            let ticks: Vec<&Rect> = boxes.iter().filter(tall).collect();
            let line = ticks.iter().map(|b| b.y1).fold(f64::INFINITY, f64::min);
            let span = |above: bool| {
                let x = ticks.iter().filter(|b| (b.y1 < line + 0.1) == above).map(|b| b.center().x);
                let x: Vec<f64> = x.collect();
                let ends = x.iter().fold((f64::MAX, f64::MIN), |r, x| (r.0.min(*x), r.1.max(*x)));
                (x.len(), ends.1 - ends.0)
            };
            let ((mm, long), (inches, wide)) = (span(true), span(false));
            assert_eq!((mm, inches), (11, 5), "page {page}");
            assert!((long - 100.0).abs() < APART && (wide - 101.6).abs() < APART, "{long} {wide}");
        }
    }
}

struct Picture {
    width: usize,
    rgb: Vec<[u8; 3]>,
}

/// Pixels in a mm: every seam of the test's sheet falls on a whole one.
const PX: f64 = 4.0;

fn by_hayro(pdf: &[u8], page: usize) -> Picture {
    use hayro::hayro_interpret::InterpreterSettings;
    use hayro::{PixmapSettings, RenderCache, RenderSettings};
    let pdf = hayro::hayro_syntax::Pdf::new(pdf.to_vec()).expect("a PDF");
    // A hair more: sizes in whole pixels are cut off, not rounded.
    let scale = (PX * MM * (1.0 + 1e-6)) as f32;
    let white = hayro::vello_cpu::color::palette::css::WHITE;
    let size = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: white };
    let settings =
        RenderSettings { hinting: false, glyph_caching: false, ..RenderSettings::default() };
    let page = &pdf.pages()[page];
    let cache = RenderCache::new();
    let pixmap = hayro::render(page, &cache, &InterpreterSettings::default(), &settings, &size);
    let rgb = pixmap.data_as_u8_slice().chunks_exact(4).map(|p| [p[0], p[1], p[2]]).collect();
    Picture { width: usize::from(pixmap.width()), rgb }
}

#[test]
fn panels_put_together_are_the_whole() {
    let sheet = wide();
    let (split, look) = (split("150x150"), look(&sheet));
    let grid = grid(&sheet, &split);
    assert_eq!(grid.size(), (2, 2));
    let pdf = common::pdf(&split_up(&sheet, (&look, &english()), &split, &grid));
    let wholes = common::pdf(&sheet);
    for page in 0..2 {
        let whole = by_hayro(&wholes, page);
        let (mut sum, mut far, mut inked, mut seen) = (0.0, 0usize, 0usize, 0usize);
        for (i, panel) in grid.panels().enumerate() {
            let picture = by_hayro(&pdf, page * 5 + 1 + i);
            let px = |v: f64| {
                assert!((v * PX - (v * PX).round()).abs() < 1e-6, "{v} mm is no whole pixel");
                (v * PX).round() as i64
            };
            let (dx, dy) = (px(panel.shift.x), px(panel.shift.y));
            for y in px(panel.counts.y0)..px(panel.counts.y1) {
                for x in px(panel.counts.x0)..px(panel.counts.x1) {
                    let a = whole.rgb[y as usize * whole.width + x as usize];
                    let b = picture.rgb[(y + dy) as usize * picture.width + (x + dx) as usize];
                    let diffs = [0, 1, 2].map(|k| a[k].abs_diff(b[k]));
                    sum += diffs.iter().map(|d| f64::from(*d)).sum::<f64>() / 3.0;
                    far += usize::from(diffs.iter().any(|d| *d > 48));
                    inked += usize::from(a != [255; 3]);
                    seen += 1;
                }
            }
        }
        assert_eq!(seen, (245.0 * PX) as usize * (130.0 * PX) as usize);
        assert!(inked > seen / 100, "page {page}: an empty picture proves nothing");
        let (mean, far) = (sum / seen as f64, far as f64 / seen as f64);
        println!("page {page}: mean {mean:.4}, far {far:.6}");
        assert!(mean < MEAN && far < FAR, "page {page}: mean {mean:.4}, far {far:.6}");
    }
}

// Positions are rounded to a micrometre; nothing else may differ. Seen: 0.0013
// and no pixel.
const MEAN: f64 = 0.01;
const FAR: f64 = 0.00005;

#[test]
fn the_overview_has_everything_small() {
    let sheet = common::poster();
    let (split, look) = (split("a4"), look(&sheet));
    let grid = grid(&sheet, &split);
    let out = split_up(&sheet, (&look, &english()), &split, &grid);
    let overview = &out.pages[0];
    let uses =
        |page: &Page| page.items.iter().filter(|i| matches!(i.kind, ItemKind::Use(_))).count();
    assert_eq!(uses(overview), uses(&sheet.pages[0]));
    let texts = |page: &Page| -> Vec<(String, f64)> {
        let own = page.items.iter().filter(|i| i.origin.is_none());
        own.filter_map(|i| match &i.kind {
            ItemKind::Text(t) => Some((t.string.clone(), t.advance)),
            _ => None,
        })
        .collect()
    };
    let (small, whole) = (texts(overview), texts(&sheet.pages[0]));
    assert_eq!(small.len(), whole.len());
    let scale = small[0].1 / whole[0].1;
    // A4 less margins, title, steps and foot: 194 x 217 mm at most for 610 x 914 mm.
    assert!(scale > 0.15 && scale < 194.0 / 610.0, "{scale}");
    for (a, b) in small.iter().zip(&whole) {
        assert!(a.0 == b.0 && (a.1 - b.1 * scale).abs() < 1e-9, "{a:?} {b:?}");
    }
    let words: BTreeSet<&str> = overview
        .items
        .iter()
        .filter_map(|i| match &i.kind {
            ItemKind::Text(t) if i.origin.as_deref() == Some("overview") => Some(t.string.as_str()),
            _ => None,
        })
        .collect();
    for panel in grid.panels() {
        assert!(words.contains(panel.name().as_str()), "{} is not on it", panel.name());
    }
    let (w, h) = grid.page();
    // Lines are with their middle on the edge.
    let paper = Rect::new(8.0, 8.0, w - 8.0, h - 8.0).inflate(0.2, 0.2);
    for item in &overview.items {
        let inked = match &item.kind {
            // Without the room that bounds allow for overhang.
            ItemKind::Text(t) => Rect::new(t.x, t.y - t.size * 0.7, t.x + t.advance, t.y),
            _ => item.bounds,
        };
        let inside = paper.contains_rect(inked);
        // The white frame reaches to the edges of the paper.
        assert!(inside || item.bounds == Rect::new(0.0, 0.0, w, h), "{:?}", item.bounds);
    }
}

#[test]
fn the_same_panels_twice() {
    let sheet = wide();
    let (split, look) = (split("a5"), look(&sheet));
    let grid = grid(&sheet, &split);
    let pdf = || common::pdf(&split_up(&sheet, (&look, &english()), &split, &grid));
    assert_eq!(pdf(), pdf());
}

#[test]
fn papers_by_name_and_by_size() {
    let size = |text: &str| Desk::parse("--panels", text).expect("a paper").size();
    // ISO 216.
    assert_eq!(
        [size("a4"), size("A3"), size("A5")],
        [(210.0, 297.0), (297.0, 420.0), (148.0, 210.0)]
    );
    assert_eq!(size("300x200"), (200.0, 300.0));
    assert_eq!(size("210.5 x 300 mm"), (210.5, 300.0));
    let a4 = Desk::parse("--panels", "a4").expect("a paper");
    assert!(a4.holds(297.0, 210.0) && a4.holds(210.0, 297.0) && !a4.holds(215.9, 279.4));
    for (text, code) in [
        ("a44", "unknown-paper-size"),
        ("", "unknown-paper-size"),
        ("x", "unknown-paper-size"),
        ("NaNx300", "unknown-paper-size"),
        ("-210x297", "bad-paper-size"),
        ("20x300", "bad-paper-size"),
        ("210x99999", "bad-paper-size"),
    ] {
        assert_eq!(Desk::parse("--panels", text).expect_err(text).code, code, "{text}");
    }
}

#[test]
fn what_cannot_be_tiled_is_told() {
    let few = split("a4");
    let d = Grid::new(5000.0, 5000.0, 1, &few).expect_err("too many");
    assert_eq!(d.code, "too-many-panels");
    // 28 columns of at most 184 mm, 20 rows of at most 257 mm; across it is 19 x 30.
    assert!(d.message.contains("560 panels of A4"), "{}", d.message);
    let narrow = Split::new("--panels", "a6", 50.0, 50.0).expect("numbers are fine");
    assert_eq!(Grid::new(600.0, 600.0, 1, &narrow).expect_err("no room").code, "paper-too-small");
    let both = Split::new("--panels", "a44", 51.0, f64::NAN).expect_err("three faults");
    assert_eq!(both.len(), 3);
}

fn shadecard(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shadecard"));
    command.args(args).arg("--out").arg(folder).output().expect("runs")
}

const SHEET: &str = "demo/haberdashery/sheet.ron";

#[test]
fn make_panels_what_is_larger_than_the_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let args = ["make", SHEET, "--edition", "letter", "--edition", "a4", "--spelling", "en-GB"];
    let more = ["--format", "svg", "--panels", "a4", "--style", "catalogue"];
    let output = shadecard(folder.path(), &[&args[..], &more[..]].concat());
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(text.contains("fit on A4 without panels: a4.en-GB"), "{text}");
    assert!(text.contains("4 files in"), "{text}");
    let out = folder.path().join("haberdashery-catalogue");
    let manifest = std::fs::read_to_string(out.join("manifest.json")).expect("a manifest");
    let manifest: serde_json::Value = serde_json::from_str(&manifest).expect("JSON");
    let files = manifest["files"].as_array().expect("a list");
    let panels: Vec<_> = files.iter().filter(|f| !f["panels"].is_null()).collect();
    assert_eq!(panels.len(), 1);
    assert_eq!(panels[0]["file"], "letter.en-GB.panels-a4.pdf");
    let pdf = std::fs::read(out.join("letter.en-GB.panels-a4.pdf")).expect("there");
    assert_eq!(panels[0]["bytes"], pdf.len());
    let count = |n: usize| panels[0]["panels"][n].as_u64().expect("a number") as usize;
    let pages = Document::load_mem(&pdf).expect("reads").get_pages().len();
    assert_eq!(pages, count(0) * count(1) + 1);
    assert!(!out.join("a4.en-GB.panels-a4.pdf").exists());
}

#[test]
fn wrong_arguments_are_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    for (args, expected) in [
        (&["--panels", "a44"][..], "did you mean 'A4'?"),
        (&["--panels", "50x50"], "use sides of 100 to 2000 mm"),
        (&["--panels", "a4", "--overlap", "51"], "--overlap must be from 0 to 50 mm, not 51"),
        (&["--panels", "a4", "--margin=-1"], "--margin must be from 0 to 50 mm, not -1"),
        (&["--panels", "a6", "--margin", "40"], "has no room for a panel"),
        (
            &["--panels", "a4", "--paper", "coated", "--colour-mode", "cmyk"],
            "Panels are for a desk printer",
        ),
    ] {
        let output = shadecard(folder.path(), &[&["make", SHEET], args].concat());
        let text = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{args:?}: {text}");
        assert!(text.contains(expected), "{args:?}: {text}");
        assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 0, "{args:?}");
    }
}
