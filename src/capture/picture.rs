//! A decoded photograph: its samples as they are in the file, and what makes light of them.

/// Samples of a picture, red, green and blue in turn, line by line.
#[derive(Debug, Clone)]
pub enum Samples {
    /// One byte each.
    Eight(Vec<u8>),
    /// Two bytes each.
    Sixteen(Vec<u16>),
}

/// What the numbers of a picture stand for.
#[derive(Debug, Clone)]
pub struct Encoding {
    /// Linear light of each value that a sample can have, per channel: 256 or 65,536 entries.
    pub curves: [Vec<f32>; 3],
    /// From linear red, green and blue to XYZ (D50, Y = 1 for white); rows are X, Y, Z.
    pub matrix: [[f64; 3]; 3],
}

/// A photograph. Samples are kept as they are encoded: a pixel becomes light when it is asked for,
/// so that 100 megapixels need no 1.2 GB.
#[derive(Debug, Clone)]
pub struct Picture {
    width: usize,
    height: usize,
    samples: Samples,
    encoding: Encoding,
    /// The least value of a sample that counts as clipped.
    top: u16,
    /// The green channel for the eye, 0 to 255, of each value.
    greys: Vec<u8>,
}

impl Picture {
    /// Puts a picture together. `None` unless there are 3 x width x height samples.
    pub fn new(size: (usize, usize), samples: Samples, encoding: Encoding) -> Option<Picture> {
        let (width, height) = size;
        let (count, values, top) = match &samples {
            Samples::Eight(data) => (data.len(), 256, 254),
            Samples::Sixteen(data) => (data.len(), 65536, 65200),
        };
        let whole = width.checked_mul(height)?.checked_mul(3)? == count && count > 0;
        let curved = encoding.curves.iter().all(|c| c.len() == values);
        let grey = |v: &f32| (v.max(0.0).powf(1.0 / 2.2) * 255.0).round().min(255.0) as u8;
        let greys = encoding.curves[1].iter().map(grey).collect();
        (whole && curved).then_some(Picture { width, height, samples, encoding, top, greys })
    }

    /// Pixels from left to right.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Pixels from top to bottom.
    pub fn height(&self) -> usize {
        self.height
    }

    /// From linear red, green and blue to XYZ (D50, Y = 1 for white).
    pub fn matrix(&self) -> &[[f64; 3]; 3] {
        &self.encoding.matrix
    }

    /// The value of a sample; 0 outside.
    fn value(&self, x: usize, y: usize, channel: usize) -> usize {
        if x >= self.width || y >= self.height {
            return 0;
        }
        let at = 3 * (y * self.width + x) + channel;
        match &self.samples {
            Samples::Eight(data) => data.get(at).copied().map_or(0, usize::from),
            Samples::Sixteen(data) => data.get(at).copied().map_or(0, usize::from),
        }
    }

    /// Linear light of a pixel, 1 the lightest that a sample can be; 0 outside.
    pub fn light(&self, x: usize, y: usize) -> [f32; 3] {
        [0, 1, 2].map(|c| self.channel(x, y, c))
    }

    /// Linear light of one channel of a pixel.
    pub fn channel(&self, x: usize, y: usize, channel: usize) -> f32 {
        let curve = self.encoding.curves.get(channel);
        curve.and_then(|c| c.get(self.value(x, y, channel))).copied().unwrap_or(0.0)
    }

    /// Whether any channel of a pixel is as light as it can be.
    pub fn clips(&self, x: usize, y: usize) -> bool {
        (0..3).any(|c| self.value(x, y, c) >= usize::from(self.top))
    }

    /// The green channel of a pixel, encoded for the eye.
    pub fn grey(&self, x: usize, y: usize) -> u8 {
        self.greys.get(self.value(x, y, 1)).copied().unwrap_or(0)
    }

    /// The pixel a place falls on (the middle of the first pixel is 0.5, 0.5), if it is in the picture.
    pub fn pixel(&self, at: (f64, f64)) -> Option<(usize, usize)> {
        let inside =
            at.0 >= 0.0 && at.1 >= 0.0 && at.0 < self.width as f64 && at.1 < self.height as f64;
        inside.then_some((at.0 as usize, at.1 as usize))
    }
}

/// The inverse of sRGB's curve (IEC 61966-2-1), 0 to 1.
pub fn srgb_to_linear(v: f64) -> f64 {
    if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}
