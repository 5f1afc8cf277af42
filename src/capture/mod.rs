//! Photographs of pages that parts were laid on.

pub mod page;
