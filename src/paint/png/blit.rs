//! A strip of the page in memory, and colour put onto it.

use kurbo::Rect;

use super::image::ImageStamp;
use super::ramp::Colours;
use super::stamp::Stamp;
use crate::sheet::Rgb;

/// What a stamp is printed with.
pub enum Ink<'a> {
    /// One colour, and how much of it hides what lies below, 0 to 255.
    Solid(Rgb, u8),
    /// The colours along a gradient.
    Ramp(&'a Colours, u8),
}

/// Where a strip lies on a page, in pixels.
#[derive(Debug, Clone, Copy)]
pub struct Band {
    /// Of the page.
    pub width: u32,
    /// The first row, and how many.
    pub top: u32,
    pub rows: u32,
}

/// Rows of RGB pixels.
pub struct Strip {
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
    width: i64,
    top: i64,
    rows: i64,
    /// Columns that may be drawn on: from the first to before the second.
    open: (i64, i64),
}

impl Strip {
    /// White, in the memory of an older strip.
    pub fn new(mut rgb: Vec<u8>, band: Band) -> Strip {
        rgb.clear();
        rgb.resize(band.width as usize * band.rows as usize * 3, 255);
        Strip::drawn(rgb, band)
    }

    /// As it was drawn before.
    pub fn drawn(rgb: Vec<u8>, Band { width, top, rows }: Band) -> Strip {
        let (width, top, rows) = (width.into(), top.into(), rows.into());
        Strip { rgb, width, top, rows, open: (0, width) }
    }

    /// Whitens columns `from` to before `to`, and opens them alone to what is drawn next.
    pub fn open(&mut self, from: i64, to: i64) {
        let (from, to) = (from.clamp(0, self.width), to.clamp(0, self.width));
        self.open = (from, to.max(from));
        for y in self.top..self.top + self.rows {
            self.pixels(y, from, to.max(from)).fill(255);
        }
    }

    /// The rows it holds of a thing `y` rows from the page's top, seen from there.
    pub fn rows_from(&self, y: i64) -> (i64, i64) {
        (self.top - y, self.top + self.rows - y)
    }

    /// Prints a stamp whose origin is at column `x` and row `y` of the page.
    pub fn print(&mut self, stamp: &Stamp, x: i64, y: i64, ink: &Ink<'_>) {
        let (from, to) = self.rows_from(y);
        for run in stamp.rows(from, to) {
            let left = x + i64::from(run.x);
            let (first, last) = self.open;
            let (begin, end) = (left.max(first), (left + i64::from(run.len)).min(last));
            if begin >= end {
                continue;
            }
            let part = (begin - left) as usize..(end - left) as usize;
            let cover = stamp.cover(run).map(|c| &c[part.clone()]);
            let row = self.pixels(y + i64::from(run.y), begin, end);
            match (ink, cover) {
                (Ink::Solid(rgb, 255), None) => flood(row, *rgb),
                (Ink::Solid(rgb, opacity), None) => tint(row, *rgb, *opacity),
                (Ink::Solid(Rgb(r, g, b), opacity), Some(cover)) => {
                    for (pixel, c) in row.chunks_exact_mut(3).zip(cover) {
                        mix(pixel, [*r, *g, *b], share(*c, *opacity));
                    }
                }
                (Ink::Ramp(colours, opacity), None) => {
                    for (pixel, t) in row.chunks_exact_mut(3).zip(&stamp.along(run)[part]) {
                        mix(pixel, colours[usize::from(*t)], *opacity);
                    }
                }
                (Ink::Ramp(colours, opacity), Some(cover)) => {
                    let along = &stamp.along(run)[part];
                    for ((pixel, t), c) in row.chunks_exact_mut(3).zip(along).zip(cover) {
                        mix(pixel, colours[usize::from(*t)], share(*c, *opacity));
                    }
                }
            }
        }
    }

    /// Prints an image at its place.
    pub fn image(&mut self, stamp: &ImageStamp) {
        let ImageStamp { left, top, ref pixels } = *stamp;
        let (first, last) = self.open;
        let right = left + i64::from(pixels.width);
        let (begin, end) = (left.max(first), right.min(last));
        let (from, to) = self.rows_from(top);
        let (from, to) = (from.max(0), to.min(pixels.height.into()));
        if begin >= end {
            return;
        }
        let wide = pixels.width as usize * 4;
        let part = (begin - left) as usize * 4..(end - left) as usize * 4;
        for y in from..to {
            let colours = &pixels.rgba[y as usize * wide..][part.clone()];
            let row = self.pixels(top + y, begin, end);
            for (pixel, c) in row.chunks_exact_mut(3).zip(colours.chunks_exact(4)) {
                mix(pixel, [c[0], c[1], c[2]], c[3]);
            }
        }
    }

    /// Fills a rectangle in page pixels; its edges take their share of a pixel.
    pub fn rect(&mut self, rect: Rect, fill: Rgb) {
        let (first, last) = (rect.y0.floor().max(self.top as f64), rect.y1.ceil());
        let last = last.min((self.top + self.rows) as f64);
        let (x0, x1) = (rect.x0.max(self.open.0 as f64), rect.x1.min(self.open.1 as f64));
        if x1 <= x0 {
            return;
        }
        let mut y = first;
        while y < last {
            let part = Rect { x0, y0: rect.y0.max(y), x1, y1: rect.y1.min(y + 1.0) };
            self.bar(y as i64, part, fill);
            y += 1.0;
        }
    }

