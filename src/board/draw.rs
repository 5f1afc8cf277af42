//! The plan at true size: real outlines, blank tiles, numbers.

use std::sync::Arc;

use kurbo::{BezPath, Point, Rect, Stroke, StrokeOpts};

use super::marks;
use super::place::{Board, BoardPlace, EDGE, Heading};
use crate::capture::page::StagePage;
use crate::diag::Diagnostic;
use crate::plan::{Look, Voice};
use crate::range::PartId;
use crate::sheet::canvas::{Anchor, Canvas};
use crate::sheet::paragraph::{fitting, wrap};
use crate::sheet::spine::chip;
use crate::sheet::{
    FillRule, Item, ItemKind, Layer, OutlineId, Paint, Role, Sample, Sheet, Symbol, SymbolId, Use,
    Workshop,
};
use crate::stage::draw_marks;
use crate::supplies::Naming;
use crate::work::Work;

/// Width of an outline, mm; its middle is the true edge of all that is drawn of the part.
pub const LINE: f64 = 0.2;
/// Inside a blank tile, mm: white at the edge, width of the chip.
const PAD: f64 = 2.0;
const CHIP: f64 = 5.0;
/// How far outlines may lie beside the true curve, mm.
const TOLERANCE: f64 = 0.005;

/// The kinds of text at the sizes of the plan.
pub struct Voices {
    title: Voice,
    lede: Voice,
    family: Voice,
    quiet: Voice,
    number: Voice,
    name: Voice,
    place: Voice,
    caption: Voice,
}

impl Voices {
    pub fn new(look: &Look) -> Voices {
        let v = &look.voices;
        Voices {
            title: v.title.sized(11.0),
            lede: v.subtitle.sized(4.4),
            family: v.family.sized(7.0),
            quiet: v.imprint_more.sized(3.4),
            number: v.number.sized(3.8),
            name: v.name.sized(3.8),
            place: v.other_number.sized(2.8).inked(v.imprint_more.ink),
            caption: v.number.sized(2.5),
        }
    }

    /// Width of a part's number under it, mm.
    pub fn caption(&self, look: &Look, naming: &Naming<'_>, part: PartId) -> f64 {
        look.width(self.caption, number(naming, part))
    }
}

/// The part's number, or its key where the listing has none.
fn number<'a>(naming: &Naming<'a>, part: PartId) -> &'a str {
    naming.part_number(part).unwrap_or(naming.range.part(part).key())
}

/// Draws the whole board on one page of its size, with the marks of `page` if it is to be photographed.
///
/// # Errors
/// The code among the marks cannot be made.
pub fn sheet(
    board: &Board,
    naming: &Naming<'_>,
    (look, work): (&Look, &Work),
    page: Option<&StagePage>,
) -> Result<Sheet, Diagnostic> {
    let workshop = Workshop::empty();
    let voices = Voices::new(look);
    let mut pen = Pen { canvas: Canvas::new(look, &workshop), voices: &voices, naming, board };
    pen.title(page.map_or(0.0, marks::taken));
    if let Some(page) = page {
        draw_marks(&mut pen.canvas, page)?;
    }
    board.headings.iter().for_each(|h| pen.heading(h));
    board.places.iter().for_each(|p| pen.place(p));
    let about = naming.about(naming.say("board_title", &[("title", &naming.title())]));
    let mut sheet = pen.canvas.finish(board.width, board.height, 0.0, about);
    let ink = sheet.palette.add_ink(look.rule_ink);
    let outlines: Vec<_> =
        naming.range.parts().iter().map(|p| outline(&p.shape().edge(work))).collect();
    for (i, outline) in outlines.into_iter().enumerate() {
        let bounds = kurbo::Shape::bounding_box(&*outline);
        let layer = Layer {
            outline: OutlineId(i),
            rule: FillRule::NonZero,
            paint: Paint::Solid(ink),
            opacity: 1.0,
        };
        let extent = naming.range.part(PartId(i)).shape().extent;
        sheet.symbols.push(Symbol::new(format!("o{}", i + 1), vec![layer], bounds, extent));
        sheet.outlines.push(outline);
    }
    let uses: Vec<Item> = board.places.iter().flat_map(|p| parts(&sheet, naming, p)).collect();
    if let Some(page) = sheet.pages.first_mut() {
        page.items.extend(uses);
    }
    Ok(sheet)
}

/// A thin line along the part's true edge.
fn outline(edge: &BezPath) -> Arc<BezPath> {
    let style = Stroke::new(LINE);
    Arc::new(kurbo::stroke(edge.iter(), &style, &StrokeOpts::default(), TOLERANCE))
}

fn parts(sheet: &Sheet, naming: &Naming<'_>, place: &BoardPlace) -> Vec<Item> {
    let origin = Arc::from(naming.range.colour(place.colour).key().as_str());
    let item = |piece: &super::Piece| {
        let (x, y) = (piece.at.x, piece.at.y);
        let bounds = sheet.symbols[piece.part.0].bounds + piece.at.to_vec2();
        let used = Use { symbol: SymbolId(piece.part.0), x, y, scale: 1.0 };
        let origin = Some(Arc::clone(&origin));
        Item { role: Role::Sample, origin, kind: ItemKind::Use(used), bounds }
    };
    place.pieces.iter().map(item).collect()
}

struct Pen<'a> {
    canvas: Canvas<'a>,
    voices: &'a Voices,
    naming: &'a Naming<'a>,
    board: &'a Board,
}

