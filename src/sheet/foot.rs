//! The foot of the page: check ruler, imprint, colours left out.

use kurbo::{Point, Rect};

use super::canvas::{Anchor, Canvas};
use super::item::Role;
use super::paragraph::{balance, wrap};
use super::ruler::Length;
use super::scene::Scene;
use super::words::{filled, left_out, scale_phrase, unshown};
use crate::plan::Facts;
use crate::plan::facts::code_side;
use crate::plan::style::{LEAST_TICK, Look, RULER_GAP, RULER_LINE};
use crate::spelling::Spelling;
use crate::units::MM_PER_INCH;

/// Draws the foot of a page.
pub fn draw(canvas: &mut Canvas<'_>, scene: &Scene<'_>) {
    let look = &scene.facts.look;
    canvas.from(Some("imprint"));
    let width = scene.plan.body.width;
    let end = scene.plan.height - look.bottom;
    let rule = end - look.foot_height + look.foot_rule;
    canvas.rule(Point::new(look.side, rule), width, look.fine, look.rule_ink);
    // Its ends are marks that are across them, also where the page has no margins.
    let start = Point::new(look.side.max(look.fine / 2.0), rule);
    let ruler_end = ruler(canvas, scene, start, end - rule);
    let right = look.side + width - code(canvas, scene, end);
    let words = Rect::new(ruler_end + look.gutter, rule, right, end);
    if look.left_out_in_foot {
        columns(canvas, scene, words);
    } else {
        imprint(canvas, scene, words);
    }
    canvas.from(None);
}

/// The code of the sheet's page in the right corner, where the sheet shows it; the width that it takes.
fn code(canvas: &mut Canvas<'_>, scene: &Scene<'_>, end: f64) -> f64 {
    let page = scene.facts.sheet.page().as_ref();
    let code = page.and_then(|page| page.code().as_ref());
    let (Some(code), Some(side)) = (code, code_side(scene.facts)) else { return 0.0 };
    let left = scene.facts.look.side + scene.plan.body.width - side;
    let path = code.path(left, end - side, side);
    canvas.fill(Role::Furniture, path, scene.facts.look.voices.body.ink);
    side + scene.facts.look.gutter
}

/// Does the foot tell which colours are left out? Where the style wants it
/// there and the text has no room, the legend tells it.
///
/// Decided before anything is placed, so that measuring, placing and drawing
/// agree: for the page standing upright, which is the narrower, and for
/// several scales that the imprint may tell, with a little room to spare, and
/// for all spellings of the edition alike.
pub fn tells_left_out(facts: &Facts<'_>, spellings: &[&Spelling]) -> bool {
    let look = &facts.look;
    if !look.left_out_in_foot {
        return false;
    }
    let width = facts.layout.width.min(facts.layout.height) - 2.0 * look.side;
    let code = code_side(facts).map_or(0.0, |side| side + look.gutter);
    let room = width - ruler_length(width) - look.gutter - code;
    let height = look.foot_height - look.foot_rule;
    let scales = [1.0, 0.444, 0.666, 0.888, 0.999];
    spellings.iter().flat_map(|s| scales.map(|scale| (s, scale))).all(|(spelling, scale)| {
        // The ruler's note gives way to it.
        let texts = column_texts(facts, spelling, scale, width, true);
        all_fit(look, &texts[1..], room * 0.97, lines_in(look, height))
    })
}

/// Whole lines of a column in a foot of this height, its heading taken off.
fn lines_in(look: &Look, height: f64) -> f64 {
    let (title, body) = (look.voices.legend, look.voices.imprint);
    ((height - look.module * 0.7 - title.size * 1.2) / (body.size * 1.28)).floor().max(1.0)
}

/// What the ruler of a body of this width must measure; empty where there is none.
fn ruler_note(spelling: &Spelling, width: f64) -> String {
    if !has_ruler(width) {
        return String::new();
    }
    spelling.phrase("ruler_note", &[("length", ruler_size(width).text())])
}

/// What the marks at its ends add to a ruler, mm.
const RULER_ENDS: f64 = 0.5;

/// Has a body of this width room for one?
fn has_ruler(width: f64) -> bool {
    ruler_length(width) + RULER_ENDS <= width
}

/// Half a ruler on narrow pages.
fn ruler_size(width: f64) -> Length {
    if width >= 130.0 { Length::Whole } else { Length::Half }
}

/// Length of the ruler in mm for a body of this width.
fn ruler_length(width: f64) -> f64 {
    match ruler_size(width) {
        Length::Whole => 4.0 * MM_PER_INCH,
        Length::Half => 2.0 * MM_PER_INCH,
    }
}

