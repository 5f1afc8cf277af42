//! Waits until a file that the sheet depends on is another.
//!
//! Folders are watched, not files: editors and spreadsheet programs write a file beside the old one and rename it. What
//! an event says is not believed; files are read and compared, so that a save without a change, a lock file or a backup
//! does nothing. Now and then all are compared without an event, for file systems that send none.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use notify::{RecommendedWatcher, RecursiveMode, Watcher};

use crate::files::Seen;
use crate::stop::Stop;

/// How long it must be quiet after an event: a save is several.
const QUIET: Duration = Duration::from_millis(15);
/// How long a burst of events is waited for.
const LONGEST: Duration = Duration::from_millis(150);
/// How often files are compared without an event.
const BY_ITSELF: Duration = Duration::from_secs(2);
/// How soon the program ends when it is asked to.
const ANSWER: Duration = Duration::from_millis(50);

/// Watches the folders of some files.
pub struct Folders {
    watcher: Option<RecommendedWatcher>,
    events: Receiver<()>,
    watched: BTreeSet<PathBuf>,
}

impl Folders {
    /// Nothing is watched yet. A machine that sends no events is asked every two seconds.
    pub fn new() -> Folders {
        let (sender, events) = channel();
        let heard = move |event: notify::Result<notify::Event>| {
            if event.is_ok_and(|event| !event.kind.is_access()) {
                let _ = sender.send(());
            }
        };
        Folders {
            watcher: notify::recommended_watcher(heard).ok(),
            events,
            watched: BTreeSet::new(),
        }
    }

    /// Watches the folders of these files, and those that are listed.
    pub fn watch(&mut self, seen: &[Seen]) {
        let here = Path::new(".");
        let folder = |path: &Path| match path.parent() {
            Some(parent) if parent.as_os_str().is_empty() => here.to_owned(),
            Some(parent) => parent.to_owned(),
            None => here.to_owned(),
        };
        let own =
            seen.iter().map(|s| if s.file.is_dir() { s.file.clone() } else { folder(&s.file) });
        let wanted: BTreeSet<PathBuf> = own.filter(|folder| folder.is_dir()).collect();
        if let Some(watcher) = &mut self.watcher {
            for gone in self.watched.difference(&wanted) {
                let _ = watcher.unwatch(gone);
            }
            for new in wanted.difference(&self.watched) {
                let _ = watcher.watch(new, RecursiveMode::NonRecursive);
            }
        }
        self.watched = wanted;
    }

    /// Waits until one of the files is another; false where the run is asked to stop.
    pub fn changed(&self, seen: &[Seen], stop: &Stop) -> bool {
        let mut compared = Instant::now();
        loop {
            if stop.asked() {
                return false;
            }
            let heard = match self.events.recv_timeout(ANSWER) {
                Ok(()) => {
                    self.settle();
                    true
                }
                Err(RecvTimeoutError::Timeout) => false,
                Err(RecvTimeoutError::Disconnected) => {
                    std::thread::sleep(ANSWER);
                    false
                }
            };
            if heard || compared.elapsed() > BY_ITSELF {
                compared = Instant::now();
                if !seen.iter().all(Seen::is_still_so) {
                    return true;
                }
            }
        }
    }

    /// Waits until the events of a save are over.
    fn settle(&self) {
        let begun = Instant::now();
        while begun.elapsed() < LONGEST && self.events.recv_timeout(QUIET).is_ok() {}
    }
}
