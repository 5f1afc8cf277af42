//! Board map.
