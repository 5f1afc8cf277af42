//! Streams made and compressed while others are still drawn, in the same bytes on any number of
//! threads.

use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use crate::parallel::{self, Ahead};

/// The demo is 3.3 % larger than at the best level, in half the time.
const LEVEL: u32 = 4;
/// Threads that are worth having: what is drawn comes from one.
const MOST_THREADS: usize = 4;
/// Bytes for which a thread is not.
const FEW: usize = 1 << 16;

/// A compressor for many streams: to make one takes longer than most streams.
struct Deflater(ZlibEncoder<Vec<u8>>);

impl Deflater {
    fn new() -> Deflater {
        Deflater(ZlibEncoder::new(Vec::new(), Compression::new(LEVEL)))
    }

    /// Memory is all that writing into it can fail by.
    fn deflate(&mut self, content: &[u8]) -> Option<Vec<u8>> {
        self.0.write_all(content).and_then(|()| self.0.reset(Vec::new())).ok()
    }
}

/// What has content to be compressed.
pub trait Squeezable: Send + Sized + 'static {
    /// About how many bytes it has.
    fn weight(&self) -> usize;
    /// Makes the bytes of some, where they are not made yet.
    fn make(some: &mut [Self]);
    /// The bytes as they are.
    fn content(&self) -> &[u8];
    /// Takes what they are compressed.
    fn squeezed(&mut self, deflated: Vec<u8>);
}

/// Things with content that are compressed some at a time, and come out in their order.
pub struct Deflating<T>(Ahead<Vec<T>>);

impl<T: Squeezable> Default for Deflating<T> {
    fn default() -> Deflating<T> {
        Deflating(Ahead::on(parallel::cores().min(MOST_THREADS)))
    }
}

impl<T: Squeezable> Deflating<T> {
    /// Begins on some more; returns those that are done, when as many wait as there are threads.
    pub fn add(&mut self, some: Vec<T>) -> Vec<T> {
        if self.0.is_empty() && some.iter().map(|t| t.weight()).sum::<usize>() < FEW {
            return deflated(some);
        }
        self.0.add(|| deflated(some)).unwrap_or_default()
    }

    /// The first of those under way, when they are done; none when there are none.
    pub fn oldest(&mut self) -> Option<Vec<T>> {
        self.0.oldest()
    }
}

fn deflated<T: Squeezable>(mut some: Vec<T>) -> Vec<T> {
    T::make(&mut some);
    let mut deflater = Deflater::new();
    for one in &mut some {
        if let Some(short) = deflater.deflate(one.content()) {
            one.squeezed(short);
        }
    }
    some
}

#[cfg(test)]
mod tests {
    use super::*;
    use flate2::read::ZlibDecoder;
    use std::io::Read;

    struct Stream(Vec<u8>, Vec<u8>);

    impl Squeezable for Stream {
        fn weight(&self) -> usize {
            self.0.len()
        }
        fn make(_: &mut [Stream]) {}
        fn content(&self) -> &[u8] {
            &self.0
        }
        fn squeezed(&mut self, deflated: Vec<u8>) {
            self.1 = deflated;
        }
    }

    fn all(threads: usize) -> Vec<Stream> {
        let content = |n: usize| format!("{n} 0 m\n").repeat(n * n * 20).into_bytes();
        let mut deflating = Deflating(Ahead::on(threads));
        let mut done = Vec::new();
        for some in 0..12 {
            let some = (some * 2..some * 2 + 2).map(|n| Stream(content(n), Vec::new()));
            done.extend(deflating.add(some.collect()));
        }
        while let Some(some) = deflating.oldest() {
            done.extend(some);
        }
        done
    }

    #[test]
    fn streams_are_the_same_on_any_number_of_threads() {
        let one = all(1);
        for threads in [2, 5] {
            let short =
                |streams: &[Stream]| streams.iter().map(|s| s.1.clone()).collect::<Vec<_>>();
            assert_eq!(short(&all(threads)), short(&one));
        }
        assert_eq!(one.len(), 24);
        for Stream(content, short) in one {
            let mut back = Vec::new();
            ZlibDecoder::new(&short[..]).read_to_end(&mut back).expect("a stream");
            assert_eq!(back, content);
        }
    }
}
