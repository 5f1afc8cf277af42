//! Strips of rows: how high they are, drawing them on several threads and
//! handing them over in order, and their 3 x 3 reduction.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Condvar, Mutex, mpsc};

/// Four-byte pixels that one strip may hold: 8 MiB.
const STRIP_PIXELS: u32 = 2 << 20;
/// Rows of a strip at most; a multiple of 3, so that strips reduce by themselves. Lower strips
/// have more in common with those of another spelling, and compress a little less.
const MAX_ROWS: u32 = 42;

/// Rows in each strip but the last of a page `width` pixels wide; a multiple of 3.
pub fn rows(width: u32) -> u32 {
    ((STRIP_PIXELS / width.max(1)).clamp(3, MAX_ROWS) / 3) * 3
}

/// Threads that wait for the writer, and whether to give up.
#[derive(Default)]
struct Gate {
    state: Mutex<(u32, bool)>,
    moved: Condvar,
}

impl Gate {
    /// Waits until strip `index` is less than `ahead` before the writer; false to give up.
    fn enter(&self, index: u32, ahead: u32) -> bool {
        let mut state = self.state.lock().unwrap_or_else(|e| e.into_inner());
        while !state.1 && index >= state.0 + ahead {
            state = self.moved.wait(state).unwrap_or_else(|e| e.into_inner());
        }
        !state.1
    }

    fn written(&self, count: u32) {
        self.state.lock().unwrap_or_else(|e| e.into_inner()).0 = count;
        self.moved.notify_all();
    }

    fn close(&self) {
        self.state.lock().unwrap_or_else(|e| e.into_inner()).1 = true;
        self.moved.notify_all();
    }
}

/// Closes the gate when a thread ends for whatever reason but the last strip.
struct Closer<'a>(&'a Gate, bool);

impl Drop for Closer<'_> {
    fn drop(&mut self) {
        if self.1 {
            self.0.close();
        }
    }
}

/// Draws strips 0 to `count` on `jobs` threads, at most two strips a thread
/// ahead of `take`, which gets them in order on the calling thread. Each
/// thread has memory of its own, which `draw` uses again.
///
/// # Errors
/// The first error of `take`; drawing then stops.
pub fn in_order<M: Default, T: Send, E>(
    count: u32,
    jobs: usize,
    draw: impl Fn(&mut M, u32) -> T + Sync,
    mut take: impl FnMut(u32, T) -> Result<(), E>,
) -> Result<(), E> {
    if jobs <= 1 || count <= 1 {
        let mut memory = M::default();
        return (0..count).try_for_each(|i| take(i, draw(&mut memory, i)));
    }
    let jobs = u32::try_from(jobs).unwrap_or(count).min(count);
    let next = AtomicU32::new(0);
    let gate = Gate::default();
    std::thread::scope(|scope| {
        let (send, receive) = mpsc::channel();
        for _ in 0..jobs {
            let (send, next, gate, draw) = (send.clone(), &next, &gate, &draw);
            scope.spawn(move || {
                let mut closer = Closer(gate, true);
                let mut memory = M::default();
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    if index >= count || !gate.enter(index, 2 * jobs) {
                        break;
                    }
                    if send.send((index, draw(&mut memory, index))).is_err() {
                        break;
                    }
                }
                closer.1 = false;
            });
        }
        drop(send);
        let closer = Closer(&gate, true);
        let mut early = BTreeMap::new();
        let mut wanted = 0;
        for (index, strip) in receive {
            early.insert(index, strip);
            while let Some(strip) = early.remove(&wanted) {
                take(wanted, strip)?;
                wanted += 1;
                gate.written(wanted);
            }
        }
        drop(closer);
        Ok(())
    })
}

/// The mean of each 3 x 3 block of RGB pixels; rows and columns are multiples of 3.
pub fn third(rgb: &[u8], width: u32) -> Vec<u8> {
    let row = width as usize * 3;
    let mut out = Vec::with_capacity(rgb.len() / 9);
    for band in rgb.chunks_exact(3 * row) {
        let (a, rest) = band.split_at(row);
        let (b, c) = rest.split_at(row);
        for ((a, b), c) in a.chunks_exact(9).zip(b.chunks_exact(9)).zip(c.chunks_exact(9)) {
            for k in 0..3 {
                let sum: u16 =
                    [a, b, c].iter().flat_map(|p| [p[k], p[k + 3], p[k + 6]]).map(u16::from).sum();
                out.push(((sum + 4) / 9) as u8);
            }
        }
    }
    out
}

/// The first `keep` columns and `rows` rows of RGB pixels, `width` in a row.
pub fn corner(rgb: &[u8], width: u32, keep: u32, rows: u32) -> Cow<'_, [u8]> {
    let (row, keep, rows) = (width as usize * 3, keep as usize * 3, rows as usize);
    if keep == row {
        return Cow::Borrowed(&rgb[..rows * row]);
    }
    let mut out = Vec::with_capacity(rows * keep);
    rgb.chunks_exact(row).take(rows).for_each(|line| out.extend_from_slice(&line[..keep]));
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strips_arrive_in_order_on_any_number_of_threads() {
        for jobs in [1, 2, 5] {
            let mut seen = Vec::new();
            let slow = |(): &mut (), i: u32| {
                std::thread::sleep(std::time::Duration::from_micros(u64::from(i * 37 % 11) * 50));
                i * 10
            };
            in_order(40, jobs, slow, |i, v| {
                seen.push((i, v));
                Ok::<(), ()>(())
            })
            .expect("no error");
            assert_eq!(seen, (0..40).map(|i| (i, i * 10)).collect::<Vec<_>>());
        }
    }

    #[test]
    fn an_error_stops_the_threads() {
        for jobs in [1, 2, 4] {
            let result = in_order(
                1000,
                jobs,
                |(): &mut (), i| i,
                |i, _| if i == 7 { Err("full") } else { Ok(()) },
            );
            assert_eq!(result, Err("full"));
        }
    }

    #[test]
    fn a_block_of_nine_becomes_its_mean() {
        let mut rgb = vec![0u8; 6 * 3 * 3];
        for (i, value) in rgb.iter_mut().enumerate() {
            *value = if (i / 3) % 6 < 3 { 90 } else { (i % 3) as u8 * 9 };
        }
        assert_eq!(third(&rgb, 6), [90, 90, 90, 0, 9, 18]);
    }

    #[test]
    fn strips_are_whole_threes() {
        for width in [1, 850, 7205, 43_000, 900_000, u32::MAX] {
            assert!(rows(width) >= 3 && rows(width).is_multiple_of(3));
        }
        assert_eq!(rows(7205), 42);
    }
}
