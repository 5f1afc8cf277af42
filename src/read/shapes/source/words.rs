//! Class words, and unsupported properties.

use usvg::roxmltree::Node;

use crate::diag::nearest;
use crate::read::Finish;

use super::super::LayerRole;
use super::super::styles::Styles;
use super::{Words, Writer};

/// The blend modes of Compositing and Blending Level 1 that are not `normal`.
const BLENDS: [&str; 15] = [
    "multiply",
    "screen",
    "overlay",
    "darken",
    "lighten",
    "color-dodge",
    "color-burn",
    "hard-light",
    "soft-light",
    "difference",
    "exclusion",
    "hue",
    "saturation",
    "color",
    "luminosity",
];

/// In units of the drawing: the SVG library takes gigabytes for the joins of wider ones.
const WIDEST_STROKE: f64 = 1e6;

/// The number that a value begins with, whatever its unit.
fn number(value: &str) -> Option<f64> {
    let end = value.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%');
    end.parse().ok()
}

impl<'a, 'i> Writer<'a, 'i> {
    /// Rejects properties that need more than filled outlines.
    pub(super) fn check_properties(&mut self, node: Node<'a, 'i>) {
        let set = |name: &str| self.styles.get(node, name).is_some_and(|v| v != "none");
        let mut found = Vec::new();
        if set("filter") {
            found.push("filter");
        }
        let lines = ["path", "line", "polyline", "polygon"];
        let marks = ["marker", "marker-start", "marker-mid", "marker-end"];
        if lines.contains(&node.tag_name().name()) && marks.into_iter().any(set) {
            found.push("marker");
        }
        if self.styles.get(node, "mix-blend-mode").is_some_and(|v| BLENDS.contains(&v)) {
            found.push("blend");
        }
        let width = self.styles.get(node, "stroke-width").and_then(number);
        if width.is_some_and(|w| w > WIDEST_STROKE) {
            found.push("wide-stroke");
        }
        for paint in ["fill", "stroke"] {
            let named = self.styles.get(node, paint).and_then(Styles::target);
            let named = named.and_then(|id| self.ids.get(id));
            if named.is_some_and(|n| n.tag_name().name() == "pattern") {
                found.push("pattern");
            }
        }
        found.into_iter().for_each(|tag| self.refuse(node, tag));
    }

    /// The role that an element's class gives, else the inherited one.
    pub(super) fn read_words(&mut self, node: Node<'_, '_>, inherited: &Words) -> Words {
        let Some(class) = node.attribute("class") else { return inherited.clone() };
        // What is used many times is read once.
        let id = node.id().get();
        if !self.classes.contains_key(&id) {
            let own = self.own_words(node, class);
            self.classes.insert(id, own);
        }
        let own = &self.classes[&id];
        Words {
            role: own.role.or(inherited.role),
            fixed: own.fixed || inherited.fixed,
            finishes: if own.finishes.is_empty() { &inherited.finishes } else { &own.finishes }
                .clone(),
        }
    }

    fn own_words(&mut self, node: Node<'_, '_>, class: &str) -> Words {
        let mut words = Words::default();
        for word in class.split_whitespace() {
            match word {
                "body" => words.role = Some(LayerRole::Body),
                "hole" => words.role = Some(LayerRole::Hole),
                "fixed" => words.fixed = true,
                _ => match Finish::parse(word) {
                    Some(f) if !words.finishes.contains(&f) => words.finishes.push(f),
                    Some(_) => {}
                    None => self.check_word(node, word),
                },
            }
        }
        words.finishes.sort();
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
                .at(node, "shape-class", format!("the class '{word}' is unknown"))
                .help(format!("did you mean '{meant}'?"));
            self.push(d);
        }
    }
}