    /// The part of a rectangle that lies in a row.
    fn bar(&mut self, y: i64, part: Rect, fill: Rgb) {
        let Rgb(r, g, b) = fill;
        let Rect { x0, x1, .. } = part;
        let high = (part.y1 - part.y0).clamp(0.0, 1.0);
        let cover = |share: f64| (share * 255.0).round() as u8;
        let (first, last) = (x0.floor(), x1.ceil());
        let row = self.pixels(y, first as i64, last as i64);
        let columns = row.len() / 3;
        let (mut from, mut to) = (0, columns);
        if x0 > first || columns == 1 {
            let wide = (x1.min(first + 1.0) - x0).clamp(0.0, 1.0);
            mix(&mut row[..3], [r, g, b], cover(wide * high));
            from = 1;
        }
        if x1 < last && to > from {
            to -= 1;
            let wide = (x1 - (last - 1.0)).clamp(0.0, 1.0);
            mix(&mut row[to * 3..][..3], [r, g, b], cover(wide * high));
        }
        match cover(high) {
            255 => flood(&mut row[from * 3..to * 3], fill),
            part => tint(&mut row[from * 3..to * 3], fill, part),
        }
    }

    /// Pixels `begin` to `end` of a row of the page that the strip holds.
    fn pixels(&mut self, y: i64, begin: i64, end: i64) -> &mut [u8] {
        let row = (y - self.top) * self.width;
        &mut self.rgb[(row + begin) as usize * 3..(row + end) as usize * 3]
    }
}

/// One colour all over.
fn flood(row: &mut [u8], Rgb(r, g, b): Rgb) {
    let mut done = row.len().min(48);
    for pixel in row[..done].chunks_exact_mut(3) {
        pixel.copy_from_slice(&[r, g, b]);
    }
    while done < row.len() {
        let next = done.min(row.len() - done);
        row.copy_within(..next, done);
        done += next;
    }
}

/// One colour over all, at one opacity.
fn tint(row: &mut [u8], Rgb(r, g, b): Rgb, opacity: u8) {
    let a = u16::from(opacity);
    let add = [r, g, b].map(|v| u16::from(v) * a);
    for pixel in row.chunks_exact_mut(3) {
        for k in 0..3 {
            pixel[k] = divided(u16::from(pixel[k]) * (255 - a) + add[k]);
        }
    }
}

fn mix(pixel: &mut [u8], colour: [u8; 3], opacity: u8) {
    let a = u16::from(opacity);
    for k in 0..3 {
        pixel[k] = divided(u16::from(pixel[k]) * (255 - a) + u16::from(colour[k]) * a);
    }
}

fn share(cover: u8, opacity: u8) -> u8 {
    divided(u16::from(cover) * u16::from(opacity))
}

/// The nearest whole number to a 255th, exact up to 255 x 255.
fn divided(v: u16) -> u8 {
    let v = u32::from(v) + 128;
    ((v + (v >> 8)) >> 8) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_255th_is_rounded_exactly() {
        for v in 0..=255 * 255u16 {
            assert_eq!(divided(v), (f64::from(v) / 255.0).round() as u8, "{v}");
        }
    }

    #[test]
    fn a_rectangle_takes_its_share_of_the_pixels_at_its_edges() {
        let mut strip = Strip::new(Vec::new(), Band { width: 6, top: 10, rows: 4 });
        // From the middle of pixel 1 to a quarter of pixel 4, one and a half rows.
        strip.rect(Rect::new(1.5, 10.0, 4.25, 11.5), Rgb(0, 0, 0));
        let row = |y: usize| strip.rgb[y * 18..][..18].iter().step_by(3).copied().collect();
        let first: Vec<u8> = row(0);
        assert_eq!(first, [255, 127, 0, 0, 191, 255]);
        let second: Vec<u8> = row(1);
        assert_eq!(second, [255, 191, 127, 127, 223, 255]);
        assert!(strip.rgb[36..].iter().all(|v| *v == 255));
    }

    #[test]
    fn what_reaches_over_the_strip_is_cut_off() {
        let mut strip = Strip::new(Vec::new(), Band { width: 3, top: 5, rows: 1 });
        strip.rect(Rect::new(-4.0, -4.0, 50.0, 50.0), Rgb(9, 8, 7));
        assert_eq!(strip.rgb, [9, 8, 7, 9, 8, 7, 9, 8, 7]);
    }

    #[test]
    fn drawn_again_in_some_columns_it_is_as_if_drawn_at_once() {
        let band = Band { width: 8, top: 5, rows: 3 };
        let (red, blue) = (Rgb(200, 0, 0), Rgb(0, 0, 200));
        let draw = |strip: &mut Strip, right: f64| {
            strip.rect(Rect::new(0.5, 5.5, 7.25, 7.5), red);
            strip.rect(Rect { x0: 2.5, y0: 5.0, x1: right, y1: 7.0 }, blue);
        };
        let mut wanted = Strip::new(Vec::new(), band);
        draw(&mut wanted, 5.5);
        let mut strip = Strip::new(Vec::new(), band);
        draw(&mut strip, 4.25);
        assert_ne!(strip.rgb, wanted.rgb);
        let mut again = Strip::drawn(strip.rgb, band);
        again.open(2, 6);
        draw(&mut again, 5.5);
        assert_eq!(again.rgb, wanted.rgb);
    }
}
