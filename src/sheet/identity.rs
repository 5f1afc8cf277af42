//! What a positioned sheet draws in its colours, as digests: equal digests, equal drawings.
//!
//! Files and strips of pixels are known by them, so that what has not changed
//! need not be drawn again.

use kurbo::{BezPath, PathEl, Point, Rect};
use sha2::{Digest as _, Sha256};

use super::coloured::Coloured;
use super::item::*;
use super::palette::{PaletteEntry, PaletteIndex, PaletteMap, Written};

/// 128 bits of a SHA-256: chance does not make two alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Digest(pub [u8; 16]);

impl Digest {
    /// Lower-case hexadecimal.
    pub fn hex(&self) -> String {
        self.0.iter().map(|b| format!("{b:02x}")).collect()
    }

    /// Reads what [`Digest::hex`] writes.
    pub fn parse(text: &str) -> Option<Digest> {
        let digits = text.is_ascii() && text.len() == 32;
        let byte = |i: usize| u8::from_str_radix(&text[2 * i..2 * i + 2], 16).ok();
        let mut out = [0; 16];
        for (i, b) in out.iter_mut().enumerate().filter(|_| digits) {
            *b = byte(i)?;
        }
        digits.then_some(Digest(out))
    }
}

/// Takes what a drawing is made of, piece by piece.
pub struct Digester(Sha256);

impl Digester {
    /// One for things of a kind.
    pub fn new(kind: &str) -> Digester {
        let mut digester = Digester(Sha256::new());
        digester.text(kind);
        digester
    }

    /// A count or a code.
    pub fn number(&mut self, n: u64) {
        self.0.update(n.to_le_bytes());
    }

    /// A length or a share.
    pub fn real(&mut self, v: f64) {
        self.number(v.to_bits());
    }

    /// A text, with its length so that two cannot run together.
    pub fn text(&mut self, text: &str) {
        self.bytes(text.as_bytes());
    }

    /// Bytes, with their length.
    pub fn bytes(&mut self, bytes: &[u8]) {
        self.number(bytes.len() as u64);
        self.0.update(bytes);
    }

    /// The digest of a part.
    pub fn digest(&mut self, part: &Digest) {
        self.0.update(part.0);
    }

    /// The digest of it all.
    pub fn done(self) -> Digest {
        let mut out = [0; 16];
        out.copy_from_slice(&self.0.finalize()[..16]);
        Digest(out)
    }
}

/// The digests of a sheet.
pub struct Identity {
    /// Of everything that a file of the whole sheet shows or says.
    pub whole: Digest,
    /// Of the parts that are drawn, their symbols in the order of their uses on each page, and
    /// of the fonts. Sheets that are alike in these differ in words, lines and places alone.
    pub parts: Digest,
    /// Of each item, by page.
    pub items: Vec<Vec<Digest>>,
}

impl Identity {
    /// Works them out.
    pub fn of<C: Written>(painted: Coloured<'_, C>) -> Identity {
        let sheet = painted.sheet;
        let fills = fills(painted);
        let faces: Vec<Digest> = sheet.faces.iter().map(|(_, f)| digest_of(f.bytes())).collect();
        let outlines: Vec<Digest> = sheet.outlines.iter().map(|o| of_path(o)).collect();
        let symbols: Vec<Digest> =
            sheet.symbols.iter().map(|s| of_symbol(s, &outlines, &fills)).collect();
        let images: Vec<Digest> = sheet.images.iter().map(|i| of_image(i, &fills)).collect();
        let used = Used { symbols: &symbols, images: &images, faces: &faces };
        let item = |item: &Item| of_item(item, &used, &fills);
        let items: Vec<Vec<Digest>> =
            sheet.pages.iter().map(|page| page.items.iter().map(item).collect()).collect();
        let mut whole = Digester::new("sheet");
        [sheet.width, sheet.height, sheet.bleed].into_iter().for_each(|v| whole.real(v));
        let About { title, author, language, .. } = &sheet.about;
        [title, author, language].into_iter().for_each(|t| whole.text(t));
        whole.text(&sheet.about.date().to_string());
        symbols.iter().chain(&images).for_each(|s| whole.digest(s));
        for page in &items {
            whole.number(page.len() as u64);
            page.iter().for_each(|i| whole.digest(i));
        }
        Identity { whole: whole.done(), parts: of_parts(sheet, &used), items }
    }
}

/// The digests of what items name.
struct Used<'a> {
    symbols: &'a [Digest],
    images: &'a [Digest],
    faces: &'a [Digest],
}

fn of_parts(sheet: &Sheet, used: &Used<'_>) -> Digest {
    let mut digester = Digester::new("parts");
    [sheet.width, sheet.height, sheet.bleed].into_iter().for_each(|v| digester.real(v));
    for digests in [used.symbols, used.images, used.faces] {
        digester.number(digests.len() as u64);
        digests.iter().for_each(|d| digester.digest(d));
    }
    for page in &sheet.pages {
        digester.text("page");
        for item in &page.items {
            match &item.kind {
                ItemKind::Use(used) => digester.number(used.symbol.0 as u64),
                ItemKind::Image(used) => {
                    digester.text("image");
                    digester.number(used.image.0 as u64);
                    digester.real(used.scale);
                }
                ItemKind::Area(_) | ItemKind::Text(_) => {}
            }
        }
    }
    digester.done()
}

