//! Pictures: PNG, JPEG and TIFF of the same strips, by named pixels, with bleed.

use std::io::{Cursor, Seek, SeekFrom, Write};

use crate::common;
use kurbo::{Rect, Shape};
use shadecard::paint::png::{
    Cancelled, Form, Frame, Key, Picture, PngError, Raster, Shelf, png_again,
};
use shadecard::sheet::identity::Identity;
use shadecard::sheet::{FillRule, Item, Page, Rgb, Role, Sheet};
use shadecard::units::Dpi;
use zune_jpeg::zune_core::bytestream::ZCursor;

struct Nothing;

impl Shelf for Nothing {
    fn has(&self, _: Key) -> bool {
        false
    }
    fn fetch(&self, _: Key) -> Option<(Vec<u8>, u32)> {
        None
    }
}

const JPEG: Form = Form::Jpeg { quality: 92 };

/// The files of a page, one for each form and frame.
fn files(sheet: &Sheet, wanted: &[(Form, Frame)], jobs: usize) -> Vec<Vec<u8>> {
    let colours = sheet.palette.published();
    let items = Identity::of(sheet.coloured(&colours)).items;
    let mut out: Vec<Cursor<Vec<u8>>> = wanted.iter().map(|_| Cursor::default()).collect();
    let rasters = wanted.iter().zip(&mut out);
    let mut rasters: Vec<Raster<'_>> =
        rasters.map(|((form, frame), out)| Raster { form: *form, frame: *frame, out }).collect();
    let picture =
        Picture { painted: sheet.coloured(&colours), items: &items[0], rasters: &mut rasters };
    png_again(&mut [picture], 0, &Nothing, jobs, &|_| Ok(())).expect("painted");
    out.into_iter().map(Cursor::into_inner).collect()
}

/// Width, height and pixels.
type Pixels = (u32, u32, Vec<u8>);

fn of_png(bytes: &[u8]) -> Pixels {
    let mut reader = png::Decoder::new(Cursor::new(bytes)).read_info().expect("a PNG");
    let mut rgb = vec![0; reader.output_buffer_size().expect("small")];
    let info = reader.next_frame(&mut rgb).expect("pixels");
    (info.width, info.height, rgb)
}

fn of_jpeg(bytes: &[u8]) -> Pixels {
    let mut decoder = zune_jpeg::JpegDecoder::new(ZCursor::new(bytes));
    let rgb = decoder.decode().expect("a JPEG");
    let (width, height) = decoder.dimensions().expect("a size");
    (width as u32, height as u32, rgb)
}

fn of_tiff(bytes: &[u8]) -> Pixels {
    let mut decoder = tiff::decoder::Decoder::new(Cursor::new(bytes)).expect("a TIFF");
    let (width, height) = decoder.dimensions().expect("a size");
    let tiff::decoder::DecodingResult::U8(rgb) = decoder.read_image().expect("pixels") else {
        panic!("8 bits")
    };
    (width, height, rgb)
}

fn frame(sheet: &Sheet, dpi: u32) -> Frame {
    Frame::at((sheet.width, sheet.height), sheet.bleed, Dpi::new(dpi).expect("in range"))
}

fn area(sheet: &mut Sheet, rect: Rect, fill: Rgb) -> Item {
    let fill = sheet.palette.add_ink(fill);
    common::area(Role::Swatch, rect.to_path(0.1), FillRule::NonZero, fill)
}

#[test]
fn all_kinds_show_the_same() {
    let sheet = common::sheet(0.0);
    let frame = frame(&sheet, 300);
    let wanted = [(Form::Png, frame), (JPEG, frame), (Form::Tiff, frame)];
    let made = files(&sheet, &wanted, 2);
    let png = of_png(&made[0]);
    assert!(of_tiff(&made[2]) == png);
    let jpeg = of_jpeg(&made[1]);
    assert_eq!((jpeg.0, jpeg.1), (png.0, png.1));
    let off = jpeg.2.iter().zip(&png.2).map(|(a, b)| u64::from(a.abs_diff(*b))).sum::<u64>();
    assert!((off as f64) < 0.8 * png.2.len() as f64, "{}", off as f64 / png.2.len() as f64);
    // The same bytes on any number of threads, and in whatever company.
    assert!(files(&sheet, &wanted, 1) == made);
    for (n, one) in wanted.iter().enumerate() {
        assert!(files(&sheet, &[*one], 3)[0] == made[n], "{:?}", one.0);
    }
}

