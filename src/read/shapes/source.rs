//! From the file's text to a small, safe SVG text whose drawn elements all
//! have ids, and the class words of each id.
//!
//! Uses are written out in full here, so that the SVG library sees neither
//! references that can nest nor symbols; what it cannot be trusted with
//! (patterns, masks, entities, deep nesting) never reaches it.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use usvg::roxmltree::{Document, Node, ParsingOptions};

use crate::diag::{Diagnostic, Span, nearest};
use crate::read::{Finish, limits};

use super::{LayerRole, whole};

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";
/// Bytes of all style sheets in a drawing.
const MAX_CSS: usize = 1 << 16;
/// Rules times elements.
const MAX_MATCHES: usize = 2_000_000;
/// However far the limit is raised: the SVG library takes no more than a million.
const MOST_NODES: u32 = 900_000;
/// Deepest nesting and longest chain of references.
const MAX_DEPTH: usize = 64;

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
    pub has_words: bool,
}

/// Checks a file and rewrites it.
pub(super) fn rewrite(file: &Arc<Path>, text: &str) -> Result<Rewritten, Vec<Diagnostic>> {
    if text.len() > limits::DRAWING.now() {
        return Err(vec![
            whole(
                file,
                "shape-too-large",
                format!("The shape file is larger than {} MB.", limits::DRAWING.megabytes()),
            )
            .help(simplify()),
        ]);
    }
    let options =
        ParsingOptions { allow_dtd: false, nodes_limit: most_nodes(), ..ParsingOptions::default() };
    let doc = Document::parse_with_options(text, options)
        .map_err(|e| vec![broken(file, text, &e.to_string(), e.pos())])?;

    let mut ids = BTreeMap::new();
    for node in doc.descendants().filter(Node::is_element) {
        if let Some(id) = node.attribute("id") {
            ids.entry(id).or_insert(node);
        }
    }
    let css: String = doc
        .descendants()
        .filter(|n| n.has_tag_name("style") || n.has_tag_name((SVG, "style")))
        .flat_map(|n| n.children().filter_map(|c| c.text()))
        .collect();

    // Every rule is held against every element.
    let tests = css.matches('{').count() * doc.descendants().count();
    let too_much = if css.len() > MAX_CSS {
        Some(format!("The style sheets in the drawing are larger than {} kB.", MAX_CSS >> 10))
    } else if tests > MAX_MATCHES {
        Some(format!(
            "The rules in the drawing's style sheets, times its elements, are more than {MAX_MATCHES}."
        ))
    } else {
        None
    };
    if let Some(message) = too_much {
        return Err(vec![
            whole(file, "shape-too-large", message)
                .help("Save as plain SVG with the colours at the paths themselves."),
        ]);
    }

    let mut writer = Writer {
        file,
        text,
        ids,
        css: &css,
        out: String::with_capacity(text.len() + 1024),
        words: BTreeMap::new(),
        used: BTreeSet::new(),
        next: 0,
        written: 0,
        has_words: false,
        errors: Vec::new(),
    };
    let root = doc.root_element();
    if root.tag_name().name() != "svg" {
        return Err(vec![
            writer
                .at(root, "shape-broken", "The file is not an SVG drawing.")
                .help("Save the drawing as SVG (plain SVG, not compressed)."),
        ]);
    }
    writer.check_css(root);
    writer.element(root, &Words::default(), 0, false);
    if writer.errors.is_empty() {
        Ok(Rewritten { svg: writer.out, words: writer.words, has_words: writer.has_words })
    } else {
        Err(writer.errors)
    }
}

fn most_nodes() -> u32 {
    u32::try_from(limits::ELEMENTS.now()).unwrap_or(u32::MAX).min(MOST_NODES)
}

fn simplify() -> String {
    const WAY: &str = "Simplify the drawing: a part needs a few dozen paths";
    let way_out = if most_nodes() < MOST_NODES { limits::or_raise(WAY) } else { WAY.to_owned() };
    format!("{way_out}.")
}

fn too_deep(file: &Arc<Path>, range: Range<usize>) -> Diagnostic {
    Diagnostic::error(
        "shape-broken",
        format!("Groups or references are nested more than {MAX_DEPTH} deep."),
    )
    .at(Some(Span { file: file.clone(), range }))
    .help("Ungroup the drawing.")
}

