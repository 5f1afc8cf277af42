//! Makes `profiles/coated.icc` of a full output profile: the table from ink to
//! colour as it is, once; the tables from colour to ink at every other node.
//!
//!     cargo run --release --example compact_profile -- FULL.icc profiles/coated.icc
//!
//! The result says in its description that it is altered.

use std::error::Error;

const ALTERED: &str = "Coated paper, compact (altered from ISO Coated v2 300% (basICColor))";

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let (Some(from), Some(to)) = (args.next(), args.next()) else {
        return Err("two files are needed: the full profile and the compact one".into());
    };
    let full = std::fs::read(from)?;
    std::fs::write(to, compact(&full)?)?;
    Ok(())
}

fn compact(full: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let shown = tag(full, b"A2B1")?.to_vec();
    let (perceptual, relative) = (thinned(tag(full, b"B2A0")?)?, thinned(tag(full, b"B2A1")?)?);
    let parts: [(&[&[u8; 4]], Vec<u8>); 6] = [
        (&[b"desc"], description(ALTERED)),
        (&[b"cprt"], tag(full, b"cprt")?.to_vec()),
        (&[b"wtpt"], tag(full, b"wtpt")?.to_vec()),
        (&[b"A2B0", b"A2B1", b"A2B2"], shown),
        (&[b"B2A0", b"B2A2"], perceptual),
        (&[b"B2A1"], relative),
    ];
    let count: usize = parts.iter().map(|p| p.0.len()).sum();
    let mut out = full[..128].to_vec();
    let mut table = (count as u32).to_be_bytes().to_vec();
    let mut body = Vec::new();
    let start = 132 + 12 * count;
    for (names, data) in &parts {
        let offset = (start + body.len()) as u32;
        for name in *names {
            table.extend(*name);
            table.extend(offset.to_be_bytes());
            table.extend((data.len() as u32).to_be_bytes());
        }
        body.extend(data);
        while body.len() % 4 != 0 {
            body.push(0);
        }
    }
    out.extend(table);
    out.extend(body);
    let size = (out.len() as u32).to_be_bytes();
    out[..4].copy_from_slice(&size);
    // The checksum was that of the full file.
    out[84..100].fill(0);
    Ok(out)
}

/// A tag's data (ICC.1:2001-04, 6.2).
fn tag<'a>(icc: &'a [u8], name: &[u8; 4]) -> Result<&'a [u8], Box<dyn Error>> {
    let u32_at = |at: usize| u32::from_be_bytes([icc[at], icc[at + 1], icc[at + 2], icc[at + 3]]);
    for i in 0..u32_at(128) as usize {
        let at = 132 + 12 * i;
        if &icc[at..at + 4] == name {
            let (offset, size) = (u32_at(at + 4) as usize, u32_at(at + 8) as usize);
            return Ok(&icc[offset..offset + size]);
        }
    }
    Err(format!("no {}", String::from_utf8_lossy(name)).into())
}

/// A lut16Type (6.5.8) of three inputs with every other node of its table, of
/// which there must be an odd number.
fn thinned(lut: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let (inputs, outputs, grid) = (lut[8] as usize, lut[9] as usize, lut[10] as usize);
    if &lut[..4] != b"mft2" || inputs != 3 || grid % 2 == 0 {
        return Err("the table has another form".into());
    }
    let entries = |at: usize| u16::from_be_bytes([lut[at], lut[at + 1]]) as usize;
    let (before, after) = (entries(48) * inputs * 2, entries(50) * outputs * 2);
    let table = 52 + before;
    let mut out = lut[..table].to_vec();
    if grid > 17 {
        out[10] = (grid / 2 + 1) as u8;
    }
    let step = if grid > 17 { 2 } else { 1 };
    let node = outputs * 2;
    for a in (0..grid).step_by(step) {
        for b in (0..grid).step_by(step) {
            for c in (0..grid).step_by(step) {
                let at = table + ((a * grid + b) * grid + c) * node;
                out.extend(&lut[at..at + node]);
            }
        }
    }
    let end = table + grid.pow(3) * node;
    out.extend(&lut[end..end + after]);
    Ok(out)
}

/// A textDescriptionType (6.5.17), ASCII only.
fn description(text: &str) -> Vec<u8> {
    let mut out = b"desc\0\0\0\0".to_vec();
    out.extend((text.len() as u32 + 1).to_be_bytes());
    out.extend(text.as_bytes());
    // End of the text; no Unicode and no script form.
    out.extend([0; 1 + 8 + 2 + 1 + 67]);
    out
}
