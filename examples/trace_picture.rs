//! Traces what lies on the ground of a grey PNG picture: `trace_picture PICTURE.png X,Y,WIDTH,HEIGHT...` in pixels,
//! each with 6 pixels of ground around what is to be traced.
//!
//! Prints a JSON list: for each rectangle its outline as rings of points in pixels of the picture, or null where nothing
//! can be traced.

use std::io::BufReader;

use serde_json::{Value, json};
use shadecard::capture::cut::{Outline, Patch, trace};

/// Ground around what is traced, pixels.
const EDGE: f64 = 6.0;
/// Width of a rectangle, mm.
const WIDE: f64 = 20.0;

fn main() {
    let mut words = std::env::args().skip(1);
    let file = words.next().expect("a picture");
    let (grey, width) = greys(&file);
    let traced: Vec<Value> = words.map(|word| one(&grey, width, &word)).collect();
    println!("{}", Value::from(traced));
}

/// The picture in linear light, line by line, and its width.
fn greys(file: &str) -> (Vec<f32>, usize) {
    let file = BufReader::new(std::fs::File::open(file).expect("a file"));
    let mut reader = png::Decoder::new(file).read_info().expect("a PNG");
    let mut bytes = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut bytes).expect("pixels");
    assert_eq!(
        (info.color_type, info.bit_depth),
        (png::ColorType::Grayscale, png::BitDepth::Eight)
    );
    let light = |v: &u8| (f32::from(*v) / 255.0).powf(2.2);
    (bytes[..info.buffer_size()].iter().map(light).collect(), info.width as usize)
}

fn one(grey: &[f32], across: usize, word: &str) -> Value {
    let numbers: Vec<usize> = word.split(',').map(|n| n.parse().expect("a number")).collect();
    let [x, y, width, height] = numbers[..] else { panic!("X,Y,WIDTH,HEIGHT, not {word}") };
    let light = (0..height).flat_map(|row| {
        let start = (y + row) * across + x;
        grey[start..start + width].iter().map(|v| [*v; 3])
    });
    // What is traced is taken to be as large as a button.
    let step = WIDE / width.max(1) as f64;
    let patch = Patch { origin: (0.0, 0.0), step, width, height, light: light.collect() };
    let (low, high) = (EDGE, (width as f64 - EDGE, height as f64 - EDGE));
    let around: Outline = vec![vec![(low, low), (high.0, low), high, (low, high.1)]];
    let Ok(traced) = trace(&patch, &around, true) else { return Value::Null };
    let back = |p: &(f64, f64)| json!([p.0 + x as f64, p.1 + y as f64]);
    let rings = traced.whole.iter().map(|ring| ring.iter().map(back).collect::<Vec<_>>());
    json!(rings.collect::<Vec<_>>())
}
