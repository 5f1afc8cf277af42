//! Drawings that were understood before.

use std::collections::HashMap;
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::diag::Diagnostic;
use crate::read::shapes::{Shape, read_shape};
use crate::session::Session;

/// Drawings by their texts: one that several parts share, or that is read again, is understood once.
#[derive(Debug, Clone, Default)]
pub struct Shapes(Arc<Mutex<HashMap<Arc<str>, Arc<Shape>>>>);

/// The most drawings that are kept.
const MOST_KEPT: usize = 1000;

impl Shapes {
    pub(super) fn read(
        &self,
        file: &Path,
        text: &Arc<str>,
        session: &Session,
    ) -> Result<Arc<Shape>, Vec<Diagnostic>> {
        if let Some(shape) = self.list().get(text) {
            return Ok(Arc::clone(shape));
        }
        let shape = Arc::new(read_shape(file, text, session)?);
        let mut list = self.list();
        if list.len() < MOST_KEPT {
            list.insert(Arc::clone(text), Arc::clone(&shape));
        }
        Ok(shape)
    }

    fn list(&self) -> MutexGuard<'_, HashMap<Arc<str>, Arc<Shape>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
