//! SVG painter: one page as a document of true size, in millimetres.
//!
//! Outlines are once in `<defs>`; a layer is a `<use>` of one with its own
//! fill. Text is text, with a position for every character: under the fonts' real names, and for
//! browsers in embedded subsets of them. Or words are outlines, for those without the fonts.
//!
//! `xlink:href` rather than `href`: every reader knows it, drawing programs
//! included. `fill-opacity` rather than `opacity`: a group costs a common
//! renderer ten times as much.

mod gradients;
mod image;
mod path;
mod text;
mod webfont;
mod xml;

use std::collections::{BTreeMap, BTreeSet};

use ::svg::Document;
use ::svg::node::element::{Element, Title};
use ::svg::node::{Node, Text as Css};

pub use self::webfont::{subset_font, webfonts};

use self::gradients::Gradients;
use self::webfont::Style;
use self::xml::{attribute, clean, end};
use super::fonts::Fonts;
use super::gradient;
use super::images;
use super::number::{factor, length};
use crate::image::Light;
use crate::parallel::in_parallel;
use crate::sheet::{
    Coloured, FillRule, ImageId, ItemKind, Page, Paint, PaletteIndex, PaletteMap, Rgb, Role, Sheet,
    Symbol, SymbolId, Use,
};

/// What words are in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Words {
    /// Text, to be searched and edited.
    #[default]
    Text,
    /// Paths, which look the same without any fonts.
    Outlines,
}

/// The parts of a page as text: what pages of sheets with the same parts share (see
/// [`Identity::parts`](crate::sheet::identity::Identity::parts)).
#[derive(Default)]
pub struct Drawings {
    gradients: Gradients,
    /// The outlines that are used, by index.
    outlines: BTreeSet<usize>,
    /// The images, each as an element.
    images: BTreeMap<ImageId, String>,
    /// Layers of the symbols.
    symbols: BTreeMap<SymbolId, String>,
    /// The whole of `<defs>`, once all is in it.
    definitions: Option<String>,
}

/// An outline as path data, to a micrometre.
pub fn path_data(outline: &kurbo::BezPath) -> String {
    let mut out = String::new();
    path::data(&mut out, outline);
    out
}

/// Paints page number `page` (from 0); with bleed the picture grows to the
/// bleed box. A page that does not exist is painted empty.
pub fn svg(painted: Coloured<'_, Rgb>, page: usize) -> Vec<u8> {
    svg_again(painted, page, Words::Text, &mut Drawings::default())
}

/// The same, with the drawings of this page of a sheet with the same parts; of none, they are
/// made for the next.
pub fn svg_again(
    painted: Coloured<'_, Rgb>,
    page: usize,
    words: Words,
    drawings: &mut Drawings,
) -> Vec<u8> {
    written(painted, page, (words, true), drawings)
}

/// A page without the paper under it, to be laid over others.
pub fn svg_over(painted: Coloured<'_, Rgb>, page: usize) -> Vec<u8> {
    written(painted, page, (Words::Text, false), &mut Drawings::default())
}

fn written(
    Coloured { sheet, colours }: Coloured<'_, Rgb>,
    page: usize,
    (words, on_paper): (Words, bool),
    drawings: &mut Drawings,
) -> Vec<u8> {
    let none = Page::default();
    let page = sheet.pages.get(page).unwrap_or(&none);
    let fonts = match words {
        Words::Text => Fonts::collect(&sheet.faces, [page]),
        Words::Outlines => Fonts::default(),
    };
    let faces = webfont::embed(sheet, &fonts);
    let mut painter = Painter {
        sheet,
        colours,
        fonts: &fonts,
        styles: &faces.styles,
        uses: uses(page),
        drawings,
    };
    painter.images(page);
    let groups = painter.groups(page);
    let mut document = painter.document();
    document.append(Title::new(clean(&sheet.about.title)));
    if !faces.css.is_empty() {
        let mut style = Element::new("style");
        style.append(Css::new(faces.css));
        document.append(style);
    }
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out.push_str(document.to_string().trim_end_matches("</svg>"));
    drop(document);
    out.push_str(painter.definitions());
    if on_paper {
        paper(&mut out, sheet, colours);
    }
    out.push_str(&groups);
    out.push_str("</svg>\n");
    out.into_bytes()
}

