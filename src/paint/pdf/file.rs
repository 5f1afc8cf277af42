//! The file: objects written as they come, small ones packed together, and
//! one cross-reference stream at the end.
//!
//! A poster has thousands of gradients. As object trees they take some 13 kB
//! each; here an object is text from the start, and streams are compressed
//! some at a time.

use std::fmt;

use lopdf::Object;
use lopdf::content::{Content, Operation};
use sha2::{Digest, Sha256};

use super::deflate::{Deflating, Squeezable};
use super::pack::Pack;

/// An indirect object of generation 0; it displays as a reference
/// (ISO 32000-1, 7.3.10).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Ref(pub u32);

impl fmt::Display for Ref {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} 0 R", self.0)
    }
}

/// Where an object is.
#[derive(Debug, Clone, Copy)]
enum Place {
    /// Its number is taken, but it was not written.
    Nowhere,
    /// Bytes from the start of the file.
    At(usize),
    /// The number of an object stream, and the place in it.
    Packed(u32, usize),
}

/// A file in the making.
#[derive(Debug)]
pub struct PdfFile {
    out: Vec<u8>,
    /// Of all that is out.
    hash: Sha256,
    /// The first is that of object 1.
    places: Vec<Place>,
    pack: Pack,
    /// Streams that are still to be compressed, and the bytes in them.
    waiting: Vec<Stream>,
    held: usize,
    deflating: Deflating<Stream>,
}

/// A stream with the entries of its dictionary besides length and filter.
#[derive(Debug)]
struct Stream {
    id: Ref,
    entries: String,
    content: Vec<u8>,
    filter: &'static str,
}

impl Squeezable for Stream {
    fn content(&self) -> &[u8] {
        &self.content
    }

    /// As long as the filter costs less than it saves.
    fn squeezed(&mut self, deflated: Vec<u8>) {
        if deflated.len() + FILTER.len() < self.content.len() {
            (self.content, self.filter) = (deflated, FILTER);
        }
    }
}

/// Bytes of streams that wait for each other.
const HELD: usize = 1 << 19;

impl PdfFile {
    /// A file with its header (ISO 32000-1, 7.5.2): the version, as '1.7',
    /// and a comment of bytes over 127 that marks it as binary.
    pub fn new(version: &str) -> PdfFile {
        let out = [b"%PDF-", version.as_bytes(), b"\n%\xE2\xE3\xCF\xD3\n"].concat();
        PdfFile {
            hash: Sha256::new_with_prefix(&out),
            out,
            places: Vec::new(),
            pack: Pack::default(),
            waiting: Vec::new(),
            held: 0,
            deflating: Deflating::default(),
        }
    }

    /// Another that begins as this does so far.
    pub fn copy(&mut self) -> PdfFile {
        self.flush();
        PdfFile {
            out: self.out.clone(),
            hash: self.hash.clone(),
            places: self.places.clone(),
            pack: self.pack.clone(),
            waiting: Vec::new(),
            held: 0,
            deflating: Deflating::default(),
        }
    }

    /// Takes the next `count` numbers and returns the first of them.
    pub fn reserve(&mut self, count: usize) -> Ref {
        let first = Ref(self.places.len() as u32 + 1);
        self.places.resize(self.places.len() + count, Place::Nowhere);
        first
    }

    /// The number that comes next.
    pub fn next(&self) -> u32 {
        self.places.len() as u32 + 1
    }

    /// Adds an object that is not a stream.
    pub fn add(&mut self, text: &str) -> Ref {
        let id = self.reserve(1);
        self.put_text(id, text.as_bytes());
        id
    }

    /// Adds a stream (ISO 32000-1, 7.3.8) with these entries of its
    /// dictionary besides the length and the filter.
    pub fn add_stream(&mut self, entries: &str, content: impl Into<Vec<u8>>) -> Ref {
        let id = self.reserve(1);
        self.write_stream(id, entries.into(), content.into());
        id
    }

