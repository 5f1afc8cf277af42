//! Threads: every one that computes is begun here, and results come in the order of the work,
//! whatever the threads.

use std::collections::{BTreeMap, VecDeque};
use std::io;
use std::panic::resume_unwind;
use std::sync::atomic::{AtomicU32, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};
use std::sync::{Condvar, Mutex};
use std::thread::{self, JoinHandle, Scope, ScopedJoinHandle, available_parallelism};

/// How many threads the machine runs at one time, at most 64.
pub fn cores() -> usize {
    available_parallelism().map_or(1, usize::from).min(64)
}

/// `work` on each of `items`, with results in their order.
pub fn in_parallel<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = cores().min(items.len());
    if threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let claim = || {
        let mut done = Vec::new();
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(i) else { return done };
            done.push((i, work(item)));
        }
    };
    let mut done: Vec<(usize, R)> = thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(claim)).collect();
        workers
            .into_iter()
            .flat_map(|w| w.join().unwrap_or_else(|panic| resume_unwind(panic)))
            .collect()
    });
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, result)| result).collect()
}

/// Work that goes on elsewhere while the caller makes more of it.
pub struct Ahead<R> {
    threads: usize,
    under_way: VecDeque<JoinHandle<R>>,
}

impl<R: Send + 'static> Ahead<R> {
    /// On so many threads.
    pub fn on(threads: usize) -> Ahead<R> {
        Ahead { threads, under_way: VecDeque::new() }
    }

    /// How many are under way.
    pub fn len(&self) -> usize {
        self.under_way.len()
    }

    /// Is nothing under way?
    pub fn is_empty(&self) -> bool {
        self.under_way.is_empty()
    }

    /// Begins some more; where as many are under way as there are threads, waits for the oldest
    /// and returns it.
    pub fn add(&mut self, work: impl FnOnce() -> R + Send + 'static) -> Option<R> {
        let done = if self.under_way.len() >= self.threads { self.oldest() } else { None };
        self.under_way.push_back(thread::spawn(work));
        done
    }

    /// The first of those under way, when it is done; none when there are none.
    pub fn oldest(&mut self) -> Option<R> {
        let thread = self.under_way.pop_front()?;
        Some(thread.join().unwrap_or_else(|panic| resume_unwind(panic)))
    }
}

/// A thread that takes things in their order as they come, and fails or succeeds as a whole.
pub struct Fed<'scope, T> {
    send: SyncSender<T>,
    thread: ScopedJoinHandle<'scope, io::Result<()>>,
}

impl<'scope, T: Send + 'scope> Fed<'scope, T> {
    /// Begins one, for which at most `waiting` things wait.
    pub fn begin(
        scope: &'scope Scope<'scope, '_>,
        waiting: usize,
        work: impl FnOnce(Receiver<T>) -> io::Result<()> + Send + 'scope,
    ) -> Fed<'scope, T> {
        let (send, things) = sync_channel(waiting);
        Fed { send, thread: scope.spawn(move || work(things)) }
    }

    /// Adds a thing.
    ///
    /// # Errors
    /// The thread takes no more; [`Fed::finish`] returns its error.
    pub fn add(&self, thing: T) -> io::Result<()> {
        self.send.send(thing).map_err(|_| io::ErrorKind::BrokenPipe.into())
    }

    /// Waits for the end of the thread, for which there is nothing more.
    ///
    /// # Errors
    /// Those of its work; or it failed.
    pub fn finish(self) -> io::Result<()> {
        drop(self.send);
        self.thread.join().unwrap_or_else(|_| Err(io::Error::other("the coder failed")))
    }
}

/// Threads that wait for the taker, and whether to give up.
#[derive(Default)]
struct Gate {
    state: Mutex<(u32, bool)>,
    moved: Condvar,
}

impl Gate {
    /// Waits until piece `index` is less than `ahead` before the taker; false to give up.
    fn enter(&self, index: u32, ahead: u32) -> bool {
        let mut state = self.state.lock().unwrap_or_else(|e| e.into_inner());
        while !state.1 && index >= state.0 + ahead {
            state = self.moved.wait(state).unwrap_or_else(|e| e.into_inner());
        }
        !state.1
    }

    fn taken(&self, count: u32) {
        self.state.lock().unwrap_or_else(|e| e.into_inner()).0 = count;
        self.moved.notify_all();
    }

    fn close(&self) {
        self.state.lock().unwrap_or_else(|e| e.into_inner()).1 = true;
        self.moved.notify_all();
    }
}

/// Closes the gate when a thread ends for whatever reason but the last piece.
struct Closer<'a>(&'a Gate, bool);

impl Drop for Closer<'_> {
    fn drop(&mut self) {
        if self.1 {
            self.0.close();
        }
    }
}

/// Makes pieces 0 to `count` on `jobs` threads, at most two pieces a thread
/// ahead of `take`, which gets them in order on the calling thread. Each
/// thread has memory of its own, which `make` uses again.
///
/// # Errors
/// The first error of `take`; the threads then stop.
pub fn in_order<M: Default, T: Send, E>(
    count: u32,
    jobs: usize,
    make: impl Fn(&mut M, u32) -> T + Sync,
    mut take: impl FnMut(u32, T) -> Result<(), E>,
) -> Result<(), E> {
    if jobs <= 1 || count <= 1 {
        let mut memory = M::default();
        return (0..count).try_for_each(|i| take(i, make(&mut memory, i)));
    }
    let jobs = u32::try_from(jobs).unwrap_or(count).min(count);
    let next = AtomicU32::new(0);
    let gate = Gate::default();
    thread::scope(|scope| {
        let (send, receive) = channel();
        for _ in 0..jobs {
            let (send, next, gate, make) = (send.clone(), &next, &gate, &make);
            scope.spawn(move || {
                let mut closer = Closer(gate, true);
                let mut memory = M::default();
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    if index >= count || !gate.enter(index, 2 * jobs) {
                        break;
                    }
                    if send.send((index, make(&mut memory, index))).is_err() {
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
        for (index, piece) in receive {
            early.insert(index, piece);
            while let Some(piece) = early.remove(&wanted) {
                take(wanted, piece)?;
                wanted += 1;
                gate.taken(wanted);
            }
        }
        drop(closer);
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_arrive_in_order_on_any_number_of_threads() {
        for jobs in [1, 2, 5] {
            let mut seen = Vec::new();
            let slow = |(): &mut (), i: u32| {
                thread::sleep(std::time::Duration::from_micros(u64::from(i * 37 % 11) * 50));
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
    fn work_ahead_comes_back_in_its_order() {
        for threads in [1, 2, 5] {
            let mut ahead = Ahead::on(threads);
            let mut done = Vec::new();
            for n in 0..20u64 {
                let work = move || {
                    thread::sleep(std::time::Duration::from_micros(n * 37 % 11 * 50));
                    n
                };
                done.extend(ahead.add(work));
                assert!(ahead.len() <= threads);
            }
            while let Some(n) = ahead.oldest() {
                done.push(n);
            }
            assert_eq!(done, (0..20).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_fed_thread_that_gives_up_takes_no_more() {
        thread::scope(|scope| {
            let fed = Fed::begin(scope, 1, |numbers: Receiver<u32>| {
                let sum: u32 = numbers.iter().take(2).sum();
                Err(io::Error::other(format!("full at {sum}")))
            });
            while fed.add(4).is_ok() {}
            assert_eq!(fed.finish().expect_err("full").to_string(), "full at 8");
        });
    }
}
