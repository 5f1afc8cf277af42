//! Images at another size: in linear light, their colours weighted by what is opaque, so that edges have
//! neither halos nor a colour of what is transparent.

use fast_image_resize::images::TypedImage;
use fast_image_resize::pixels::U16x4;
use fast_image_resize::{FilterType, ResizeAlg, ResizeOptions, Resizer};
use kurbo::Rect;

use super::{Light, Pixels};

/// What of an image is wanted, and how large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resized {
    /// A part of the image in its own pixels; beyond its edges everything is transparent.
    pub window: Rect,
    /// Pixels that the window comes out as, across and down, at least one.
    pub size: (u32, u32),
}

impl Resized {
    /// A whole image.
    pub fn whole(pixels: &Pixels, size: (u32, u32)) -> Resized {
        let window = Rect::new(0.0, 0.0, pixels.width.into(), pixels.height.into());
        Resized { window, size }
    }

    /// The filter: one that never overshoots where there is less than before, since that makes lines along
    /// edges; one that is smooth where there is more.
    fn filter(&self) -> FilterType {
        let (across, down) = (f64::from(self.size.0), f64::from(self.size.1));
        let grows = across > self.window.width() * 1.001 || down > self.window.height() * 1.001;
        if grows { FilterType::Mitchell } else { FilterType::Hamming }
    }
}

/// The pixels of an image at another size; none where a side is empty.
pub fn resized(pixels: &Pixels, wanted: Resized, light: &Light) -> Option<Pixels> {
    let Resized { window, size } = wanted;
    if window == Resized::whole(pixels, size).window && size == (pixels.width, pixels.height) {
        return Some(pixels.clone());
    }
    if size.0 == 0 || size.1 == 0 || window.width() <= 0.0 || window.height() <= 0.0 {
        return None;
    }
    let around = Around::new(pixels, window)?;
    let source = around.linear(pixels, light)?;
    let mut target = TypedImage::<U16x4>::new(size.0, size.1);
    let (left, top) = (window.x0 + around.left, window.y0 + around.top);
    // Rounding may put an edge a hair beyond what there is.
    let most = (f64::from(around.width), f64::from(around.height));
    let options = ResizeOptions::new()
        .resize_alg(ResizeAlg::Convolution(wanted.filter()))
        .use_alpha(false)
        .crop(left, top, window.width().min(most.0 - left), window.height().min(most.1 - top));
    Resizer::new().resize_typed(&source, &mut target, &options).ok()?;
    let rgba = target.pixels().iter().flat_map(|p| straight(p.0, light)).collect();
    Some(Pixels { width: size.0, height: size.1, rgba })
}

/// How far a window reaches beyond an image, whole pixels.
struct Around {
    left: f64,
    top: f64,
    width: u32,
    height: u32,
}

impl Around {
    fn new(pixels: &Pixels, window: Rect) -> Option<Around> {
        let beyond = |by: f64| by.max(0.0).ceil();
        let (left, top) = (beyond(-window.x0), beyond(-window.y0));
        let (w, h) = (f64::from(pixels.width), f64::from(pixels.height));
        let (width, height) = (left + w + beyond(window.x1 - w), top + h + beyond(window.y1 - h));
        // No page asks for more than some pixels beyond.
        let most = |v: f64| (v <= 1e5).then_some(v as u32);
        Some(Around { left, top, width: most(width)?, height: most(height)? })
    }

    /// The image in linear light, multiplied by its alpha, with transparent pixels around it.
    fn linear(&self, pixels: &Pixels, light: &Light) -> Option<TypedImage<'static, U16x4>> {
        let (width, height) = (self.width as usize, self.height as usize);
        let mut all = vec![U16x4::default(); width * height];
        let rows = pixels.rgba.chunks_exact(pixels.width.max(1) as usize * 4);
        let targets = all.chunks_exact_mut(width).skip(self.top as usize);
        for (row, target) in rows.zip(targets) {
            for (p, to) in row.chunks_exact(4).zip(&mut target[self.left as usize..]) {
                to.0 = premultiplied([p[0], p[1], p[2], p[3]], light);
            }
        }
        TypedImage::from_pixels(self.width, self.height, all).ok()
    }
}

fn premultiplied([r, g, b, a]: [u8; 4], light: &Light) -> [u16; 4] {
    if a == 255 {
        return [light.of(r), light.of(g), light.of(b), 65535];
    }
    let share = |v: u8| ((u32::from(light.of(v)) * u32::from(a) + 127) / 255) as u16;
    [share(r), share(g), share(b), u16::from(a) * 257]
}

fn straight([r, g, b, a]: [u16; 4], light: &Light) -> [u8; 4] {
    let alpha = ((u32::from(a) + 128) / 257) as u8;
    if alpha == 0 {
        return [0; 4];
    }
    let whole = |v: u16| (u32::from(v) * 65535 / u32::from(a)).min(65535) as u16;
    let colour = |v: u16| light.byte(if a == 65535 { v } else { whole(v) });
    [colour(r), colour(g), colour(b), alpha]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(width: u32, height: u32, pixel: [u8; 4]) -> Pixels {
        Pixels { width, height, rgba: pixel.repeat((width * height) as usize) }
    }

    #[test]
    fn a_flat_colour_stays_what_it_is() {
        let light = Light::default();
        for pixel in [[7, 130, 251, 255], [1, 0, 2, 255], [90, 200, 30, 120]] {
            let image = plain(40, 31, pixel);
            for size in [(13, 9), (40, 31), (39, 30), (71, 60)] {
                let small = resized(&image, Resized::whole(&image, size), &light).expect("some");
                assert!(small.rgba.chunks_exact(4).all(|p| p == pixel), "{pixel:?} {size:?}");
            }
        }
    }

    #[test]
    fn light_is_mixed_and_what_is_transparent_has_no_colour() {
        // Black and white in turn are half the light; green that nobody sees is not in it.
        let row: Vec<u8> = [[0, 0, 0, 255], [255, 255, 255, 255]].concat().repeat(8);
        let image = Pixels { width: 16, height: 2, rgba: row.repeat(2) };
        let light = Light::default();
        let grey = resized(&image, Resized::whole(&image, (2, 1)), &light).expect("some");
        assert!(grey.rgba.chunks_exact(4).all(|p| p[0].abs_diff(188) < 4), "{:?}", grey.rgba);
        let row = [[200, 0, 0, 255].repeat(8), [0, 255, 0, 0].repeat(8)].concat();
        let image = Pixels { width: 16, height: 1, rgba: row };
        let red = resized(&image, Resized::whole(&image, (5, 1)), &light).expect("some");
        for p in red.rgba.chunks_exact(4).filter(|p| p[3] > 0) {
            assert_eq!(p[..3], [200, 0, 0], "{:?}", red.rgba);
        }
    }

    #[test]
    fn a_window_moves_by_parts_of_a_pixel() {
        let light = Light::default();
        let image = plain(8, 8, [0, 0, 0, 255]);
        // Half a pixel beyond the left edge: the first pixel is half covered.
        let window = Rect::new(-0.5, 0.0, 7.5, 8.0);
        let moved = resized(&image, Resized { window, size: (8, 8) }, &light).expect("some");
        let first: Vec<u8> = moved.rgba[3..32].iter().step_by(4).copied().collect();
        assert!(first[0].abs_diff(128) < 8 && first[1..].iter().all(|a| *a == 255), "{first:?}");
    }
}
