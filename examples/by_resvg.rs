//! An SVG drawn by resvg, with the fonts of a folder, for `.ci/check-svg`.
//!
//!     cargo run --example by_resvg -- FILE.svg DPI FONTS OUT.png

use std::error::Error;

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, dpi, fonts, out] = arguments.as_slice() else {
        return Err("FILE.svg DPI FONTS OUT.png".into());
    };
    let mut options = Options::default();
    options.fontdb_mut().load_fonts_dir(fonts);
    let tree = Tree::from_data(&std::fs::read(file)?, &options)?;
    // 96 CSS px in an inch.
    let scale = dpi.parse::<f32>()? / 96.0;
    let size = tree.size();
    let (width, height) = ((size.width() * scale) as u32, (size.height() * scale) as u32);
    let mut pixmap = Pixmap::new(width, height).ok_or("no such size")?;
    pixmap.fill(Color::WHITE);
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    pixmap.save_png(out)?;
    Ok(())
}
