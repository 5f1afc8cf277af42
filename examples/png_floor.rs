//! The least that any writer of a PNG has to do with pixels that are ready:
//!
//!     cargo run --release --example png_floor -- PAGE.png [LEVEL [RUNS]]
//!
//! Reads the picture into memory once, as RGBA, and times for strips of it:
//! copying, dropping the alpha, the filter Sub, deflate at LEVEL (2 if left
//! out), CRC-32. Nothing is written. Prints the median wall time in ms with
//! one thread and with two. What a painter takes beyond it is drawing.

use std::error::Error;
use std::fs::File;
use std::io::BufReader;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::Instant;

use flate2::{Compress, Compression, Crc, FlushCompress};

/// Pixels of a strip, about as many as the painter draws at a time.
const STRIP_PIXELS: usize = 2 << 20;

struct Picture {
    rgba: Vec<u8>,
    width: usize,
}

fn read(path: &str) -> Result<Picture, Box<dyn Error>> {
    let mut decoder = png::Decoder::new(BufReader::new(File::open(path)?));
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info()?;
    let mut data = vec![0; reader.output_buffer_size().ok_or("too large")?];
    let info = reader.next_frame(&mut data)?;
    data.truncate(info.buffer_size());
    let rgba = match info.color_type {
        png::ColorType::Rgba => data,
        png::ColorType::Rgb => data.chunks_exact(3).flat_map(|p| [p[0], p[1], p[2], 255]).collect(),
        other => return Err(format!("{other:?} pictures are not read").into()),
    };
    Ok(Picture { rgba, width: info.width as usize })
}

/// Memory of a thread, used again for each strip.
struct Worker {
    copy: Vec<u8>,
    rgb: Vec<u8>,
    filtered: Vec<u8>,
    squeezed: Vec<u8>,
    deflate: Compress,
}

impl Worker {
    fn new(level: u32) -> Worker {
        let [copy, rgb, filtered, squeezed] = [const { Vec::new() }; 4];
        Worker {
            copy,
            rgb,
            filtered,
            squeezed,
            deflate: Compress::new(Compression::new(level), false),
        }
    }

    /// Bytes and checksum of a strip as it would be in a file.
    fn strip(&mut self, rgba: &[u8], width: usize) -> Result<(usize, u32), flate2::CompressError> {
        self.copy.clear();
        self.copy.extend_from_slice(rgba);
        self.rgb.resize(rgba.len() / 4 * 3, 0);
        for (to, from) in self.rgb.chunks_exact_mut(3).zip(self.copy.chunks_exact(4)) {
            to.copy_from_slice(&from[..3]);
        }
        self.filtered.clear();
        for line in self.rgb.chunks_exact(width * 3) {
            self.filtered.push(1);
            self.filtered.extend_from_slice(&line[..3]);
            self.filtered.extend(line[3..].iter().zip(line).map(|(v, left)| v.wrapping_sub(*left)));
        }
        self.deflate.reset();
        self.squeezed.clear();
        loop {
            let done = self.deflate.total_in() as usize;
            self.squeezed.reserve(self.filtered.len() / 4 + 64);
            let rest = &self.filtered[done..];
            self.deflate.compress_vec(rest, &mut self.squeezed, FlushCompress::Sync)?;
            let all_in = self.deflate.total_in() as usize == self.filtered.len();
            if all_in && self.squeezed.len() < self.squeezed.capacity() {
                break;
            }
        }
        let mut crc = Crc::new();
        crc.update(&self.squeezed);
        Ok((self.squeezed.len(), crc.sum()))
    }
}

/// Every strip once, on so many threads: bytes in all.
fn run(picture: &Picture, level: u32, threads: usize) -> Result<usize, flate2::CompressError> {
    let rows = (STRIP_PIXELS / picture.width).max(1);
    let strips: Vec<&[u8]> = picture.rgba.chunks(rows * picture.width * 4).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut worker = Worker::new(level);
        let mut bytes = 0;
        while let Some(strip) = strips.get(next.fetch_add(1, Ordering::Relaxed)) {
            let (len, crc) = worker.strip(strip, picture.width)?;
            std::hint::black_box(crc);
            bytes += len;
        }
        Ok(bytes)
    };
    thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        running
            .into_iter()
            .map(|thread| thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .sum()
    })
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let path = args.next().ok_or("a PNG file is needed")?;
    let level = args.next().map_or(Ok(2), |level| level.parse())?;
    let runs: usize = args.next().map_or(Ok(5), |runs| runs.parse())?;
    let picture = read(&path)?;
    for threads in [1, 2] {
        let mut times = Vec::with_capacity(runs);
        let mut bytes = 0;
        for _ in 0..runs.max(1) {
            let begun = Instant::now();
            bytes = run(&picture, level, threads)?;
            times.push(begun.elapsed().as_secs_f64() * 1e3);
        }
        times.sort_by(f64::total_cmp);
        println!("{threads}\t{:.0}\t{bytes}", times[times.len() / 2]);
    }
    Ok(())
}
