//! An ICC profile (ICC.1:2010) of a display with wider primaries and sRGB's curve.

use crate::render::colour::{D65, WIDE, from_xyz, inverse, product, times};

/// Bradford's cone matrix.
const BRADFORD: [[f64; 3]; 3] =
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
const D50: [f64; 3] = [0.9642, 1.0, 0.8249];

/// The profile's bytes.
pub fn wide_profile() -> Vec<u8> {
    let to_xyz = inverse(&from_xyz(WIDE, D65));
    let white = times(&to_xyz, [1.0; 3]);
    let (from, to) = (times(&BRADFORD, white), times(&BRADFORD, D50));
    let scale =
        [[to[0] / from[0], 0.0, 0.0], [0.0, to[1] / from[1], 0.0], [0.0, 0.0, to[2] / from[2]]];
    let adapt = product(&inverse(&BRADFORD), &product(&scale, &BRADFORD));
    let columns = product(&adapt, &to_xyz);
    let column = |k: usize| numbers(b"XYZ ", &[columns[0][k], columns[1][k], columns[2][k]]);
    let curve = curve();
    let tags: Vec<(&[u8; 4], Vec<u8>)> = vec![
        (b"desc", text("Wide primaries, sRGB curve")),
        (b"cprt", text("None")),
        (b"wtpt", numbers(b"XYZ ", &D50)),
        (b"chad", numbers(b"sf32", &adapt.concat())),
        (b"rXYZ", column(0)),
        (b"gXYZ", column(1)),
        (b"bXYZ", column(2)),
        (b"rTRC", curve.clone()),
        (b"gTRC", curve.clone()),
        (b"bTRC", curve),
    ];
    assembled(&tags)
}

fn assembled(tags: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut table = (tags.len() as u32).to_be_bytes().to_vec();
    let mut data = Vec::new();
    let start = 128 + 4 + 12 * tags.len();
    for (name, tag) in tags {
        table.extend(*name);
        table.extend(((start + data.len()) as u32).to_be_bytes());
        table.extend((tag.len() as u32).to_be_bytes());
        data.extend(tag);
        data.resize(data.len().next_multiple_of(4), 0);
    }
    let mut out = ((start + data.len()) as u32).to_be_bytes().to_vec();
    out.extend([0; 4]);
    out.extend([4, 0x30, 0, 0]);
    out.extend(b"mntrRGB XYZ ");
    for number in [2026u16, 1, 1, 0, 0, 0] {
        out.extend(number.to_be_bytes());
    }
    out.extend(b"acsp");
    out.resize(68, 0);
    D50.iter().for_each(|v| out.extend(fixed(*v)));
    out.resize(128, 0);
    out.extend(table);
    out.extend(data);
    out
}

fn fixed(v: f64) -> [u8; 4] {
    ((v * 65536.0).round() as i32).to_be_bytes()
}

fn numbers(kind: &[u8; 4], values: &[f64]) -> Vec<u8> {
    let mut out = kind.to_vec();
    out.extend([0; 4]);
    values.iter().for_each(|v| out.extend(fixed(*v)));
    out
}

/// sRGB's curve as a parametric curve of type 3.
fn curve() -> Vec<u8> {
    let mut out = b"para\0\0\0\0\0\x03\0\0".to_vec();
    [2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045]
        .iter()
        .for_each(|v| out.extend(fixed(*v)));
    out
}

fn text(words: &str) -> Vec<u8> {
    let mut out = b"mluc\0\0\0\0\0\0\0\x01\0\0\0\x0cenUS".to_vec();
    out.extend((2 * words.len() as u32).to_be_bytes());
    out.extend([0, 0, 0, 28]);
    words.encode_utf16().for_each(|unit| out.extend(unit.to_be_bytes()));
    out
}
