//! The file: objects written as they come, small ones packed together, and
//! one cross-reference stream at the end.
//!
//! A poster has thousands of gradients. As object trees they take some 13 kB
//! each; here an object is text from the start, and streams are compressed
//! some at a time. What is written is not kept.

use std::io::{self, Write};

use lopdf::Object;
use printpdf::Op;
use sha2::{Digest, Sha256};

use super::deflate::{Deflating, Squeezable};
use super::object::{self, Ref};
use super::operators;
use super::pack::Pack;

/// Where an object is.
#[derive(Debug, Clone, Copy)]
enum ObjectPlace {
    /// Its number is taken, but it was not written.
    Nowhere,
    /// Bytes from the start of the file.
    At(u64),
    /// The number of an object stream, and the place in it.
    Packed(u32, u16),
}

/// A file in the making; or several that begin alike, as long as they do.
pub struct PdfFile<'a> {
    outs: Vec<&'a mut dyn Write>,
    /// Bytes that are out.
    length: u64,
    /// Of these.
    hash: Sha256,
    /// The first is that of object 1.
    places: Vec<ObjectPlace>,
    pack: Pack,
    /// Streams that are still to be compressed, and the bytes in them.
    waiting: Vec<Stream>,
    held: usize,
    deflating: Deflating<Stream>,
}

/// A stream with the entries of its dictionary besides length and filter.
struct Stream {
    id: Ref,
    entries: String,
    /// What its content is made of, until that is made.
    operations: Vec<Op>,
    content: Vec<u8>,
    filter: &'static str,
    /// Compressed already, by a filter among the entries.
    packed: bool,
}

impl Squeezable for Stream {
    fn weight(&self) -> usize {
        self.content.len() + operators::weight(&self.operations)
    }

    fn make(some: &mut [Stream]) {
        let mut unmade: Vec<&mut Stream> =
            some.iter_mut().filter(|stream| !stream.operations.is_empty()).collect();
        let operations = unmade.iter_mut().map(|s| std::mem::take(&mut s.operations)).collect();
        for (stream, content) in unmade.into_iter().zip(operators::contents(operations)) {
            stream.content = content;
        }
    }

    fn content(&self) -> &[u8] {
        if self.packed { &[] } else { &self.content }
    }

    /// As long as the filter costs less than it saves.
    fn squeezed(&mut self, deflated: Vec<u8>) {
        if !self.packed && deflated.len() + FILTER.len() < self.content.len() {
            (self.content, self.filter) = (deflated, FILTER);
        }
    }
}

/// Bytes of streams that wait for each other.
const HELD: usize = 1 << 19;

impl<'a> PdfFile<'a> {
    /// Files with their header (ISO 32000-1, 7.5.2): the version, as '1.7',
    /// and a comment of bytes over 127 that marks them as binary.
    ///
    /// # Errors
    /// As all that is written here: those of what it is written to.
    pub fn begin(outs: Vec<&'a mut dyn Write>, version: &str) -> io::Result<PdfFile<'a>> {
        let mut file = PdfFile::of(outs);
        file.emit(&[b"%PDF-", version.as_bytes(), b"\n%\xE2\xE3\xCF\xD3\n"])?;
        Ok(file)
    }

    fn of(outs: Vec<&'a mut dyn Write>) -> PdfFile<'a> {
        PdfFile {
            outs,
            length: 0,
            hash: Sha256::new(),
            places: Vec::new(),
            pack: Pack::default(),
            waiting: Vec::new(),
            held: 0,
            deflating: Deflating::default(),
        }
    }

    /// The files, which begin alike, one by one.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn apart(mut self) -> io::Result<Vec<PdfFile<'a>>> {
        self.flush()?;
        let outs = std::mem::take(&mut self.outs);
        let one = |out| PdfFile {
            length: self.length,
            hash: self.hash.clone(),
            places: self.places.clone(),
            pack: self.pack.clone(),
            ..PdfFile::of(vec![out])
        };
        Ok(outs.into_iter().map(one).collect())
    }

    /// Takes the next `count` numbers and returns the first of them.
    pub fn reserve(&mut self, count: usize) -> Ref {
        let first = Ref(self.next());
        self.places.resize(self.places.len() + count, ObjectPlace::Nowhere);
        first
    }

    /// The number that comes next.
    fn next(&self) -> u32 {
        self.places.len() as u32 + 1
    }

    /// Adds an object that is not a stream.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn add(&mut self, text: &str) -> io::Result<Ref> {
        let id = self.reserve(1);
        self.put(id, text.as_bytes())?;
        Ok(id)
    }