/// A ruler (half on narrow pages, none on still narrower ones) in a foot of this height whose rule
/// begins at `at`; returns its right end.
fn ruler(canvas: &mut Canvas<'_>, scene: &Scene<'_>, at: Point, height: f64) -> f64 {
    let voice = scene.facts.look.voices.ruler;
    let Point { x, y: rule } = at;
    if !has_ruler(scene.plan.body.width) {
        return x;
    }
    // Above the line: figures, then ticks; below: ticks, then figures.
    let line = rule + height * RULER_LINE;
    let above = height * 0.5 - voice.cap - voice.size * 0.35;
    let below = height * (1.0 - RULER_LINE) - voice.cap - voice.size * RULER_GAP;
    let tick = above.min(below).clamp(LEAST_TICK, 4.6);
    let size = ruler_size(scene.plan.body.width);
    super::ruler::draw(canvas, voice, Point::new(x, line), tick, size);
    x + ruler_length(scene.plan.body.width)
}

/// Imprint lines at the right of an area, the ruler's note at its left.
fn imprint(canvas: &mut Canvas<'_>, scene: &Scene<'_>, area: Rect) {
    let look = &scene.facts.look;
    let (strong, plain) = (look.voices.imprint, look.voices.imprint_more);
    let own = imprint_lines(scene.facts, scene.spelling, scene.plan.scale);
    let lead = strong.size * 1.32;
    let (room, height) = (area.width(), area.height());
    let voice = |i: usize| if i == 0 { strong } else { plain };
    let fits = |lines: &Vec<String>, noted: bool| {
        let narrow = lines.iter().enumerate().all(|(i, line)| look.width(voice(i), line) <= room);
        let block = strong.cap + lead * (lines.len().max(1) - 1) as f64;
        narrow && (!noted || block <= height - look.module * 0.5)
    };
    let noted = notes(scene).into_iter().map(|note| {
        let noted = note.is_some();
        (own.iter().cloned().chain(note).collect::<Vec<_>>(), noted)
    });
    let all: Vec<_> = noted.collect();
    let shows_all = all.len() == 1;
    // What is not shown is said before anything else: by itself, if need be.
    let found = all.into_iter().find(|(lines, noted)| (*noted || shows_all) && fits(lines, *noted));
    let Some((lines, _)) = found else {
        imprint_alone(canvas, scene, area);
        return;
    };
    let block = strong.cap + lead * (lines.len().max(1) - 1) as f64;
    let mut y = area.y0 + height * 0.52 - block / 2.0 + strong.cap;
    let mut widest = 0.0f64;
    for (i, line) in lines.iter().enumerate() {
        let end = Point::new(area.x0 + room, y);
        widest = widest.max(canvas.text(end, line, voice(i), Anchor::Right));
        y += lead;
    }
    noted_beside(canvas, scene, area, room - widest - look.gutter);
}

/// The ruler's note at the left of an area, where it has room in `room` mm of its width.
fn noted_beside(canvas: &mut Canvas<'_>, scene: &Scene<'_>, area: Rect, room: f64) {
    let look = &scene.facts.look;
    let note = ruler_note(scene.spelling, scene.plan.body.width);
    let voice = look.voices.legend_note;
    let words = balance(look, voice, &note, room.min(look.width(voice, &note) * 0.62));
    if (1..=3).contains(&words.len()) && words.iter().all(|l| look.width(voice, l) <= room) {
        let lead = voice.size * 1.25;
        let block = voice.cap + lead * (words.len() - 1) as f64;
        let mut y = area.y0 + area.height() * 0.52 - block / 2.0 + voice.cap;
        for line in words {
            canvas.text(Point::new(area.x0, y), &line, voice, Anchor::Left);
            y += lead;
        }
    }
}

/// The sheet's imprint, or what every edition should say of itself.
fn imprint_lines(facts: &Facts<'_>, spelling: &Spelling, scale: f64) -> Vec<String> {
    let mut lines: Vec<String> =
        facts.sheet.imprint().iter().map(|w| filled(facts, spelling, scale, w)).collect();
    if lines.is_empty() {
        let parts = [
            spelling.apply(facts.range.release()),
            spelling.apply(facts.sheet.edition_line()),
            spelling.phrase("spelling_name", &[]),
        ];
        lines.push(parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join(" · "));
        lines.push(spelling.phrase("imprint_srgb", &[("scale", &scale_phrase(spelling, scale))]));
    }
    lines
}

/// What the sheet does not show: in full, in short, and at last nothing; nothing alone where it
/// shows all.
fn notes(scene: &Scene<'_>) -> Vec<Option<String>> {
    let reported = unshown(scene.facts, scene.plan, scene.spelling);
    reported.into_iter().flatten().map(Some).chain([None]).collect()
}

/// A text under its heading.
#[derive(Clone)]
struct Headed {
    heading: String,
    text: String,
}

