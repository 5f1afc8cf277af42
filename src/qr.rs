//! Square codes (ISO/IEC 18004) as shapes.

use kurbo::{BezPath, Rect, Shape as _};
use qrcode::{Color, EcLevel, QrCode, Version};

/// White that a code needs around it, in modules (ISO/IEC 18004).
pub const QUIET: usize = 4;

/// A code: its dark modules, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SquareCode {
    width: usize,
    dark: Vec<bool>,
}

impl SquareCode {
    /// The code of a text, with a quarter of it to spare for what cannot be read; none of a text that is too long.
    pub fn of(text: &str) -> Option<SquareCode> {
        SquareCode::at(text, EcLevel::Q)
    }

    /// The same with a seventh to spare: fewer modules, for a code that is printed small on a clean page.
    pub fn small(text: &str) -> Option<SquareCode> {
        SquareCode::at(text, EcLevel::M)
    }

    /// A small one with so many modules along a side; none where a text needs more.
    pub fn of_width(text: &str, width: usize) -> Option<SquareCode> {
        // The version n has 17 + 4n modules (ISO/IEC 18004).
        let version = Version::Normal(i16::try_from(width.checked_sub(17)? / 4).ok()?);
        QrCode::with_version(text.as_bytes(), version, EcLevel::M).ok().map(SquareCode::from)
    }

    fn at(text: &str, level: EcLevel) -> Option<SquareCode> {
        QrCode::with_error_correction_level(text.as_bytes(), level).ok().map(SquareCode::from)
    }

    fn from(code: QrCode) -> SquareCode {
        let dark = code.to_colors().into_iter().map(|colour| colour == Color::Dark).collect();
        SquareCode { width: code.width(), dark }
    }

    /// Modules along a side.
    pub fn width(&self) -> usize {
        self.width
    }

    /// The dark modules in a square, mm.
    pub fn path(&self, left: f64, top: f64, side: f64) -> BezPath {
        let step = side / self.width as f64;
        let mut path = BezPath::new();
        for (i, _) in self.dark.iter().enumerate().filter(|(_, dark)| **dark) {
            let (x, y) =
                (left + step * (i % self.width) as f64, top + step * (i / self.width) as f64);
            path.extend(Rect::new(x, y, x + step, y + step).to_path(1e-3));
        }
        path
    }
}
