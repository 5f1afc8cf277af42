//! What a photograph shows: part and print side by side. How they differ is read far better than either, since most
//! of what a camera gets wrong it gets wrong for both.

use super::ReadFile;
use super::white::beside;
use crate::capture::page::StagePage;
use crate::capture::{Doubt, PageReadings};
use crate::colour::Lab50;
use crate::press::{PrintReading, ReadBy};
use crate::range::ColourRange;

/// Without a part beside it a patch is read by the camera's model alone, and is less exact.
const ALONE: f64 = 2.5;
/// What share of a difference between part and print a camera gets wrong: one that colours of the page have taught, and
/// one that goes by its profile alone.
const SHARE: [f64; 2] = [0.08, 0.25];

/// The readings of a photographed page of a target.
pub fn by_photograph(page: &StagePage, read: &PageReadings, range: &ColourRange) -> ReadFile {
    let mut out = ReadFile::default();
    // How each place's part differs from its aim in the picture.
    let parts: Vec<Option<(Lab50, Lab50)>> = page
        .places
        .iter()
        .zip(&read.readings)
        .map(|(place, reading)| {
            let colour = range.colours().iter().find(|c| *c.key() == place.colour)?;
            let refused = reading.doubts.iter().any(Doubt::refuses) || reading.is_empty();
            let seen = reading.lab.filter(|_| !refused && colour.value().is_known())?;
            Some((colour.aim(), seen))
        })
        .collect();
    out.without = parts.iter().filter(|part| part.is_none()).count();
    for (patch, seen) in page.prints.iter().zip(&read.prints) {
        let Some(seen) = seen else { continue };
        let part = patch.beside.and_then(|place| *parts.get(place)?);
        let (shown, sigma) = match part {
            Some((aim, part)) => {
                let off = [seen.l - part.l, seen.a - part.a, seen.b - part.b];
                let far = off.iter().map(|v| v * v).sum::<f64>().sqrt();
                let share = SHARE[usize::from(read.relative)] * far;
                let sigma = ReadBy::Photograph.sigma().hypot(share / 3.0_f64.sqrt());
                (Lab50::new(aim.l + off[0], aim.a + off[1], aim.b + off[2]), sigma)
            }
            None if read.relative => continue,
            None => (beside(*seen, read.paper), ALONE * ReadBy::Photograph.sigma()),
        };
        let sane =
            (0.0..=110.0).contains(&shown.l) && shown.a.abs() < 150.0 && shown.b.abs() < 150.0;
        if sane {
            let by = ReadBy::Photograph;
            let reading = PrintReading { value: patch.value, shown, by, sigma };
            out.push(format!("patch {}", patch.name), reading);
        }
    }
    out
}
