//! From the file's text to a small, safe SVG text whose drawn elements all
//! have ids, and the class words of each id.
//!
//! Uses are written out in full here, so that the SVG library sees neither
//! references that can nest nor symbols; chains of clip paths and masks are
//! followed first, and what the library cannot be trusted with (patterns,
//! entities, deep nesting) never reaches it.

mod copies;
mod dashes;
mod definitions;
mod words;

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use usvg::roxmltree::{Document, Node, ParsingOptions};

use crate::diag::{Diagnostic, Span};
use crate::limits::{self, Limits};
use crate::read::Finish;

use super::broken::{MAX_DEPTH, broken, most_nodes, simplify, too_deep, without_type};
use super::refused::{self, Refused};
use super::shape::{LayerRole, whole};
use super::styles::Styles;

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";
/// Bytes of all style sheets in a drawing.
const MAX_CSS: usize = 1 << 16;
/// How many times larger than a file may be a drawing may get when its copies are written out.
const MOST_COPIED: usize = 4;
/// Rules times elements.
const MAX_MATCHES: usize = 2_000_000;

/// The words of a class that mean something here, inherited from groups.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Words {
    pub role: Option<LayerRole>,
    pub fixed: bool,
    /// Empty for all.
    pub finishes: Vec<Finish>,
}

/// The safe text and what its ids mean.
#[derive(Debug)]
pub(super) struct Rewritten {
    pub svg: String,
    pub words: BTreeMap<String, (Words, Range<usize>)>,
}

/// Checks a file and rewrites it.
pub(super) fn rewrite(
    file: &Arc<Path>,
    text: &str,
    limits: Limits,
) -> Result<Rewritten, Vec<Diagnostic>> {
    if text.len() > limits.most(limits::DRAWING) {
        let most = limits.megabytes(limits::DRAWING);
        let message = format!("the shape file is larger than {most} MB");
        return Err(vec![whole(file, "shape-too-large", message).help(simplify(limits))]);
    }
    let nodes_limit = most_nodes(limits);
    let options = ParsingOptions { allow_dtd: false, nodes_limit, ..ParsingOptions::default() };
    let untyped = without_type(text).map_or(Cow::Borrowed(text), Cow::Owned);
    let doc = Document::parse_with_options(&untyped, options)
        .map_err(|e| vec![broken(file, text, &e.to_string(), e.pos(), limits)])?;
    let css: String = doc
        .descendants()
        .filter(|n| n.has_tag_name("style") || n.has_tag_name((SVG, "style")))
        .flat_map(|n| n.children().filter_map(|c| c.text()))
        .collect();
    too_many_rules(file, &doc, &css)?;

    let mut writer = Writer::new((file, text), &doc, &css, limits);
    let root = doc.root_element();
    if root.tag_name().name() != "svg" {
        let d = writer.at(root, "shape-broken", "the file is not an SVG drawing");
        return Err(vec![d.help("save the drawing as SVG (plain SVG, not compressed)")]);
    }
    if let Some((node, pieces)) = dashes::most(&doc, &writer.styles)
        && pieces > dashes::MOST
    {
        let message =
            format!("the longest line has about {pieces:.0} dashes, more than {:.0}", dashes::MOST);
        let d = writer.at(node, "shape-too-large", message);
        return Err(vec![d.help("make the dashes longer, or draw the line without dashes")]);
    }
    writer.chains(root);
    if writer.errors.is_empty() {
        writer.element(root, &Words::default(), 0, false);
    }
    writer.errors.extend(refused::reported(file, text, &writer.refused));
    if writer.errors.is_empty() {
        Ok(Rewritten { svg: writer.out, words: writer.words })
    } else {
        Err(writer.errors)
    }
}

fn is_definition(node: Node<'_, '_>) -> bool {
    matches!(node.tag_name().name(), "linearGradient" | "radialGradient" | "clipPath" | "mask")
}

/// Branches of a switch for some program alone come first, the one for all others after them.
fn is_for_all(node: &Node<'_, '_>) -> bool {
    node.is_element()
        && !node.has_attribute("requiredExtensions")
        && node.attribute("systemLanguage").is_none_or(|l| l.starts_with("en"))
        && !node.has_tag_name((SVG, "foreignObject"))
}