/// The XML library's complaint as a message.
fn broken(
    file: &Arc<Path>,
    text: &str,
    complaint: &str,
    pos: usvg::roxmltree::TextPos,
) -> Diagnostic {
    let line_start: usize =
        text.split_inclusive('\n').take(pos.row.saturating_sub(1) as usize).map(str::len).sum();
    let start = text[line_start.min(text.len())..]
        .char_indices()
        .nth(pos.col.saturating_sub(1) as usize)
        .map_or(text.len(), |(i, _)| line_start + i);
    let dtd = complaint.contains("DTD");
    let start = if dtd { text.find("<!DOCTYPE").unwrap_or(start) } else { start };
    let (message, help) = if dtd {
        (
            "The file declares a document type, which shape files may not have.".to_owned(),
            "Delete the <!DOCTYPE ...> line, or save as plain SVG.".to_owned(),
        )
    } else if complaint.contains("limit") {
        (format!("The drawing has more than {} elements.", most_nodes()), simplify())
    } else {
        (
            spoken(complaint),
            "Open it in a drawing program and save it as plain SVG again.".to_owned(),
        )
    };
    Diagnostic::error("shape-broken", message)
        .at(Some(Span { file: file.clone(), range: start..after(text, start) }))
        .help(help)
}

/// The end of the sign at a byte; at the end of a text its last sign counts as none.
fn after(text: &str, start: usize) -> usize {
    start + text[start..].chars().next().map_or(0, char::len_utf8)
}

/// What is wrong with a drawing's text, for people who have never seen it.
fn spoken(complaint: &str) -> String {
    let quoted: Vec<&str> = complaint.split('\'').skip(1).step_by(2).collect();
    match quoted[..] {
        [open, close] if complaint.contains("tag") => {
            format!("The drawing is damaged: <{open}> is opened, and </{close}> closed.")
        }
        _ if complaint.contains("root node") => "There is no drawing in the file.".to_owned(),
        _ if complaint.contains("end of stream") => "The drawing breaks off.".to_owned(),
        _ if complaint.contains("entity") => {
            "The drawing uses a word that nothing stands for.".to_owned()
        }
        _ => "The drawing is damaged here.".to_owned(),
    }
}

struct Writer<'a, 'i> {
    file: &'a Arc<Path>,
    text: &'a str,
    ids: BTreeMap<&'a str, Node<'a, 'i>>,
    css: &'a str,
    out: String,
    words: BTreeMap<String, (Words, Range<usize>)>,
    used: BTreeSet<String>,
    next: usize,
    written: u32,
    has_words: bool,
    errors: Vec<Diagnostic>,
}

impl<'a, 'i> Writer<'a, 'i> {
    fn at(&self, node: Node<'_, '_>, code: &'static str, message: impl Into<String>) -> Diagnostic {
        // The start tag alone: a whole group would be a long quotation.
        let range = node.range();
        let end = self.text[range.clone()].find('>').map_or(range.end, |i| range.start + i + 1);
        Diagnostic::error(code, message)
            .at(Some(Span { file: self.file.clone(), range: range.start..end }))
    }

    fn push(&mut self, d: Diagnostic) {
        if self.errors.len() < 50 && !self.errors.contains(&d) {
            self.errors.push(d);
        }
    }

    fn unsupported(&mut self, node: Node<'_, '_>, what: &str, instead: &str) {
        let d = self
            .at(node, "shape-unsupported", format!("Shape files cannot use {what}."))
            .help(instead);
        self.push(d);
    }

    /// Is the id of a definition mentioned anywhere?
    fn referenced(&self, node: Node<'_, '_>) -> bool {
        node.attribute("id").is_some_and(|id| {
            ["\"", "'", ")"].iter().any(|end| self.text.contains(&format!("#{id}{end}")))
        })
    }

