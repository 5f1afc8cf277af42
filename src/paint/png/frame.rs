//! How large a picture of a page is: its pixels, its resolution, and what of the page it shows.

use crate::units::Dpi;

/// What is drawn of a page, and at which size. Files of one canvas come from one drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canvas {
    /// Pixels.
    pub width: u32,
    pub height: u32,
    /// Pixels in a millimetre, across and down.
    pub scale: (f64, f64),
    /// How far it reaches over the trim on each side, mm.
    pub bleed: f64,
}

/// The size of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Pixels.
    pub width: u32,
    pub height: u32,
    /// The resolution that its file states.
    pub dpi: Dpi,
    pub canvas: Canvas,
    /// 1, or 3 for a picture that is the 3 x 3 mean of its canvas.
    pub by: u32,
}

impl Frame {
    /// Of a page with its bleed (width, height and bleed in mm; 0 for the trimmed page) at a
    /// resolution. 100 dpi is the 3 x 3 mean of 300 dpi.
    pub fn at(page: (f64, f64), bleed: f64, dpi: Dpi) -> Frame {
        let (drawn, by) = if dpi == Dpi::PREVIEW { (Dpi::PRINT, 3) } else { (dpi, 1) };
        let pixels = |mm: f64| drawn.pixels(mm + 2.0 * bleed).max(3);
        let (width, height) = (pixels(page.0), pixels(page.1));
        let scale = (drawn.px_per_mm(), drawn.px_per_mm());
        let canvas = Canvas { width, height, scale, bleed };
        Frame { width: width / by, height: height / by, dpi, canvas, by }
    }

    /// Of a page that comes out at exactly `pixels` at the resolution that [`Dpi::of`] finds, and
    /// at another one in proportion. The page is stretched a little to fill them. `None` where
    /// these pixels are no picture of the page.
    pub fn named(page: (f64, f64), bleed: f64, pixels: (u32, u32), asked: Dpi) -> Option<Frame> {
        let own = Dpi::of((page.0 + 2.0 * bleed, page.1 + 2.0 * bleed), pixels)?;
        let (own, dpi) = (own.get(), asked.get());
        let share = |n: u32| f64::from(n) * f64::from(dpi) / f64::from(own);
        // Drawn as named, at a third of it, or at a size of its own; previews from three times that.
        let (whole, by) = match dpi {
            _ if dpi == own => (pixels, 1),
            _ if dpi * 3 == own => (pixels, 3),
            _ if asked == Dpi::PREVIEW => {
                let whole = |n: u32| 3 * share(n).round() as u32;
                ((whole(pixels.0), whole(pixels.1)), 3)
            }
            _ => ((share(pixels.0).round() as u32, share(pixels.1).round() as u32), 1),
        };
        let scale = |px: u32, mm: f64| f64::from(px) / (mm + 2.0 * bleed);
        // What is drawn are whole threes, so that a picture is the same with a preview and without.
        let threes = |n: u32| n.max(1).div_ceil(3) * 3;
        let canvas = Canvas {
            width: threes(whole.0),
            height: threes(whole.1),
            scale: (scale(whole.0, page.0), scale(whole.1, page.1)),
            bleed,
        };
        let size = |n: u32| n.max(1).div_ceil(by);
        Some(Frame { width: size(whole.0), height: size(whole.1), dpi: asked, canvas, by })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::MM_PER_INCH;

    const POSTER: (f64, f64) = (610.0, 914.0);

    fn dpi(n: u32) -> Dpi {
        Dpi::new(n).expect("in range")
    }

    #[test]
    fn named_pixels_are_exact_and_a_preview_is_a_third() {
        let named = |n: u32| Frame::named(POSTER, 0.0, (7200, 10800), dpi(n)).expect("a shape");
        assert_eq!((named(300).width, named(300).height), (7200, 10800));
        assert_eq!((named(100).width, named(100).height), (2400, 3600));
        assert_eq!((named(150).width, named(150).height), (3600, 5400));
        assert_eq!(named(300).canvas, named(100).canvas);
        // Not whole threes: the preview is rounded up, the print is as named.
        let odd = |n: u32| Frame::named((210.0, 297.0), 0.0, (2480, 3508), dpi(n)).expect("A4");
        assert_eq!((odd(300).width, odd(300).height), (2480, 3508));
        assert_eq!((odd(100).width, odd(100).height), (827, 1170));
        assert_eq!(odd(300).canvas, odd(100).canvas);
    }

    #[test]
    fn a_page_fills_its_pixels_to_the_edge() {
        // 3 mm of bleed on A4: 216 x 303 mm.
        for (page, bleed, pixels) in
            [(POSTER, 0.0, (7200, 10800)), ((210.0, 297.0), 3.0, (2551, 3579))]
        {
            let frame = Frame::named(page, bleed, pixels, dpi(300)).expect("a shape");
            let (sx, sy) = frame.canvas.scale;
            assert!(((page.0 + 2.0 * bleed) * sx - f64::from(pixels.0)).abs() < 1e-6);
            assert!(((page.1 + 2.0 * bleed) * sy - f64::from(pixels.1)).abs() < 1e-6);
        }
    }

    #[test]
    fn inches_are_whole_pixels() {
        // 24 x 36 in at 300 dpi.
        let page = (24.0 * MM_PER_INCH, 36.0 * MM_PER_INCH);
        let frame = Frame::at(page, 0.0, Dpi::PRINT);
        assert_eq!((frame.width, frame.height), (7200, 10800));
        let preview = Frame::at(page, 0.0, Dpi::PREVIEW);
        assert_eq!((preview.width, preview.height, preview.by), (2400, 3600, 3));
    }
}
