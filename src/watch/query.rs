//! The part of an address behind the question mark.

use std::collections::BTreeMap;

/// Names and values, of a name given twice the first.
#[derive(Debug, Default, PartialEq)]
pub struct Query(BTreeMap<String, String>);

impl Query {
    /// Path and query of an address.
    pub fn split(address: &str) -> (&str, Query) {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let mut values = BTreeMap::new();
        for (name, value) in form_urlencoded::parse(query.as_bytes()) {
            values.entry(name.into_owned()).or_insert_with(|| value.into_owned());
        }
        (path, Query(values))
    }

    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    /// A whole number; 0 where there is none.
    pub fn number(&self, name: &str) -> u64 {
        self.get(name).and_then(|value| value.parse().ok()).unwrap_or(0)
    }
}
