//! A range of more parts than one sheet can show: what the sheet shows of it is found.

use std::fmt::Write as _;

use shadecard::diag::{Findings, Sources};
use shadecard::edition::{Editions, Filter};
use shadecard::plan::Report;
use shadecard::range::load;

const DISC: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><circle cx='4.5' cy='4.5' r='4.5'/></svg>";

/// 200 parts; eight colours, each made in the parts `from..to`.
fn editions(from: usize, to: usize, columns: &str) -> Result<(Editions, Sources), Findings> {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let mut range =
        String::from("Range(listings: [(key: \"w\")], families: [(key: \"f\")],\nparts: [");
    for p in 0..200 {
        let side = if p % 2 == 0 { "left" } else { "right" };
        write!(range, "(key: \"p{p}\", numbers: {{\"w\": \"{p}\"}}, role: \"r{p}\", side: {side}, shape: \"disc.svg\"),").unwrap();
    }
    let (mut colours, mut rows) = (String::new(), String::new());
    for c in 0..8 {
        write!(colours, "(key: \"c{c}\", names: {{\"w\": \"Name {c}\"}}, value: \"#10{c}0a0\"),")
            .unwrap();
        let marks: String =
            (0..200).map(|p| if (from..to).contains(&p) { 'x' } else { '.' }).collect();
        write!(rows, "\"c{c}\": \"{marks}\",").unwrap();
    }
    write!(range, "],\ncolours: [{colours}],\nmade: (rows: {{{rows}}}))").unwrap();
    let sheet = format!(
        "Sheet(range: \"range.ron\", title: \"T\", families: [(family: \"f\", columns: {columns})], editions: [(name: \"e\", layout: \"a3\")])"
    );
    std::fs::write(at.join("range.ron"), range).unwrap();
    std::fs::write(at.join("sheet.ron"), sheet).unwrap();
    std::fs::write(at.join("disc.svg"), DISC).unwrap();
    let mut sources = Sources::default();
    let loaded = load(&at.join("sheet.ron"), &mut sources).expect("it loads");
    Ok((Editions::resolve(loaded, &Filter::default(), &mut sources)?, sources))
}

#[test]
fn parts_past_the_128th_are_shown() {
    for columns in [
        "Choose()",
        "Choose(from: [\"p150\", \"p151\", \"p152\", \"p153\"])",
        "Given(left: [\"p152\", \"p150\"], right: [\"p151\", \"p153\"])",
    ] {
        let (editions, _) = editions(150, 154, columns).expect("editions");
        let planned = editions.plan_all().expect("a plan");
        let report = Report::new(&planned[0].variants[0].facts, &planned[0].plan);
        assert_eq!(report.samples, 8 * 4, "{columns}");
        let mut labels: Vec<String> =
            report.columns.iter().flat_map(|c| c.left.iter().chain(&c.right)).cloned().collect();
        if columns.starts_with("Given") {
            assert_eq!(labels, ["152", "150", "151", "153"]);
        }
        labels.sort();
        assert_eq!(labels, ["150", "151", "152", "153"], "{columns}");
    }
}

#[test]
fn more_than_a_sheet_can_show_is_an_error() {
    let findings = editions(10, 140, "Choose()").err().expect("an error").sorted();
    assert_eq!(findings[0].code, "too-many-parts");
    assert!(findings[0].message.contains("130 parts, more than 128"), "{findings:?}");
}
