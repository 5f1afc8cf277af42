//! Where the floor makes type larger than the style has it, texts still are clear of each other and on the page.

use crate::positions::{inside_the_page, none, readable, texts_clear};
use crate::small::Bench;
use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::range::load;

/// A style, a page, a floor (mm) and whether part sizes are reported under their numbers.
fn placed(style: &str, page: &str, floor: f64, sizes: bool) {
    let what = format!("{style} on {page}, floor {floor}, sizes {sizes}");
    let bench = Bench::new();
    let range = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    let size = if sizes { "size: \"12 mm\", side: right" } else { "side: right" };
    let range = range
        .replace("title: \"Gloss\"", "title: \"Gloss of the longest mornings by the sea\"")
        .replace("side: right", size);
    bench.write("range.ron", &range);
    bench.write(
        "page.ron",
        &format!("Layout(title: \"p\", page: Paper(\"{page}\"), scale: Fit, pages: 4, type_floor: {floor})"),
    );
    bench.write(
        "sheet.ron",
        &format!(
            "Sheet(range: \"range.ron\", name: \"s\", title: \"Base\", style: \"{style}\", year: 2020, \
             editions: [(name: \"card\", layout: \"page.ron\", spellings: [\"en-GB\"])])"
        ),
    );
    let mut sources = Sources::default();
    let loaded = load(&bench.folder.join("sheet.ron"), &mut sources).expect("loads");
    let editions = Editions::resolve(loaded, &Filter::default(), &mut sources).expect("resolves");
    let planned = editions
        .plan(editions.variants().next().expect("an edition"))
        .unwrap_or_else(|e| panic!("{what}: {}", e.message));
    let sheet = planned.place(&editions.workshop());
    none(&what, texts_clear(&sheet));
    none(&what, inside_the_page(&sheet));
    none(&what, readable(&sheet, floor));
}

#[test]
fn texts_keep_clear() {
    for style in ["plate", "catalogue"] {
        for (page, floors) in
            [("A6", [1.0, 1.8, 2.2]), ("A5", [1.8, 2.4, 2.8]), ("A3", [1.8, 2.6, 3.6])]
        {
            for floor in floors {
                placed(style, page, floor, true);
                placed(style, page, floor, false);
            }
        }
    }
}
