//! Small but complete sheets for the painters: every kind of item, paint and turn.
#![allow(dead_code, reason = "each test file uses its part")]

pub mod press;
pub mod shelf;

use std::sync::Arc;

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape, Vec2};
use shadecard::finish::Shade;
use shadecard::paint;
use shadecard::range::ColourId;
use shadecard::sheet::palette::{PaletteBuilder, SampleRelease};
use shadecard::sheet::{
    About, Area, FillRule, Gradient, Item, ItemKind, Layer, OutlineId, Page, Paint, PaletteIndex,
    Ramp, Rgb, Role, Sample, Sheet, Stop, Symbol, SymbolId, Text, Turn, Use,
};
use shadecard::type_::{FaceId, FaceSpec, Faces, Figures};

pub const BOLD: FaceId = FaceId(0);
pub const ITALIC: FaceId = FaceId(1);
pub const CAPS: FaceId = FaceId(2);
pub const BARLOW: FaceId = FaceId(3);
pub const OLD: FaceId = FaceId(4);

/// The strings on [`sheet`], in painting order, page by page.
pub const STRINGS: &[&str] = &[
    "Wrackline Works — Buttons & Beads",
    "Ünïcödé “Åkérö” Łódź ½ × 3",
    "Small Caps 0123456789",
    "AVATAR To. 1lI0O <office> fjord",
    "1987 & 2046",
    "No. 2252",
    "  two  spaces ",
    "Second page",
];

pub fn faces() -> Arc<Faces> {
    let spec =
        |file: &str, figures, small_caps| FaceSpec { file: file.into(), figures, small_caps };
    let specs = [
        spec("AlegreyaSans_700Bold.ttf", Figures::LiningTabular, false),
        spec("EBGaramond_400Regular_Italic.ttf", Figures::Default, false),
        spec("EBGaramond_500Medium.ttf", Figures::Lining, true),
        spec("BarlowSemiCondensed_500Medium.ttf", Figures::Default, false),
        spec("EBGaramond_400Regular.ttf", Figures::OldStyle, false),
    ];
    Arc::new(Faces::load(&specs).expect("shipped faces"))
}

/// The ink of [`text`].
pub const WORDS: Rgb = Rgb(0x22, 0x22, 0x22);

/// A palette with the ink of words as the first entry after the paper.
pub fn palette() -> (PaletteBuilder, PaletteIndex) {
    let mut palette = PaletteBuilder::default();
    let words = palette.fill(WORDS.into());
    (palette, words)
}

/// A colour of a range that nobody has.
pub fn sample(published: Rgb) -> Sample {
    let Rgb(r, g, b) = published;
    let colour = ColourId(usize::from(r) << 16 | usize::from(g) << 8 | usize::from(b));
    Sample { release: SampleRelease::Shown, colour, published }
}

/// A sheet as a PDF in its published colours.
pub fn pdf(sheet: &Sheet) -> Vec<u8> {
    paint::pdf(sheet.coloured(&sheet.palette.published()))
}

/// One of its pages as SVG.
pub fn svg(sheet: &Sheet, page: usize) -> Vec<u8> {
    paint::svg(sheet.coloured(&sheet.palette.published()), page)
}

fn item(role: Role, kind: ItemKind, bounds: Rect) -> Item {
    Item { role, origin: None, kind, bounds }
}

#[expect(clippy::too_many_arguments, reason = "one line a text in the tests")]
pub fn text(faces: &Faces, face: FaceId, size: f64, at: (f64, f64), turn: Turn, s: &str) -> Item {
    let (glyphs, advance) = faces[face].set(s, size, 0.0);
    let (x, y) = at;
    let bounds = match turn {
        Turn::Level => Rect::new(x - size, y - size, x + advance + size, y + size / 2.0),
        Turn::Up => Rect::new(x - size, y - advance - size, x + size / 2.0, y + size),
    };
    let text =
        Text { string: s.into(), face, size, x, y, turn, fill: palette().1, glyphs, advance };
    item(Role::Label, ItemKind::Text(Box::new(text)), bounds)
}

pub fn area(role: Role, path: BezPath, rule: FillRule, fill: PaletteIndex) -> Item {
    let bounds = path.bounding_box();
    item(role, ItemKind::Area(Area { path, rule, fill }), bounds)
}

fn disc(x: f64, y: f64, r: f64) -> BezPath {
    Circle::new((x, y), r).to_path(1e-4)
}

