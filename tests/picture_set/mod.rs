//! Pictures of parts, made by the program itself: the drawing of a part in a colour without its shadow, on a
//! transparent ground.
#![allow(dead_code, reason = "each program uses its part")]

pub mod bench;

use kurbo::{Point, Rect};
use shadecard::finish::{Drawer, Drawing};
use shadecard::image::{Pixels, encode};
use shadecard::plan::Look;
use shadecard::range::{ColourId, ColourRange, PartId};
use shadecard::sheet::canvas::{Canvas, NamedDrawing};
use shadecard::sheet::{About, Workshop};
use shadecard::work::Work;

/// White around a part, mm.
pub const MARGIN: f64 = 0.4;

/// A picture, and where the part is in it.
pub struct Taken {
    pub pixels: Pixels,
    /// Size of the whole picture, and the middle of the part in it, mm.
    pub size: (f64, f64),
    pub centre: (f64, f64),
}

impl Taken {
    pub fn png(&self) -> Vec<u8> {
        encode(&self.pixels)
    }

    /// Its line in the table of pictures.
    pub fn line(&self, part: &str, colour: &str) -> String {
        let (w, h) = self.size;
        let (x, y) = self.centre;
        format!("{part},{colour},{part}.{colour}.png,{w:.4},{h:.4},{x:.4},{y:.4}\n")
    }
}

/// The head of the table of pictures.
pub const HEAD: &str = "part,colour,file,width_mm,height_mm,centre_x_mm,centre_y_mm\n";

/// Takes pictures of the parts of a range.
pub struct Camera<'a> {
    range: &'a ColourRange,
    workshop: Workshop,
    drawers: Vec<Drawer>,
    look: &'a Look,
    dpi: f64,
}

impl<'a> Camera<'a> {
    pub fn new(range: &'a ColourRange, look: &'a Look, dpi: f64) -> Camera<'a> {
        let work = Work::default();
        let drawers = range.parts().iter().map(|p| Drawer::new(p.shape(), &work)).collect();
        Camera { range, workshop: Workshop::new(range, &work), drawers, look, dpi }
    }

    pub fn take(&self, part: PartId, colour: ColourId) -> Taken {
        let (drawing, sample) = self.workshop.drawing(part, colour);
        let shadow = match self.range.colour(colour).value().is_known() {
            true => self.drawers[part.0].shadow(self.range.colour(colour).finish()).layers.len(),
            false => 0,
        };
        let drawing = Drawing { layers: drawing.layers[shadow..].to_vec(), ..(*drawing).clone() };
        let Rect { x0, y0, x1, y1 } = drawing.extent.inflate(MARGIN, MARGIN);
        let mut canvas = Canvas::new(self.look, &self.workshop);
        let named = NamedDrawing { name: "part".into(), drawing: &drawing, sample };
        canvas.drawing(named, Point::new(-x0, -y0), 1.0);
        let about = About {
            title: String::new(),
            author: String::new(),
            language: "en".into(),
            issue_date: None,
            year: None,
        };
        let sheet = canvas.finish(x1 - x0, y1 - y0, 0.0, about);
        let svg = shadecard::paint::svg(sheet.coloured(&sheet.palette.published()), 0);
        let pixels = transparent(&String::from_utf8(svg).expect("text"), self.dpi);
        // The picture has whole pixels: it is as large as they are.
        let mm = |n: u32| f64::from(n) * 25.4 / self.dpi;
        let size = (mm(pixels.width), mm(pixels.height));
        Taken { pixels, size, centre: (-x0, -y0) }
    }
}

/// An SVG without the paper that it begins with, in pixels.
fn transparent(svg: &str, dpi: f64) -> Pixels {
    let at = svg.find("<rect").expect("the paper");
    let end = svg[at..].find("/>").expect("its end") + at + 2;
    let bare = format!("{}{}", &svg[..at], &svg[end..]);
    let tree = resvg::usvg::Tree::from_str(&bare, &resvg::usvg::Options::default()).expect("SVG");
    // Its lengths are pixels of 96 dpi.
    let scale = dpi / 96.0;
    let pixels = |v: f32| (f64::from(v) * scale).ceil() as u32;
    let (width, height) = (pixels(tree.size().width()), pixels(tree.size().height()));
    let mut pixmap = resvg::tiny_skia::Pixmap::new(width, height).expect("a picture");
    let scale = resvg::tiny_skia::Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, scale, &mut pixmap.as_mut());
    let straight = pixmap.pixels().iter().map(|p| p.demultiply());
    let rgba = straight.flat_map(|c| [c.red(), c.green(), c.blue(), c.alpha()]).collect();
    Pixels { width, height, rgba }
}