    /// Writes an object of the library's under a number that was reserved.
    pub fn put(&mut self, id: Ref, object: Object) {
        match object {
            Object::Stream(stream) if stream.allows_compression && !stream.is_compressed() => {
                let mut entries = stream.dict;
                entries.remove(b"Length");
                let Some(text) = text(Object::Dictionary(entries)) else { return };
                let text = String::from_utf8_lossy(&text);
                let entries = text.strip_prefix("<<").and_then(|t| t.strip_suffix(">>"));
                self.write_stream(id, entries.unwrap_or_default().into(), stream.content);
            }
            Object::Stream(_) => {
                let Some(text) = text(object) else { return };
                self.write(id, &[&text]);
            }
            _ => {
                let Some(text) = text(object) else { return };
                self.put_text(id, &text);
            }
        }
    }

    fn put_text(&mut self, id: Ref, text: &[u8]) {
        self.pack.push(id, text);
        if self.pack.is_full() {
            self.write_pack();
        }
    }

    fn write_pack(&mut self) {
        if self.pack.is_empty() {
            return;
        }
        let pack = std::mem::take(&mut self.pack);
        let stream = self.reserve(1);
        for (index, id) in pack.ids().enumerate() {
            self.set_place(id, Place::Packed(stream.0, index));
        }
        let (entries, content) = pack.into_stream();
        self.write_stream(stream, entries, content);
    }

    fn write_stream(&mut self, id: Ref, entries: String, content: Vec<u8>) {
        self.held += content.len();
        self.waiting.push(Stream { id, entries, content, filter: "" });
        if self.held > HELD {
            self.begin();
        }
    }

    /// Has the streams that wait compressed.
    fn begin(&mut self) {
        self.held = 0;
        let done = self.deflating.add(std::mem::take(&mut self.waiting));
        self.write_streams(done);
    }

    /// Writes all streams so far.
    fn flush(&mut self) {
        self.begin();
        while let Some(done) = self.deflating.oldest() {
            self.write_streams(done);
        }
    }

    fn write_streams(&mut self, streams: Vec<Stream>) {
        for Stream { id, entries, content, filter } in streams {
            let head = format!("<<{entries}{filter}/Length {}>>stream\n", content.len());
            self.write_now(id, &[head.as_bytes(), &content, b"\nendstream"]);
        }
    }

    fn write(&mut self, id: Ref, parts: &[&[u8]]) {
        self.flush();
        self.write_now(id, parts);
    }

    fn write_now(&mut self, id: Ref, parts: &[&[u8]]) {
        let begin = self.out.len();
        self.set_place(id, Place::At(begin));
        self.out.extend_from_slice(format!("{} 0 obj\n", id.0).as_bytes());
        parts.iter().for_each(|part| self.out.extend_from_slice(part));
        self.out.extend_from_slice(b"\nendobj\n");
        self.hash.update(&self.out[begin..]);
    }

    fn set_place(&mut self, id: Ref, place: Place) {
        if let Some(slot) = (id.0 as usize).checked_sub(1).and_then(|i| self.places.get_mut(i)) {
            *slot = place;
        }
    }

    /// A hash of what was added so far.
    pub fn digest(&mut self) -> [u8; 32] {
        self.flush();
        self.hash.clone().chain_update(self.pack.text()).finalize().into()
    }

    /// Completes the file with a cross-reference stream (ISO 32000-1,
    /// 7.5.8). The file's id (14.4) is a hash of all before.
    pub fn finish(mut self, root: Ref, info: Ref) -> Vec<u8> {
        self.write_pack();
        self.flush();
        let hash = self.hash.clone().finalize();
        let id: String = hash[..16].iter().map(|b| format!("{b:02X}")).collect();
        let start = self.out.len();
        let table = self.reserve(1);
        self.set_place(table, Place::At(start));
        let width = bytes_for(start);
        let entries = format!(
            "/Type/XRef/Size {}/W[1 {width} 2]/Root {root}/Info {info}/ID[<{id}><{id}>]",
            self.next(),
        );
        let rows = self.rows(width);
        self.write_stream(table, entries, rows);
        self.flush();
        self.out.extend_from_slice(format!("startxref\n{start}\n%%EOF\n").as_bytes());
        self.out
    }

