//! `page`: the folder for buyers. What a browser makes of it is tested by `.ci/check-page`.

use std::collections::BTreeMap;

use base64::Engine as _;
use serde_json::Value;
use sha2::{Digest as _, Sha256};
use shadecard::session::Session;

use crate::picture_set::bench::Bench as Pictured;
use crate::small::{Bench, run_at};

/// The page's text, written into the folder.
fn page(bench: &Bench, words: &[&str]) -> String {
    let all = [&["page", "@sheet.ron", "--out", "@out", "--quiet"], words].concat();
    assert_eq!(run_at(&bench.folder, &all, &Session::default()), 0);
    let file = bench.folder.join("out/base-page/index.html");
    std::fs::read_to_string(file).expect("a page")
}

/// The text between two others.
fn between<'a>(text: &'a str, open: &str, close: &str) -> &'a str {
    let inner = text.split_once(open).unwrap_or_else(|| panic!("no {open}")).1;
    inner.split_once(close).unwrap_or_else(|| panic!("no {close}")).0
}

fn data(page: &str) -> Value {
    element(page, "data")
}

/// What an element of the page holds for its script.
fn element(page: &str, id: &str) -> Value {
    let start = page.split_once(&format!("id=\"{id}\"")).expect("an element").1;
    serde_json::from_str(between(start, ">", "</script>")).expect("JSON")
}

#[test]
fn the_page_holds_all_that_is_on_the_sheet_and_asks_nobody() {
    let bench = Bench::new();
    let text = page(&bench, &[]);
    assert!(
        !text.contains("<!--#") && !text.contains("/*#"),
        "a blank is left: {:?}",
        text.find("<!--#").map(|at| &text[at..at + 60])
    );
    for address in ["src=\"http", "href=\"http", "url(http", "@import", "//cdn"] {
        assert!(!text.contains(address), "{address}");
    }
    let (data, drawings) = (data(&text), element(&text, "drawings"));
    let colours = data["colours"].as_array().expect("colours");
    let range = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    assert_eq!(colours.len(), range.matches("value: ").count());
    for colour in colours {
        let look = &drawings["looks"][colour["look"].as_str().expect("a look")];
        let tones = colour["tones"].as_str().expect("tones").len() / 6;
        for (part, drawing) in look.as_object().expect("drawings") {
            let svg = drawing["svg"].as_str().expect("a drawing");
            let largest = svg
                .split('{')
                .skip(1)
                .filter_map(|t| t.split_once('}')?.0.parse::<usize>().ok())
                .max();
            assert!(largest < Some(tones), "{part}: {largest:?} of {tones}");
            assert!(svg.contains("{0}"), "{part} shows no colour");
            let outlines =
                svg.split("{p").skip(1).filter_map(|t| t.split_once('}')?.0.parse::<usize>().ok());
            let known = drawings["outlines"].as_array().expect("outlines").len();
            assert!(outlines.max() < Some(known), "{part}");
        }
        // The plain table has a row and a chip in the very value.
        let row = between(
            &text,
            &format!("<tr id=\"{}\">", colour["key"].as_str().expect("a key")),
            "</tr>",
        );
        let chip = between(row, "chip ", "\"");
        assert!(
            text.contains(&format!(
                ".{chip}{{background:{}}}",
                colour["value"].as_str().expect("a value")
            )),
            "{chip}"
        );
    }
    // The picture is offered, and there.
    let preview = &data["preview"][0];
    let file = bench.folder.join("out/base-page").join(preview["file"].as_str().expect("a file"));
    let bytes = std::fs::read(file).expect("a picture");
    let size = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    assert_eq!(
        [size(16), size(20)].map(Some),
        [&preview["width"], &preview["height"]].map(|v| v.as_u64().map(|v| v as u32))
    );
}

/// Each script and each style is allowed by the digest of its very bytes (CSP Level 3, 6.7.3.3), and nothing else is.
#[test]
fn the_policy_allows_what_is_there() {
    let text = page(&Bench::new(), &["--no-picture"]);
    let policy = between(&text, "http-equiv=\"Content-Security-Policy\" content=\"", "\"");
    assert!(policy.starts_with("default-src 'none'; ") && !policy.contains("unsafe"), "{policy}");
    let digest = |body: &str| base64::prelude::BASE64_STANDARD.encode(Sha256::digest(body));
    let mut allowed = 0;
    for (open, close, kind) in
        [("<script>", "</script>", "script-src"), ("<style>", "</style>", "style-src")]
    {
        let list = between(policy, kind, ";");
        for piece in text.split(open).skip(1) {
            let body = piece.split_once(close).expect("an end").0;
            assert!(
                list.contains(&format!("'sha256-{}'", digest(body))),
                "{open} of {} bytes",
                body.len()
            );
            allowed += 1;
        }
    }
    assert_eq!(allowed, policy.matches("sha256-").count(), "{policy}");
    assert!(!text.contains(" style=\"") && !text.contains(" onclick"), "in the way of the policy");
}

