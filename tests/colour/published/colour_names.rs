//! W3C CSS Color Module Level 4, section 'Named Colors': names and values,
//! written here from memory of the recommendation, not from the demo.

use std::path::Path;

use shadecard::diag::Sources;
use shadecard::edition::{Editions, Filter};
use shadecard::range::load;
use shadecard::sheet::{FillRule, ItemKind, Rgb, Role};

const NAMED: [(&str, [u8; 3]); 30] = [
    ("aliceblue", [240, 248, 255]),
    ("aquamarine", [127, 255, 212]),
    ("bisque", [255, 228, 196]),
    ("black", [0, 0, 0]),
    ("burlywood", [222, 184, 135]),
    ("chartreuse", [127, 255, 0]),
    ("cornflowerblue", [100, 149, 237]),
    ("crimson", [220, 20, 60]),
    ("darkslategray", [47, 79, 79]),
    ("deeppink", [255, 20, 147]),
    ("dodgerblue", [30, 144, 255]),
    ("firebrick", [178, 34, 34]),
    ("gold", [255, 215, 0]),
    ("gray", [128, 128, 128]),
    ("honeydew", [240, 255, 240]),
    ("indigo", [75, 0, 130]),
    ("khaki", [240, 230, 140]),
    ("lime", [0, 255, 0]),
    ("maroon", [128, 0, 0]),
    ("mediumaquamarine", [102, 205, 170]),
    ("navy", [0, 0, 128]),
    ("olive", [128, 128, 0]),
    ("papayawhip", [255, 239, 213]),
    ("peru", [205, 133, 63]),
    ("rebeccapurple", [102, 51, 153]),
    ("seagreen", [46, 139, 87]),
    ("teal", [0, 128, 128]),
    ("tomato", [255, 99, 71]),
    ("white", [255, 255, 255]),
    ("yellowgreen", [154, 205, 50]),
];

fn rgb([r, g, b]: [u8; 3]) -> Rgb {
    Rgb(r, g, b)
}

#[test]
fn the_demo_has_the_published_values() {
    let loaded = load(Path::new("demo/css-colours/sheet.ron"), &mut Sources::default());
    let loaded = loaded.expect("the demo loads");
    for (name, value) in NAMED {
        let found = loaded.range.colours().iter().find(|c| c.key() == name);
        assert_eq!(found.map(|c| c.rgb()), Some(rgb(value)), "{name}");
    }
}

#[test]
fn the_chips_on_the_page_have_the_published_values() {
    let mut sources = Sources::default();
    let loaded = load(Path::new("demo/css-colours/sheet.ron"), &mut sources).expect("loads");
    let filter = Filter { editions: vec!["a4".into()], ..Filter::default() };
    let editions = Editions::resolve(loaded, &filter, &mut sources).expect("resolves");
    let sheet = editions
        .plan(editions.variants().next().expect("an edition"))
        .expect("fits")
        .place(&editions.workshop());
    let published = sheet.palette.published();
    let items: Vec<_> = sheet.pages.iter().flat_map(|p| &p.items).collect();
    for (name, value) in NAMED {
        let chips =
            items.iter().filter(|i| i.role == Role::Swatch && i.origin.as_deref() == Some(name));
        let fills: Vec<Rgb> = chips
            .filter_map(|i| match &i.kind {
                ItemKind::Area(a) if a.rule == FillRule::NonZero => Some(published.of(a.fill)),
                _ => None,
            })
            .collect();
        assert_eq!(fills, [rgb(value)], "{name}");
    }
}