    /// The rows of the cross-reference stream (ISO 32000-1, 7.5.8.3, table
    /// 18): kind, place in `width` bytes, and generation or index in two.
    fn rows(&self, width: usize) -> Vec<u8> {
        let mut rows = Vec::with_capacity((self.places.len() + 1) * (width + 3));
        let mut row = |kind: u8, place: usize, index: usize| {
            rows.push(kind);
            rows.extend_from_slice(&(place as u64).to_be_bytes()[8 - width..]);
            rows.extend_from_slice(&(index as u16).to_be_bytes());
        };
        // Object 0 heads the list of free ones, and no number is used again.
        row(0, 0, 65535);
        for place in &self.places {
            match *place {
                Place::Nowhere => row(0, 0, 65535),
                Place::At(at) => row(1, at, 0),
                Place::Packed(stream, index) => row(2, stream as usize, index),
            }
        }
        rows
    }
}

const FILTER: &str = "/Filter/FlateDecode";

/// An object as the library writes it: as an operand of a content stream, with a space after it;
/// it shows no other way to write just one.
fn text(object: Object) -> Option<Vec<u8>> {
    let operation = Operation::new("", vec![object]);
    let mut text = Content { operations: [operation] }.encode().ok()?;
    if text.ends_with(b" ") {
        text.pop();
    }
    Some(text)
}

/// Bytes that hold any offset up to `end`; an object's number is less than its offset.
fn bytes_for(end: usize) -> usize {
    (8 - (end as u64).leading_zeros() as usize / 8).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_reads_back() {
        let mut file = PdfFile::new("1.7");
        let long = "0 0 m\n".repeat(50);
        let stream = file.add_stream("/A 1", long.as_bytes());
        let short = file.add_stream("", b"q Q");
        let packed: Vec<Ref> = (0..450).map(|i| file.add(&format!("<</I {i}>>"))).collect();
        let gap = file.reserve(2);
        let number = Ref(gap.0 + 1);
        file.put(number, Object::Integer(7));
        let pages = file.add("<</Type/Pages/Kids[]/Count 0>>");
        let root = file.add(&format!("<</Type/Catalog/Pages {pages}>>"));
        let info = file.add("<<>>");
        let bytes = file.finish(root, info);

        let read = lopdf::Document::load_mem(&bytes).expect("reads");
        let get = |id: Ref| read.get_object((id.0, 0)).expect("an object");
        let content =
            |id| get(id).as_stream().and_then(|s| s.get_plain_content()).expect("a stream");
        assert_eq!(content(stream), long.as_bytes());
        assert_eq!(content(short), b"q Q");
        for (i, &id) in packed.iter().enumerate() {
            let value = get(id).as_dict().and_then(|d| d.get(b"I")).and_then(Object::as_i64);
            assert_eq!(value.expect("a number"), i as i64);
        }
        assert_eq!(get(number).as_i64().expect("a number"), 7);
        assert!(read.get_object((gap.0, 0)).is_err());
        assert!(read.catalog().is_ok());
    }

    #[test]
    fn rows_say_where_objects_stand() {
        // By hand from ISO 32000-1, 7.5.8.3, table 18. Readers tend to find a
        // packed object by its number, so reading back does not show the index.
        let mut file = PdfFile::new("1.7");
        file.add_stream("", b"q Q");
        file.add("1");
        file.add("2");
        file.write_pack();
        file.flush();
        let head = b"%PDF-1.7\n%1234\n".len() as u8;
        let stream = b"1 0 obj\n<</Length 3>>stream\nq Q\nendstream\nendobj\n".len() as u8;
        let rows = [
            [0, 0, 0, 255, 255],
            [1, 0, head, 0, 0],
            [2, 0, 4, 0, 0],
            [2, 0, 4, 0, 1],
            [1, 0, head + stream, 0, 0],
        ];
        assert_eq!(file.rows(2), rows.concat());
    }

    #[test]
    fn offsets_get_the_bytes_that_they_need() {
        for (end, bytes) in [(1, 1), (255, 1), (256, 2), (65_535, 2), (65_536, 3), (1 << 24, 4)] {
            assert_eq!(bytes_for(end), bytes, "{end}");
        }
    }
}