#[test]
fn names_cannot_become_markup() {
    let bench = Bench::new();
    let range = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    let evil = "</script><img src=x onerror=alert(1)>\\\"&";
    let maker = between(&range, "maker: \"", "\"");
    bench.write(
        "range.ron",
        &range.replacen(&format!("maker: \"{maker}\""), &format!("maker: \"{evil}\""), 1),
    );
    let text = page(&bench, &["--no-picture"]);
    assert!(!text.contains("<img src=x"));
    assert_eq!(data(&text)["maker"], "</script><img src=x onerror=alert(1)>\"&");
    assert!(text.contains("&lt;/script&gt;&lt;img src=x onerror=alert(1)&gt;&quot;&amp;"));
}

#[test]
fn what_the_sheet_says_of_the_page_is_on_it_or_refused() {
    let bench = Bench::new();
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    let with = |page: &str| {
        bench.write(
            "sheet.ron",
            &sheet.replacen("year: 2020", &format!("page: ({page}), year: 2020"), 1),
        )
    };
    with("shop: \"https://example.com/a?b=1&c=2\", licence: \"For your own use.\"");
    let text = page(&bench, &["--no-picture"]);
    assert!(text.contains("href=\"https://example.com/a?b=1&amp;c=2\""));
    assert!(text.contains("<p>For your own use.</p>"));
    for bad in
        ["javascript:alert(1)", "example.com", "https://", "https://a b", "ftp://example.com"]
    {
        with(&format!("shop: \"{bad}\""));
        let words = ["page", "@sheet.ron", "--out", "@bad"];
        assert_eq!(run_at(&bench.folder, &words, &Session::default()), 1, "{bad}");
        assert!(!bench.folder.join("bad").exists());
    }
}

#[test]
fn the_same_sheet_makes_the_same_bytes() {
    let bench = Bench::new();
    let first = page(&bench, &[]);
    let all = |name: &str| -> BTreeMap<_, _> { bench.made(name).into_iter().collect() };
    let made = all("out");
    assert_eq!(page(&bench, &[]), first);
    assert_eq!(all("out"), made);
    // A file that somebody changed stays as it is.
    let file = bench.folder.join("out/base-page/index.html");
    std::fs::write(&file, "mine").expect("written");
    let words = ["page", "@sheet.ron", "--out", "@out", "--quiet"];
    assert_eq!(run_at(&bench.folder, &words, &Session::default()), 1);
    assert_eq!(std::fs::read_to_string(&file).expect("there"), "mine");
}

/// The same picture that the sheet shows, at most 192 pixels long, in its proportions and in the sheet's colours.
#[test]
fn pictures_of_parts_are_on_the_page() {
    let bench = Pictured::with_pictures();
    let words = ["page", "@sheet.ron", "--out", "@out", "--quiet"];
    assert_eq!(run_at(bench.folder(), &words, &Session::default()), 0);
    let folder = bench.folder().join("out/base-page");
    let html = std::fs::read_to_string(folder.join("index.html")).expect("a page");
    let page = data(&html);
    let photos = page["photos"].as_object().expect("pictures");
    assert!(!photos.is_empty());
    for (name, photo) in photos {
        let file = photo[0].as_str().expect("a file");
        assert_eq!(file, format!("parts/{name}.png"));
        let bytes = std::fs::read(folder.join(file)).expect("written");
        let small = tiny_skia::Pixmap::decode_png(&bytes).expect("a picture");
        let whole = std::fs::read(bench.folder().join(format!("pictures/{name}.png")));
        let whole = tiny_skia::Pixmap::decode_png(&whole.expect("given")).expect("a picture");
        assert!(small.width().max(small.height()) == 192.min(whole.width().max(whole.height())));
        let size = [1, 2].map(|i| photo[i].as_f64().expect("a size"));
        let shape = f64::from(small.width()) / f64::from(small.height());
        assert!((size[0] / size[1] / shape - 1.0).abs() < 0.02, "{name}: {size:?} {shape}");
        let middle = |p: &tiny_skia::Pixmap| {
            p.pixel(p.width() / 2, p.height() / 2).expect("inside").demultiply()
        };
        let (a, b) = (middle(&small), middle(&whole));
        let off = |a: u8, b: u8| a.abs_diff(b);
        let most =
            off(a.red(), b.red()).max(off(a.green(), b.green())).max(off(a.blue(), b.blue()));
        assert!(most <= 3, "{name}: {a:?} {b:?}");
    }
    assert!(html.contains("img-src 'self' file: data:"));
}
