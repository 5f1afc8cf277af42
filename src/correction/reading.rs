//! What is given, and the forms of what comes out.

/// One reading of a printed value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Where in colour it was read.
    pub at: Spot,
    /// Measured less what the model says: CIELAB.
    pub off: [f64; 3],
    /// Standard deviation of each CIELAB axis, as is usual for readings of its kind.
    pub sigma: f64,
    /// Kinds of readings have noise of a scale of their own.
    pub kind: u8,
}

/// Where in colour: what the model says that a value shows, and the value itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// CIELAB that the model gives.
    pub lab: [f64; 3],
    /// sRGB bytes and 0, or ink in percent x 2.55: 0 to 255 each.
    pub value: [f64; 4],
}

/// Forms of a correction, from the simplest on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// None at all.
    None,
    /// The same everywhere.
    Shift,
    /// Of the first degree in CIELAB.
    Affine,
    /// Of the second degree in CIELAB.
    Quadratic,
    /// Of the third degree in CIELAB.
    Cubic,
    /// Affine in CIELAB, and a Gaussian process on CIELAB and value.
    Process,
}

/// What would be predicted for a reading without it and without its doubles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// The correction: CIELAB.
    pub off: [f64; 3],
    /// Standard deviation of the prediction less the reading, the reading's noise included: the
    /// square root of the sum of the three axes' variances.
    pub sigma: f64,
}
