//! Class words, and properties that cannot be used.

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

impl<'a, 'i> Writer<'a, 'i> {
    /// Refuses properties that need more than filled outlines.
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
        for paint in ["fill", "stroke"] {
            let named = self.styles.get(node, paint).and_then(Styles::target);
            let named = named.and_then(|id| self.ids.get(id));
            if named.is_some_and(|n| n.tag_name().name() == "pattern") {
                found.push("pattern");
            }
        }
        found.into_iter().for_each(|tag| self.refuse(node, tag));
    }

    pub(super) fn read_words(&mut self, node: Node<'_, '_>, inherited: &Words) -> Words {
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
                    None => self.check_word(node, word),
                },
            }
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