#[test]
fn flat_colours_stay_in_a_jpeg() {
    let mut sheet = common::sheet(0.0);
    let colours = [Rgb(200, 16, 46), Rgb(0, 87, 184), Rgb(255, 209, 0), Rgb(12, 12, 14)];
    let strips = colours.iter().enumerate().map(|(n, fill)| {
        let left = 8.0 + 20.0 * n as f64;
        area(&mut sheet, Rect::new(left, 10.0, left + 10.0, 40.0), *fill)
    });
    let items = strips.collect();
    sheet.pages = vec![Page { items }];
    let made = files(&sheet, &[(JPEG, frame(&sheet, 300))], 2);
    let (width, _, rgb) = of_jpeg(&made[0]);
    for (n, Rgb(r, g, b)) in colours.iter().enumerate() {
        let (x, y) = ((13.0 + 20.0 * n as f64) / 25.4 * 300.0, 25.0 / 25.4 * 300.0);
        let at = (y as usize * width as usize + x as usize) * 3;
        let off = rgb[at..at + 3].iter().zip([r, g, b]).map(|(a, b)| a.abs_diff(*b)).max();
        assert!(off <= Some(2), "{:?} for {:?}", &rgb[at..at + 3], colours[n]);
    }
}

#[test]
fn files_say_their_resolution_and_carry_the_profile() {
    let sheet = common::sheet(0.0);
    for dpi in [300u32, 150] {
        let frame = frame(&sheet, dpi);
        let made = files(&sheet, &[(JPEG, frame), (Form::Tiff, frame)], 2);
        // JFIF 1.02, APP0: identifier, version, unit 1 (inch), density across and down.
        assert_eq!(&made[0][6..11], b"JFIF\0");
        assert_eq!(made[0][13], 1);
        assert_eq!(&made[0][14..18], &[(dpi >> 8) as u8, dpi as u8, (dpi >> 8) as u8, dpi as u8]);
        let mut decoder = zune_jpeg::JpegDecoder::new(ZCursor::new(&made[0]));
        decoder.decode_headers().expect("a JPEG");
        let profile = decoder.icc_profile().expect("a profile");
        // ICC.1:2004-10, 7.2: signature 'acsp' at byte 36, colour space 'RGB ' at 16.
        assert_eq!((&profile[36..40], &profile[16..20]), (&b"acsp"[..], &b"RGB "[..]));
        let mut decoder = tiff::decoder::Decoder::new(Cursor::new(&made[1])).expect("a TIFF");
        let tag =
            |decoder: &mut tiff::decoder::Decoder<_>, tag| decoder.get_tag(tag).expect("there");
        // TIFF 6.0: XResolution is a ratio, ResolutionUnit 2 is the inch.
        let across = tag(&mut decoder, tiff::tags::Tag::XResolution);
        assert_eq!(across, tiff::decoder::ifd::Value::Rational(dpi, 1));
        let unit = tag(&mut decoder, tiff::tags::Tag::ResolutionUnit);
        assert_eq!(unit.into_u16().expect("a number"), 2);
        let icc = tag(&mut decoder, tiff::tags::Tag::IccProfile).into_u8_vec().expect("bytes");
        assert_eq!(icc, profile);
    }
}

