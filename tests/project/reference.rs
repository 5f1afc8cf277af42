//! The reference in `docs` is complete and true: its samples load, and every field
//! that the reader knows is in them.

use std::collections::BTreeSet;
use std::path::Path;

use shadecard::diag::Sources;
use shadecard::plan::Layout;

/// The text of the block ```` ```ron NAME ````.
fn sample(name: &str) -> String {
    block("ron", name)
}

fn block(kind: &str, name: &str) -> String {
    let start = format!("```{kind} {name}\n");
    let pages = std::fs::read_dir("docs").expect("docs").map(|e| e.expect("an entry").path());
    let pages = pages.filter(|p| p.extension().is_some_and(|e| e == "md"));
    let mut with = pages
        .map(|p| std::fs::read_to_string(p).expect("readable"))
        .filter(|text| text.contains(&start));
    let page = with.next().unwrap_or_else(|| panic!("a sample '{name}'"));
    assert!(with.next().is_none(), "two samples '{name}'");
    let body = &page[page.find(&start).expect("found")..];
    let body = &body[body.find('\n').expect("a line") + 1..];
    body[..body.find("```").expect("an end")].to_owned()
}

/// Field names of the structs of a source file, those in `skip` left out.
fn fields(file: &str, skip: &[&str]) -> BTreeSet<String> {
    let tree = syn::parse_file(&std::fs::read_to_string(file).expect("readable")).expect("Rust");
    let mut out = BTreeSet::new();
    for item in tree.items {
        let syn::Item::Struct(s) = item else { continue };
        let derives = |a: &syn::Attribute| {
            let list = a.meta.require_list().map(|l| l.tokens.to_string()).unwrap_or_default();
            a.path().is_ident("derive") && list.contains("Deserialize")
        };
        let reads = s.attrs.iter().any(derives);
        if !reads || skip.iter().any(|name| s.ident == name) {
            continue;
        }
        for field in s.fields {
            out.extend(field.ident.map(|i| i.to_string()));
        }
    }
    out
}

fn assert_named(fields: &BTreeSet<String>, texts: &str) {
    let missing: Vec<_> = fields.iter().filter(|f| !texts.contains(&format!("{f}:"))).collect();
    assert!(missing.is_empty(), "the reference in docs lacks {missing:?}");
}

#[test]
fn every_field_of_range_and_sheet_is_in_the_reference() {
    // Words are written as a text or as Forms(...), not by field.
    let fields = fields("src/read/raw.rs", &["Spelling", "Numbers", "Words"]);
    assert!(fields.len() > 40, "{fields:?}");
    assert_named(&fields, &(sample("range") + &sample("tables") + &sample("sheet")));
}

#[test]
fn every_field_of_a_layout_is_in_the_reference() {
    let fields = fields("src/plan/layout.rs", &[]);
    assert!(fields.len() > 12, "{fields:?}");
    assert_named(&fields, &sample("layout"));
    let layout =
        Layout::parse(Path::new("layout"), &sample("layout")).expect("the sample is a layout");
    assert_eq!((layout.width, layout.bleed, layout.pages), (420.0, 3.0, 2));
}

#[test]
fn every_field_of_a_label_sheet_is_in_the_reference() {
    let fields = fields("src/labels/label_sheet.rs", &[]);
    assert!(fields.len() > 25, "{fields:?}");
    // The sample has its sheet as a paper, its gap not as a pitch: those are in its comments.
    assert_named(&fields, &sample("labels"));
    let label_sheet = shadecard::labels::LabelSheet::parse(Path::new("sample"), &sample("labels"));
    let label_sheet = label_sheet.expect("the sample is a label sheet");
    assert_eq!((label_sheet.columns(), label_sheet.rows(), label_sheet.lines()), (3, 7, 3));
    assert_eq!(label_sheet.frame(), Some(3.0));
}

#[test]
fn the_samples_load() {
    let folder = tempfile::tempdir().expect("a folder");
    for made in ["shapes", "pictures"] {
        std::fs::create_dir(folder.path().join(made)).expect("made");
    }
    std::fs::copy("tests/sheets/shapes/disc.svg", folder.path().join("shapes/disc.svg"))
        .expect("copied");
    std::fs::write(folder.path().join("range.ron"), sample("range")).expect("written");
    let sheet = folder.path().join("sheet.ron");
    std::fs::write(&sheet, sample("sheet")).expect("written");
    let mut sources = Sources::default();
    let loaded =
        shadecard::range::load(Path::new(&sheet), &mut sources).unwrap_or_else(|findings| {
            panic!("{}", shadecard::diag_print::render(&findings.sorted(), &sources, false))
        });
    assert_eq!(loaded.sheet.colour_count(), 2);
    assert_eq!(loaded.range.parts().len(), 2);
    assert_eq!(loaded.sheet.left_out().len(), 1);
}

#[test]
fn the_tables_load() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    std::fs::create_dir(at.join("shapes")).expect("made");
    std::fs::copy("tests/sheets/shapes/disc.svg", at.join("shapes/disc.svg")).expect("copied");
    std::fs::write(at.join("range.ron"), sample("tables")).expect("written");
    for table in ["colours.csv", "made.csv"] {
        std::fs::write(at.join(table), block("csv", table)).expect("written");
    }
    let sheet = "Sheet(range: \"range.ron\", editions: [(name: \"a4\", layout: \"a4\")])";
    std::fs::write(at.join("sheet.ron"), sheet).expect("written");
    let mut sources = Sources::default();
    let loaded = shadecard::range::load(&at.join("sheet.ron"), &mut sources).expect("it loads");
    assert!(loaded.warnings.is_empty(), "{:?}", loaded.warnings);
    assert_eq!(loaded.range.made(), &[vec![true, true], vec![true, false], vec![false, true]]);
    assert_eq!(loaded.range.years().len(), 1);
}
