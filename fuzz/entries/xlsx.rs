//! A workbook, XLSX or ODS: a zip file as it is, or its parts as text, which are zipped here.
//!
//! Text lets the parts themselves be changed: a change inside a zip file hardly
//! ever gets past its checksums. Each part follows a line `== NAME`.

use std::io::{Cursor, Write as _};

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::csv::grid;
use super::desk;
use super::sheet::sections;
use super::tables;
use super::told::one_in;

pub fn entry(bytes: &[u8]) -> String {
    let book = if bytes.starts_with(b"PK") { bytes.to_vec() } else { zipped(bytes) };
    let open = [&b"content.xml"[..], b"opendocument"];
    let is_open = open.iter().any(|word| bytes.windows(word.len()).any(|w| w == *word));
    let name = if is_open { "list.ods" } else { "list.xlsx" };
    let mut out = grid(&desk::file(name), &mut desk::sources(&[(name, &book)]));
    if one_in(64, bytes) {
        (0..3).for_each(|which| out += &tables::list(which, (name, &book)));
    }
    out
}

fn zipped(text: &[u8]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let plain = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, part) in sections("", text).into_iter().filter(|(name, _)| !name.is_empty()) {
        // A name that is there already is left out.
        if zip.start_file(name, plain).is_ok() {
            zip.write_all(part.trim_ascii_start()).expect("in memory");
        }
    }
    zip.finish().expect("in memory").into_inner()
}
