//! What is drawn is what the truth says.

use crate::render::optics::Picture;
use crate::render::*;

/// A small careful photograph without grain or things lying about.
fn clean(seed: u64) -> Params {
    let mut params = Params::of(Case::Careful, seed);
    params.view.size = (1500, 2000);
    params.around.texture = 0.0;
    params.around.dust = 0;
    params.around.scraps = 0;
    params.sensor.camera = 1;
    params
}

fn level(picture: &Picture, x: i64, y: i64, channel: usize) -> f64 {
    let (x, y) = (
        x.clamp(0, picture.wide as i64 - 1) as usize,
        y.clamp(0, picture.high as i64 - 1) as usize,
    );
    f64::from(picture.light[(y * picture.wide + x) * 3 + channel])
}

/// The weighted middle of what is darker than the paper around a pixel.
fn dark_middle(picture: &Picture, at: (f64, f64), reach: i64) -> (f64, f64) {
    let (cx, cy) = (at.0.floor() as i64, at.1.floor() as i64);
    let paper =
        level(picture, cx - reach, cy - reach, 1).max(level(picture, cx + reach, cy + reach, 1));
    let (mut sum, mut x, mut y) = (0.0, 0.0, 0.0);
    for row in cy - reach..=cy + reach {
        for column in cx - reach..=cx + reach {
            let weight = (paper * 0.9 - level(picture, column, row, 1)).max(0.0);
            sum += weight;
            x += weight * (column as f64 + 0.5);
            y += weight * (row as f64 + 0.5);
        }
    }
    (x / sum, y / sum)
}

#[test]
fn dots_are_where_the_truth_says() {
    let page = example::page(3, true);
    for seed in [3, 4] {
        let mut params = clean(seed);
        (params.view.k1, params.view.k2, params.view.bow) = (0.02, -0.01, 0.5);
        params.view.tilt = (12.0, -9.0);
        let (picture, _, truth) = exposed(&page, &[], &params);
        let mut squares = 0.0;
        for dot in &truth.dots {
            let seen = dark_middle(&picture, *dot, 10);
            let apart = (seen.0 - dot.0).hypot(seen.1 - dot.1);
            assert!(apart < 0.25, "{dot:?} is seen at {seen:?}");
            squares += apart * apart / truth.dots.len() as f64;
        }
        assert!(squares.sqrt() < 0.1, "{}", squares.sqrt());
    }
}

#[test]
fn parts_have_the_light_of_their_spectra() {
    let page = example::page(5, true);
    let mut laid = lay(&page, &example::labs(&page), 0.0, 5);
    laid.iter_mut().for_each(|part| part.gloss = 0.0);
    let mut params = clean(5);
    params.sensor.shift = 3.0;
    let (picture, _, truth) = exposed(&page, &laid, &params);
    let own = sensor::sensitivities(&params.sensor);
    let lamps = params.lights.lamps.clone().map(|lamp| spectra::light(&lamp.spectrum));
    assert_eq!(lamps[0], lamps[1], "one colour of light, so that a ratio is enough");
    let paper = spectra::seen(&own, &lamps[0], &materials::paper());
    for (part, place) in laid.iter().zip(&truth.places).filter(|(_, place)| place.part == "round") {
        let part = spectra::seen(&own, &lamps[0], &recover::reflectance(part.lab, 0).0);
        let side = (
            (place.frame[0].0 + place.frame[3].0) / 2.0 - 8.0,
            (place.frame[0].1 + place.frame[3].1) / 2.0,
        );
        for channel in 0..3 {
            let at = |p: (f64, f64)| level(&picture, p.0 as i64, p.1 as i64, channel);
            let (seen, meant) = (at(place.centre) / at(side), part[channel] / paper[channel]);
            assert!(
                (seen - meant).abs() < 0.05 * meant + 0.012,
                "{} {channel}: {seen} not {meant}",
                place.colour
            );
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_does_not() {
    let page = example::page(8, false);
    let picture = |seed: u64| {
        let laid = lay(&page, &example::labs(&page), 0.1, seed);
        let mut params = Params::usual(seed);
        params.view.size = (600, 800);
        render(&page, &laid, &params).bytes
    };
    assert_eq!(picture(8), picture(8));
    assert_ne!(picture(8), picture(9));
}

#[test]
fn every_format_can_be_read_and_has_its_size() {
    let page = example::page(9, false);
    let mut params = Params::usual(9);
    params.view.size = (480, 640);
    (params.file.orientation, params.file.wide) = (6, true);
    params.file.format = Format::Png;
    let bytes = render(&page, &[], &params).bytes;
    let reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG");
    assert_eq!((reader.info().width, reader.info().height), (640, 480));
    assert!(reader.info().icc_profile.is_some() && reader.info().exif_metadata.is_some());
    params.file.format = Format::Tiff16;
    let bytes = render(&page, &[], &params).bytes;
    let mut tiff = tiff::decoder::Decoder::new(std::io::Cursor::new(bytes)).expect("a TIFF");
    assert_eq!(tiff.dimensions().expect("a size"), (640, 480));
    assert!(matches!(tiff.read_image().expect("a picture"), tiff::decoder::DecodingResult::U16(_)));
}

#[test]
fn what_is_laid_has_the_colour_that_was_asked_for() {
    let page = example::page(2, true);
    for pigments in [0, 5] {
        let mut laid = lay(&page, &example::labs(&page), 0.0, 2);
        laid.iter_mut().for_each(|part| part.pigments = pigments);
        let mut params = clean(2);
        params.view.size = (300, 400);
        let (_, _, truth) = exposed(&page, &laid, &params);
        for (part, place) in laid.iter().zip(&truth.places) {
            assert!(
                colour::distance(part.lab, place.lab.expect("a part")) < 1e-9,
                "{} cannot be had",
                place.colour
            );
        }
    }
}

#[test]
fn a_card_shows_its_colours() {
    let page = example::page(6, true);
    let mut params = clean(6);
    let labs = vec![
        [90.0, 0.0, 0.0],
        [50.0, 40.0, 20.0],
        [60.0, -30.0, 30.0],
        [40.0, 10.0, -40.0],
        [20.0, 0.0, 0.0],
    ];
    let card = Card { rect: Rect::new(45.0, 110.0, 90.0, 60.0), columns: 3, labs, pigments: 0 };
    params.around.card = Some(card.clone());
    let (picture, response, truth) = exposed(&page, &[], &params);
    let camera = Camera::new(&params.view, page.size);
    assert_eq!(truth.homography, camera.plane);
    let own = sensor::sensitivities(&params.sensor);
    let lamp = spectra::light(&params.lights.lamps[0].spectrum);
    let white = spectra::seen(&own, &lamp, &materials::PERFECT);
    for (number, lab) in card.labs.iter().enumerate() {
        let meant = spectra::seen(&own, &lamp, &recover::reflectance(*lab, 0).0);
        let at = camera.to_pixel(card.patch(number).centre());
        let seen: Vec<f64> = (0..3).map(|k| level(&picture, at.0 as i64, at.1 as i64, k)).collect();
        // Light differs from place to place, so only what one channel is to another is told.
        for k in [0, 2] {
            let (seen, meant) = (seen[k] / seen[1], meant[k] / white[k] / meant[1] * white[1]);
            assert!((seen / meant - 1.0).abs() < 0.01, "{number} {k}: {seen} not {meant}");
        }
    }
    assert!(response.gains.iter().all(|gain| *gain >= 1.0));
}
