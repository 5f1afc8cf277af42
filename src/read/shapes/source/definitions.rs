//! Gradients, clip paths and masks: each once, and no chains of them.

use std::collections::BTreeMap;

use usvg::roxmltree::Node;

use super::super::broken::{MAX_DEPTH, too_deep};
use super::super::styles::Styles;
use super::{Words, Writer, XLINK, is_definition};

/// Longest chain of clip paths and masks on clip paths and masks.
const MAX_CLIPS: usize = 12;

impl<'a, 'i> Writer<'a, 'i> {
    /// A gradient, a clip path or a mask, once.
    pub(super) fn definition(&mut self, node: Node<'a, 'i>, depth: usize) {
        if node.attribute("id").is_none() || !self.defined.insert(node.id().get()) {
            return;
        }
        match node.tag_name().name() {
            "clipPath" | "mask" => self.cutter(node, depth),
            _ => self.gradient(node),
        }
    }

    fn cutter(&mut self, node: Node<'a, 'i>, depth: usize) {
        let tag = node.tag_name().name();
        self.open(node, tag, &[]);
        if let Some(id) = node.attribute("id") {
            self.attribute("id", id);
        }
        self.out.push('>');
        let plain = Words::default();
        for child in node.children().filter(Node::is_element) {
            if tag == "clipPath" && child.tag_name().name() == "use" {
                self.clip_copy(child);
            } else {
                self.element(child, &plain, depth + 1, true);
            }
        }
        self.out.push_str(&format!("</{tag}>"));
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

    /// Definitions in places that were not come by: in symbols, or in groups of `<defs>`.
    pub(super) fn stray_definitions(&mut self) {
        let stray: Vec<Node<'a, 'i>> =
            self.ids.values().copied().filter(|n| is_definition(*n)).collect();
        stray.into_iter().for_each(|node| self.definition(node, 1));
    }

    /// Follows clip paths and masks on clip paths and masks: long chains, and
    /// those that come back to themselves, never reach the SVG library.
    pub(super) fn chains(&mut self, root: Node<'a, 'i>) {
        let mut known = BTreeMap::new();
        for node in root.descendants().filter(Node::is_element) {
            if !matches!(node.tag_name().name(), "clipPath" | "mask") {
                continue;
            }
            if self.chain(node, MAX_CLIPS, &mut known).is_none() {
                let d = self
                    .at(
                        node,
                        "shape-unsupported",
                        format!(
                            "clip paths or masks are nested more than {MAX_CLIPS} levels deep"
                        ),
                    )
                    .help("release the clips and masks, and cut the outlines to shape (intersect the paths)");
                self.push(d);
                return;
            }
        }
    }

    /// How many clips and masks a clip, a mask or a copy in one leads through;
    /// `None` if more than `left`.
    fn chain(
        &self,
        node: Node<'a, 'i>,
        left: usize,
        known: &mut BTreeMap<u32, usize>,
    ) -> Option<usize> {
        if let Some(depth) = known.get(&node.id().get()) {
            return (*depth <= left).then_some(*depth);
        }
        let next = left.checked_sub(1)?;
        let mut deepest = 0;
        for part in node.descendants().filter(Node::is_element) {
            let by = |name| self.styles.get(part, name).and_then(Styles::target);
            let clips = ["clip-path", "mask"].into_iter().filter_map(by);
            let targets: Vec<_> = clips.filter_map(|id| self.ids.get(id).copied()).collect();
            let copied = (part.tag_name().name() == "use").then(|| self.shown_by(part)).flatten();
            for target in targets.into_iter().chain(copied) {
                deepest = deepest.max(self.chain(target, next, known)?);
            }
        }
        known.insert(node.id().get(), deepest + 1);
        Some(deepest + 1)
    }
}