impl Pen<'_> {
    fn fitted(&mut self, at: (f64, f64), text: &str, voice: Voice, room: f64) -> f64 {
        let (voice, shown) = fitting(self.canvas.look, voice, text, room, 0.5);
        self.canvas.text(Point::from(at), &shown, voice, Anchor::Left)
    }

    /// The title; `taken` of its line is for the marks, mm.
    fn title(&mut self, taken: f64) {
        let (board, v) = (self.board, self.voices);
        let room = board.width - 2.0 * EDGE - taken;
        self.canvas.from(Some("title"));
        let edge = Rect::new(0.0, 0.0, board.width, board.height);
        let (fine, ink) = (self.canvas.look.fine, self.canvas.look.rule_ink);
        self.canvas.frame(Role::Cut, edge, fine, ink);
        let title = self.naming.say("board_title", &[("title", &self.naming.title())]);
        self.fitted((EDGE, EDGE + 8.0), &title, v.title, room);
        let naming = self.naming;
        let counts = naming.say(
            "board_lede",
            &[
                ("parts", &naming.counted(board.pieces() as u64, "part")),
                ("tiles", &naming.counted(board.places.len() as u64, "blank")),
                ("listing", &naming.listing_title()),
            ],
        );
        let spelled = |words| naming.spelling.apply(words);
        let lede = [spelled(naming.range.maker()), spelled(naming.range.release()), counts];
        let lede = lede.into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(" · ");
        self.fitted((EDGE, EDGE + 15.5), &lede, v.lede, room);
        self.canvas.from(None);
    }

    fn heading(&mut self, heading: &Heading) {
        let (v, column) = (self.voices, self.board.column);
        let look = self.canvas.look;
        let (x, y) = (heading.at.x, heading.at.y);
        self.canvas.from(Some(self.naming.range.family(heading.family).key()));
        let thick = if heading.again { look.fine } else { look.heavy };
        self.canvas.rule(Point::new(x, y), column, thick, look.rule_ink);
        let title = self.naming.family(heading.family);
        let (right, base) = match heading.again {
            true => (self.naming.say("continued", &[]), y + 5.2),
            false => {
                let n = heading.colours.to_string();
                let count = self.naming.say("family_count", &[("n", n.as_str())]);
                let one = self.naming.say("one_colour", &[]);
                (if heading.colours == 1 { one } else { count }, y + 8.0)
            }
        };
        let taken = self.canvas.text(Point::new(x + column, base), &right, v.quiet, Anchor::Right);
        let voice = if heading.again { v.name } else { v.family };
        self.fitted((x, base), &title, voice, column - taken - 3.0);
        self.canvas.from(None);
    }

    fn place(&mut self, place: &BoardPlace) {
        let v = self.voices;
        self.canvas.from(Some(self.naming.range.colour(place.colour).key()));
        self.blank(place);
        for piece in &place.pieces {
            let text = number(self.naming, piece.part);
            let base = piece.foot - 0.6;
            self.canvas.text(Point::new(piece.at.x, base), text, v.caption, Anchor::Middle);
        }
        self.canvas.from(None);
    }

    /// The blank tile: its colour as a chip, number and name, and its place.
    fn blank(&mut self, place: &BoardPlace) {
        let (v, tile) = (self.voices, place.blank);
        let ink = self.canvas.look.rule_ink;
        self.canvas.frame(Role::Cut, tile.inflate(LINE / 2.0, LINE / 2.0), LINE, ink);
        let inner = tile.inset(-PAD.min(tile.height() / 6.0));
        let sample = Sample::of(self.naming.range, place.colour);
        let strip = CHIP.min(tile.width() / 8.0);
        chip(&mut self.canvas, sample, Rect { x1: inner.x0 + strip, ..inner });
        let x = inner.x0 + strip + PAD;
        let room = inner.x1 - x;
        let tall = inner.height() / 3.0;
        let sized = |voice: Voice| voice.sized(voice.size.min(tall));
        let at = place.number.to_string();
        let small = sized(v.place);
        let top = inner.y0 + sized(v.number).cap;
        let taken = self.canvas.text(Point::new(inner.x1, top), &at, small, Anchor::Right);
        let number = self.naming.colour_number(place.colour).unwrap_or("");
        self.fitted((x, top), number, sized(v.number), room - taken - 1.0);
        let name = self.naming.colour_name(place.colour);
        let room = (room, inner.y1 - top - PAD);
        self.name((x, top + PAD), &name, sized(v.name), room);
    }

    /// The name in as many lines as fit, smaller where it must; its end is
    /// left off at the floor (the table of positions has it whole).
    fn name(&mut self, at: (f64, f64), name: &str, voice: Voice, room: (f64, f64)) {
        let look = self.canvas.look;
        let floor = look.floor.min(voice.size);
        let mut voice = voice;
        let (mut lines, mut most);
        loop {
            lines = wrap(look, voice, name, room.0);
            most = ((room.1 / (voice.size * 1.15)).floor() as usize).max(1);
            let wide = lines.iter().any(|l| look.width(voice, l) > room.0);
            if (lines.len() <= most && !wide) || voice.size <= floor {
                break;
            }
            voice = voice.sized((voice.size * 0.94).max(floor));
        }
        if lines.len() > most {
            lines.truncate(most);
            lines.iter_mut().last().into_iter().for_each(|l| l.push('…'));
        }
        for (i, line) in lines.iter().enumerate() {
            let y = at.1 + voice.cap * 1.15 + voice.size * 1.15 * i as f64;
            crate::panels::foot::fitted(&mut self.canvas, (at.0, y), line, voice, room.0);
        }
    }
}