    /// Writes an object that is no stream under a number that was reserved.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn put(&mut self, id: Ref, text: &[u8]) -> io::Result<()> {
        self.pack.push(id, text);
        if self.pack.is_full() { self.write_pack() } else { Ok(()) }
    }

    /// Adds a stream of operators (ISO 32000-1, 7.3.8) with these entries of its dictionary
    /// besides the length and the filter.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn add_operators(&mut self, entries: &str, operations: Vec<Op>) -> io::Result<Ref> {
        let (id, entries) = (self.reserve(1), entries.into());
        let content = Vec::new();
        self.wait(Stream { id, entries, operations, content, filter: "", packed: false })?;
        Ok(id)
    }

    /// Adds a stream with these entries of its dictionary besides the length and the filter.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn add_stream(&mut self, entries: String, content: Vec<u8>) -> io::Result<Ref> {
        let id = self.reserve(1);
        self.write_stream(id, entries, content)?;
        Ok(id)
    }

    /// Adds a stream that is compressed already, its filter among the entries.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn add_packed(&mut self, entries: String, content: Vec<u8>) -> io::Result<Ref> {
        let id = self.reserve(1);
        let operations = Vec::new();
        self.wait(Stream { id, entries, operations, content, filter: "", packed: true })?;
        Ok(id)
    }

    /// Adds an object of lopdf's.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn add_object(&mut self, object: impl Into<Object>) -> io::Result<Ref> {
        let id = self.reserve(1);
        match object.into() {
            Object::Stream(stream) if stream.allows_compression && !stream.is_compressed() => {
                let mut entries = stream.dict;
                entries.remove(b"Length");
                let text = object::text(Object::Dictionary(entries))?;
                let text = String::from_utf8_lossy(&text);
                let entries = text.strip_prefix("<<").and_then(|t| t.strip_suffix(">>"));
                self.write_stream(id, entries.unwrap_or_default().into(), stream.content)?;
            }
            stream @ Object::Stream(_) => {
                let text = object::text(stream)?;
                self.flush()?;
                self.write_now(id, &[&text])?;
            }
            object => self.put(id, &object::text(object)?)?,
        }
        Ok(id)
    }

    fn write_pack(&mut self) -> io::Result<()> {
        if self.pack.is_empty() {
            return Ok(());
        }
        let pack = std::mem::take(&mut self.pack);
        let stream = self.reserve(1);
        for (id, index) in pack.ids().zip(0..) {
            self.set_place(id, ObjectPlace::Packed(stream.0, index));
        }
        let (entries, content) = pack.into_stream();
        self.write_stream(stream, entries, content)
    }

    fn write_stream(&mut self, id: Ref, entries: String, content: Vec<u8>) -> io::Result<()> {
        let operations = Vec::new();
        self.wait(Stream { id, entries, operations, content, filter: "", packed: false })
    }

    fn wait(&mut self, stream: Stream) -> io::Result<()> {
        self.held += stream.weight();
        self.waiting.push(stream);
        if self.held > HELD { self.compress() } else { Ok(()) }
    }

    /// Has the streams that wait compressed.
    fn compress(&mut self) -> io::Result<()> {
        self.held = 0;
        let done = self.deflating.add(std::mem::take(&mut self.waiting));
        self.write_streams(done)
    }

    /// Writes all streams so far.
    fn flush(&mut self) -> io::Result<()> {
        self.compress()?;
        while let Some(done) = self.deflating.oldest() {
            self.write_streams(done)?;
        }
        Ok(())
    }

    fn write_streams(&mut self, streams: Vec<Stream>) -> io::Result<()> {
        streams.into_iter().try_for_each(|Stream { id, entries, content, filter, .. }| {
            let head = format!("<<{entries}{filter}/Length {}>>stream\n", content.len());
            self.write_now(id, &[head.as_bytes(), &content, b"\nendstream"])
        })
    }

    fn write_now(&mut self, id: Ref, parts: &[&[u8]]) -> io::Result<()> {
        self.set_place(id, ObjectPlace::At(self.length));
        self.emit(&[format!("{} 0 obj\n", id.0).as_bytes()])?;
        self.emit(parts)?;
        self.emit(&[b"\nendobj\n"])
    }

    fn emit(&mut self, parts: &[&[u8]]) -> io::Result<()> {
        for part in parts {
            self.hash.update(part);
            self.length += part.len() as u64;
            self.outs.iter_mut().try_for_each(|out| out.write_all(part))?;
        }
        Ok(())
    }

    fn set_place(&mut self, id: Ref, place: ObjectPlace) {
        if let Some(slot) = (id.0 as usize).checked_sub(1).and_then(|i| self.places.get_mut(i)) {
            *slot = place;
        }
    }

    /// A hash of what was added so far.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn digest(&mut self) -> io::Result<[u8; 32]> {
        self.flush()?;
        Ok(self.hash.clone().chain_update(self.pack.text()).finalize().into())
    }

    /// Completes the file with a cross-reference stream (ISO 32000-1,
    /// 7.5.8). The file's id (14.4) is a hash of all before.
    ///
    /// # Errors
    /// As [`PdfFile::begin`].
    pub fn finish(mut self, root: Ref, info: Ref) -> io::Result<()> {
        self.write_pack()?;
        self.flush()?;
        let hash = self.hash.clone().finalize();
        let id: String = hash[..16].iter().map(|b| format!("{b:02X}")).collect();
        let start = self.length;
        let table = self.reserve(1);
        self.set_place(table, ObjectPlace::At(start));
        let width = bytes_for(start);
        let entries = format!(
            "/Type/XRef/Size {}/W[1 {width} 2]/Root {root}/Info {info}/ID[<{id}><{id}>]",
            self.next(),
        );
        let rows = self.rows(width);
        self.write_stream(table, entries, rows)?;
        self.flush()?;
        self.emit(&[format!("startxref\n{start}\n%%EOF\n").as_bytes()])
    }

    /// The rows of the cross-reference stream (ISO 32000-1, 7.5.8.3, table
    /// 18): kind, place in `width` bytes, and generation or index in two.
    fn rows(&self, width: usize) -> Vec<u8> {
        let mut rows = Vec::with_capacity((self.places.len() + 1) * (width + 3));
        let mut row = |kind: u8, place: u64, index: u16| {
            rows.push(kind);
            rows.extend_from_slice(&place.to_be_bytes()[8 - width..]);
            rows.extend_from_slice(&index.to_be_bytes());
        };
        // Object 0 heads the list of free ones, and no number is used again.
        row(0, 0, 65535);
        for place in &self.places {
            match *place {
                ObjectPlace::Nowhere => row(0, 0, 65535),
                ObjectPlace::At(at) => row(1, at, 0),
                ObjectPlace::Packed(stream, index) => row(2, stream.into(), index),
            }
        }
        rows
    }
}

