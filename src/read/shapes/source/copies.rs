//! Copies: `<use>` written out as what it shows.

use usvg::roxmltree::Node;

use super::{SVG, Words, Writer, XLINK};

impl<'a, 'i> Writer<'a, 'i> {
    /// What a `<use>` shows.
    pub(super) fn shown_by(&self, node: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
        let href = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
        href.and_then(|h| h.trim().strip_prefix('#')).and_then(|id| self.ids.get(id).copied())
    }

    /// Writes what a `<use>` shows in its place.
    pub(super) fn copy_of(&mut self, node: Node<'a, 'i>, inherited: &Words, depth: usize) {
        let Some(target) = self.shown_by(node) else {
            let d = self
                .at(
                    node,
                    "shape-broken",
                    "a copy (<use>) refers to an element that is not in this file",
                )
                .help("paste the copied shape itself, or delete the copy");
            self.push(d);
            return;
        };
        let words = self.read_words(node, inherited);
        self.check_properties(node);
        self.open(node, "g", &["x", "y", "width", "height", "href", "transform"]);
        let mut transform = node.attribute("transform").unwrap_or("").to_owned();
        let (x, y) = (node.attribute("x").unwrap_or("0"), node.attribute("y").unwrap_or("0"));
        // With units or per cents the copy gets a frame, which resolves them.
        let framed = x.parse::<f64>().is_err() || y.parse::<f64>().is_err();
        if !framed {
            transform.push_str(&format!(" translate({x} {y})"));
        }
        self.attribute("transform", transform.trim());
        self.out.push('>');
        if framed {
            self.out.push_str("<svg overflow=\"visible\"");
            self.attribute("x", x);
            self.attribute("y", y);
            self.out.push('>');
        }
        match target.tag_name().name() {
            "symbol" => self.framed(node, target, &words, depth),
            "svg" if node.has_attribute("width") || node.has_attribute("height") => {
                self.framed(node, target, &words, depth);
            }
            _ => self.element(target, &words, depth + 1, true),
        }
        self.out.push_str(if framed { "</svg></g>" } else { "</g>" });
    }

    /// A symbol or a drawing in the size that its copy asks for.
    fn framed(&mut self, copy: Node<'a, 'i>, target: Node<'a, 'i>, words: &Words, depth: usize) {
        let words = self.read_words(target, words);
        self.check_properties(target);
        let sized = copy.has_attribute("width") || copy.has_attribute("height");
        let frame = sized || target.has_attribute("viewBox");
        let tag = if frame { "svg" } else { "g" };
        self.open(target, tag, &["width", "height", "transform"]);
        if frame {
            for side in ["width", "height"] {
                let own = target.attribute(side).filter(|_| target.has_tag_name((SVG, "svg")));
                self.attribute(side, copy.attribute(side).or(own).unwrap_or("100%"));
            }
        }
        self.out.push('>');
        for child in target.children() {
            self.element(child, &words, depth + 2, true);
        }
        self.out.push_str(if frame { "</svg>" } else { "</g>" });
    }

    /// A copy in a clip path, where the SVG library takes no groups.
    pub(super) fn clip_copy(&mut self, node: Node<'a, 'i>) {
        let Some(target) = self.shown_by(node) else { return };
        let tag = target.tag_name().name();
        let shape = ["path", "rect", "circle", "ellipse", "polyline", "polygon"].contains(&tag);
        if !shape || !self.count() || self.styles.hidden(target) {
            return;
        }
        self.open(target, tag, &["transform"]);
        for name in ["clip-rule", "clip-path"] {
            if let Some(value) = node.attribute(name).filter(|_| !target.has_attribute(name)) {
                self.attribute(name, value);
            }
        }
        let (x, y) = (node.attribute("x").unwrap_or("0"), node.attribute("y").unwrap_or("0"));
        let own = |n: Node<'a, 'i>| n.attribute("transform").unwrap_or("");
        let transform = format!("{} translate({x} {y}) {}", own(node), own(target));
        self.attribute("transform", transform.trim());
        self.out.push_str("/>");
    }
}
