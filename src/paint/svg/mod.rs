//! SVG painter: one page as a document of true size, in millimetres.
//!
//! Outlines stand once in `<defs>`; a layer is a `<use>` of one with its own
//! fill. Text is text, in embedded subsets of the fonts, with a position for
//! every character that would not fall into place by itself.
//!
//! `xlink:href` rather than `href`: every reader knows it, drawing programs
//! included. `fill-opacity` rather than `opacity`: a group costs a common
//! renderer ten times as much.

mod gradients;
mod path;
mod text;
mod webfont;

use std::collections::BTreeMap;

use ::svg::Document;
use ::svg::node::element::{Definitions, Element, Group, Title};
use ::svg::node::{Node, Text as Words};

pub use self::webfont::webfonts;

use self::gradients::Gradients;
use super::fonts::Fonts;
use super::gradient;
use super::number::{factor, length};
use crate::sheet::{FillRule, Kind, Page, Paint, Rgb, Role, Sheet, Symbol, SymbolId, Use};

/// Paints page number `page` (from 0); with bleed the picture grows to the
/// bleed box. A page that does not exist is painted empty.
pub fn svg(sheet: &Sheet, page: usize) -> Vec<u8> {
    let none = Page::default();
    let page = sheet.pages.get(page).unwrap_or(&none);
    let fonts = Fonts::collect(&sheet.faces, [page]);
    let faces = webfont::embed(sheet, &fonts);
    let mut painter = Painter {
        sheet,
        fonts: &fonts,
        families: &faces.families,
        gradients: Gradients::default(),
        outlines: BTreeMap::new(),
        uses: uses(page),
        symbols: BTreeMap::new(),
    };
    let groups = painter.groups(page);
    let mut document = painter.document();
    document.append(Title::new(clean(&sheet.about.title)));
    if !faces.css.is_empty() {
        document.append(Element::new("style").add(Words::new(faces.css)));
    }
    document.append(painter.definitions());
    let bleed = sheet.bleed;
    document.append(
        Element::new("rect")
            .put("x", length(-bleed))
            .put("y", length(-bleed))
            .put("width", length(sheet.width + 2.0 * bleed))
            .put("height", length(sheet.height + 2.0 * bleed))
            .put("fill", Rgb::WHITE.hex()),
    );
    groups.into_iter().for_each(|g| document.append(g));
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out.push_str(&document.to_string());
    out.push('\n');
    out.into_bytes()
}

fn uses(page: &Page) -> BTreeMap<SymbolId, usize> {
    let mut uses = BTreeMap::new();
    for item in &page.items {
        if let Kind::Use(used) = &item.kind {
            *uses.entry(used.symbol).or_default() += 1;
        }
    }
    uses
}

/// Chained attributes and children for plain elements.
trait Put: Sized {
    fn put(self, name: &str, value: impl Into<::svg::node::Value>) -> Self;
    fn add(self, node: impl Into<Box<dyn Node>>) -> Self;
}

impl Put for Element {
    fn put(mut self, name: &str, value: impl Into<::svg::node::Value>) -> Element {
        self.assign(name, value);
        self
    }
    fn add(mut self, node: impl Into<Box<dyn Node>>) -> Element {
        self.append(node);
        self
    }
}

/// Characters that XML 1.0 does not allow (2.2, production 2) become U+FFFD;
/// the svg crate escapes the rest.
fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' | '\n' | '\r' | '\u{FFFE}' | '\u{FFFF}' => '\u{FFFD}',
            c if c < ' ' => '\u{FFFD}',
            c => c,
        })
        .collect()
}

fn role_class(role: Role) -> &'static str {
    match role {
        Role::Sample => "sample",
        Role::Swatch => "swatch",
        Role::Label => "label",
        Role::Cut => "cut",
        Role::Furniture => "furniture",
    }
}

struct Painter<'a> {
    sheet: &'a Sheet,
    fonts: &'a Fonts,
    families: &'a [String],
    gradients: Gradients,
    /// Path data of the outlines that are used, by index.
    outlines: BTreeMap<usize, String>,
    /// How often each symbol stands on the page.
    uses: BTreeMap<SymbolId, usize>,
    /// Layers of the symbols that are used several times.
    symbols: BTreeMap<SymbolId, Vec<Element>>,
}

