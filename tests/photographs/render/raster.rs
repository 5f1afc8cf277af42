//! The page as a fine grid of cells: what is there, how bright its side is, how it shines, which light reaches it.

use crate::render::page::Polygon;

/// One cell, packed so that four can be compared at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cell(pub u64);

/// A brightness of 1.
const SHADE: f32 = 32768.0;

impl Cell {
    /// A cell of a material, fully lit.
    pub fn of(material: u16) -> Self {
        Self(u64::from(material) | 32768 << 16 | 0xffff << 48)
    }

    pub fn material(self) -> usize {
        (self.0 & 0xffff) as usize
    }

    pub fn shade(self) -> f32 {
        ((self.0 >> 16) & 0xffff) as f32 / SHADE
    }

    pub fn gloss(self) -> f32 {
        ((self.0 >> 32) & 0xffff) as f32 / 65535.0
    }

    /// The share of a lamp's light that reaches it.
    pub fn lit(self, lamp: usize) -> f32 {
        ((self.0 >> (48 + 8 * lamp)) & 0xff) as f32 / 255.0
    }

    fn put(self, at: u32, bits: u64, value: f32) -> Self {
        let value = (value.max(0.0) as u64).min(bits);
        Self(self.0 & !(bits << at) | value << at)
    }

    pub fn with_shade(self, shade: f32) -> Self {
        self.put(16, 0xffff, shade * SHADE + 0.5)
    }

    pub fn with_gloss(self, gloss: f32) -> Self {
        self.put(32, 0xffff, gloss * 65535.0 + 0.5)
    }

    pub fn with_lit(self, lamp: usize, share: f32) -> Self {
        self.put(48 + 8 * lamp as u32, 0xff, share * 255.0 + 0.5)
    }
}

/// The grid.
pub struct Raster {
    pub wide: usize,
    pub high: usize,
    pub per_mm: f64,
    pub cells: Vec<Cell>,
}

/// How near a cell is to a line: the distance in millimetres, and the unit step from the line to the cell.
pub struct Near {
    pub at: usize,
    pub distance: f32,
    pub away: (f32, f32),
}

impl Raster {
    pub fn new(size: (f64, f64), per_mm: f64, cell: Cell) -> Self {
        let (wide, high) = ((size.0 * per_mm).ceil() as usize, (size.1 * per_mm).ceil() as usize);
        Self { wide, high, per_mm, cells: vec![cell; wide * high] }
    }

    /// The middle of a cell, in millimetres.
    pub fn middle(&self, at: usize) -> (f64, f64) {
        (
            ((at % self.wide) as f64 + 0.5) / self.per_mm,
            ((at / self.wide) as f64 + 0.5) / self.per_mm,
        )
    }

    /// The runs of cells whose middle is inside, by the even-odd rule: where each begins and how many.
    pub fn runs(&self, outline: &[Polygon]) -> Vec<(usize, usize)> {
        let mut crossings: Vec<(i32, f64)> = Vec::new();
        for polygon in outline {
            for (i, &a) in polygon.iter().enumerate() {
                let b = polygon[(i + 1) % polygon.len()];
                let (top, low) = if a.1 < b.1 { (a, b) } else { (b, a) };
                let first = (top.1 * self.per_mm - 0.5).ceil().max(0.0) as i32;
                let last = ((low.1 * self.per_mm - 0.5).ceil() as i32).min(self.high as i32);
                let slope = (low.0 - top.0) / (low.1 - top.1);
                for row in first..last {
                    let y = (f64::from(row) + 0.5) / self.per_mm;
                    crossings.push((row, (top.0 + (y - top.1) * slope) * self.per_mm));
                }
            }
        }
        crossings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let bound = |x: f64| (x - 0.5).ceil().clamp(0.0, self.wide as f64) as usize;
        let pairs = crossings
            .chunks_exact(2)
            .map(|p| (p[0].0 as usize * self.wide, bound(p[0].1), bound(p[1].1)));
        pairs
            .filter(|(_, from, to)| from < to)
            .map(|(row, from, to)| (row + from, to - from))
            .collect()
    }

    /// Every cell inside goes through a function.
    pub fn fill(&mut self, outline: &[Polygon], change: impl Fn(Cell, usize) -> Cell) {
        for (start, count) in self.runs(outline) {
            for at in start..start + count {
                self.cells[at] = change(self.cells[at], at);
            }
        }
    }

    /// The cells within a distance of an outline, each once, with its nearest line.
    pub fn near(&self, outline: &[Polygon], within: f64) -> Vec<Near> {
        let points = || outline.iter().flatten();
        let columns = self.reach(points().map(|p| p.0), within, self.wide);
        let rows = self.reach(points().map(|p| p.1), within, self.high);
        let wide = columns.len();
        let mut best = vec![(f32::MAX, (0.0, 0.0)); wide * rows.len()];
        for polygon in outline {
            for (i, &a) in polygon.iter().enumerate() {
                let b = polygon[(i + 1) % polygon.len()];
                for row in self.reach([a.1, b.1].into_iter(), within, self.high) {
                    for column in self.reach([a.0, b.0].into_iter(), within, self.wide) {
                        let (distance, step) =
                            from_line(a, b, self.middle(row * self.wide + column));
                        let cell = &mut best[(row - rows.start) * wide + column - columns.start];
                        if distance < cell.0 {
                            *cell = (distance, step);
                        }
                    }
                }
            }
        }
        let all =
            best.into_iter().enumerate().filter(|(_, cell)| f64::from(cell.0) <= within * within);
        let near = all.map(|(i, (squared, step))| {
            let distance = squared.sqrt();
            let unit = distance.max(1e-6);
            let at = (rows.start + i / wide) * self.wide + columns.start + i % wide;
            Near { at, distance, away: (step.0 / unit, step.1 / unit) }
        });
        near.collect()
    }

    /// The columns or rows within a distance of some points.
    fn reach(
        &self,
        points: impl Iterator<Item = f64>,
        within: f64,
        most: usize,
    ) -> std::ops::Range<usize> {
        let (low, high) = points.fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p), h.max(p)));
        let first = ((low - within) * self.per_mm).max(0.0) as usize;
        first.min(most)..(((high + within) * self.per_mm).max(0.0) as usize + 1).min(most)
    }
}

/// The squared distance of a point from a line, and the step to it from the line.
fn from_line(a: (f64, f64), b: (f64, f64), p: (f64, f64)) -> (f32, (f32, f32)) {
    let (dx, dy) = ((b.0 - a.0) as f32, (b.1 - a.1) as f32);
    let (x, y) = ((p.0 - a.0) as f32, (p.1 - a.1) as f32);
    let along = ((x * dx + y * dy) / (dx * dx + dy * dy).max(1e-9)).clamp(0.0, 1.0);
    let step = (x - along * dx, y - along * dy);
    (step.0 * step.0 + step.1 * step.1, step)
}

/// A circle as a polygon.
pub fn circle(centre: (f64, f64), radius: f64) -> Polygon {
    (0..48)
        .map(|i| f64::from(i) / 48.0 * std::f64::consts::TAU)
        .map(|t| (centre.0 + radius * t.cos(), centre.1 + radius * t.sin()))
        .collect()
}
