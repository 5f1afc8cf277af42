//! A closed polygon.

/// Its corners in order, mm; the last is joined to the first.
pub(super) type Contour = Vec<[f64; 2]>;