/// Every rule is held against every element.
fn too_many_rules(file: &Arc<Path>, doc: &Document<'_>, css: &str) -> Result<(), Vec<Diagnostic>> {
    let tests = css.matches('{').count() * doc.descendants().count();
    let message = if css.len() > MAX_CSS {
        format!("the style sheets in the drawing are larger than {} kB", MAX_CSS >> 10)
    } else if tests > MAX_MATCHES {
        format!(
            "the rules in the drawing's style sheets, times its elements, are more than {MAX_MATCHES}"
        )
    } else {
        return Ok(());
    };
    Err(vec![
        whole(file, "shape-too-large", message)
            .help("save as plain SVG with the colours in the paths themselves"),
    ])
}

struct Writer<'a, 'i> {
    file: &'a Arc<Path>,
    text: &'a str,
    limits: Limits,
    ids: BTreeMap<&'a str, Node<'a, 'i>>,
    css: &'a str,
    styles: Styles<'a>,
    out: String,
    words: BTreeMap<String, (Words, Range<usize>)>,
    used: BTreeSet<String>,
    /// Gradients, clip paths and masks that are written, by their numbers in the document.
    defined: BTreeSet<u32>,
    next: usize,
    written: u32,
    /// No more is written.
    is_full: bool,
    /// The class words of elements that were read, by their numbers in the document.
    classes: BTreeMap<u32, Words>,
    errors: Vec<Diagnostic>,
    refused: Vec<Refused>,
}

impl<'a, 'i> Writer<'a, 'i> {
    fn new(
        (file, text): (&'a Arc<Path>, &'a str),
        doc: &'a Document<'i>,
        css: &'a str,
        limits: Limits,
    ) -> Writer<'a, 'i> {
        let mut ids = BTreeMap::new();
        for node in doc.descendants().filter(Node::is_element) {
            if let Some(id) = node.attribute("id") {
                ids.entry(id).or_insert(node);
            }
        }
        Writer {
            file,
            text,
            limits,
            ids,
            css,
            styles: Styles::new(css),
            out: String::with_capacity(text.len() + 1024),
            words: BTreeMap::new(),
            used: BTreeSet::new(),
            defined: BTreeSet::new(),
            next: 0,
            written: 0,
            is_full: false,
            classes: BTreeMap::new(),
            errors: Vec::new(),
            refused: Vec::new(),
        }
    }

    /// The start tag alone: a whole element would be a long quotation.
    fn start_tag(&self, node: Node<'_, '_>) -> Range<usize> {
        let range = node.range();
        let end = self.text[range.clone()].find('>').map_or(range.end, |i| range.start + i + 1);
        range.start..end
    }

    fn at(&self, node: Node<'_, '_>, code: &'static str, message: impl Into<String>) -> Diagnostic {
        let range = self.start_tag(node);
        Diagnostic::error(code, message).at(Some(Span { file: self.file.clone(), range }))
    }

    fn push(&mut self, d: Diagnostic) {
        if self.errors.len() < 50 && !self.errors.contains(&d) {
            self.errors.push(d);
        }
    }

    fn refuse(&mut self, node: Node<'_, '_>, tag: &str) {
        let refused = Refused::kind(tag, self.start_tag(node));
        if !self.refused.contains(&refused) {
            self.refused.push(refused);
        }
    }

    fn count(&mut self) -> bool {
        self.written += 1;
        let most_nodes = most_nodes(self.limits);
        if self.written == most_nodes + 1 {
            let d = whole(
                self.file,
                "shape-broken",
                format!("The drawing has more than {most_nodes} elements."),
            )
            .help(simplify(self.limits));
            self.push(d);
        }
        let most = self.limits.most(limits::DRAWING).saturating_mul(MOST_COPIED);
        if self.out.len() > most {
            if !self.is_full {
                let message = format!(
                    "the drawing is larger than {} MB once its copies are written out",
                    self.limits.megabytes(limits::DRAWING) * MOST_COPIED
                );
                let d = whole(self.file, "shape-too-large", message);
                self.push(d.help(simplify(self.limits)));
            }
            self.is_full = true;
        }
        self.written <= most_nodes && !self.is_full
    }

