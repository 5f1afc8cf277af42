//! Sets of colours that are printed: published ones, and what is made of them.

#![allow(dead_code, reason = "each user takes some of them")]

use shadecard::colour::{Lab50, from_rgb};
use shadecard::graphic::Rgb;

/// The 949 colours of the colour survey of 2010; see the head of the file.
pub fn survey() -> Vec<Rgb> {
    let text = std::fs::read_to_string("tests/published/survey-colours.txt").expect("the colours");
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

fn chroma(colour: Rgb) -> f64 {
    let lab = from_rgb(colour);
    lab.a.hypot(lab.b)
}
