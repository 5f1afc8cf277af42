//! The page's own files, which come with the program.

use super::answer::Answer;

/// The parts of the page's script, in their order; they share one scope.
const SCRIPT: &[&str] = &[
    include_str!("site/words.js"),
    include_str!("site/types.js"),
    include_str!("site/dom.js"),
    include_str!("site/store.js"),
    include_str!("site/geometry.js"),
    include_str!("site/ruler.js"),
    include_str!("site/view.js"),
    include_str!("site/diff.js"),
    include_str!("site/net.js"),
    include_str!("site/loader.js"),
    include_str!("site/layer.js"),
    include_str!("site/pane.js"),
    include_str!("site/desk.js"),
    include_str!("site/gestures.js"),
    include_str!("site/blink.js"),
    include_str!("site/calibrate.js"),
    include_str!("site/keys.js"),
    include_str!("site/toolbar.js"),
    include_str!("site/zoombar.js"),
    include_str!("site/tabs.js"),
    include_str!("site/list.js"),
    include_str!("site/findings.js"),
    include_str!("site/contents.js"),
    include_str!("site/figures.js"),
    include_str!("site/lookalikes.js"),
    include_str!("site/paper.js"),
    include_str!("site/changes.js"),
    include_str!("site/place.js"),
    include_str!("site/status.js"),
    include_str!("site/frame.js"),
    include_str!("site/model.js"),
    include_str!("site/pieces.js"),
    include_str!("site/showing.js"),
    include_str!("site/marking.js"),
    include_str!("site/render.js"),
    include_str!("site/news.js"),
    include_str!("site/app.js"),
];

/// One of them by its address.
pub fn file(path: &str) -> Option<Answer> {
    Some(match path {
        "" => Answer::new("text/html; charset=utf-8", include_str!("site/index.html")),
        "watch.js" => Answer::new("text/javascript; charset=utf-8", script()),
        "watch.css" => Answer::new("text/css; charset=utf-8", include_str!("site/watch.css")),
        "icon.svg" => Answer::new("image/svg+xml", include_str!("site/icon.svg")),
        _ => return None,
    })
}

fn script() -> String {
    let parts: String = SCRIPT.iter().map(|part| format!("{part}\n")).collect();
    format!("(()=>{{\"use strict\";\n{parts}}})();\n")
}
