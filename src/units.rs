//! Lengths and resolutions: the only place with 25.4 and 72.

/// Millimetres in one inch, exact since 1959 (international yard and pound).
pub const MM_PER_INCH: f64 = 25.4;
/// PDF user-space units in one inch (ISO 32000-1, 8.3.2.3: 1/72 inch by default).
pub const PT_PER_INCH: f64 = 72.0;
/// CSS reference pixels in one inch (CSS Values and Units 3, 6.2).
pub const CSS_PX_PER_INCH: f64 = 96.0;

/// Millimetres to PDF points, in double precision.
pub fn mm_to_pt(mm: f64) -> f64 {
    mm * PT_PER_INCH / MM_PER_INCH
}

/// PDF points to millimetres.
pub fn pt_to_mm(pt: f64) -> f64 {
    pt * MM_PER_INCH / PT_PER_INCH
}

/// Millimetres in one CSS pixel, the user unit of an SVG without a viewBox.
pub fn css_px_to_mm(px: f64) -> f64 {
    px * MM_PER_INCH / CSS_PX_PER_INCH
}

/// How far the shape of a picture may be from that of its page, as a share. Pages in whole
/// millimetres and in whole inches differ by up to 0.16 % (305 x 406 mm, 12 x 16 in).
const MOST_STRETCH: f64 = 0.0025;

/// A print resolution in dots per inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dpi(u32);

impl Dpi {
    /// The resolution of the free preview.
    pub const PREVIEW: Dpi = Dpi(100);
    /// The resolution of the pictures of label sheets: that of CSS, so that a screen shows about true size.
    pub const PROOF: Dpi = Dpi(96);
    /// The resolution that print houses ask for.
    pub const PRINT: Dpi = Dpi(300);

    /// A resolution between 10 and 1200 dpi.
    pub fn new(dpi: u32) -> Option<Dpi> {
        (10..=1200).contains(&dpi).then_some(Dpi(dpi))
    }

    /// Dots per inch.
    pub fn get(self) -> u32 {
        self.0
    }

    /// Pixels in one millimetre.
    pub fn px_per_mm(self) -> f64 {
        f64::from(self.0) / MM_PER_INCH
    }

    /// The whole number of pixels nearest to a length in millimetres.
    ///
    /// 300 dpi is three times the 100 dpi count, so that a preview is an
    /// exact 3 x 3 reduction of the print file.
    pub fn pixels(self, mm: f64) -> u32 {
        if self.0.is_multiple_of(100) {
            let base = (mm / MM_PER_INCH * 100.0).round() as u32;
            return base * (self.0 / 100);
        }
        (mm * self.px_per_mm()).round() as u32
    }

    /// The resolution, to the nearest whole one, at which a page of `size` mm has so many pixels.
    /// `None` where that is not 10 to 1200, or the pixels have another shape than the page.
    pub fn of(size: (f64, f64), pixels: (u32, u32)) -> Option<Dpi> {
        let dpi = |px: u32, mm: f64| f64::from(px) * MM_PER_INCH / mm;
        let (across, down) = (dpi(pixels.0, size.0), dpi(pixels.1, size.1));
        let alike = (across / down - 1.0).abs() <= MOST_STRETCH;
        Dpi::new(((across + down) / 2.0).round() as u32).filter(|_| alike)
    }

    /// Pixels in one metre, rounded, as the PNG pHYs chunk counts them.
    pub fn px_per_metre(self) -> u32 {
        (self.px_per_mm() * 1000.0).round() as u32
    }
}

impl std::fmt::Display for Dpi {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}dpi", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inch_is_seventy_two_points() {
        assert_eq!(mm_to_pt(25.4), 72.0);
        assert_eq!(pt_to_mm(72.0), 25.4);
    }

    #[test]
    fn print_pixels_are_three_times_the_preview() {
        for mm in [210.0, 215.9, 297.0, 457.0, 610.0, 914.0] {
            assert_eq!(Dpi::PRINT.pixels(mm), 3 * Dpi::PREVIEW.pixels(mm));
        }
        assert_eq!(Dpi::PRINT.pixels(215.9), 2550);
    }

    #[test]
    fn pixels_name_a_resolution_where_they_have_the_shape_of_the_page() {
        let poster = |w, h| Dpi::of((610.0, 914.0), (w, h)).map(Dpi::get);
        assert_eq!(poster(7200, 10800), Some(300));
        assert_eq!(poster(3600, 5400), Some(150));
        assert_eq!(Dpi::of((305.0, 406.0), (3600, 4800)), Some(Dpi::PRINT));
        // Another shape; too coarse; nothing.
        for (w, h) in [(7200, 10000), (7200, 10840), (72, 108), (0, 0), (10800, 7200)] {
            assert_eq!(poster(w, h), None, "{w} x {h}");
        }
    }
}