/// What is left out and the imprint, each in a text column.
fn columns(canvas: &mut Canvas<'_>, scene: &Scene<'_>, area: Rect) {
    let look = &scene.facts.look;
    let with_left_out = tells_left_out(scene.facts, scene.spellings);
    let room = area.width();
    let lines = lines_in(look, area.height());
    // What does not fit gives way from the front: the ruler's note first.
    let (scale, width) = (scene.plan.scale, scene.plan.body.width);
    let mut own = column_texts(scene.facts, scene.spelling, scale, width, with_left_out);
    // A page too narrow for a ruler says nothing of one.
    own.retain(|column| !column.text.is_empty());
    let with_note = notes(scene).into_iter().find_map(|note| {
        let mut texts = own.clone();
        if let (Some(note), Some(imprint)) = (note, texts.last_mut()) {
            imprint.text = format!("{}. {note}", imprint.text);
        }
        let fits = |texts: &[Headed]| all_fit(look, texts, room, lines);
        // The ruler's note gives way to it, and nothing else.
        [0, 1].into_iter().find(|from| fits(&texts[*from..])).map(|from| texts.split_off(from))
    });
    let mut texts = with_note.unwrap_or(own);
    while texts.len() > 1 && !all_fit(look, &texts, room, lines) {
        texts.remove(0);
    }
    if all_fit(look, &texts, room, lines) {
        draw_columns(canvas, &texts, area);
    } else {
        imprint_alone(canvas, scene, area);
    }
}

/// Texts under their headings side by side, as wide as they are long, so that all end alike.
fn draw_columns(canvas: &mut Canvas<'_>, texts: &[Headed], area: Rect) {
    let look = canvas.look;
    let (title, body) = (look.voices.legend, look.voices.imprint);
    let lead = body.size * 1.28;
    let mut left = area.x0;
    for (Headed { heading, text }, width) in texts.iter().zip(widths(look, texts, area.width())) {
        let mut y = area.y0 + look.module * 0.7 + title.cap;
        canvas.text(Point::new(left, y), heading, title, Anchor::Left);
        y += title.size * 0.2 + lead;
        for line in wrap(look, body, text, width) {
            canvas.text(Point::new(left, y), &line, body, Anchor::Left);
            y += lead;
        }
        left += width + look.gutter;
    }
}

/// The foot's columns: the ruler's note, what is left out, the imprint.
fn column_texts(
    facts: &Facts<'_>,
    spelling: &Spelling,
    scale: f64,
    width: f64,
    with_left_out: bool,
) -> Vec<Headed> {
    let out = if with_left_out { left_out(facts, spelling) } else { None };
    let texts = [
        ("ruler_title", Some(ruler_note(spelling, width))),
        ("left_out_title", out),
        ("imprint_title", Some(imprint_lines(facts, spelling, scale).join(". "))),
    ];
    let headed = |(key, text): (&str, Option<String>)| {
        Some(Headed { heading: spelling.phrase(key, &[]), text: text? })
    };
    texts.into_iter().filter_map(headed).collect()
}

/// The imprint without a heading: as many of its lines as have room, whole ones.
fn imprint_alone(canvas: &mut Canvas<'_>, scene: &Scene<'_>, area: Rect) {
    let look = &scene.facts.look;
    let body = look.voices.imprint;
    let lead = body.size * 1.28;
    let own = imprint_lines(scene.facts, scene.spelling, scene.plan.scale);
    let tries = notes(scene).into_iter().flat_map(|note| {
        let least = usize::from(note.is_none());
        let own = &own;
        (least..=own.len()).rev().map(move |count| match &note {
            Some(note) if count == 0 => note.clone(),
            Some(note) => format!("{}. {note}", own[..count].join(". ")),
            None => own[..count].join(". "),
        })
    });
    let fitting = tries.into_iter().find_map(|text| {
        let lines = balance(look, body, &text, area.width());
        let height = body.cap + lead * (lines.len() - 1) as f64;
        let narrow = lines.iter().all(|l| look.width(body, l) <= area.width());
        (narrow && height <= area.height() - look.module * 0.5).then_some((lines, height))
    });
    if let Some((lines, height)) = fitting {
        let mut y = area.y0 + (area.height() - height) / 2.0 + body.cap;
        for line in lines {
            canvas.text(Point::new(area.x0, y), &line, body, Anchor::Left);
            y += lead;
        }
    }
}

/// Widths in proportion to the lengths of the texts, each wide enough for its longest word.
fn widths(look: &Look, texts: &[Headed], room: f64) -> Vec<f64> {
    let free = room - look.gutter * texts.len().saturating_sub(1) as f64;
    let length = |column: &Headed| look.width(look.voices.imprint, &column.text).max(room * 0.3);
    let lengths: Vec<f64> = texts.iter().map(length).collect();
    let total: f64 = lengths.iter().sum();
    lengths.iter().map(|length| length / total * free).collect()
}

fn all_fit(look: &Look, texts: &[Headed], room: f64, lines: f64) -> bool {
    let body = look.voices.imprint;
    texts.iter().zip(widths(look, texts, room)).all(|(column, width)| {
        let wrapped = wrap(look, body, &column.text, width);
        wrapped.len() as f64 <= lines && wrapped.iter().all(|l| look.width(body, l) <= width)
    })
}
