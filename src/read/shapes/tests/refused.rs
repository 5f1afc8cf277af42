//! Drawings that are rejected: what they hold, how deep they are nested, how much work they are.

use super::*;

#[test]
fn refused_content_is_named() {
    let body = r##"<rect class="body" width="10" height="10" fill="#777"/>"##;
    let with = |s: &str| format!("{body}{s}");
    bad(&with(r##"<image href="x.png" width="1" height="1"/>"##), "shape-unsupported", "pictures");
    bad(&with("<text>A</text>"), "shape-unsupported", "text");
    bad(
        &with(r##"<filter id="f"/><rect width="1" height="1" filter="url(#f)"/>"##),
        "shape-unsupported",
        "filters",
    );
    bad(
        &with(r##"<pattern id="p"/><rect width="1" height="1" fill="url(#p)"/>"##),
        "shape-unsupported",
        "patterns",
    );
    bad(
        &with(r##"<rect width="1" height="1" style="mix-blend-mode:multiply"/>"##),
        "shape-unsupported",
        "blend",
    );
    bad(r##"<rect class="bodi" width="9" height="9"/>"##, "shape-class", "bodi");
    bad(
        r##"<rect class="body" width="9" height="9"/><rect class="body" width="2" height="2"/>"##,
        "shape-unsupported",
        "more than one",
    );
    bad("", "shape-empty", "no filled outline");
    bad(r##"<rect width="900" height="9"/>"##, "shape-too-large", "900.0");
    bad(r##"<rect width="9" height="0.01"/>"##, "shape-too-small", "0.010");
    bad(r##"<use href="#nothing"/>"##, "shape-broken", "copy");
    // Definitions that nothing uses do no harm: editors leave them behind.
    good(&with(r##"<defs><clipPath id="old"/><filter id="blur"/></defs>"##));
}

#[test]
fn places_are_byte_ranges() {
    let text = svg(r##"<rect width="9" height="9"/><text x="1">A</text>"##);
    let found = read(&text).expect_err("an error");
    let span = found[0].span.clone().expect("a place");
    assert_eq!(&text[span.range], r##"<text x="1">"##);
}

#[test]
fn broken_files_are_errors() {
    for text in [
        "",
        "hello",
        "<svg",
        "<html/>",
        "<svg xmlns='http://www.w3.org/2000/svg' width='-1' height='2'/>",
    ] {
        let found = read(text).expect_err("an error");
        assert!(found[0].code.starts_with("shape-"), "{text}: {found:?}");
    }
    let dtd = format!("<!DOCTYPE svg [<!ENTITY a 'b'>]>{}", svg("<rect width='1' height='1'/>"));
    assert!(read(&dtd).expect_err("an error")[0].message.contains("document type"));
}

#[test]
fn deep_nesting_is_refused() {
    for depth in [100, 90_000] {
        let text = svg(&format!(
            "{}<rect width='9' height='9'/>{}",
            "<g>".repeat(depth),
            "</g>".repeat(depth)
        ));
        let found = read(&text).expect_err("an error");
        assert!(found[0].message.contains("nested"), "{found:?}");
    }
}

#[test]
fn long_chains_are_refused() {
    // Pattern n is filled with pattern n + 1: this overflows the stack of an unguarded reader.
    let patterns: String = (0..400)
        .map(|n| format!(r##"<pattern id="p{n}" width="1" height="1"><rect width="1" height="1" fill="url(#p{})"/></pattern>"##, n + 1))
        .collect();
    let text = svg(&format!(r##"{patterns}<rect width="9" height="9" fill="url(#p0)"/>"##));
    assert!(read(&text).expect_err("an error")[0].message.contains("patterns"));
    let copies: String =
        (0..400).map(|n| format!(r##"<g id="c{n}"><use href="#c{}"/></g>"##, n + 1)).collect();
    let text = svg(&format!("<defs>{copies}</defs><rect width='9' height='9'/><use href='#c0'/>"));
    assert!(read(&text).expect_err("an error")[0].message.contains("nested"));
    let circle = svg(r##"<g id="a"><rect width="9" height="9"/><use href="#a"/></g>"##);
    assert!(read(&circle).is_err());
    // Each copy holds two of the next: two to the power of thirty rectangles.
    let doubling: String = (0..30)
        .map(|n| format!(r##"<g id="d{n}"><use href="#d{0}"/><use href="#d{0}"/></g>"##, n + 1))
        .collect();
    let text = svg(&format!(
        "<defs>{doubling}<rect id='d30' width='1' height='1'/></defs><use href='#d0'/>"
    ));
    assert!(read(&text).expect_err("an error")[0].message.contains("elements"));
    let gradients: String =
        (0..400).map(|n| format!(r##"<linearGradient id="l{n}" href="#l{}"/>"##, n + 1)).collect();
    let text = svg(&format!("{gradients}<rect width='9' height='9' fill='url(#l0)'/>"));
    assert!(read(&text).expect_err("an error")[0].message.contains("nested"));
}

#[test]
fn fine_dashes_are_refused() {
    let dashed = |size: &str| {
        format!(
            r##"<rect width="9" height="9"/><path d="M0 0H9" stroke="#000" stroke-dasharray="{size}"/>"##
        )
    };
    // Finer than print, and finer than the SVG library can be trusted with.
    for (size, code) in [("0.01", "shape-unsupported"), ("0.0001", "shape-too-large")] {
        assert!(bad(&dashed(size), code, "dashes").span.is_some());
    }
}

#[test]
fn chains_of_clips_are_refused() {
    let clips: String = (0..40)
        .map(|n| {
            format!(
                "<clipPath id='c{n}' clip-path='url(#c{})'><rect width='9' height='9'/></clipPath>",
                n + 1
            )
        })
        .collect();
    let text = svg(&format!("{clips}<rect width='9' height='9' clip-path='url(#c0)'/>"));
    assert!(read(&text).expect_err("an error")[0].message.contains("deep"));
    let itself = "<mask id='m' mask='url(#m)'><rect width='9' height='9' fill='#fff'/></mask>";
    let text = svg(&format!("{itself}<rect width='9' height='9' mask='url(#m)'/>"));
    assert!(read(&text).is_err());
}
