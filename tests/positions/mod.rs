//! What must hold on any positioned sheet, reported as a list of faults.
#![allow(dead_code)]

use std::path::Path;

use kurbo::Rect;
use shadecard::diag::Sources;
use shadecard::diag_print::render;
use shadecard::edition::{Editions, Filter, Planned};
use shadecard::plan::facts::Subject;
use shadecard::plan::{Facts, Layout, Piece, Request};
use shadecard::range::{Words, load};
use shadecard::sheet::furniture::Heights;
use shadecard::sheet::{FillRule, Item, ItemKind, Layer, Paint, Role, Sheet, Text, Turn};
use shadecard::spelling::Spelling;

/// Overlap of two texts or of a text and a part that nobody sees, mm.
const TOUCH: f64 = 0.05;
/// Rounding of positions, mm.
const ROUND: f64 = 1e-6;

/// All editions of a sheet file, in a style if one is given.
pub fn open(file: &Path, style: Option<&str>) -> Editions {
    let mut sources = Sources::default();
    let loaded = load(file, &mut sources)
        .unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)));
    let filter = Filter { style: style.map(str::to_owned), ..Filter::default() };
    Editions::resolve(loaded, &filter, &mut sources)
        .unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)))
}

/// Calls `of` with what the solver is asked for a layout with the first edition's families, in one spelling.
pub fn requested<T>(
    editions: &Editions,
    spelling: &Spelling,
    layout: &Layout,
    of: impl FnOnce(&Request<'_, '_>) -> T,
) -> T {
    let spellings = [spelling];
    let heights = Heights::new(&spellings);
    let furniture = |facts: &Facts<'_>, width: f64, scale: f64, piece: Piece| {
        heights.of(facts, width, scale, piece)
    };
    let say = |words: &Words| spelling.apply(words);
    of(&Request {
        subject: Subject {
            range: &editions.range,
            sheet: &editions.sheet,
            shown: &editions.variants().next().expect("an edition").edition.shown,
            work: &editions.session.work,
        },
        style: &editions.style,
        layout,
        says: &[&say],
        furniture: &furniture,
    })
}

/// The box of a text's capitals and figures.
pub fn text_box(text: &Text) -> Rect {
    let cap = text.size * 0.7;
    match text.turn {
        Turn::Level => Rect::new(text.x, text.y - cap, text.x + text.advance, text.y),
        Turn::Up => Rect::new(text.x - cap, text.y - text.advance, text.x, text.y),
    }
}

/// The box of everything drawn of each sample, its shadow left out, on a page, with what it is.
pub fn bodies(sheet: &Sheet, page: usize) -> Vec<(Rect, &Item)> {
    let items = sheet.pages[page].items.iter();
    items
        .filter_map(|item| match &item.kind {
            ItemKind::Use(used) => {
                let b = sheet.symbols[used.symbol.0].extent;
                let at = |x: f64, y: f64| (used.x + x * used.scale, used.y + y * used.scale);
                Some((Rect::from_points(at(b.x0, b.y0), at(b.x1, b.y1)), item))
            }
            _ => None,
        })
        .collect()
}

/// How deep two boxes lie in each other, mm; negative when apart.
pub fn depth(a: Rect, b: Rect) -> f64 {
    let x = a.x1.min(b.x1) - a.x0.max(b.x0);
    let y = a.y1.min(b.y1) - a.y0.max(b.y0);
    x.min(y)
}

fn texts(sheet: &Sheet, page: usize) -> Vec<(Rect, &Text)> {
    let items = sheet.pages[page].items.iter();
    items
        .filter_map(|item| match &item.kind {
            ItemKind::Text(text) => Some((text_box(text), &**text)),
            _ => None,
        })
        .collect()
}

fn shown(r: Rect) -> String {
    format!("({:.2} {:.2} {:.2} {:.2})", r.x0, r.y0, r.x1, r.y1)
}

/// Origins of what the furniture shows again.
const FURNITURE: [Option<&str>; 2] = [Some("lookalikes"), Some("legend")];

/// Keys of the flat chips in drawing order: the filled areas, not their edges, nor those in the furniture.
pub fn chips(sheet: &Sheet) -> Vec<(String, shadecard::sheet::Rgb)> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let published = sheet.palette.published();
    items
        .filter(|i| i.role == Role::Swatch && !FURNITURE.contains(&i.origin.as_deref()))
        .filter_map(|i| match (&i.kind, &i.origin) {
            (ItemKind::Area(a), Some(key)) if a.rule == FillRule::NonZero => {
                Some((key.to_string(), published.of(a.fill)))
            }
            _ => None,
        })
        .collect()
}