#[test]
fn named_pixels_are_filled_to_the_last() {
    // A page that is black to its edge, on as many pixels as a house might name.
    let mut sheet = common::sheet(0.0);
    (sheet.width, sheet.height) = (61.0, 91.4);
    let half = area(&mut sheet, Rect::new(0.0, 0.0, 30.5, 91.4), Rgb(0, 0, 0));
    sheet.pages = vec![Page { items: vec![half] }];
    for pixels in [(720, 1080), (721, 1079), (720, 1078)] {
        let named = |n: u32| {
            let dpi = Dpi::new(n).expect("in range");
            Frame::named((61.0, 91.4), 0.0, pixels, dpi).expect("a shape")
        };
        let wanted = [(Form::Png, named(300)), (Form::Tiff, named(300)), (Form::Png, named(100))];
        let made = files(&sheet, &wanted, 2);
        let (width, height, rgb) = of_png(&made[0]);
        assert_eq!((width, height), pixels);
        assert!(of_tiff(&made[1]) == (width, height, rgb.clone()));
        let (small, low, preview) = of_png(&made[2]);
        assert_eq!((small, low), (width.div_ceil(3), height.div_ceil(3)));
        // The half is where it should be within half a pixel, from the first row to the last.
        for y in [0, height / 2, height - 1] {
            let row = &rgb[(y * width) as usize * 3..][..width as usize * 3];
            let dark: f64 = row.chunks_exact(3).map(|p| 1.0 - f64::from(p[0]) / 255.0).sum();
            assert!((dark - f64::from(width) / 2.0).abs() < 0.5, "{dark} of {width} in row {y}");
        }
        assert_eq!(&preview[..3], &[0, 0, 0]);
        // Alone it is the same file.
        assert!(files(&sheet, &wanted[..1], 1)[0] == made[0]);
    }
}

#[test]
fn a_picture_with_bleed_shows_it_and_no_marks() {
    let mut sheet = common::sheet(3.0);
    let (w, h) = (sheet.width, sheet.height);
    let red = Rgb(200, 0, 0);
    let ground = area(&mut sheet, Rect::new(-3.0, -3.0, w + 3.0, h + 3.0), red);
    let inner = area(&mut sheet, Rect::new(0.0, 0.0, w, h), Rgb(0, 0, 200));
    sheet.pages = vec![Page { items: vec![ground, inner] }];
    let made = files(&sheet, &[(Form::Png, frame(&sheet, 254))], 2);
    // At 254 dpi a millimetre is ten pixels.
    let (width, height, rgb) = of_png(&made[0]);
    assert_eq!((width, height), ((w as u32 + 6) * 10, (h as u32 + 6) * 10));
    let at = |x: u32, y: u32| &rgb[((y * width + x) * 3) as usize..][..3];
    for y in 0..height {
        for x in 0..width {
            let bleeds = x < 30 || y < 30 || x >= width - 30 || y >= height - 30;
            let colour: &[u8] = if bleeds { &[200, 0, 0] } else { &[0, 0, 200] };
            assert_eq!(at(x, y), colour, "{x} {y}");
        }
    }
}

/// A disk with so much room.
struct Full(usize);

impl Write for Full {
    fn write(&mut self, buffer: &[u8]) -> std::io::Result<usize> {
        self.0 = self.0.checked_sub(buffer.len()).ok_or(std::io::ErrorKind::StorageFull)?;
        Ok(buffer.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

impl Seek for Full {
    fn seek(&mut self, _: SeekFrom) -> std::io::Result<u64> {
        Ok(0)
    }
}

fn fails(form: Form, room: usize, stop_at: f64) -> PngError {
    let sheet = common::sheet(0.0);
    let colours = sheet.palette.published();
    let items = Identity::of(sheet.coloured(&colours)).items;
    let (mut full, mut other) = (Full(room), Cursor::new(Vec::new()));
    let frame = frame(&sheet, 300);
    let mut rasters =
        [Raster { form, frame, out: &mut full }, Raster { form: JPEG, frame, out: &mut other }];
    let picture =
        Picture { painted: sheet.coloured(&colours), items: &items[0], rasters: &mut rasters };
    let stop = |share: f64| if share > stop_at { Err(Cancelled) } else { Ok(()) };
    png_again(&mut [picture], 0, &Nothing, 2, &stop).expect_err("not painted")
}

#[test]
fn a_full_disk_is_an_error() {
    for form in [JPEG, Form::Tiff] {
        for room in [0, 20, 2000, 20_000] {
            let error = fails(form, room, 2.0);
            let PngError::Io(error) = error else { panic!("{error:?}") };
            assert_eq!(error.kind(), std::io::ErrorKind::StorageFull, "{form:?} with {room}");
        }
    }
}

#[test]
fn stopping_stops() {
    for form in [JPEG, Form::Tiff] {
        assert!(matches!(fails(form, usize::MAX, 0.3), PngError::Cancelled), "{form:?}");
    }
}
