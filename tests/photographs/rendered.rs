//! Photographs of the demo's pages, drawn at random, and what is read from them.

use shadecard::capture::{Lab50, Limits, PageReadings, StagePage, difference, read};
use shadecard::parallel::in_parallel;

use crate::render::{self, Params, Photograph};
use crate::{photographs, staged};

/// The first seed: another one than any that the reader was made with.
const SEED: u64 = 70_000;
/// How many colours are known: what a simulation gives for so many under LED light is 2.2 and 1.7 on average; with 24,
/// to expect in practice is 1.7 and about 4 at 95 %.
const KNOWN: [usize; 2] = [12, 24];
/// How far places may be from where they are, mm.
const PLACE: f64 = 0.15;

/// Is the colour of a place known, where so many of the page's are, evenly?
fn is_known(page: &StagePage, place: usize, known: usize) -> bool {
    let step = (page.places.len() / known.max(1)).max(1);
    known > 0 && place.is_multiple_of(step) && place / step < known
}

/// A photograph of a page, and its readings with so many colours known.
fn taken(
    page: &StagePage,
    values: &[[f64; 3]],
    seed: u64,
    known: usize,
) -> (Photograph, PageReadings) {
    let drawn = staged::for_renderer(page);
    let laid = render::lay(&drawn, values, 0.0, seed);
    let photograph = render::render(&drawn, &laid, &Params::usual(seed));
    let mut page = page.clone();
    let marked: Vec<bool> = (0..page.places.len()).map(|i| is_known(&page, i, known)).collect();
    for ((place, marked), value) in page.places.iter_mut().zip(marked).zip(values) {
        place.known = marked.then_some(*value);
    }
    let read = read(&photograph.bytes, &page, &Limits::default());
    let read = read.unwrap_or_else(|fault| panic!("seed {seed}: {fault}"));
    (photograph, read)
}

/// How far each place that was not known is from its value, CIEDE2000.
fn errors(read: &PageReadings, photograph: &Photograph, known: &[bool]) -> Vec<f64> {
    let places = photograph.truth.places.iter();
    read.readings
        .iter()
        .zip(places)
        .zip(known)
        .filter(|(_, known)| !**known)
        .filter_map(|((reading, truth), _)| {
            let [l, a, b] = truth.lab?;
            Some(difference(reading.lab?, Lab50::new(l, a, b)))
        })
        .collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// The value that one in twenty exceeds.
fn most(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted[sorted.len() * 95 / 100]
}

/// What one photograph came out as: how many colours were known, the farthest place in millimetres, and the
/// errors of the others.
fn judged(page: &StagePage, values: &[[f64; 3]], seed: u64, wanted: usize) -> (f64, Vec<f64>) {
    let (photograph, read) = taken(page, values, seed, wanted);
    let mut worst: f64 = 0.0;
    for (seen, truth) in read.pixels.iter().zip(&photograph.truth.places) {
        let (x, y) = seen.expect("in the picture");
        let off = (x - truth.centre.0).hypot(y - truth.centre.1) / truth.pixels_per_mm;
        assert!(off <= PLACE, "seed {seed}: a place is {off:.3} mm off");
        worst = worst.max(off);
    }
    assert!(read.rms <= 0.3, "seed {seed}: {}", read.rms);
    let known: Vec<bool> = (0..page.places.len()).map(|i| is_known(page, i, wanted)).collect();
    let own = errors(&read, &photograph, &known);
    let lost = known.iter().filter(|k| !**k).count() - own.len();
    assert!(lost * 10 <= known.len(), "seed {seed}: {lost} places lost");
    (worst, own)
}

#[test]
fn places_and_colours_are_those_of_the_page() {
    let pages = staged::pages();
    let seeds: Vec<u64> = (0..photographs(12)).collect();
    let read = in_parallel(&seeds, |i| {
        let (page, values) = &pages[*i as usize % pages.len()];
        let which = *i as usize / pages.len() % KNOWN.len();
        let known = KNOWN[which].min(page.places.len() / 2);
        (which, judged(page, values, SEED + i, known))
    });
    let worst = read.iter().map(|(_, (worst, _))| *worst).fold(0.0, f64::max);
    println!("places at most {worst:.3} mm off");
    for (which, (limit, limit_most)) in [(0, (2.3, 6.5)), (1, (1.7, 4.0))] {
        let of = read.iter().filter(|(w, _)| *w == which);
        let errors: Vec<f64> = of.flat_map(|(_, (_, errors))| errors.iter().copied()).collect();
        let (mean, most, known) = (mean(&errors), most(&errors), KNOWN[which]);
        println!("{known} known: mean {mean:.2}, 95 % {most:.2} of {}", errors.len());
        assert!(mean <= limit, "{known} known: {mean:.2}");
        assert!(most <= limit_most, "{known} known: 95 % {most:.2}");
    }
}
