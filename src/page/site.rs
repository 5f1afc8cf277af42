//! The page's own files, which come with the program.

/// The template.
pub const TEMPLATE: &str = include_str!("site/index.html");

/// The keys of the page's words among a spelling's phrases.
pub fn words() -> impl Iterator<Item = String> {
    crate::spelling::keys().filter(|key| key.starts_with("page_"))
}

/// Screen, dark and printed page.
pub fn style() -> String {
    [
        include_str!("site/screen.css"),
        include_str!("site/dialogs.css"),
        include_str!("site/dark.css"),
        include_str!("site/print.css"),
    ]
    .concat()
}

/// The parts of the script, in their order; they share one scope.
const SCRIPT: &[&str] = &[
    include_str!("site/words.js"),
    include_str!("site/colour.js"),
    include_str!("site/vision.js"),
    include_str!("site/fold.js"),
    include_str!("site/search.js"),
    include_str!("site/filter.js"),
    include_str!("site/address.js"),
    include_str!("site/order.js"),
    include_str!("site/store.js"),
    include_str!("site/dom.js"),
    include_str!("site/drawing.js"),
    include_str!("site/rows.js"),
    include_str!("site/list.js"),
    include_str!("site/facets.js"),
    include_str!("site/look.js"),
    include_str!("site/parts.js"),
    include_str!("site/alike.js"),
    include_str!("site/card.js"),
    include_str!("site/beside.js"),
    include_str!("site/order-view.js"),
    include_str!("site/dialogs.js"),
    include_str!("site/main.js"),
];

/// The script as one.
pub fn script() -> String {
    let parts: String = SCRIPT.iter().map(|part| format!("{part}\n")).collect();
    format!("(()=>{{\"use strict\";\n{parts}}})()")
}
