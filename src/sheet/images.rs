//! The images of a sheet: pictures of parts, with what their colours are painted as.

use kurbo::Rect;

use super::palette::{PaletteBuilder, PaletteIndex, PaletteMap, Sample, Shift};
use crate::finish::Shade;
use crate::graphic::{Cmyk, Rgb, lab};
use crate::image::{Image, Tints};
use crate::range::PartPicture;

/// A picture of a part in a colour.
#[derive(Debug, Clone)]
pub struct SheetImage {
    pub image: Image,
    /// Where all of it is at true size, mm, from the middle of the part.
    pub frame: Rect,
    /// The value of the part's flat face in it.
    flat: Rgb,
    /// The entries of colours that all of the image's lie among.
    nodes: Vec<(Rgb, PaletteIndex)>,
}

impl SheetImage {
    /// Of a picture that shows a sample; its nodes become entries of the palette.
    pub fn new(picture: &PartPicture, sample: Sample, palette: &mut PaletteBuilder) -> SheetImage {
        let flat = picture.flat();
        let entry = |node: &Rgb| {
            let shade = if *node == flat { Shade::Exact } else { moved(flat, *node) };
            (*node, palette.shade(sample, shade))
        };
        let nodes = picture.nodes().iter().map(entry).collect();
        SheetImage { image: picture.image().clone(), frame: picture.frame(), flat, nodes }
    }

    /// The entries of its nodes.
    pub fn fills(&self) -> impl Iterator<Item = PaletteIndex> + '_ {
        self.nodes.iter().map(|(_, fill)| *fill)
    }

    /// Goes by entries of a palette that its own was appended to.
    pub(super) fn shift(&mut self, shift: Shift) {
        self.nodes.iter_mut().for_each(|(_, fill)| *fill = shift.of(*fill));
    }

    /// By how much its colours change in a map, in bytes; none where they stay as they are.
    pub fn changes(&self, map: &PaletteMap<Rgb>) -> Option<Tints<3>> {
        let change = |(node, fill): &(Rgb, PaletteIndex)| {
            let (Rgb(r, g, b), Rgb(x, y, z)) = (map.of(*fill), *node);
            (*node, [(r, x), (g, y), (b, z)].map(|(is, was)| f32::from(is) - f32::from(was)))
        };
        let changes: Vec<(Rgb, [f32; 3])> = self.nodes.iter().map(change).collect();
        let any = changes.iter().any(|(_, change)| change.iter().any(|c| *c != 0.0));
        any.then(|| Tints::new(self.flat, changes))
    }

    /// The inks of its colours, in bytes.
    pub fn inks(&self, map: &PaletteMap<Cmyk>) -> Tints<4> {
        let ink = |(node, fill): &(Rgb, PaletteIndex)| {
            let Cmyk(c, m, y, k) = map.of(*fill);
            (*node, [c, m, y, k].map(f32::from))
        };
        Tints::new(self.flat, self.nodes.iter().map(ink))
    }
}

/// From the flat value to another colour.
fn moved(flat: Rgb, to: Rgb) -> Shade {
    let (from, to) = (lab(flat), lab(to));
    Shade::Moved { dl: to.l - from.l, da: to.a - from.a, db: to.b - from.b }
}
