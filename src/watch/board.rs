//! What the looks came to, for all threads that answer.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use serde_json::{Map, Value, json};

use super::events::Events;
use super::look::{Good, Look};
use super::view::View;

/// The newest look, the last good sheet, and the open pages.
#[derive(Default)]
pub struct Board {
    kept: Mutex<Kept>,
    pub events: Events,
}

#[derive(Default)]
struct Kept {
    revision: u64,
    is_good: bool,
    findings: Value,
    good: Option<Arc<Good>>,
    /// The view that was asked for last.
    view: Option<View>,
}

impl Kept {
    fn event(&self) -> Value {
        let sheet = self.good.as_ref().map_or(0, |good| good.revision);
        json!({"revision": self.revision, "sheet_revision": sheet, "good": self.is_good})
    }
}

impl Board {
    /// Keeps what a look came to, and tells the open pages.
    pub fn put(&self, look: &Look) {
        let event = {
            let mut kept = self.lock();
            kept.revision = look.revision;
            kept.is_good = look.good.is_some();
            kept.findings = look.findings.clone();
            if let Some(good) = &look.good {
                kept.good = Some(Arc::clone(good));
            }
            kept.event().to_string()
        };
        self.events.send(&event);
    }

    /// The newest figures, as an event has them.
    pub fn event(&self) -> Value {
        self.lock().event()
    }

    /// Everything but the sheet.
    pub fn state(&self, sheet: &str) -> Value {
        let kept = self.lock();
        let mut state: Map<String, Value> = match &kept.good {
            Some(good) => good.state.clone(),
            None => Map::new(),
        };
        state.extend(kept.event().as_object().cloned().unwrap_or_default());
        state.insert("sheet".into(), sheet.into());
        state.insert("findings".into(), kept.findings.clone());
        state.insert("paper".into(), Value::Null);
        Value::Object(state)
    }

    /// The last sheet without errors.
    pub fn good(&self) -> Option<Arc<Good>> {
        self.lock().good.clone()
    }

    /// Notes what is looked at.
    pub fn viewed(&self, view: &View) {
        self.lock().view = Some(view.clone());
    }

    /// What was asked for last.
    pub fn view(&self) -> Option<View> {
        self.lock().view.clone()
    }

    fn lock(&self) -> MutexGuard<'_, Kept> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
