//! The stream of events: each open page is told of every look at the files.

use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::Duration;

use tokio::sync::mpsc::{Receiver, UnboundedReceiver, UnboundedSender, channel, unbounded_channel};

/// How often a page that waits hears that the program still runs.
const HEARTBEAT: Duration = Duration::from_secs(10);
/// So many pages can be open.
const MOST: usize = 32;

/// The open pages.
#[derive(Debug, Default)]
pub struct Events(Mutex<Vec<Page>>);

/// An open page: what it is told by, and whether it is still there.
#[derive(Debug)]
struct Page {
    sender: UnboundedSender<String>,
    open: Weak<()>,
}

/// What a page hears; it is open as long as this is.
pub struct Listening {
    events: UnboundedReceiver<String>,
    _open: Arc<()>,
}

impl Events {
    /// Tells every open page.
    pub fn send(&self, event: &str) {
        let mut list = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        list.retain(|page| page.sender.send(event.to_owned()).is_ok());
    }

    /// A page that listens from now on; none where there are too many.
    pub fn listen(&self) -> Option<Listening> {
        let mut list = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        list.retain(|page| page.open.strong_count() > 0);
        let ((sender, events), open) = (unbounded_channel(), Arc::new(()));
        (list.len() < MOST).then(|| {
            list.push(Page { sender, open: Arc::downgrade(&open) });
            Listening { events, _open: open }
        })
    }

    /// Ends all streams.
    pub fn close(&self) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }
}

/// The stream that a page reads, until it is closed or the program ends.
pub fn stream(mut listening: Listening, first: &str) -> Receiver<String> {
    let (sender, receiver) = channel(4);
    let first = format!("retry: 1000\n\ndata: {first}\n\n");
    tokio::spawn(async move {
        let mut next = first;
        while sender.send(next).await.is_ok() {
            next = match tokio::time::timeout(HEARTBEAT, listening.events.recv()).await {
                Ok(Some(event)) => format!("data: {event}\n\n"),
                Ok(None) => return,
                Err(_) => ": still here\n\n".to_owned(),
            };
        }
    });
    receiver
}
