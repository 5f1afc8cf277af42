//! The picture of aim and paper side by side.

use kurbo::Point;

use super::report::about;
use crate::graphic::Rgb;
use crate::plan::Look;
use crate::sheet::Workshop;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::montage::Montage;
use crate::sheet::paragraph::fitting;

/// Around both.
const GROUND: Rgb = Rgb(226, 226, 226);

/// `aim` at the left, `paper`, which has its ground, at the right, each under its name.
pub fn side_by_side(aim: Montage, paper: Montage, look: &Look, words: &[String; 2]) -> Montage {
    let (aim, paper) = (trimmed(aim), trimmed(paper));
    let gap = look.gutter;
    let voice = look.voices.section;
    let head = voice.size * 2.4;
    let (height, dx) = (aim.sheet.height + head, aim.sheet.width + gap);
    let about = about(&aim.sheet);
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(look, &workshop);
    for (x, text) in [(look.side, &words[0]), (dx + look.side, &words[1])] {
        let room = aim.sheet.width - 2.0 * look.side;
        let (voice, text) = fitting(look, voice, text, room, 0.5);
        canvas.text(Point::new(x, head / 1.5), &text, voice, Anchor::Left);
    }
    let heads = canvas.finish(dx + paper.sheet.width, height, 0.0, about);
    let heads = Montage { colours: heads.palette.published(), sheet: heads };
    let mut both = aim.on_paper().beside(paper, gap).lowered(head);
    let heads = both.append(heads);
    for page in &mut both.sheet.pages {
        page.items.extend(heads[0].items.iter().cloned());
    }
    both.on_ground(GROUND)
}

/// A picture of a page ends at its trim.
fn trimmed(mut picture: Montage) -> Montage {
    picture.sheet.bleed = 0.0;
    picture
}
