//! The foot of the page: check ruler, imprint, colours left out.

use super::canvas::{Anchor, Canvas};
use super::paragraph::{balance, wrap};
use super::place::Scene;
use super::ruler::Length;
use super::words::{filled, left_out, scale_phrase, unshown};
use crate::plan::Facts;
use crate::plan::style::{LEAST_TICK, Look, RULER_GAP, RULER_LINE, Voice};
use crate::spelling::Spelling;
use crate::units::MM_PER_INCH;

/// Draws the foot of a page.
pub fn draw(canvas: &mut Canvas<'_>, scene: &Scene<'_>) {
    let look = &scene.facts.look;
    canvas.from(Some("imprint"));
    let width = scene.plan.body.width;
    let end = scene.plan.height - look.bottom;
    let rule = end - look.foot_height + look.foot_rule;
    canvas.rule(look.side, rule, width, look.fine, look.rule_ink);
    // Its ends are marks that stand across them, also where the page has no margins.
    let ruler_end = ruler(canvas, scene, look.side.max(look.fine / 2.0), rule, end);
    let gap = look.gutter;
    let start = ruler_end + gap;
    let room = look.side + width - start;
    if look.left_out_in_foot {
        columns(canvas, scene, start, room, rule, end);
    } else {
        imprint(canvas, scene, start, room, rule, end);
    }
    canvas.from(None);
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
    let room = width - ruler_length(width) - look.gutter;
    let height = look.foot_height - look.foot_rule;
    let scales = [1.0, 0.444, 0.666, 0.888, 0.999];
    spellings.iter().flat_map(|s| scales.map(|scale| (s, scale))).all(|(spelling, scale)| {
        // The ruler's note gives way to it.
        let texts: Vec<_> =
            column_texts(facts, spelling, (scale, width), true).into_iter().skip(1).collect();
        all_fit(look, look.voices.imprint, &texts, room * 0.97, look.gutter, lines_in(look, height))
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

/// A ruler (half on narrow pages, none on still narrower ones) between the foot's rule and its end; returns its right end.
fn ruler(canvas: &mut Canvas<'_>, scene: &Scene<'_>, x: f64, rule: f64, end: f64) -> f64 {
    let voice = scene.facts.look.voices.ruler;
    if !has_ruler(scene.plan.body.width) {
        return x;
    }
    let height = end - rule;
    // Above the line: figures, then ticks; below: ticks, then figures.
    let line = rule + height * RULER_LINE;
    let above = height * 0.5 - voice.cap - voice.size * 0.35;
    let below = height * (1.0 - RULER_LINE) - voice.cap - voice.size * RULER_GAP;
    let tick = above.min(below).clamp(LEAST_TICK, 4.6);
    super::ruler::draw(canvas, voice, (x, line), tick, ruler_size(scene.plan.body.width));
    x + ruler_length(scene.plan.body.width)
}

/// Imprint lines at the right, the ruler's note beside the ruler.
fn imprint(canvas: &mut Canvas<'_>, scene: &Scene<'_>, x: f64, room: f64, rule: f64, end: f64) {
    let look = &scene.facts.look;
    let (strong, plain) = (look.voices.imprint, look.voices.imprint_more);
    let own = imprint_lines(scene.facts, scene.spelling, scene.plan.scale);
    let lead = strong.size * 1.32;
    let height = end - rule;
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
    let told = all.len() == 1;
    // What is not shown is told before anything else: by itself, if need be.
    let found = all.into_iter().find(|(lines, noted)| (*noted || told) && fits(lines, *noted));
    let Some((lines, _)) = found else {
        imprint_alone(canvas, scene, x, room, rule, end);
        return;
    };
    let block = strong.cap + lead * (lines.len().max(1) - 1) as f64;
    let mut y = rule + height * 0.52 - block / 2.0 + strong.cap;
    let mut widest = 0.0f64;
    for (i, line) in lines.iter().enumerate() {
        widest = widest.max(canvas.text(x + room, y, line, voice(i), Anchor::Right));
        y += lead;
    }
    let note = ruler_note(scene.spelling, scene.plan.body.width);
    let voice = look.voices.legend_note;
    let space = room - widest - look.gutter;
    let words = balance(look, voice, &note, space.min(look.width(voice, &note) * 0.62));
    if (1..=3).contains(&words.len()) && words.iter().all(|l| look.width(voice, l) <= space) {
        let lead = voice.size * 1.25;
        let block = voice.cap + lead * (words.len() - 1) as f64;
        let mut y = rule + height * 0.52 - block / 2.0 + voice.cap;
        for line in words {
            canvas.text(x, y, &line, voice, Anchor::Left);
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
    let told = unshown(scene.facts, scene.plan, scene.spelling);
    told.into_iter().flatten().map(Some).chain([None]).collect()
}

/// What is left out and the imprint, each in a text column.
fn columns(canvas: &mut Canvas<'_>, scene: &Scene<'_>, x: f64, room: f64, rule: f64, end: f64) {
    let look = &scene.facts.look;
    let (title, body) = (look.voices.legend, look.voices.imprint);
    let told = tells_left_out(scene.facts, scene.spellings);
    let lead = body.size * 1.28;
    let gap = look.gutter;
    let lines_fit = lines_in(look, end - rule);
    // What does not fit gives way from the front: the ruler's note first.
    let width = scene.plan.body.width;
    let mut own = column_texts(scene.facts, scene.spelling, (scene.plan.scale, width), told);
    // A page too narrow for a ruler says nothing of one.
    own.retain(|(_, text)| !text.is_empty());
    let with_note = notes(scene).into_iter().find_map(|note| {
        let mut texts = own.clone();
        if let (Some(note), Some((_, imprint))) = (note, texts.last_mut()) {
            *imprint = format!("{imprint}. {note}");
        }
        let fits = |texts: &[_]| all_fit(look, body, texts, room, gap, lines_fit);
        // The ruler's note gives way to it, and nothing else.
        [0, 1].into_iter().find(|from| fits(&texts[*from..])).map(|from| texts.split_off(from))
    });
    let mut texts = with_note.unwrap_or(own);
    while texts.len() > 1 && !all_fit(look, body, &texts, room, gap, lines_fit) {
        texts.remove(0);
    }
    if !all_fit(look, body, &texts, room, gap, lines_fit) {
        imprint_alone(canvas, scene, x, room, rule, end);
        return;
    }
    // Widths in proportion to the length of the texts, so that all end alike.
    let widths = widths(look, body, &texts, room, gap);
    let mut left = x;
    for ((heading, text), width) in texts.iter().zip(widths) {
        let mut y = rule + look.module * 0.7 + title.cap;
        canvas.text(left, y, heading, title, Anchor::Left);
        y += title.size * 0.2 + lead;
        for line in wrap(look, body, text, width) {
            canvas.text(left, y, &line, body, Anchor::Left);
            y += lead;
        }
        left += width + gap;
    }
}

/// Titles and texts of the foot's columns: the ruler's note, what is left out, the imprint.
fn column_texts(
    facts: &Facts<'_>,
    spelling: &Spelling,
    (scale, width): (f64, f64),
    with_left_out: bool,
) -> Vec<(String, String)> {
    let say = |key: &str| spelling.phrase(key, &[]);
    let out = if with_left_out { left_out(facts, spelling) } else { None };
    [
        (say("ruler_title"), Some(ruler_note(spelling, width))),
        (say("left_out_title"), out),
        (say("imprint_title"), Some(imprint_lines(facts, spelling, scale).join(". "))),
    ]
    .into_iter()
    .filter_map(|(title, text)| text.map(|text| (title, text)))
    .collect()
}

/// The imprint without a heading: as many of its lines as have room, whole ones.
fn imprint_alone(
    canvas: &mut Canvas<'_>,
    scene: &Scene<'_>,
    x: f64,
    room: f64,
    rule: f64,
    end: f64,
) {
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
        let lines = balance(look, body, &text, room);
        let height = body.cap + lead * (lines.len() - 1) as f64;
        let narrow = lines.iter().all(|l| look.width(body, l) <= room);
        (narrow && height <= end - rule - look.module * 0.5).then_some((lines, height))
    });
    if let Some((lines, height)) = fitting {
        let mut y = rule + (end - rule - height) / 2.0 + body.cap;
        for line in lines {
            canvas.text(x, y, &line, body, Anchor::Left);
            y += lead;
        }
    }
}

/// Widths in proportion to the lengths of the texts, each wide enough for its longest word.
fn widths(look: &Look, body: Voice, texts: &[(String, String)], room: f64, gap: f64) -> Vec<f64> {
    let free = room - gap * texts.len().saturating_sub(1) as f64;
    let lengths: Vec<f64> =
        texts.iter().map(|(_, text)| look.width(body, text).max(room * 0.3)).collect();
    let total: f64 = lengths.iter().sum();
    lengths.iter().map(|length| length / total * free).collect()
}

fn all_fit(
    look: &Look,
    body: Voice,
    texts: &[(String, String)],
    room: f64,
    gap: f64,
    lines: f64,
) -> bool {
    texts.iter().zip(widths(look, body, texts, room, gap)).all(|((_, text), width)| {
        let wrapped = wrap(look, body, text, width);
        wrapped.len() as f64 <= lines && wrapped.iter().all(|l| look.width(body, l) <= width)
    })
}
