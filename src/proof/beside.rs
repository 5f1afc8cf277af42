//! The picture of aim and paper side by side.

use super::report::about;
use crate::graphic::Rgb;
use crate::plan::Look;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::fitting;
use crate::sheet::{Sheet, Workshop};

/// `aim` at the left, `paper` at the right, each under its name.
pub fn side_by_side(aim: Sheet, paper: Sheet, look: &Look, words: &[String; 2]) -> Sheet {
    let (aim, paper) = (trimmed(aim), trimmed(paper));
    let gap = look.gutter;
    let voice = look.voices.section;
    let head = voice.size * 2.4;
    let (height, dx) = (aim.height + head, aim.width + gap);
    let about = about(&aim);
    let workshop = Workshop::empty();
    let mut canvas = Canvas::new(look, &workshop);
    for (x, text) in [(look.side, &words[0]), (dx + look.side, &words[1])] {
        let room = aim.width - 2.0 * look.side;
        let (voice, text) = fitting(look, voice, text, room, 0.5);
        canvas.text(x, head / 1.5, &text, voice, Anchor::Left);
    }
    let heads = canvas.finish(dx + paper.width, height, 0.0, about);
    let ground = Rgb(226, 226, 226);
    let mut both = aim.on_ground(Rgb::WHITE).beside(paper, gap).lowered(head);
    for page in &mut both.pages {
        page.items.extend(heads.pages[0].items.iter().cloned());
    }
    both.on_ground(ground)
}

/// A picture of a page ends at its trim.
fn trimmed(mut sheet: Sheet) -> Sheet {
    sheet.bleed = 0.0;
    sheet
}
