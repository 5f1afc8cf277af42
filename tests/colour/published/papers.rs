//! ISO 216:2007, tables of the main series A and B (trimmed sizes, mm), from memory.
//! ANSI/ASME Y14.1, sheet sizes A to E (inches), from memory. One inch is
//! 25.4 mm exactly (international yard and pound agreement, 1959).

use shadecard::plan::papers::{PAPERS, paper};

/// Name, width and height in mm, upright.
const ISO_216: [(&str, f64, f64); 12] = [
    ("A0", 841.0, 1189.0),
    ("A1", 594.0, 841.0),
    ("A2", 420.0, 594.0),
    ("A3", 297.0, 420.0),
    ("A4", 210.0, 297.0),
    ("A6", 105.0, 148.0),
    ("A5", 148.0, 210.0),
    ("B0", 1000.0, 1414.0),
    ("B1", 707.0, 1000.0),
    ("B2", 500.0, 707.0),
    ("B3", 353.0, 500.0),
    ("B4", 250.0, 353.0),
];

/// Our name, the standard's letter, width and height in inches, upright.
const ASME_Y14_1: [(&str, char, f64, f64); 5] = [
    ("Letter", 'A', 8.5, 11.0),
    ("Tabloid", 'B', 11.0, 17.0),
    ("ANSI-C", 'C', 17.0, 22.0),
    ("ANSI-D", 'D', 22.0, 34.0),
    ("ANSI-E", 'E', 34.0, 44.0),
];

#[test]
fn iso_216() {
    for (name, width, height) in ISO_216 {
        let p = paper(name).unwrap_or_else(|| panic!("no {name}"));
        assert_eq!((p.width, p.height), (width, height), "{name}");
    }
}

/// ISO 216, 3: each size is the larger one halved across, rounded down to
/// whole mm, and the sides of the first are as 1 to the root of 2.
#[test]
fn each_size_is_half_the_next() {
    for series in ["A", "B"] {
        for n in 0..4 {
            let (Some(large), Some(small)) =
                (paper(&format!("{series}{n}")), paper(&format!("{series}{}", n + 1)))
            else {
                panic!("{series}{n}")
            };
            assert_eq!(small.height, large.width, "{series}{n}");
            assert_eq!(small.width, (large.height / 2.0).floor(), "{series}{n}");
        }
    }
    for (name, area) in [("A0", 1.0), ("B0", 2f64.sqrt())] {
        let p = paper(name).expect("a paper");
        assert!((p.width * p.height * 1e-6 - area).abs() < 0.001, "{name}");
        assert!((p.height / p.width - 2f64.sqrt()).abs() < 0.001, "{name}");
    }
}

#[test]
fn asme_y14_1() {
    for (name, letter, width, height) in ASME_Y14_1 {
        let p = paper(name).unwrap_or_else(|| panic!("no {name}"));
        assert!((p.width - width * 25.4).abs() < 1e-9, "{letter}");
        assert!((p.height - height * 25.4).abs() < 1e-9, "{letter}");
    }
}

#[test]
fn every_paper_stands_upright_and_is_found() {
    for p in PAPERS {
        assert!(p.width < p.height, "{}", p.name);
        assert_eq!(paper(&p.name.to_lowercase()), Some(*p));
    }
    assert_eq!(paper("A11"), None);
}