    fn element(&mut self, node: Node<'a, 'i>, inherited: &Words, depth: usize, copied: bool) {
        let namespace = node.tag_name().namespace();
        if !node.is_element() || namespace.is_some_and(|n| n != SVG) || !self.count() {
            return;
        }
        if depth > MAX_DEPTH {
            self.push(too_deep(self.file, node.range()));
            return;
        }
        let tag = node.tag_name().name();
        if is_definition(node) {
            return self.definition(node, depth);
        }
        if self.styles.hidden(node) {
            return;
        }
        match tag {
            "svg" | "g" | "a" => self.group(node, inherited, depth, copied),
            "switch" => {
                if let Some(branch) = node.children().find(is_for_all) {
                    self.element(branch, inherited, depth + 1, copied);
                }
            }
            "defs" => {
                let is_used = |child: &Node<'_, '_>| {
                    let tag = child.tag_name().name();
                    matches!(tag, "style" | "defs") || is_definition(*child)
                };
                for child in node.children().filter(is_used) {
                    self.element(child, inherited, depth + 1, copied);
                }
            }
            "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" => {
                self.check_properties(node);
                self.drawable(node, inherited, copied);
            }
            "use" => self.copy_of(node, inherited, depth),
            "style" => self.style(node),
            // Definitions count where something uses them.
            "symbol" | "pattern" | "filter" | "marker" | "title" | "desc" | "metadata"
            | "script" | "view" | "animate" | "set" | "animateTransform" | "animateMotion"
            | "animateColor" | "font" | "font-face" | "cursor" | "color-profile" => {}
            "image" => self.refuse(node, "image"),
            "text" | "foreignObject" => {
                if node.descendants().any(|n| n.text().is_some_and(|t| !t.trim().is_empty())) {
                    self.refuse(node, "text");
                }
            }
            other => {
                let place = self.start_tag(node);
                let instead = "draw it with paths, fills and gradients";
                self.refused.push(Refused { what: format!("<{other}>"), instead, place });
            }
        }
    }

    fn style(&mut self, node: Node<'_, '_>) {
        self.out.push_str("<style>");
        for text in node.children().filter_map(|c| c.text()) {
            escape(&mut self.out, text);
        }
        self.out.push_str("</style>");
    }

    fn group(&mut self, node: Node<'a, 'i>, inherited: &Words, depth: usize, copied: bool) {
        let words = self.read_words(node, inherited);
        self.check_properties(node);
        let tag = if node.tag_name().name() == "svg" { "svg" } else { "g" };
        self.open(node, tag, &[]);
        if depth == 0 {
            self.out.push_str(" xmlns=\"http://www.w3.org/2000/svg\"");
        }
        self.out.push('>');
        for child in node.children() {
            self.element(child, &words, depth + 1, copied);
        }
        if depth == 0 {
            self.stray_definitions();
        }
        self.out.push_str("</");
        self.out.push_str(tag);
        self.out.push('>');
    }

    fn drawable(&mut self, node: Node<'a, 'i>, inherited: &Words, copied: bool) {
        let words = self.read_words(node, inherited);
        let own = node.attribute("id").filter(|id| !copied && !self.used.contains(*id));
        let id = match own {
            Some(id) => id.to_owned(),
            None => loop {
                self.next += 1;
                let id = format!("drawn-{}", self.next);
                if !self.ids.contains_key(id.as_str()) {
                    break id;
                }
            },
        };
        self.used.insert(id.clone());
        self.open(node, node.tag_name().name(), &[]);
        self.attribute("id", &id);
        self.out.push_str("/>");
        let place = self.start_tag(node);
        self.words.insert(id, (words, place));
    }

    /// `<tag` and the attributes that matter, without the closing `>`.
    fn open(&mut self, node: Node<'a, 'i>, tag: &str, except: &[&str]) {
        self.out.push('<');
        self.out.push_str(tag);
        for a in node.attributes() {
            let name = a.name();
            if a.namespace().is_some() || name == "id" || name == "href" || except.contains(&name) {
                continue;
            }
            self.attribute(name, a.value());
        }
    }

    fn attribute(&mut self, name: &str, value: &str) {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        escape(&mut self.out, value);
        self.out.push('"');
    }
}

fn escape(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' => out.push_str("&#10;"),
            c => out.push(c),
        }
    }
}
