//! How much of a file is read, so that one which was not meant, or means harm, costs little. All these limits can be
//! raised together for a run; depths of nesting cannot, since they keep the stack.

/// By how much the limits can be raised at most.
pub const MOST_TIMES: u64 = 64;

/// The most that is read of one thing.
#[derive(Debug, Clone, Copy)]
pub struct Limit(u64);

/// Any file, in bytes.
pub const FILE: Limit = Limit(64 << 20);
/// All parts of a workbook when unpacked, in bytes.
pub const UNPACKED: Limit = Limit(256 << 20);
/// What is made of a table, in bytes: a few bytes of a workbook can stand for many.
pub const MADE: Limit = Limit(256 << 20);
/// The texts of a workbook's sheet, in bytes, each counted wherever it is.
pub const TEXTS: Limit = Limit(64 << 20);
/// Rows of a table.
pub const ROWS: Limit = Limit(100_000);
/// Columns of a table.
pub const COLUMNS: Limit = Limit(2_000);
/// Cells of a table; in a workbook those that hold something.
pub const CELLS: Limit = Limit(4_000_000);
/// A photograph, in pixels.
pub const PHOTOGRAPH: Limit = Limit(100_000_000);
/// A shape file, in bytes.
pub const DRAWING: Limit = Limit(8 << 20);
/// Elements of a drawing, with those that are used again.
pub const ELEMENTS: Limit = Limit(100_000);
/// Points of all outlines of a drawing.
pub const POINTS: Limit = Limit(50_000);

/// A picture of a part, in pixels.
pub const PICTURE: Limit = Limit(10_000_000);
/// All pictures that a sheet shows, in bytes of their files.
pub const PICTURES: Limit = Limit(256 << 20);

/// Listings of a range.
pub const LISTINGS: Limit = Limit(20);
/// Families of a range.
pub const FAMILIES: Limit = Limit(200);
/// Parts of a range.
pub const PARTS: Limit = Limit(500);
/// Colours of a range.
pub const COLOURS: Limit = Limit(20_000);

/// The limits of one run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// How many times as large as usual they are.
    times: u64,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits { times: 1 }
    }
}

impl Limits {
    /// All of them so many times as large as usual, at most [`MOST_TIMES`].
    pub fn raised(times: u64) -> Limits {
        Limits { times: times.clamp(1, MOST_TIMES) }
    }

    /// How many times as large as usual.
    pub fn times(self) -> u64 {
        self.times
    }

    /// One of them, to hand over.
    pub fn bound(self, limit: Limit) -> Bound {
        Bound { limit, limits: self }
    }

    /// The most of one thing.
    pub fn most(self, limit: Limit) -> usize {
        usize::try_from(limit.0.saturating_mul(self.times)).unwrap_or(usize::MAX)
    }

    /// A limit in bytes, as MB (2^20 bytes).
    pub fn megabytes(self, limit: Limit) -> usize {
        self.most(limit) >> 20
    }

    /// A suggestion, and how to raise the limits where that is still possible.
    pub fn or_raise(self, way_out: &str) -> String {
        raised(way_out, self.times * 2)
    }

    /// The same where it is known how much there is of what the limit is set for.
    pub fn or_raise_to(self, way_out: &str, limit: Limit, count: usize) -> String {
        raised(way_out, (count as u64).div_ceil(limit.0))
    }
}

/// A limit as it is in one run.
#[derive(Debug, Clone, Copy)]
pub struct Bound {
    limit: Limit,
    limits: Limits,
}

impl Bound {
    /// The most of one thing.
    pub fn most(self) -> usize {
        self.limits.most(self.limit)
    }

    /// A suggestion for so many, and how to raise the limits where that is still possible.
    pub fn or_raise_to(self, way_out: &str, count: usize) -> String {
        self.limits.or_raise_to(way_out, self.limit, count)
    }
}

fn raised(way_out: &str, times: u64) -> String {
    match times {
        ..=MOST_TIMES => {
            format!("{way_out}; if it really is this large, add '--raise-limits {times}'")
        }
        _ => way_out.to_owned(),
    }
}