    fn element(&mut self, node: Node<'a, 'i>, inherited: &Words, depth: usize, copied: bool) {
        let namespace = node.tag_name().namespace();
        if !node.is_element() || namespace.is_some_and(|n| n != SVG) {
            return;
        }
        self.written += 1;
        if self.written > most_nodes() {
            if self.written == most_nodes() + 1 {
                let d = whole(
                    self.file,
                    "shape-broken",
                    format!("The drawing has more than {} elements.", most_nodes()),
                )
                .help(simplify());
                self.push(d);
            }
            return;
        }
        if depth > MAX_DEPTH {
            self.push(too_deep(self.file, node.range()));
            return;
        }
        match node.tag_name().name() {
            "svg" if depth == 0 => self.group(node, inherited, depth, copied),
            "svg" => self.unsupported(
                node,
                "a drawing inside a drawing (<svg>)",
                "Turn the inner drawing into a group.",
            ),
            "g" | "a" | "switch" => self.group(node, inherited, depth, copied),
            "defs" => {
                for child in node.children() {
                    if matches!(
                        child.tag_name().name(),
                        "linearGradient"
                            | "radialGradient"
                            | "style"
                            | "defs"
                            | "pattern"
                            | "mask"
                            | "clipPath"
                            | "filter"
                            | "marker"
                    ) {
                        self.element(child, inherited, depth + 1, copied);
                    }
                }
            }
            "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" => {
                self.drawable(node, inherited, copied);
            }
            "use" => self.copy_of(node, inherited, depth),
            "linearGradient" | "radialGradient" => self.gradient(node),
            "style" => {
                self.out.push_str("<style>");
                for text in node.children().filter_map(|c| c.text()) {
                    escape(&mut self.out, text);
                }
                self.out.push_str("</style>");
            }
            "symbol" | "title" | "desc" | "metadata" | "script" | "view" | "animate" | "set"
            | "animateTransform" | "animateMotion" => {}
            "image" | "feImage" => self.unsupported(
                node,
                "pictures (<image>)",
                "Draw the part with outlines, or trace the picture first.",
            ),
            "text" | "foreignObject" => {
                self.unsupported(node, "text", "Convert the text to paths, or delete it.");
            }
            tag @ ("pattern" | "mask" | "clipPath" | "filter" | "marker") => {
                if self.referenced(node) {
                    let (what, instead) = kind(tag);
                    self.unsupported(node, what, instead);
                }
            }
            other => {
                let what = format!("<{other}>");
                self.unsupported(node, &what, "Draw it with paths, fills and gradients.");
            }
        }
    }