/// The paper, bleed included.
fn paper(out: &mut String, sheet: &Sheet, colours: &PaletteMap<Rgb>) {
    let bleed = sheet.bleed;
    out.push_str("<rect fill=\"");
    colours.of(PaletteIndex::PAPER).push_hex(out);
    out.push('"');
    attribute(out, "height", length(sheet.height + 2.0 * bleed));
    attribute(out, "width", length(sheet.width + 2.0 * bleed));
    attribute(out, "x", length(-bleed));
    attribute(out, "y", length(-bleed));
    out.push_str("/>\n");
}

fn uses(page: &Page) -> BTreeMap<SymbolId, usize> {
    let mut uses = BTreeMap::new();
    for item in &page.items {
        if let ItemKind::Use(used) = &item.kind {
            *uses.entry(used.symbol).or_default() += 1;
        }
    }
    uses
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
    colours: &'a PaletteMap<Rgb>,
    fonts: &'a Fonts,
    /// Of each font; none where words are outlines.
    styles: &'a [Style],
    /// How often each symbol is on the page.
    uses: BTreeMap<SymbolId, usize>,
    drawings: &'a mut Drawings,
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
    fn groups(&mut self, page: &Page) -> String {
        let mut out = String::new();
        for run in page.items.chunk_by(|a, b| a.role == b.role) {
            out.push_str("<g");
            attribute(&mut out, "class", role_class(run[0].role));
            out.push_str(">\n");
            for item in run {
                match &item.kind {
                    ItemKind::Area(area) => {
                        out.push_str("<path d=\"");
                        path::data(&mut out, &area.path);
                        out.push_str("\" fill=\"");
                        self.colours.of(area.fill).push_hex(&mut out);
                        out.push('"');
                        ruled(&mut out, area.rule);
                        out.push_str("/>\n");
                    }
                    ItemKind::Use(used) => self.symbol(&mut out, used),
                    ItemKind::Image(used) => {
                        out.push_str("<use");
                        placed(&mut out, (used.x, used.y), used.scale);
                        attribute(&mut out, "xlink:href", format_args!("#i{}", used.image.0));
                        out.push_str("/>\n");
                    }
                    ItemKind::Text(text) => {
                        let style = self.fonts.of(text).and_then(|i| self.styles.get(i));
                        let face = &self.sheet.faces[text.face];
                        let fill = self.colours.of(text.fill);
                        match style {
                            Some(style) => text::element(&mut out, text, fill, face, style),
                            None => text::outlines(&mut out, text, fill, face),
                        }
                    }
                }
            }
            out.push_str("</g>\n");
        }
        out
    }

    /// A symbol that is on the page once is drawn in its place, others
    /// are drawn in `<defs>` and referred to.
    fn symbol(&mut self, out: &mut String, used: &Use) {
        let sheet = self.sheet;
        let Some(symbol) = sheet.symbols.get(used.symbol.0) else {
            out.push_str("<g/>\n");
            return;
        };
        let once = self.uses.get(&used.symbol) == Some(&1);
        out.push_str(if once { "<g" } else { "<use" });
        placed(out, (used.x, used.y), used.scale);
        if !self.drawings.symbols.contains_key(&used.symbol) {
            let layers = self.layers(symbol);
            self.drawings.symbols.insert(used.symbol, layers);
        }
        if once {
            end(out, "g", &self.drawings.symbols[&used.symbol]);
            return;
        }
        attribute(out, "xlink:href", format_args!("#s{}", used.symbol.0));
        out.push_str("/>\n");
    }

    /// Makes the elements of all images on a page that are not made yet.
    fn images(&mut self, page: &Page) {
        let Painter { sheet, colours, .. } = *self;
        let wanted: Vec<(ImageId, f64)> = images::scales([page])
            .into_iter()
            .filter(|(id, _)| !self.drawings.images.contains_key(id))
            .collect();
        let light = Light::default();
        let made = in_parallel(&wanted, |(id, scale)| {
            let image = sheet.images.get(id.0)?;
            let mut pixels = images::printed(image, *scale, &light)?;
            if let Some(changes) = image.changes(colours) {
                images::recolour(&mut pixels, &changes);
            }
            Some(image::element(*id, image.frame, &pixels))
        });
        let elements = wanted.iter().zip(made).map(|((id, _), e)| (*id, e.unwrap_or_default()));
        self.drawings.images.extend(elements);
    }

    fn layers(&mut self, symbol: &Symbol) -> String {
        let mut out = String::new();
        for layer in symbol.layers() {
            let index = layer.outline.0;
            if index >= self.sheet.outlines.len() {
                continue;
            }
            self.drawings.outlines.insert(index);
            let solid = match &layer.paint {
                Paint::Solid(fill) => Ok(*fill),
                Paint::Gradient(gradient) => gradient::flat(gradient).ok_or(gradient),
            };
            out.push_str("<use");
            match solid {
                Ok(fill) => {
                    out.push_str(" fill=\"");
                    self.colours.of(fill).push_hex(&mut out);
                    out.push('"');
                }
                Err(gradient) => {
                    let index = self.drawings.gradients.index(gradient, self.colours);
                    attribute(&mut out, "fill", format_args!("url(#g{index})"));
                }
            }
            if layer.opacity < 1.0 {
                attribute(&mut out, "fill-opacity", length(layer.opacity.max(0.0)));
            }
            ruled(&mut out, layer.rule);
            attribute(&mut out, "xlink:href", format_args!("#o{index}"));
            out.push_str("/>\n");
        }
        out
    }

    fn definitions(&mut self) -> &str {
        let made = self.drawings.definitions.take().unwrap_or_else(|| self.define());
        self.drawings.definitions.insert(made)
    }

    /// Outlines, gradients and the symbols that are on the page several times.
    fn define(&self) -> String {
        let Drawings { gradients, outlines, images, symbols, .. } = &*self.drawings;
        let several = |id: &SymbolId| self.uses.get(id).is_some_and(|n| *n > 1);
        let symbols: Vec<_> = symbols.iter().filter(|(id, _)| several(id)).collect();
        if outlines.is_empty() && symbols.is_empty() && images.is_empty() {
            return String::from("<defs/>\n");
        }
        let mut out = String::from("<defs>\n");
        for &index in outlines {
            out.push_str("<path d=\"");
            path::data(&mut out, &self.sheet.outlines[index]);
            out.push('"');
            attribute(&mut out, "id", format_args!("o{index}"));
            out.push_str("/>\n");
        }
        images.values().for_each(|element| out.push_str(element));
        out.push_str(gradients.elements());
        for (id, layers) in symbols {
            out.push_str("<g");
            attribute(&mut out, "id", format_args!("s{}", id.0));
            end(&mut out, "g", layers);
        }
        out.push_str("</defs>\n");
        out
    }
}

/// Where something is on the page, and how large.
fn placed(out: &mut String, (x, y): (f64, f64), scale: f64) {
    let (x, y) = (length(x), length(y));
    if scale == 1.0 {
        attribute(out, "transform", format_args!("translate({x} {y})"));
    } else {
        let scale = factor(scale);
        attribute(out, "transform", format_args!("translate({x} {y}) scale({scale})"));
    }
}

fn ruled(out: &mut String, rule: FillRule) {
    if rule == FillRule::EvenOdd {
        attribute(out, "fill-rule", "evenodd");
    }
}
