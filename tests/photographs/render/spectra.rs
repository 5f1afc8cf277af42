//! Tables of spectra, 380 to 780 nm every 10 nm, and sums over them.

use std::sync::LazyLock;

/// How many samples a spectrum has.
pub const SAMPLES: usize = 41;

/// A spectrum, 380 to 780 nm every 10 nm.
pub type Spectrum = [f64; SAMPLES];

/// The wavelength of a sample, in nanometres.
pub fn wavelength(sample: usize) -> f64 {
    380.0 + 10.0 * sample as f64
}

/// The columns of a table, each with its heading.
fn table(text: &str) -> Vec<(String, Spectrum)> {
    let mut rows = text.lines().filter(|line| !line.starts_with('#'));
    let heads = rows.next().expect("a table has headings").split(',').skip(1);
    let mut columns: Vec<(String, Spectrum)> =
        heads.map(|head| (head.to_owned(), [0.0; SAMPLES])).collect();
    for (at, row) in rows.enumerate() {
        for (column, cell) in columns.iter_mut().zip(row.split(',').skip(1)) {
            column.1[at] = cell.parse().expect("a number");
        }
    }
    columns
}

/// The observer's three functions.
pub static OBSERVER: LazyLock<[Spectrum; 3]> = LazyLock::new(|| {
    let columns = table(include_str!("../data/observer.csv"));
    [columns[0].1, columns[1].1, columns[2].1]
});

static LIGHTS: LazyLock<Vec<(String, Spectrum)>> =
    LazyLock::new(|| table(include_str!("../data/lights.csv")));

static CAMERAS: LazyLock<Vec<(String, Spectrum)>> =
    LazyLock::new(|| table(include_str!("../data/cameras.csv")));

/// A light by its heading in `data/lights.csv`.
pub fn light(name: &str) -> Spectrum {
    LIGHTS.iter().find(|light| light.0 == name).unwrap_or_else(|| panic!("no light {name}")).1
}

/// The red, green and blue sensitivity of camera 1 or 2.
pub fn camera(number: usize) -> [Spectrum; 3] {
    let at = 3 * (number - 1);
    [CAMERAS[at].1, CAMERAS[at + 1].1, CAMERAS[at + 2].1]
}

/// A spectrum moved towards long waves, in nanometres; it ends where it ended.
pub fn moved(of: &Spectrum, by: f64) -> Spectrum {
    std::array::from_fn(|i| {
        let at = i as f64 - by / 10.0;
        let low = at.floor();
        let value = |k: f64| {
            if k < 0.0 || k > (SAMPLES - 1) as f64 { 0.0 } else { of[k as usize] }
        };
        value(low) * (1.0 - (at - low)) + value(low + 1.0) * (at - low)
    })
}

/// What three sensitivities see of a reflectance under a light.
pub fn seen(sensitivities: &[Spectrum; 3], light: &Spectrum, reflectance: &Spectrum) -> [f64; 3] {
    sensitivities.map(|s| (0..SAMPLES).map(|i| s[i] * light[i] * reflectance[i]).sum())
}

/// The tristimulus values of a reflectance under a light, 1 for the perfect diffuser's Y.
pub fn xyz(light: &Spectrum, reflectance: &Spectrum) -> [f64; 3] {
    let scale = seen(&OBSERVER, light, &[1.0; SAMPLES])[1];
    seen(&OBSERVER, light, reflectance).map(|v| v / scale)
}

/// The CIELAB value of a reflectance under D50 for the 2 degree observer.
pub fn lab(reflectance: &Spectrum) -> [f64; 3] {
    let d50 = light("d50");
    crate::render::colour::lab_of_xyz(xyz(&d50, reflectance), xyz(&d50, &[1.0; SAMPLES]))
}