/// Every colour once, in its family's order, in exactly its value.
pub fn colours_once_in_order(
    editions: &Editions,
    planned: &Planned<'_>,
    sheet: &Sheet,
) -> Vec<String> {
    let chips = chips(sheet);
    let mut faults = Vec::new();
    let mut expected = 0;
    for &i in &planned.variant.edition.shown {
        let family = &editions.sheet.families()[i];
        let rows = || family.rows().iter().map(|c| editions.range.colour(*c));
        let want: Vec<(String, _)> = rows().map(|c| (c.key().clone(), c.rgb())).collect();
        let keys: Vec<&String> = want.iter().map(|w| &w.0).collect();
        let got: Vec<_> = chips.iter().filter(|c| keys.contains(&&c.0)).cloned().collect();
        if got != want {
            faults.push(format!("family {i}: chips {got:?}, not {want:?}"));
        }
        expected += want.len();
    }
    if chips.len() != expected {
        faults.push(format!("{} chips for {expected} colours", chips.len()));
    }
    faults
}

/// Nothing that is drawn leaves the page.
pub fn inside_the_page(sheet: &Sheet) -> Vec<String> {
    let page = Rect::new(0.0, 0.0, sheet.width, sheet.height).inset(ROUND);
    let mut faults = Vec::new();
    for (n, items) in sheet.pages.iter().map(|p| &p.items).enumerate() {
        for item in items.iter().filter(|i| i.role != Role::Cut) {
            let (reach, what) = match &item.kind {
                // Descenders reach about a quarter of the size under the baseline; figures and units have none.
                ItemKind::Text(t) => {
                    let b = text_box(t);
                    let plain = t.string.chars().all(|c| c.is_ascii_digit() || " .imn".contains(c));
                    let down = if plain { 0.0 } else { t.size * 0.25 };
                    let reach = match t.turn {
                        Turn::Level => Rect::new(b.x0, b.y0, b.x1, b.y1 + down),
                        Turn::Up => Rect::new(b.x0, b.y0, b.x1 + down, b.y1),
                    };
                    (reach, format!("'{}'", t.string))
                }
                _ => (item.bounds, format!("{:?} of {:?}", item.role, item.origin)),
            };
            if !page.contains_rect(reach) {
                faults.push(format!("page {n}: {what} leaves the page at {}", shown(reach)));
            }
        }
    }
    faults
}

/// No two samples overlap.
pub fn samples_apart(sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    for page in 0..sheet.pages.len() {
        let bodies = bodies(sheet, page);
        for (i, (a, left)) in bodies.iter().enumerate() {
            for (b, right) in &bodies[..i] {
                if depth(*a, *b) > ROUND {
                    faults.push(format!(
                        "page {page}: samples of {:?} {} and {:?} {} overlap",
                        left.origin,
                        shown(*a),
                        right.origin,
                        shown(*b)
                    ));
                }
            }
        }
    }
    faults
}

/// No text lies over another text or over a sample.
pub fn texts_clear(sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    for page in 0..sheet.pages.len() {
        let (texts, bodies) = (texts(sheet, page), bodies(sheet, page));
        for (i, (a, text)) in texts.iter().enumerate() {
            for (b, other) in &texts[..i] {
                if depth(*a, *b) > TOUCH {
                    faults.push(format!(
                        "page {page}: '{}' {} and '{}' {} overlap by {:.3} mm",
                        text.string,
                        shown(*a),
                        other.string,
                        shown(*b),
                        depth(*a, *b)
                    ));
                }
            }
            for (b, item) in &bodies {
                if depth(*a, *b) > TOUCH {
                    faults.push(format!(
                        "page {page}: '{}' {} lies over a sample of {:?} {} by {:.3} mm",
                        text.string,
                        shown(*a),
                        item.origin,
                        shown(*b),
                        depth(*a, *b)
                    ));
                }
            }
        }
    }
    faults
}

/// No text under the floor, mm.
pub fn readable(sheet: &Sheet, floor: f64) -> Vec<String> {
    let pages = 0..sheet.pages.len();
    let texts = pages.flat_map(|page| texts(sheet, page));
    texts
        .filter(|(_, t)| t.size < floor - ROUND)
        .map(|(_, t)| format!("'{}' is only {:.4} mm large", t.string, t.size))
        .collect()
}

/// Part and colour of a symbol, from its name.
pub fn ids(name: &str) -> Option<(usize, usize)> {
    let (part, colour) = name.strip_prefix('p')?.split_once("-c")?;
    Some((part.parse::<usize>().ok()? - 1, colour.parse::<usize>().ok()? - 1))
}

/// Every drawn part has an area in exactly its colour's value.
pub fn exact_colours(editions: &Editions, sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    let published = sheet.palette.published();
    for symbol in &sheet.symbols {
        let Some((_, colour)) = ids(&symbol.name) else {
            faults.push(format!("a symbol is named '{}'", symbol.name));
            continue;
        };
        let rgb = editions.range.colours()[colour].rgb();
        let exact = |l: &Layer| matches!(l.paint, Paint::Solid(fill) if published.of(fill) == rgb);
        if !symbol.layers().any(|l| exact(&l) && l.opacity == 1.0) {
            faults.push(format!("{} has no area in {}", symbol.name, rgb.hex()));
        }
    }
    faults
}

/// Fails with all faults, at most the first twenty in words.
pub fn none(what: &str, faults: Vec<String>) {
    assert!(
        faults.is_empty(),
        "{what}: {} faults\n{}",
        faults.len(),
        faults.iter().take(20).cloned().collect::<Vec<_>>().join("\n")
    );
}
