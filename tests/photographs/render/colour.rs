//! CIELAB, tristimulus values and linear sRGB.

/// The tristimulus values of a CIELAB value for a white.
pub fn xyz_of_lab(lab: [f64; 3], white: [f64; 3]) -> [f64; 3] {
    let fy = (lab[0] + 16.0) / 116.0;
    let f = [fy + lab[1] / 500.0, fy, fy - lab[2] / 200.0];
    let back = |t: f64| {
        if t > 6.0 / 29.0 { t * t * t } else { 3.0 * (6.0f64 / 29.0).powi(2) * (t - 4.0 / 29.0) }
    };
    [white[0] * back(f[0]), white[1] * back(f[1]), white[2] * back(f[2])]
}

/// The CIELAB value of tristimulus values for a white.
pub fn lab_of_xyz(xyz: [f64; 3], white: [f64; 3]) -> [f64; 3] {
    let f = |t: f64| {
        if t > (6.0f64 / 29.0).powi(3) {
            t.cbrt()
        } else {
            t / (3.0 * (6.0f64 / 29.0).powi(2)) + 4.0 / 29.0
        }
    };
    let [x, y, z] = [f(xyz[0] / white[0]), f(xyz[1] / white[1]), f(xyz[2] / white[2])];
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// The distance of two CIELAB values (1976).
pub fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt()
}

/// A product of a matrix and a column.
pub fn times(m: &[[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// A product of two matrices.
pub fn product(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let mut out = [[0.0; 3]; 3];
    for (i, row) in out.iter_mut().enumerate() {
        for (j, cell) in row.iter_mut().enumerate() {
            *cell = (0..3).map(|k| a[i][k] * b[k][j]).sum();
        }
    }
    out
}

/// The inverse of a matrix that has one.
pub fn inverse(m: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let minor = |r: usize, c: usize| {
        let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let det = (0..3).map(|c| m[0][c] * minor(0, c)).sum::<f64>();
    let mut out = [[0.0; 3]; 3];
    for (r, row) in out.iter_mut().enumerate() {
        for (c, cell) in row.iter_mut().enumerate() {
            *cell = minor(c, r) / det;
        }
    }
    out
}

/// The matrix from tristimulus values (white 1) to linear values of primaries with a white, both as chromaticities.
pub fn from_xyz(primaries: [[f64; 2]; 3], white: [f64; 2]) -> [[f64; 3]; 3] {
    let column = |[x, y]: [f64; 2]| [x / y, 1.0, (1.0 - x - y) / y];
    let p = primaries.map(column);
    let across = [0, 1, 2].map(|r| [p[0][r], p[1][r], p[2][r]]);
    let share = times(&inverse(&across), column(white));
    let to_xyz = across.map(|row| [row[0] * share[0], row[1] * share[1], row[2] * share[2]]);
    inverse(&to_xyz)
}

/// The chromaticities of sRGB (IEC 61966-2-1).
pub const SRGB: [[f64; 2]; 3] = [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]];
/// The wider primaries of SMPTE EG 432-1, used with the white and the curve of sRGB.
pub const WIDE: [[f64; 2]; 3] = [[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]];
/// The chromaticity of D65.
pub const D65: [f64; 2] = [0.3127, 0.3290];

/// Linear light of a value of sRGB's curve, 0 to 1.
pub fn decoded(v: f64) -> f64 {
    if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}

/// The value of sRGB's curve of linear light, 0 to 1.
pub fn encoded(v: f64) -> f64 {
    if v <= 0.0031308 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 }
}
