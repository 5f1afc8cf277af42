//! A display list made from bytes, painted as PDF on screen and for a press, and read again by another library.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape};
use lopdf::{Document, Object};
use shadecard::finish::Shade;
use shadecard::paint::{CutLine, Step, pdf_with_cuts, press_with_cuts};
use shadecard::range::ColourId;
use shadecard::sheet::palette::{PaletteBuilder, SampleRelease};
use shadecard::sheet::{
    About, Area, FillRule, Gradient, Item, ItemKind, Layer, OutlineId, Page, Paint, PaletteIndex,
    Ramp, Rgb, Role, Sample, Sheet, Stop, Symbol, SymbolId, Text, Turn, Use,
};
use shadecard::type_::{FaceId, FaceSpec, Faces, Figures};
use shadecard::units::mm_to_pt;

use super::dice::Dice;
use super::press::press;
use super::told::{one_in, sum};

pub fn entry(bytes: &[u8]) -> String {
    let mut dice = Dice::new(bytes);
    let sheet = sheet(&mut dice);
    let cuts = cuts(&mut dice, sheet.pages.len());
    let pdf = match dice.chance(2) {
        true => pdf_with_cuts(sheet.coloured(&sheet.palette.published()), &cuts),
        false => press_with_cuts(&sheet, &press(&sheet), &cuts),
    };
    if one_in(8, bytes) {
        read_again(&pdf, &sheet);
    }
    format!("{} {:x}", pdf.len(), sum(&pdf))
}

fn read_again(bytes: &[u8], sheet: &Sheet) {
    let document = Document::load_mem(bytes).expect("it reads");
    let pages = document.get_pages();
    assert_eq!(pages.len(), sheet.pages.len(), "pages");
    for (page, id) in sheet.pages.iter().zip(pages.values()) {
        let dictionary = document.get_dictionary(*id).expect("a page");
        let trim: Vec<f64> = dictionary
            .get(b"TrimBox")
            .or_else(|_| dictionary.get(b"MediaBox"))
            .and_then(Object::as_array)
            .expect("a box")
            .iter()
            .map(|v| f64::from(v.as_float().expect("a number")))
            .collect();
        let size = (trim[2] - trim[0], trim[3] - trim[1]);
        let meant = (mm_to_pt(sheet.width), mm_to_pt(sheet.height));
        let off = (size.0 - meant.0).abs().max((size.1 - meant.1).abs());
        assert!(off < 0.01, "{size:?} pt, not {meant:?}");
        let content = document.get_and_decode_page_content(*id).expect("operators");
        let count = |name: &str| content.operations.iter().filter(|o| o.operator == name).count();
        let of = |kind: fn(&ItemKind) -> bool| page.items.iter().filter(|i| kind(&i.kind)).count();
        let texts = of(|k| matches!(k, ItemKind::Text(t) if !t.glyphs.is_empty()));
        assert_eq!(count("Do"), of(|k| matches!(k, ItemKind::Use(_))), "parts");
        assert_eq!(count("BT"), count("ET"), "texts begun and ended");
        assert!(count("BT") >= texts, "{} texts of {texts}", count("BT"));
        assert_eq!(count("q"), count("Q"), "states saved and restored");
    }
}

fn sheet(dice: &mut Dice<'_>) -> Sheet {
    let (width, height) = (dice.number(10.0, 900.0), dice.number(10.0, 900.0));
    let faces = Faces::load(&[
        FaceSpec {
            file: "EBGaramond_500Medium.ttf".into(),
            figures: Figures::Lining,
            small_caps: true,
        },
        FaceSpec {
            file: "BarlowSemiCondensed_500Medium.ttf".into(),
            figures: Figures::Default,
            small_caps: false,
        },
    ]);
    let faces = Arc::new(faces.expect("shipped faces"));
    let outlines: Vec<Arc<BezPath>> =
        (0..1 + dice.below(4)).map(|_| Arc::new(path(dice, 20.0))).collect();
    let mut palette = PaletteBuilder::default();
    let symbols: Vec<Symbol> =
        (0..1 + dice.below(4)).map(|n| symbol(dice, n, outlines.len(), &mut palette)).collect();
    let pages = (0..1 + dice.below(3))
        .map(|_| {
            let count = dice.below(12);
            let item = |_| item(dice, &faces, symbols.len(), &mut palette);
            Page { items: (0..count).map(item).collect() }
        })
        .collect();
    let title: String =
        (0..dice.below(8)).filter_map(|_| char::from_u32(u32::from(dice.byte()) << 3)).collect();
    let about = About {
        title,
        author: dice.text(12),
        language: "en-GB".into(),
        issue_date: None,
        year: dice.chance(2).then(|| 1990 + u16::from(dice.byte())),
    };
    let bleed = dice.pick(&[0.0, 0.0, 3.0]);
    let palette = palette.finish();
    let images = Vec::new();
    Sheet { width, height, bleed, about, faces, palette, outlines, symbols, images, pages }
}