fn ring(r: f64, width: f64) -> BezPath {
    let mut path = disc(0.0, 0.0, r);
    path.extend(disc(0.0, 0.0, r - width));
    path
}

/// A drop with straight, quadratic and cubic parts.
fn drop_shape(r: f64) -> BezPath {
    let mut p = BezPath::new();
    p.move_to((0.0, -r));
    p.quad_to((r, -r * 0.4), (r, r * 0.2));
    p.curve_to((r, r * 0.8), (r * 0.4, r), (0.0, r));
    p.line_to((-r * 0.7, r * 0.7));
    p.curve_to((-r, r * 0.2), (-r * 0.8, -r * 0.5), (0.0, -r));
    p.close_path();
    p
}

fn stops(colours: &[PaletteIndex]) -> Vec<Stop> {
    let last = (colours.len() - 1).max(1) as f64;
    let stop = |(i, &colour): (usize, &PaletteIndex)| Stop { offset: i as f64 / last, colour };
    colours.iter().enumerate().map(stop).collect()
}

fn linear(r: f64, colours: &[PaletteIndex]) -> Paint {
    Paint::Gradient(Arc::new(Gradient {
        ramp: Ramp::Linear { x1: -r * 0.7, y1: -r * 0.7, x2: r * 0.7, y2: r * 0.7 },
        transform: Affine::IDENTITY,
        stops: stops(colours),
    }))
}

fn radial(r: f64, colours: &[PaletteIndex]) -> Paint {
    Paint::Gradient(Arc::new(Gradient {
        ramp: Ramp::Radial { cx: 0.0, cy: 0.0, r, fx: -0.3 * r, fy: -0.3 * r },
        transform: Affine::rotate(0.4) * Affine::scale_non_uniform(1.0, 0.8),
        stops: stops(colours),
    }))
}

/// Moves a colour towards black (below 1) or white (above 1).
fn tone(Rgb(r, g, b): Rgb, share: f64) -> Rgb {
    let one = |v: u8| {
        let v = f64::from(v);
        let moved = if share <= 1.0 { v * share } else { v + (255.0 - v) * (share - 1.0) };
        moved.round() as u8
    };
    Rgb(one(r), one(g), one(b))
}

/// The same symbol with one layer filled in another way.
pub fn repaint(symbol: &mut Symbol, layer: usize, paint: Paint) {
    let mut layers: Vec<Layer> = symbol.layers().collect();
    layers[layer].paint = paint;
    *symbol = Symbol::new(symbol.name.clone(), layers, symbol.bounds, symbol.extent);
}

struct Build {
    faces: Arc<Faces>,
    palette: PaletteBuilder,
    outlines: Vec<Arc<BezPath>>,
    symbols: Vec<Symbol>,
}

impl Build {
    fn new(faces: Arc<Faces>) -> Build {
        Build { faces, palette: palette().0, outlines: Vec::new(), symbols: Vec::new() }
    }

    fn sample(&mut self, rgb: Rgb) -> PaletteIndex {
        self.palette.sample(sample(rgb))
    }

    /// Light or shade of a colour, by rule of thumb.
    fn tone(&mut self, rgb: Rgb, share: f64) -> PaletteIndex {
        self.palette.shade(sample(rgb), Shade::Fixed(tone(rgb, share)))
    }

    fn outline(&mut self, path: BezPath) -> OutlineId {
        self.outlines.push(Arc::new(path));
        OutlineId(self.outlines.len() - 1)
    }

    fn symbol(&mut self, layers: Vec<Layer>, r: f64) -> SymbolId {
        let name = format!("part-{}", self.symbols.len());
        let body = Rect::new(-r, -r, r, r);
        self.symbols.push(Symbol::new(name, layers, body.inflate(0.6, 0.6), body));
        SymbolId(self.symbols.len() - 1)
    }

    fn used(&self, symbol: SymbolId, x: f64, y: f64, scale: f64) -> Item {
        let b = self.symbols[symbol.0].bounds;
        let bounds =
            Rect::new(x + b.x0 * scale, y + b.y0 * scale, x + b.x1 * scale, y + b.y1 * scale);
        item(Role::Sample, ItemKind::Use(Use { symbol, x, y, scale }), bounds)
    }

    fn sheet(self, width: f64, height: f64, bleed: f64, pages: Vec<Page>) -> Sheet {
        Sheet {
            width,
            height,
            bleed,
            about: About {
                title: "Shades & “shapes” <2046>".into(),
                author: "Wrackline Works".into(),
                language: "en-GB".into(),
                issue_date: None,
                year: None,
            },
            faces: self.faces,
            palette: self.palette.finish(),
            outlines: self.outlines,
            symbols: self.symbols,
            images: Vec::new(),
            pages,
        }
    }
}

