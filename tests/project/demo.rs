//! The demo loads, and holds what its comments and the guide say.

use std::collections::BTreeMap;
use std::path::Path;

use shadecard::diag::Sources;
use shadecard::diag_print::render;
use shadecard::range::{Loaded, load};

fn open(file: &str) -> Loaded {
    let mut sources = Sources::default();
    let path = Path::new(file);
    match load(path, &mut sources) {
        Ok(loaded) => {
            assert!(
                loaded.warnings.is_empty(),
                "{}",
                render(&loaded.warnings.sorted(), &sources, false)
            );
            loaded
        }
        Err(findings) => panic!("{}", render(&findings.sorted(), &sources, false)),
    }
}

#[test]
fn the_haberdashery_loads() {
    let Loaded { range, sheet, .. } = open("demo/haberdashery/sheet.ron");
    let sizes: Vec<usize> = sheet.families().iter().map(|f| f.rows().len()).collect();
    assert_eq!(sizes, [48, 26, 13, 12, 18, 2]);
    assert_eq!(sheet.colour_count(), 119);
    assert_eq!(sheet.left_out().len(), 9);
    assert_eq!(sheet.editions().len(), 5);
    assert_eq!(range.parts().len(), 16);
    for listing in 0..2 {
        let mut names = BTreeMap::new();
        for c in range.colours() {
            if let Some(n) = &c.names()[listing].value {
                assert!(names.insert(n.text.clone(), c.key().clone()).is_none(), "{}", n.text);
                assert!(n.text.chars().count() <= 18, "{}", n.text);
            }
        }
    }
    assert_eq!(open("demo/haberdashery/gloss-only.ron").sheet.colour_count(), 48);
}

#[test]
fn the_named_colours_load() {
    let mut sources = Sources::default();
    let loaded = load(Path::new("demo/css-colours/sheet.ron"), &mut sources);
    let Loaded { range, sheet, warnings } =
        loaded.unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)));
    assert_eq!(sheet.colour_count(), 148);
    // Some values have two names, and the number is the value.
    assert!(warnings.sorted().iter().all(|d| d.code == "double-number"));
    for c in range.colours() {
        assert_eq!(c.numbers()[0].as_deref(), Some(c.rgb().hex().as_str()));
    }
}

#[test]
fn years_and_forms_take_effect() {
    use shadecard::range::{ColourId, PartId};
    use shadecard::spelling::Spelling;
    let Loaded { range, .. } = open("demo/haberdashery/sheet.ron");
    let colour = |key: &str| ColourId(range.colours().iter().position(|c| c.key() == key).unwrap());
    let part = |key: &str| PartId(range.parts().iter().position(|p| p.key() == key).unwrap());
    // Marked as made, but only up to 2024 or from 2027: the sheet shows 2026.
    assert!(!range.is_made(colour("beadlet"), part("t18")));
    assert!(!range.is_made(colour("sloe-wine"), part("s9")));
    assert!(range.is_made(colour("gannet"), part("b9")));
    let folder = Path::new("demo/haberdashery");
    let [gb, us] =
        ["en-GB", "en-US"].map(|t| Spelling::load(t, folder, &mut Sources::default()).unwrap());
    let name = |s: &Spelling, key: &str, listing: usize| {
        s.apply(range.colour(colour(key)).names()[listing].as_ref().unwrap())
    };
    assert_eq!(name(&gb, "promenade-grey", 0), "Promenade Grey");
    assert_eq!(name(&us, "promenade-grey", 0), "Boardwalk Gray");
    assert_eq!(name(&us, "tideline-grey", 0), "Tideline Gray");
    assert_eq!(name(&us, "lichen-wall", 1), "Harbor Crust");
    assert_eq!(name(&us, "silver-eel", 1), "Mole-gray");
    assert_eq!(name(&us, "bilge-chain", 1), "Galvanized");
}

#[test]
fn no_blank_is_left_unfilled_in_any_spelling() {
    use shadecard::edition::{Editions, Filter};
    use shadecard::sheet::ItemKind;
    let mut sources = Sources::default();
    let loaded = load(Path::new("demo/haberdashery/sheet.ron"), &mut sources).expect("loads");
    let editions = Editions::resolve(loaded, &Filter::default(), &mut sources).expect("resolves");
    let workshop = editions.workshop();
    for entry in editions.variants().filter(|e| e.name() == "a4" || e.name() == "true-scale") {
        let sheet = editions.plan(entry).expect("fits").place(&workshop);
        for item in &sheet.pages[0].items {
            if let ItemKind::Text(text) = &item.kind {
                assert!(!text.string.contains(['{', '[']), "{}: {}", entry.stem(), text.string);
            }
        }
    }
}
