//! A press made up for tests: a profile of a few kilobytes and inks by rule of thumb.
#![allow(dead_code, reason = "each test file uses its part")]

use shadecard::colour::from_rgb;
use shadecard::graphic::{Cmyk, Rgb};
use shadecard::paint::{Condition, Press};
use shadecard::sheet::Sheet;
use shadecard::sheet::palette::PaletteEntry;

/// Inks for all that is on a sheet, black words in black alone.
pub fn press(sheet: &Sheet) -> Press {
    Press {
        condition: Condition {
            identifier: "made-up-coated".into(),
            info: "A made-up coated stock – for tests".into(),
            registry: None,
            profile: profile().into(),
        },
        inks: sheet.palette.published().with(&sheet.palette, |entry, rgb| match entry {
            PaletteEntry::Ink(_) => word(rgb),
            _ => colour(rgb),
        }),
    }
}

/// As much black as a colour holds, and the rest in the other inks.
fn colour(Rgb(r, g, b): Rgb) -> Cmyk {
    let most = r.max(g).max(b);
    Cmyk(most - r, most - g, most - b, 255 - most)
}

/// Greys in black alone, dark ones solid.
fn word(Rgb(r, g, b): Rgb) -> Cmyk {
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    match (most - least, most) {
        (0..16, 0..64) => Cmyk(0, 0, 0, 255),
        (0..16, _) => Cmyk(0, 0, 0, 255 - most),
        _ => colour(Rgb(r, g, b)),
    }
}

/// A CMYK output profile (ICC.1:2001-04) with the least that one
/// must have, both ways over the corners of the device space.
pub fn profile() -> Vec<u8> {
    let white = [0xF6D6, 0x1_0000, 0xD32D].map(u32::to_be_bytes).concat();
    let mut to_lab = Vec::new();
    for corner in 0..16u8 {
        // The last channel runs fastest.
        let [c, m, y, k] = [8, 4, 2, 1].map(|bit| corner & bit != 0);
        let channel = |ink: bool| if ink || k { 30 } else { 240 };
        let lab = from_rgb(Rgb(channel(c), channel(m), channel(y)));
        to_lab.extend([lab.l * 2.55, lab.a + 128.0, lab.b + 128.0].map(|v| v.round() as u8));
    }
    let from_lab: Vec<u8> =
        (0..8u8).flat_map(|corner| [0, 0, 0, if corner & 4 == 0 { 255 } else { 0 }]).collect();
    let mut description = b"desc\0\0\0\0\0\0\0\x08made up\0".to_vec();
    description.extend([0; 4 + 4 + 2 + 1 + 67]);
    let tags: [(&[u8], Vec<u8>); 5] = [
        (b"desc", description),
        (b"cprt", b"text\0\0\0\0none\0".to_vec()),
        (b"wtpt", [b"XYZ \0\0\0\0", &white[..]].concat()),
        (b"A2B0", lut(4, 3, &to_lab)),
        (b"B2A0", lut(3, 4, &from_lab)),
    ];
    let mut table = (tags.len() as u32).to_be_bytes().to_vec();
    let mut data = Vec::new();
    let start = 128 + 4 + 12 * tags.len();
    for (name, mut tag) in tags {
        table.extend(name);
        table.extend(((start + data.len()) as u32).to_be_bytes());
        table.extend((tag.len() as u32).to_be_bytes());
        tag.resize(tag.len().next_multiple_of(4), 0);
        data.extend(tag);
    }
    let mut out = ((start + data.len()) as u32).to_be_bytes().to_vec();
    out.extend(b"\0\0\0\0\x02\x40\0\0prtrCMYKLab \x07\xD0\0\x01\0\x01\0\0\0\0\0\0acsp");
    out.resize(68, 0);
    out.extend(white);
    out.resize(128, 0);
    [out, table, data].concat()
}

/// A table of bytes (lut8Type) with two points a channel and straight curves.
fn lut(inputs: u8, outputs: u8, points: &[u8]) -> Vec<u8> {
    let straight = || 0..=255u8;
    let one = |i: usize| if i.is_multiple_of(4) { 0x1_0000u32 } else { 0 };
    let mut out = b"mft1\0\0\0\0".to_vec();
    out.extend([inputs, outputs, 2, 0]);
    out.extend((0..9).flat_map(|i| one(i).to_be_bytes()));
    out.extend((0..inputs).flat_map(|_| straight()));
    out.extend(points);
    out.extend((0..outputs).flat_map(|_| straight()));
    out
}