const FILTER: &str = "/Filter/FlateDecode";

/// Bytes that hold any offset up to `end`; an object's number is less than its offset.
fn bytes_for(end: u64) -> usize {
    (8 - end.leading_zeros() as usize / 8).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stream(content: &[u8]) -> lopdf::Stream {
        lopdf::Stream::new(lopdf::Dictionary::new(), content.to_vec())
    }

    #[test]
    fn files_that_begin_alike_read_back() {
        let (mut first, mut second) = (Vec::new(), Vec::new());
        let mut file = PdfFile::begin(vec![&mut first, &mut second], "1.7").expect("written");
        let long = "0 0 m\n".repeat(50);
        let first_stream = file.add_object(stream(long.as_bytes())).expect("written");
        let short = file.add_object(stream(b"q Q")).expect("written");
        let packed: Vec<Ref> =
            (0..450).map(|i| file.add(&format!("<</I {i}>>")).expect("written")).collect();
        let gap = file.reserve(1);
        let number = file.add_object(7).expect("written");
        for (n, mut file) in file.apart().expect("written").into_iter().enumerate() {
            let pages = file.add("<</Type/Pages/Kids[]/Count 0>>").expect("written");
            let root = format!("<</Type/Catalog/Pages {pages}/N {n}>>");
            let root = file.add(&root).expect("written");
            let info = file.add("<<>>").expect("written");
            file.finish(root, info).expect("written");
        }

        for (n, bytes) in [first, second].into_iter().enumerate() {
            let read = lopdf::Document::load_mem(&bytes).expect("reads");
            let get = |id: Ref| read.get_object((id.0, 0)).expect("an object");
            let content =
                |id| get(id).as_stream().and_then(|s| s.get_plain_content()).expect("a stream");
            assert_eq!(content(first_stream), long.as_bytes());
            assert_eq!(content(short), b"q Q");
            let value = |object: &Object, key: &[u8]| {
                object
                    .as_dict()
                    .and_then(|d| d.get(key))
                    .and_then(Object::as_i64)
                    .expect("a number")
            };
            for (i, &id) in packed.iter().enumerate() {
                assert_eq!(value(get(id), b"I"), i as i64);
            }
            assert_eq!(get(number).as_i64().expect("a number"), 7);
            assert!(read.get_object((gap.0, 0)).is_err());
            let root = read.catalog().expect("a catalogue").clone();
            assert_eq!(value(&Object::Dictionary(root), b"N"), n as i64);
        }
    }

    #[test]
    fn rows_say_where_objects_stand() {
        // By hand from ISO 32000-1, 7.5.8.3, table 18. Readers tend to find a
        // packed object by its number, so reading back does not show the index.
        let mut out = Vec::new();
        let mut file = PdfFile::begin(vec![&mut out], "1.7").expect("written");
        file.add_object(stream(b"q Q")).expect("written");
        file.add("1").expect("written");
        file.add("2").expect("written");
        file.write_pack().expect("written");
        file.flush().expect("written");
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
    fn a_full_disk_is_reported_while_streams_are_still_added() {
        struct Full(usize);
        impl Write for Full {
            fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
                self.0 = self.0.checked_sub(bytes.len()).ok_or(io::ErrorKind::StorageFull)?;
                Ok(bytes.len())
            }
            fn flush(&mut self) -> io::Result<()> {
                Ok(())
            }
        }
        let mut out = Full(5 << 20);
        let mut file = PdfFile::begin(vec![&mut out], "1.7").expect("written");
        // Bytes that do not get less: a fourth of a megabyte each.
        let noise = |n: u32| -> Vec<u8> {
            let mut x = n + 1;
            let mut next = || {
                x ^= x << 13;
                x ^= x >> 17;
                x ^= x << 5;
                x as u8
            };
            (0..1 << 18).map(|_| next()).collect()
        };
        let failed = (0..200).find(|n| file.add_object(stream(&noise(*n))).is_err());
        // The disk is full at the twentieth; some are on their way then.
        assert!(failed.is_some_and(|n| (20..60).contains(&n)), "{failed:?}");
    }

    #[test]
    fn offsets_get_the_bytes_that_they_need() {
        for (end, bytes) in [(1, 1), (255, 1), (256, 2), (65_535, 2), (65_536, 3), (1 << 24, 4)] {
            assert_eq!(bytes_for(end), bytes, "{end}");
        }
    }
}