impl Painter<'_> {
    fn document(&self) -> Document {
        let (sheet, bleed) = (self.sheet, self.sheet.bleed);
        let (width, height) = (sheet.width + 2.0 * bleed, sheet.height + 2.0 * bleed);
        let (w, h, corner) = (length(width), length(height), length(-bleed));
        Document::new()
            .set("xmlns:xlink", "http://www.w3.org/1999/xlink")
            .set("version", "1.1")
            .set("width", format!("{w}mm"))
            .set("height", format!("{h}mm"))
            .set("viewBox", format!("{corner} {corner} {w} {h}"))
            .set("xml:lang", clean(&sheet.about.language))
    }

    /// Neighbours of one role share a group, so the painting order stays.
    fn groups(&mut self, page: &Page) -> Vec<Group> {
        let mut groups = Vec::new();
        for run in page.items.chunk_by(|a, b| a.role == b.role) {
            let mut group = Group::new().set("class", role_class(run[0].role));
            for item in run {
                match &item.kind {
                    Kind::Area(area) => {
                        let element = Element::new("path").put("d", path::data(&area.path));
                        group.append(ruled(element.put("fill", area.fill.hex()), area.rule));
                    }
                    Kind::Use(used) => group.append(self.symbol(used)),
                    Kind::Text(text) => {
                        let family = self.fonts.of(text).and_then(|i| self.families.get(i));
                        group.append(text::element(
                            text,
                            &self.sheet.faces[text.face],
                            family.map_or("serif", String::as_str),
                        ));
                    }
                }
            }
            groups.push(group);
        }
        groups
    }

    /// A symbol that stands on the page once is drawn in its place, others
    /// are drawn in `<defs>` and referred to.
    fn symbol(&mut self, used: &Use) -> Element {
        let mut placed = format!("translate({} {})", length(used.x), length(used.y));
        if used.scale != 1.0 {
            placed.push_str(&format!(" scale({})", factor(used.scale)));
        }
        let sheet = self.sheet;
        let Some(symbol) = sheet.symbols.get(used.symbol.0) else { return Element::new("g") };
        if self.uses.get(&used.symbol) == Some(&1) {
            let group = Element::new("g").put("transform", placed);
            return self.layers(symbol).into_iter().fold(group, Put::add);
        }
        if !self.symbols.contains_key(&used.symbol) {
            let layers = self.layers(symbol);
            self.symbols.insert(used.symbol, layers);
        }
        Element::new("use")
            .put("xlink:href", format!("#s{}", used.symbol.0))
            .put("transform", placed)
    }

    fn layers(&mut self, symbol: &Symbol) -> Vec<Element> {
        let mut layers = Vec::new();
        for layer in &symbol.layers {
            let index = layer.outline.0;
            let Some(outline) = self.sheet.outlines.get(index) else { continue };
            self.outlines.entry(index).or_insert_with(|| path::data(outline));
            let fill = match &layer.paint {
                Paint::Solid(rgb) => rgb.hex(),
                Paint::Gradient(gradient) => match gradient::flat(gradient) {
                    Some(rgb) => rgb.hex(),
                    None => self.gradients.fill(gradient),
                },
            };
            let mut element =
                Element::new("use").put("xlink:href", format!("#o{index}")).put("fill", fill);
            if layer.opacity < 1.0 {
                element = element.put("fill-opacity", length(layer.opacity.max(0.0)));
            }
            layers.push(ruled(element, layer.rule));
        }
        layers
    }

    fn definitions(&mut self) -> Definitions {
        let mut defs = Definitions::new();
        for (index, data) in std::mem::take(&mut self.outlines) {
            let path = Element::new("path").put("id", format!("o{index}")).put("d", data);
            defs.append(path);
        }
        self.gradients.take().into_iter().for_each(|g| defs.append(g));
        for (id, layers) in std::mem::take(&mut self.symbols) {
            let group = Element::new("g").put("id", format!("s{}", id.0));
            defs.append(layers.into_iter().fold(group, Put::add));
        }
        defs
    }
}

fn ruled(element: Element, rule: FillRule) -> Element {
    match rule {
        FillRule::NonZero => element,
        FillRule::EvenOdd => element.put("fill-rule", "evenodd"),
    }
}
