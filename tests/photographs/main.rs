//! Photographs of the pages of `stage`, rendered and read again.
//!
//! `render` makes pictures as a telephone takes them (spectra, lamps, parts with thickness, a lens, a sensor, a
//! tone curve, JPEG); it is written apart from the reader and shares no code with it. Its spectral data are
//! published: cameras by Darrodi, Finlayson, Goodman and Mackiewicz 2015 (doi:10.1364/JOSAA.32.000381), lights
//! and observer from CIE 015:2018 (doi:10.25039/TR.015.2018).

mod chart;
mod command;
mod marks;
mod outlines;
mod prints;
mod refused;
mod render;
mod rendered;
mod staged;

/// How many photographs: `PHOTOGRAPHS=200` for as many, or as usual.
fn photographs(usual: u64) -> u64 {
    std::env::var("PHOTOGRAPHS").map_or(usual, |n| n.parse().expect("a number"))
}
