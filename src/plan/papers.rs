//! Standard sheet sizes, portrait, mm.
//!
//! ISO 216:2007 (A and B series); ANSI/ASME Y14.1 (Letter, Tabloid, C to E)
//! with 1 in = 25.4 mm; Legal and the architectural sizes are common practice
//! in North America, no source; 12 x 16, 18 x 24 and 24 x 36 in are common
//! poster and frame sizes, no source.

use crate::diag::nearest;

/// A named sheet size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paper {
    pub name: &'static str,
    pub width: f64,
    pub height: f64,
}

const fn mm(name: &'static str, width: f64, height: f64) -> Paper {
    Paper { name, width, height }
}

const fn inches(name: &'static str, width: f64, height: f64) -> Paper {
    Paper {
        name,
        width: width * crate::units::MM_PER_INCH,
        height: height * crate::units::MM_PER_INCH,
    }
}

/// Every size that is offered, smallest area first within a series.
pub const PAPERS: &[Paper] = &[
    mm("A6", 105.0, 148.0),
    mm("A5", 148.0, 210.0),
    mm("B5", 176.0, 250.0),
    mm("A4", 210.0, 297.0),
    inches("Letter", 8.5, 11.0),
    inches("Legal", 8.5, 14.0),
    mm("B4", 250.0, 353.0),
    mm("A3", 297.0, 420.0),
    inches("Tabloid", 11.0, 17.0),
    inches("12x16in", 12.0, 16.0),
    mm("B3", 353.0, 500.0),
    mm("A2", 420.0, 594.0),
    inches("ANSI-C", 17.0, 22.0),
    inches("18x24in", 18.0, 24.0),
    mm("B2", 500.0, 707.0),
    mm("A1", 594.0, 841.0),
    inches("ANSI-D", 22.0, 34.0),
    inches("24x36in", 24.0, 36.0),
    mm("B1", 707.0, 1000.0),
    inches("ARCH-E1", 30.0, 42.0),
    mm("A0", 841.0, 1189.0),
    inches("ANSI-E", 34.0, 44.0),
    inches("ARCH-E", 36.0, 48.0),
    mm("B0", 1000.0, 1414.0),
];

/// The paper of a name, in any case.
pub fn paper(name: &str) -> Option<Paper> {
    PAPERS.iter().copied().find(|p| p.name.eq_ignore_ascii_case(name))
}

/// The help for the name of an unknown paper.
pub fn meant(name: &str) -> String {
    let names = || PAPERS.iter().map(|p| p.name);
    match nearest(name, names()) {
        Some(near) => format!("did you mean '{near}'?"),
        None => format!("use one of {}", names().collect::<Vec<_>>().join(", ")),
    }
}
