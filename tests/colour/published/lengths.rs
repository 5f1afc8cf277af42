//! ISO 32000-1:2008, 8.3.2.3: one unit of default user space is 1/72 inch.
//! W3C CSS Values and Units Level 3, 5.2 'Absolute lengths': 1in = 2.54cm =
//! 96px, 1pt = 1/72 in. ISO/IEC 15948 (PNG), 11.3.5.3 'pHYs': pixels per unit,
//! unit 1 is the metre; its note on rounding makes 300 dpi 11811 and 100 dpi
//! 3937 (300 / 0.0254 = 11811.02, 100 / 0.0254 = 3937.01). Sections from memory.

use shadecard::units::{Dpi, css_px_to_mm, mm_to_pt, pt_to_mm};

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn pdf_user_space() {
    assert!(near(mm_to_pt(25.4), 72.0));
    assert!(near(pt_to_mm(1.0), 0.352_777_777_777_778));
    // 5 pt, the least type.
    assert!(near(pt_to_mm(5.0), 1.763_888_888_888_889));
    // A4 as PDF producers round it: 595.276 x 841.890.
    assert!((mm_to_pt(210.0) - 595.276).abs() < 5e-4);
    assert!((mm_to_pt(297.0) - 841.890).abs() < 5e-4);
}

#[test]
fn css_pixels() {
    assert!(near(css_px_to_mm(96.0), 25.4));
    // 1px = 1/96 in = 0.75pt.
    assert!(near(css_px_to_mm(1.0), pt_to_mm(0.75)));
}

#[test]
fn png_physical_size() {
    assert_eq!(Dpi::PRINT.get(), 300);
    assert_eq!(Dpi::PREVIEW.get(), 100);
    assert_eq!(Dpi::PRINT.px_per_metre(), 11811);
    assert_eq!(Dpi::PREVIEW.px_per_metre(), 3937);
    assert_eq!(Dpi::new(72).map(Dpi::px_per_metre), Some(2835));
    // Letter at 300 dpi.
    assert_eq!((Dpi::PRINT.pixels(215.9), Dpi::PRINT.pixels(279.4)), (2550, 3300));
}