fn layer(outline: OutlineId, rule: FillRule, paint: Paint, opacity: f64) -> Layer {
    Layer { outline, rule, paint, opacity }
}

/// Two pages of 120 x 90 mm with everything on them; `bleed` in mm.
pub fn sheet(bleed: f64) -> Sheet {
    use FillRule::{EvenOdd, NonZero};
    let faces = faces();
    let mut b = Build::new(Arc::clone(&faces));
    let shadow = b.outline(disc(0.3, 0.4, 6.2));
    let body = b.outline(disc(0.0, 0.0, 6.0));
    let rim = b.outline(ring(6.0, 1.2));
    let mut holes = disc(-1.5, 0.0, 0.8);
    holes.extend(disc(1.5, 0.0, 0.8));
    let holes = b.outline(holes);
    let drop = b.outline(drop_shape(6.0));
    let red = Rgb(0xc2, 0x3b, 0x22);
    let teal = Rgb(0x1f, 0x7a, 0x7a);
    let pearl = Rgb(0xf4, 0xf1, 0xea);
    let button = |b: &mut Build, rgb: Rgb| {
        let [light, dark, low, lowest] = [1.5, 0.6, 0.5, 0.3].map(|share| b.tone(rgb, share));
        let (black, colour) = (b.tone(Rgb(0, 0, 0), 1.0), b.sample(rgb));
        vec![
            layer(shadow, NonZero, Paint::Solid(black), 0.18),
            layer(body, NonZero, Paint::Solid(colour), 1.0),
            layer(rim, EvenOdd, linear(6.0, &[light, colour, dark]), 1.0),
            layer(holes, NonZero, linear(2.0, &[low, lowest]), 0.9),
        ]
    };
    let bead = |b: &mut Build, rgb: Rgb| {
        let [light, dark, edge] = [1.8, 0.5, 0.9].map(|share| b.tone(rgb, share));
        let (black, colour) = (b.tone(Rgb(0, 0, 0), 1.0), b.sample(rgb));
        vec![
            layer(shadow, NonZero, Paint::Solid(black), 0.18),
            layer(drop, NonZero, radial(6.0, &[light, colour, dark]), 1.0),
            layer(rim, EvenOdd, linear(6.0, &[PaletteIndex::PAPER, edge]), 0.35),
        ]
    };
    let layers = button(&mut b, red);
    let red_button = b.symbol(layers, 6.0);
    let layers = bead(&mut b, teal);
    let teal_bead = b.symbol(layers, 6.0);
    let layers = button(&mut b, pearl);
    let pearl_button = b.symbol(layers, 6.0);
    let mut items = vec![area(
        Role::Furniture,
        Rect::new(-bleed, -bleed, 120.0 + bleed, 12.0).to_path(0.1),
        NonZero,
        b.palette.fill(Rgb(0xee, 0xee, 0xee).into()),
    )];
    let t = |face, size, at, turn, i: usize| text(&faces, face, size, at, turn, STRINGS[i]);
    items.push(t(BOLD, 5.0, (8.0, 9.0), Turn::Level, 0));
    items.push(t(ITALIC, 4.0, (8.0, 20.0), Turn::Level, 1));
    items.push(t(CAPS, 4.5, (8.0, 28.0), Turn::Level, 2));
    items.push(t(BARLOW, 3.2, (8.0, 35.0), Turn::Level, 3));
    items.push(t(OLD, 3.4, (70.0, 20.0), Turn::Level, 4));
    items.push(t(BARLOW, 3.4, (6.0, 70.0), Turn::Up, 5));
    items.push(t(BARLOW, 2.2, (60.0, 35.0), Turn::Level, 6));
    items.push(b.used(red_button, 20.0, 52.0, 1.0));
    items.push(b.used(teal_bead, 40.0, 52.0, 1.0));
    items.push(b.used(pearl_button, 60.0, 52.0, 1.25));
    items.push(b.used(red_button, 78.0, 52.0, 0.5));
    items.push(b.used(teal_bead, 100.0, 60.0, 2.4));
    let mut star = BezPath::new();
    for k in 0..5 {
        let angle = f64::from(k) * 4.0 * std::f64::consts::PI / 5.0;
        let p = Point::new(30.0, 76.0) + Vec2::new(angle.sin(), -angle.cos()) * 8.0;
        if k == 0 { star.move_to(p) } else { star.line_to(p) }
    }
    star.close_path();
    items.push(area(Role::Swatch, star.clone(), EvenOdd, b.sample(teal)));
    items.push(area(Role::Swatch, Affine::translate((20.0, 0.0)) * star, NonZero, b.sample(red)));
    let white = disc(50.0, 76.0, 3.0);
    items.push(area(Role::Swatch, white, NonZero, PaletteIndex::PAPER));
    let cut = Rect::new(62.0, 70.0, 112.0, 70.1).to_path(0.1);
    items.push(area(Role::Cut, cut, NonZero, b.palette.fill(Rgb(0x88, 0x88, 0x88).into())));
    let second = vec![
        text(&faces, BOLD, 6.0, (10.0, 20.0), Turn::Level, STRINGS[7]),
        b.used(pearl_button, 60.0, 50.0, 3.0),
    ];
    b.sheet(120.0, 90.0, bleed, vec![Page { items }, Page { items: second }])
}

