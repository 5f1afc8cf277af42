//! Sets of colours that are printed: published ones and what is made of them, and what is counted of a print.

#![allow(dead_code, reason = "each user takes some of them")]

use shadecard::colour::lookalike::pairs;
use shadecard::colour::{Lab50, difference, from_rgb};
use shadecard::graphic::Rgb;
use shadecard::press::report::LIMIT;
use shadecard::press::tune::{APART, Seen, swaps};
use shadecard::press::{Bytes, Paper};
use shadecard::work::Work;

/// The 949 colours of the colour survey of 2010; see the head of the file.
pub fn survey() -> Vec<Rgb> {
    let text =
        std::fs::read_to_string("tests/colour/published/survey-colours.txt").expect("the colours");
    let values = text.lines().filter(|l| !l.starts_with("# ") && l.starts_with('#'));
    values.map(|l| Rgb::parse(l.trim()).expect("a colour")).collect()
}

/// 200 of them, all over the list.
pub fn survey_200() -> Vec<Rgb> {
    survey().into_iter().step_by(4).take(200).collect()
}

/// Its 80 greyest: near-neutrals and pastels.
pub fn greys() -> Vec<Rgb> {
    let mut out = survey();
    out.sort_by(|a, b| chroma(*a).total_cmp(&chroma(*b)));
    out.truncate(80);
    out
}

/// Its 60 strongest of the dark ones.
pub fn darks() -> Vec<Rgb> {
    let mut out = survey();
    out.retain(|c| from_rgb(*c).l < 40.0);
    out.sort_by(|a, b| chroma(*b).total_cmp(&chroma(*a)));
    out.truncate(60);
    out
}

/// The colours of the demo.
pub fn demo() -> Vec<Rgb> {
    let text = std::fs::read_to_string("demo/haberdashery/range.ron").expect("the demo");
    text.split("value: \"").skip(1).filter_map(|part| Rgb::parse(part.get(..7)?)).collect()
}

pub fn aims(colours: &[Rgb]) -> Vec<Lab50> {
    colours.iter().map(|c| from_rgb(*c)).collect()
}

/// What is printed without care.
pub fn plain(paper: &Paper, aims: &[Lab50], colours: &[Rgb]) -> Vec<Bytes> {
    aims.iter().zip(colours).map(|(aim, rgb)| paper.plain(*aim, *rgb)).collect()
}

/// Are the orders of lightness, hue and strength of a pair turned round?
pub fn swapped(aim: (Lab50, Lab50), shown: (Lab50, Lab50)) -> [bool; 3] {
    let seen = |two: (Lab50, Lab50)| (Seen::of(two.0), Seen::of(two.1));
    let (aim, shown) = (seen(aim), seen(shown));
    swaps((&aim.0, &aim.1), (&shown.0, &shown.1))
}

/// What is lost of a set: pairs that fall together, and orders of lightness, hue and strength.
pub fn lost(aims: &[Lab50], shown: &[Lab50]) -> [usize; 4] {
    let mut out = [0; 4];
    for pair in pairs(aims, LIMIT, &Work::default()) {
        let aim = (aims[pair.first], aims[pair.second]);
        let seen = (shown[pair.first], shown[pair.second]);
        out[0] += usize::from(pair.distance >= APART && difference(seen.0, seen.1) < APART);
        for (count, swapped) in out[1..].iter_mut().zip(swapped(aim, seen)) {
            *count += usize::from(swapped);
        }
    }
    out
}

/// CIEDE2000 between each aim and what is shown.
pub fn off(aims: &[Lab50], shown: &[Lab50]) -> Vec<f64> {
    aims.iter().zip(shown).map(|(aim, shown)| difference(*aim, *shown)).collect()
}

pub fn mean_off(aims: &[Lab50], shown: &[Lab50]) -> f64 {
    off(aims, shown).iter().sum::<f64>() / aims.len().max(1) as f64
}

fn chroma(colour: Rgb) -> f64 {
    let lab = from_rgb(colour);
    lab.a.hypot(lab.b)
}
