//! The properties of an element that decide whether it can be used at all,
//! wherever they are given: in its `style`, in a style sheet or as attributes.

use simplecss::{AttributeOperator, DeclarationTokenizer, PseudoClass, StyleSheet};
use usvg::roxmltree::Node;

/// What is looked up. Fills and strokes count where they name a definition.
const LOOKED_UP: [&str; 13] = [
    "clip-path",
    "mask",
    "filter",
    "marker",
    "marker-start",
    "marker-mid",
    "marker-end",
    "mix-blend-mode",
    "fill",
    "stroke",
    "stroke-dasharray",
    "stroke-width",
    "display",
];

/// The style sheets of a drawing.
pub(super) struct Styles<'c> {
    sheet: StyleSheet<'c>,
}

impl<'c> Styles<'c> {
    /// Keeps the rules that set any of the properties looked up.
    pub fn new(css: &'c str) -> Styles<'c> {
        let mut sheet = StyleSheet::parse(css);
        let counts = |name: &str, value: &str| match name {
            "fill" | "stroke" => value.contains("url("),
            _ => LOOKED_UP.contains(&name),
        };
        sheet.rules.retain(|r| r.declarations.iter().any(|d| counts(d.name, d.value)));
        Styles { sheet }
    }

    /// The value of a property at an element itself, without inheritance.
    pub fn get<'a>(&self, node: Node<'a, '_>, name: &str) -> Option<&'a str>
    where
        'c: 'a,
    {
        let own = node.attribute("style").and_then(|style| {
            DeclarationTokenizer::from(style).filter(|d| d.name == name).last().map(|d| d.value)
        });
        let ruled = || {
            let rules = self.sheet.rules.iter().filter(|r| r.selector.matches(&Element(node)));
            let mut said = rules.flat_map(|r| &r.declarations).filter(|d| d.name == name);
            said.next_back().map(|d| d.value)
        };
        own.or_else(ruled).or_else(|| node.attribute(name)).map(str::trim)
    }

    /// The id that a value like `url(#id)` names.
    pub fn target(value: &str) -> Option<&str> {
        let inside = value.strip_prefix("url(")?.split(')').next()?;
        inside.trim_matches(['"', '\'', ' ']).strip_prefix('#')
    }

    /// Is the element hidden with all that is in it?
    pub fn hidden(&self, node: Node<'_, '_>) -> bool {
        self.get(node, "display") == Some("none")
    }
}

struct Element<'a, 'i>(Node<'a, 'i>);

impl simplecss::Element for Element<'_, '_> {
    fn parent_element(&self) -> Option<Self> {
        self.0.parent_element().map(Element)
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        self.0.prev_sibling_element().map(Element)
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.0.tag_name().name() == name
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        self.0.attribute(name).is_some_and(|value| operator.matches(value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        matches!(class, PseudoClass::FirstChild) && self.prev_sibling_element().is_none()
    }
}