    fn group(&mut self, node: Node<'a, 'i>, inherited: &Words, depth: usize, copied: bool) {
        let words = self.read_words(node, inherited);
        let tag = if node.tag_name().name() == "svg" { "svg" } else { "g" };
        self.open(node, tag, &[]);
        if tag == "svg" {
            self.out.push_str(" xmlns=\"http://www.w3.org/2000/svg\"");
        }
        self.out.push('>');
        for child in node.children() {
            self.element(child, &words, depth + 1, copied);
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
        let range = node.range();
        let end = self.text[range.clone()].find('>').map_or(range.end, |i| range.start + i + 1);
        self.words.insert(id, (words, range.start..end));
    }

    /// Writes what a `<use>` shows in its place.
    fn copy_of(&mut self, node: Node<'a, 'i>, inherited: &Words, depth: usize) {
        let href = node.attribute((XLINK, "href")).or_else(|| node.attribute("href"));
        let Some(target) =
            href.and_then(|h| h.strip_prefix('#')).and_then(|id| self.ids.get(id).copied())
        else {
            let d = self
                .at(node, "shape-broken", "A copy (<use>) points at nothing in this file.")
                .help("Paste the copied shape itself, or delete the copy.");
            self.push(d);
            return;
        };
        let words = self.read_words(node, inherited);
        self.open(node, "g", &["x", "y", "width", "height", "href", "transform"]);
        let mut transform = node.attribute("transform").unwrap_or("").to_owned();
        let (x, y) = (node.attribute("x").unwrap_or("0"), node.attribute("y").unwrap_or("0"));
        if x.parse::<f64>().is_err() || y.parse::<f64>().is_err() {
            self.unsupported(
                node,
                "copies placed with units or per cents",
                "Give x and y of the copy as plain numbers.",
            );
        }
        transform.push_str(&format!(" translate({x} {y})"));
        self.attribute("transform", transform.trim());
        self.out.push('>');
        if target.tag_name().name() == "symbol" {
            if target.has_attribute("viewBox") {
                self.unsupported(
                    target,
                    "symbols with a viewBox of their own",
                    "Turn the symbol into a group.",
                );
            }
            let words = self.read_words(target, &words);
            for child in target.children() {
                self.element(child, &words, depth + 2, true);
            }
        } else {
            self.element(target, &words, depth + 1, true);
        }
        self.out.push_str("</g>");
    }

    fn gradient(&mut self, node: Node<'a, 'i>) {
        let mut chain = node;
        for _ in 0..=MAX_DEPTH {
            let href = chain.attribute((XLINK, "href")).or_else(|| chain.attribute("href"));
            match href.and_then(|h| h.strip_prefix('#')).and_then(|id| self.ids.get(id)) {
                Some(next) => chain = *next,
                None => {
                    let tag = node.tag_name().name();
                    self.open(node, tag, &[]);
                    if let Some(id) = node.attribute("id") {
                        self.attribute("id", id);
                    }
                    if let Some(href) =
                        node.attribute((XLINK, "href")).or_else(|| node.attribute("href"))
                    {
                        self.attribute("href", href);
                    }
                    self.out.push('>');
                    for stop in node.children().filter(|c| c.tag_name().name() == "stop") {
                        self.open(stop, "stop", &[]);
                        self.out.push_str("/>");
                    }
                    self.out.push_str(&format!("</{tag}>"));
                    return;
                }
            }
        }
        self.push(too_deep(self.file, node.range()));
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
            if name == "style" {
                for part in a.value().split(';') {
                    if let Some((property, value)) = part.split_once(':') {
                        self.check_property(node, property.trim(), value.trim());
                    }
                }
            } else {
                self.check_property(node, name, a.value());
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

    /// Refuses properties that need more than filled outlines.
    fn check_property(&mut self, node: Node<'_, '_>, property: &str, value: &str) {
        if value == "none" || value.is_empty() {
            return;
        }
        let tag = match property {
            "clip-path" => "clipPath",
            "mask" | "filter" => property,
            p if p.starts_with("marker") => "marker",
            "mix-blend-mode" if value != "normal" => "blend",
            "fill" | "stroke" => {
                let target = value
                    .strip_prefix("url(")
                    .and_then(|v| v.split(')').next())
                    .map(|v| v.trim_matches(['"', '\'', ' ']).trim_start_matches('#'));
                match target.and_then(|id| self.ids.get(id)) {
                    Some(n) if n.has_tag_name("pattern") || n.has_tag_name((SVG, "pattern")) => {
                        "pattern"
                    }
                    _ => return,
                }
            }
            _ => return,
        };
        let (what, instead) = kind(tag);
        self.unsupported(node, what, instead);
    }

    /// The same for style sheets, where properties have no element of their own.
    fn check_css(&mut self, root: Node<'_, '_>) {
        let css: String = self.css.chars().filter(|c| !c.is_whitespace()).collect();
        for declaration in css.split(['{', '}', ';']) {
            if let Some((property, value)) = declaration.split_once(':') {
                self.check_property(root, property, value);
            }
        }
    }

    fn read_words(&mut self, node: Node<'_, '_>, inherited: &Words) -> Words {
        let mut words = inherited.clone();
        let Some(class) = node.attribute("class") else { return words };
        let mut finishes = Vec::new();
        for word in class.split_whitespace() {
            match word {
                "body" => words.role = Some(LayerRole::Body),
                "hole" => words.role = Some(LayerRole::Hole),
                "fixed" => words.fixed = true,
                _ => match Finish::parse(word) {
                    Some(f) if !finishes.contains(&f) => finishes.push(f),
                    Some(_) => {}
                    None => {
                        self.check_word(node, word);
                        continue;
                    }
                },
            }
            self.has_words = true;
        }
        if !finishes.is_empty() {
            finishes.sort();
            words.finishes = finishes;
        }
        words
    }

    /// A near miss of one of our words is a slip, unless a style sheet knows it.
    fn check_word(&mut self, node: Node<'_, '_>, word: &str) {
        let known = ["body", "hole", "fixed"].into_iter().chain(Finish::ALL.map(Finish::word));
        if self.css.contains(&format!(".{word}")) {
            return;
        }
        if let Some(meant) = nearest(word, known) {
            let d = self
                .at(node, "shape-class", format!("The class word `{word}` is not known."))
                .help(format!("Did you mean `{meant}`?"));
            self.push(d);
        }
    }
}

/// What a refused thing is called, and the way out.
fn kind(tag: &str) -> (&'static str, &'static str) {
    match tag {
        "clipPath" => {
            ("clipping", "Cut the outlines to shape in the drawing program (intersect the paths).")
        }
        "mask" => ("masks", "Use a gradient from one grey to another, or an opacity, instead."),
        "filter" => ("filters such as blurs", "Draw soft edges with gradients instead."),
        "marker" => ("markers", "Draw the marks as paths."),
        "blend" => ("blend modes", "Give the shape the grey that it should have."),
        _ => ("patterns", "Draw the pieces of the pattern as paths."),
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
