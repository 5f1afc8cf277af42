//! A table to be written.

use super::cell::Cell;

/// One table: its name, its headings, and its rows, each as long as the headings.
pub(super) struct Table {
    pub name: &'static str,
    pub head: Vec<String>,
    pub rows: Vec<Vec<Cell>>,
}