/// Three bytes say the colour, and what it is.
fn fill(dice: &mut Dice<'_>, palette: &mut PaletteBuilder) -> PaletteIndex {
    let rgb = Rgb(dice.byte(), dice.byte(), dice.byte());
    let (release, colour) = (SampleRelease::Shown, ColourId(rgb.0.into()));
    let sample = Sample { release, colour, published: rgb };
    match rgb.2 % 4 {
        0 => palette.fill(rgb.into()),
        1 => palette.sample(sample),
        2 => palette.shade(sample, Shade::Tinted { l: f64::from(rgb.1) / 2.55, share: 0.4 }),
        _ => palette.shade(sample, Shade::Fixed(rgb)),
    }
}

fn rule(dice: &mut Dice<'_>) -> FillRule {
    dice.pick(&[FillRule::NonZero, FillRule::EvenOdd])
}

/// Also paths without any area, and points far off.
fn path(dice: &mut Dice<'_>, reach: f64) -> BezPath {
    if dice.chance(3) {
        return Circle::new((0.0, 0.0), dice.number(0.0, reach)).to_path(1e-3);
    }
    let reach = if dice.chance(8) { 1e7 } else { reach };
    let at =
        |dice: &mut Dice<'_>| Point::new(dice.number(-reach, reach), dice.number(-reach, reach));
    let mut path = BezPath::new();
    path.move_to(at(dice));
    for _ in 0..dice.below(8) {
        match dice.below(5) {
            0 => path.quad_to(at(dice), at(dice)),
            1 => path.curve_to(at(dice), at(dice), at(dice)),
            2 => {
                path.close_path();
                path.move_to(at(dice));
            }
            _ => path.line_to(at(dice)),
        }
    }
    path.close_path();
    path
}

fn symbol(dice: &mut Dice<'_>, n: usize, outlines: usize, palette: &mut PaletteBuilder) -> Symbol {
    let layers = (0..dice.below(5))
        .map(|_| Layer {
            outline: OutlineId(dice.below(outlines)),
            rule: rule(dice),
            paint: paint(dice, palette),
            opacity: dice.pick(&[1.0, 1.0, 0.5, 0.0, 0.003]),
        })
        .collect();
    let side = dice.number(0.0, 30.0);
    let body = Rect::new(-side, -side, side, side);
    Symbol::new(format!("p{}-c{n}", n + 1), layers, body.inflate(0.5, 0.5), body)
}

fn paint(dice: &mut Dice<'_>, palette: &mut PaletteBuilder) -> Paint {
    if dice.chance(2) {
        return Paint::Solid(fill(dice, palette));
    }
    let reach = 20.0;
    let mut n = || dice.number(-reach, reach);
    let ramp = match n() > 0.0 {
        true => Ramp::Linear { x1: n(), y1: n(), x2: n(), y2: n() },
        false => Ramp::Radial { cx: n(), cy: n(), r: n().abs(), fx: n(), fy: n() },
    };
    let transform = Affine::rotate(n()) * Affine::scale_non_uniform(n(), n());
    let count = 2 + dice.below(4);
    let mut offsets: Vec<f64> = (0..count).map(|_| dice.number(0.0, 1.0)).collect();
    offsets.sort_by(f64::total_cmp);
    let stop = |offset| Stop { offset, colour: fill(dice, palette) };
    let stops = offsets.into_iter().map(stop).collect();
    Paint::Gradient(Arc::new(Gradient { ramp, transform, stops }))
}

fn item(dice: &mut Dice<'_>, faces: &Faces, symbols: usize, palette: &mut PaletteBuilder) -> Item {
    let role = dice.pick(&[Role::Sample, Role::Swatch, Role::Label, Role::Cut, Role::Furniture]);
    let (x, y) = (dice.number(-50.0, 950.0), dice.number(-50.0, 950.0));
    let kind = match dice.below(3) {
        0 => {
            let path = Affine::translate((x, y)) * path(dice, 40.0);
            ItemKind::Area(Area { path, rule: rule(dice), fill: fill(dice, palette) })
        }
        1 => {
            let symbol = SymbolId(dice.below(symbols));
            ItemKind::Use(Use { symbol, x, y, scale: dice.number(0.01, 4.0) })
        }
        _ => {
            let face = FaceId(dice.below(2));
            let size = dice.number(0.2, 60.0);
            // Also letters that no font has.
            let string = match dice.chance(4) {
                true => (0..dice.below(9))
                    .filter_map(|_| char::from_u32(u32::from(dice.byte()) << 4))
                    .collect(),
                false => dice.text(30),
            };
            let (glyphs, advance) = faces[face].set(&string, size, dice.number(-0.5, 0.5));
            let (turn, fill) = (dice.pick(&[Turn::Level, Turn::Up]), fill(dice, palette));
            ItemKind::Text(Box::new(Text { string, face, size, x, y, turn, fill, glyphs, advance }))
        }
    };
    Item { role, origin: None, kind, bounds: Rect::new(x - 60.0, y - 60.0, x + 60.0, y + 60.0) }
}

fn cuts(dice: &mut Dice<'_>, pages: usize) -> Vec<Vec<CutLine>> {
    if !dice.chance(2) {
        return Vec::new();
    }
    let line = |dice: &mut Dice<'_>| CutLine {
        step: dice.pick(&[Step::Cutting, Step::PartialCutting]),
        path: path(dice, 60.0),
    };
    (0..pages).map(|_| (0..dice.below(3)).map(|_| line(dice)).collect()).collect()
}
