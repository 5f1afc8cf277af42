//! From places on pages to colours: several parts, pages and photographs of one colour put together.

use std::collections::BTreeMap;

use super::average::{average, weight};
use super::doubt::Doubt;
use super::lab::{Lab50, difference};
use super::page::StagePage;
use super::readings::{PageReadings, Reading};

/// What was read on one page, in one photograph or several.
#[derive(Debug)]
pub struct PageRead<'a> {
    pub page: &'a StagePage,
    /// The photographs, by their names.
    pub photographs: Vec<&'a str>,
    pub readings: Vec<PageReadings>,
}

/// A colour as it was read.
#[derive(Debug, Clone)]
pub struct ColourRead {
    /// Its key.
    pub colour: String,
    pub lab: Lab50,
    /// How much its readings and their faces vary, CIEDE2000.
    pub spread: f64,
    /// How far the camera's model may be off, CIEDE2000; none of a relative reading.
    pub error: Option<f64>,
    /// Places that it was read at.
    pub places: usize,
    /// The value comes from the picture alone, without any known colour.
    pub relative: bool,
    /// The photographs that it was read from.
    pub photographs: Vec<String>,
}

/// A place that gave no colour, or one with a doubt.
#[derive(Debug, Clone)]
pub struct PlaceDoubt {
    pub part: String,
    pub colour: String,
    pub photographs: Vec<String>,
    pub doubts: Vec<Doubt>,
    /// It gave no colour.
    pub is_lost: bool,
}

/// One place with its colour.
struct Taken<'a> {
    reading: Reading,
    lab: Lab50,
    relative: bool,
    photographs: &'a [&'a str],
}

/// The colours of some pages, in the order of their places, and what is doubtful.
pub fn colours(pages: &[PageRead<'_>]) -> (Vec<ColourRead>, Vec<PlaceDoubt>) {
    let mut order: Vec<&str> = Vec::new();
    let mut taken: BTreeMap<&str, Vec<Taken<'_>>> = BTreeMap::new();
    let mut doubtful = Vec::new();
    for read in pages {
        let relative = read.readings.iter().all(|r| r.relative);
        for reading in average(&read.readings) {
            let Some(place) = read.page.places.get(reading.place) else { continue };
            if !reading.doubts.is_empty() {
                doubtful.push(PlaceDoubt {
                    part: place.part.clone(),
                    colour: place.colour.clone(),
                    photographs: read.photographs.iter().map(|p| (*p).to_owned()).collect(),
                    doubts: reading.doubts.clone(),
                    is_lost: reading.lab.is_none() || reading.is_empty(),
                });
            }
            // Where no part lies the ground was read.
            let Some(lab) = reading.lab.filter(|_| !reading.is_empty()) else { continue };
            let of_colour = taken.entry(&place.colour).or_insert_with(|| {
                order.push(&place.colour);
                Vec::new()
            });
            of_colour.push(Taken { reading, lab, relative, photographs: &read.photographs });
        }
    }
    let colours = order.into_iter().filter_map(|key| Some(one(key, taken.remove(key)?)));
    (colours.collect(), doubtful)
}

/// The mean of a colour's places, weighted by how even each face is and how many doubts it leaves.
/// Relative readings are left out where there are others.
fn one(key: &str, mut taken: Vec<Taken<'_>>) -> ColourRead {
    let relative = taken.iter().all(|t| t.relative);
    taken.retain(|t| relative || !t.relative);
    let weight = |t: &Taken<'_>| weight(&t.reading);
    let sum: f64 = taken.iter().map(weight).sum();
    let mean =
        |of: &dyn Fn(&Taken<'_>) -> f64| taken.iter().map(|t| weight(t) * of(t)).sum::<f64>() / sum;
    let lab = Lab50::new(mean(&|t| t.lab.l), mean(&|t| t.lab.a), mean(&|t| t.lab.b));
    // What faces vary within, and places among each other.
    let within = mean(&|t| t.reading.spread.powi(2));
    let among = mean(&|t| difference(t.lab, lab).powi(2));
    let errors = taken.iter().filter_map(|t| t.reading.model_error);
    let mut photographs: Vec<String> =
        taken.iter().flat_map(|t| t.photographs.iter().map(|p| (*p).to_owned())).collect();
    photographs.sort();
    photographs.dedup();
    ColourRead {
        colour: key.to_owned(),
        lab,
        spread: (within + among).sqrt(),
        error: errors.reduce(f64::min),
        places: taken.len(),
        relative,
        photographs,
    }
}
