//! Wavelengths in headings, and whether they are evenly spaced.

/// What may stand before the number, in lower case and without signs; the longer first.
const BEFORE: [&str; 9] =
    ["spectralnm", "spectralr", "spectral", "specnm", "spec", "reflectance", "nm", "r", ""];

/// The wavelength in nm that a heading names: `SPECTRAL_NM400`, `SPEC_400`, `nm400`, `400 nm`, `400`.
pub fn wavelength(heading: &str) -> Option<f64> {
    let plain: String =
        heading.chars().filter(|c| !matches!(c, '_' | ' ' | '-' | '[' | ']')).collect();
    let plain = plain.to_lowercase();
    let plain = plain.strip_suffix("nm").unwrap_or(&plain);
    let number = BEFORE.iter().find_map(|before| number(plain.strip_prefix(before)?))?;
    (200.0..=2_500.0).contains(&number).then_some(number)
}

/// Digits, with a point among them.
fn number(text: &str) -> Option<f64> {
    let good = text.starts_with(|c: char| c.is_ascii_digit())
        && text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    text.parse().ok().filter(|_| good)
}

/// First wavelength and step of an even scale of at least two, in rising order.
pub fn even(wavelengths: &[f64]) -> Option<(f64, f64)> {
    let (first, last) = (*wavelengths.first()?, *wavelengths.last()?);
    let count = wavelengths.len().checked_sub(1).filter(|c| *c > 0)?;
    let step = (last - first) / count as f64;
    // Headings may be rounded to whole nanometres.
    let fits = |(i, w): (usize, &f64)| (w - (first + step * i as f64)).abs() <= 0.51;
    (step >= 0.1 && wavelengths.iter().enumerate().all(fits)).then_some((first, step))
}

/// Columns of a spectrum in the order of their wavelengths, with the first and the step in nm.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    pub columns: Vec<usize>,
    pub from: f64,
    pub step: f64,
}

/// Puts columns with their wavelengths in order; none where they are not evenly spaced.
pub fn bands(mut list: Vec<(f64, usize)>) -> Option<Bands> {
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (from, step) = even(&list.iter().map(|w| w.0).collect::<Vec<f64>>())?;
    Some(Bands { columns: list.into_iter().map(|w| w.1).collect(), from, step })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_name_wavelengths() {
        for heading in [
            "SPECTRAL_NM400",
            "SPECTRAL_NM_400",
            "SPECTRAL_400",
            "SPEC_400",
            "nm400",
            "NM_400",
            "R400",
            "R_400nm",
            "400 nm",
            "400",
            "400.00",
        ] {
            assert_eq!(wavelength(heading), Some(400.0), "{heading}");
        }
        for heading in ["", "nm", "SPECTRAL_NM", "note", "40", "RGB_R", "XYZ_X", "1e3", "year 400"]
        {
            assert_eq!(wavelength(heading), None, "{heading}");
        }
    }

    #[test]
    fn scales_are_even_or_none() {
        assert_eq!(even(&[400.0, 410.0, 420.0]), Some((400.0, 10.0)));
        let (from, step) = even(&[380.0, 383.0, 387.0, 390.0]).expect("rounded headings");
        assert!(from == 380.0 && (step - 10.0 / 3.0).abs() < 1e-9);
        assert_eq!((even(&[400.0, 410.0, 430.0]), even(&[400.0]), even(&[])), (None, None, None));
        assert_eq!(even(&[410.0, 400.0]), None);
    }
}
