//! Orders of colours: the rules, the paths against searches that share no code
//! with them, and what a sheet makes of them.

mod paths;
mod rules;
mod sheets;

use palette::color_difference::Ciede2000;
use shadecard::colour::{Lab50, from_rgb};
use shadecard::graphic::Rgb;

/// Numbers without pattern, the same at every run (Knuth's MMIX constants).
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) % n
    }

    /// sRGB colours.
    pub fn colours(&mut self, count: usize) -> Vec<Lab50> {
        let mut byte = || self.below(256) as u8;
        (0..count).map(|_| from_rgb(Rgb(byte(), byte(), byte()))).collect()
    }
}

/// The named colours of CSS, from the demo; `tests/colour/published/colour_names.rs` checks that list.
pub fn css() -> Vec<Lab50> {
    let text = std::fs::read_to_string("demo/css-colours/range.ron").expect("the demo");
    let values = text.lines().filter_map(|l| l.split_once("value: \"")?.1.get(..7));
    let list: Vec<Lab50> = values.map(hex).collect();
    assert_eq!(list.len(), 148);
    list
}

/// The colours of the colour survey; the file says its source.
pub fn survey() -> Vec<Lab50> {
    let text =
        std::fs::read_to_string("tests/colour/published/survey-colours.txt").expect("the list");
    let list: Vec<Lab50> = text.lines().filter(|l| l.len() == 7).map(hex).collect();
    assert_eq!(list.len(), 949);
    list
}

fn hex(text: &str) -> Lab50 {
    from_rgb(Rgb::parse(text).expect("a value"))
}

/// The length of an order.
pub fn length(colours: &[Lab50], order: &[usize]) -> f64 {
    order.windows(2).map(|w| colours[w[0]].difference(colours[w[1]])).sum()
}

/// Does an order hold every place once?
pub fn is_whole(order: &[usize], count: usize) -> bool {
    let mut sorted = order.to_vec();
    sorted.sort_unstable();
    sorted.into_iter().eq(0..count)
}