/// A poster of 610 x 914 mm with 1,200 symbols of 25 layers and 2,400 texts.
pub fn poster() -> Sheet {
    parts(1, 120)
}

/// Twenty such pages: 2,000 colours of ten parts each.
pub fn book() -> Sheet {
    parts(20, 100)
}

/// Pages with `colours` colours each, up to 120, of ten parts.
fn parts(pages: u32, colours: u32) -> Sheet {
    use FillRule::{EvenOdd, NonZero};
    let faces = faces();
    let mut b = Build::new(Arc::clone(&faces));
    // Ten parts of 25 outlines; shadows, rims, insets, holes and highlights.
    let parts: Vec<(f64, Vec<OutlineId>)> = (0..10)
        .map(|p| {
            let r = 4.0 + f64::from(p) * 0.5;
            let outlines = (0..25)
                .map(|k| {
                    let inset = f64::from(k) * 0.07;
                    let path = match k % 4 {
                        0 => disc(0.3 - inset * 0.1, 0.4, r + 0.4 - inset),
                        1 => drop_shape(r - inset),
                        2 => ring(r - inset, 0.4),
                        _ => {
                            let mut holes = disc(-1.2, 0.1, 0.9 - inset * 0.3);
                            holes.extend(disc(1.2, 0.1, 0.9 - inset * 0.3));
                            holes
                        }
                    };
                    b.outline(path)
                })
                .collect();
            (r, outlines)
        })
        .collect();
    let mut items = Vec::new();
    let mut done = Vec::new();
    for i in 0..pages * colours * 10 {
        let (r, outlines) = &parts[(i % 10) as usize];
        let (c, place) = (i / 10, i % (colours * 10));
        if place == 0 && i > 0 {
            done.push(Page { items: std::mem::take(&mut items) });
        }
        // The last term keeps those after 256 apart from those before.
        let red = c * 37 + c / 256 * 11;
        let colour = Rgb((red % 256) as u8, (c * 91 % 256) as u8, (c * 53 % 256) as u8);
        let layers = outlines
            .iter()
            .enumerate()
            .map(|(k, &o)| {
                let share = 0.4 + 0.05 * k as f64;
                let [first, last, light] =
                    [share, share * 0.8, 1.8].map(|share| b.tone(colour, share));
                let colour = b.sample(colour);
                let paint = match k % 5 {
                    0 | 1 => Paint::Solid(first),
                    2 | 3 => linear(*r, &[first, colour, last]),
                    _ => radial(*r, &[light, colour, first]),
                };
                let rule = if k % 4 == 2 { EvenOdd } else { NonZero };
                layer(o, rule, paint, if k % 3 == 0 { 0.25 } else { 1.0 })
            })
            .collect();
        let symbol = b.symbol(layers, *r);
        let (x, y) = (20.0 + f64::from(place % 30) * 19.6, 30.0 + f64::from(place / 30) * 21.5);
        items.push(b.used(symbol, x, y, 1.0));
        let number = format!("{}", 2000 + i);
        items.push(text(&faces, BARLOW, 2.0, (x - 4.0, y + 10.6), Turn::Level, &number));
        let name = format!("Sea Lavender {c}");
        items.push(text(&faces, ITALIC, 2.4, (x + 9.6, y + 7.0), Turn::Up, &name));
    }
    done.push(Page { items });
    b.sheet(610.0, 914.0, 0.0, done)
}