/// Of an outline or symbol that the sheet lacks: nothing is drawn for it.
const NONE: Digest = Digest([0; 16]);

fn digest_of(bytes: &[u8]) -> Digest {
    let mut digester = Digester::new("bytes");
    digester.bytes(bytes);
    digester.done()
}

fn of_path(path: &BezPath) -> Digest {
    let mut digester = Digester::new("path");
    add_path(&mut digester, path);
    digester.done()
}

fn add_path(digester: &mut Digester, path: &BezPath) {
    digester.number(path.elements().len() as u64);
    let mut add = |code: u64, points: &[Point]| {
        digester.number(code);
        points.iter().for_each(|p| {
            digester.real(p.x);
            digester.real(p.y);
        });
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => add(0, &[p]),
            PathEl::LineTo(p) => add(1, &[p]),
            PathEl::QuadTo(a, p) => add(2, &[a, p]),
            PathEl::CurveTo(a, b, p) => add(3, &[a, b, p]),
            PathEl::ClosePath => add(4, &[]),
        }
    }
}

/// What entries of a palette are painted as, each as a number.
type Fills = PaletteMap<u64>;

/// An ink of the page is not a part in the same colour: a press may print it over what lies below.
fn fills<C: Written>(Coloured { sheet, colours }: Coloured<'_, C>) -> Fills {
    colours.with(&sheet.palette, |entry, colour| {
        let (space, channels) = colour.written();
        let ink = u8::from(matches!(entry, PaletteEntry::Ink(_)));
        let [a, b, c, d] = channels;
        u64::from_be_bytes([0, 0, ink, space, a, b, c, d])
    })
}

fn add_fill(digester: &mut Digester, fills: &Fills, fill: PaletteIndex) {
    digester.number(fills.of(fill));
}

fn of_symbol(symbol: &Symbol, outlines: &[Digest], fills: &Fills) -> Digest {
    let mut digester = Digester::new("symbol");
    digester.text(&symbol.name);
    for layer in symbol.layers() {
        digester.digest(outlines.get(layer.outline.0).unwrap_or(&NONE));
        digester.number(layer.rule as u64);
        digester.real(layer.opacity);
        match &layer.paint {
            Paint::Solid(fill) => {
                digester.number(0);
                add_fill(&mut digester, fills, *fill);
            }
            Paint::Gradient(gradient) => add_gradient(&mut digester, gradient, fills),
        }
    }
    digester.done()
}

fn add_gradient(digester: &mut Digester, gradient: &Gradient, fills: &Fills) {
    let (kind, values) = match gradient.ramp {
        Ramp::Linear { x1, y1, x2, y2 } => (1, vec![x1, y1, x2, y2]),
        Ramp::Radial { cx, cy, r, fx, fy } => (2, vec![cx, cy, r, fx, fy]),
    };
    digester.number(kind);
    values.into_iter().for_each(|v| digester.real(v));
    gradient.transform.as_coeffs().into_iter().for_each(|v| digester.real(v));
    digester.number(gradient.stops.len() as u64);
    for stop in &gradient.stops {
        digester.real(stop.offset);
        add_fill(digester, fills, stop.colour);
    }
}

/// An image: its file, how large it is, and what its colours are painted as.
fn of_image(image: &SheetImage, fills: &Fills) -> Digest {
    let mut digester = Digester::new("image");
    digester.bytes(&image.image.digest);
    let Rect { x0, y0, x1, y1 } = image.frame;
    [x0, y0, x1, y1].into_iter().for_each(|v| digester.real(v));
    image.fills().for_each(|fill| add_fill(&mut digester, fills, fill));
    digester.done()
}

fn of_item(item: &Item, of: &Used<'_>, fills: &Fills) -> Digest {
    let mut digester = Digester::new("item");
    digester.number(item.role as u64);
    digester.text(item.origin.as_deref().unwrap_or_default());
    match &item.kind {
        ItemKind::Area(area) => {
            digester.number(0);
            digester.number(area.rule as u64);
            add_fill(&mut digester, fills, area.fill);
            add_path(&mut digester, &area.path);
        }
        ItemKind::Use(used) => {
            digester.number(1);
            digester.digest(of.symbols.get(used.symbol.0).unwrap_or(&NONE));
            [used.x, used.y, used.scale].into_iter().for_each(|v| digester.real(v));
        }
        ItemKind::Image(used) => {
            digester.number(3);
            digester.digest(of.images.get(used.image.0).unwrap_or(&NONE));
            [used.x, used.y, used.scale].into_iter().for_each(|v| digester.real(v));
        }
        ItemKind::Text(text) => {
            digester.number(2);
            digester.digest(of.faces.get(text.face.0).unwrap_or(&NONE));
            digester.text(&text.string);
            [text.size, text.x, text.y, text.advance].into_iter().for_each(|v| digester.real(v));
            digester.number(text.turn as u64);
            add_fill(&mut digester, fills, text.fill);
            for glyph in &text.glyphs {
                digester.number(glyph.id.into());
                digester.real(glyph.x);
            }
        }
    }
    digester.done()
}
