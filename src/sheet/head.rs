//! Family headings: name, note, part numbers over their columns.

use kurbo::Point;

use super::canvas::{Anchor, Canvas};
use super::paragraph::shrink;
use super::scene::{Frame, Scene, columns};
use crate::plan::PlannedRun;
use crate::plan::menu::Arrangement;
use crate::plan::style::{HeadForm, SIZE_LEAD};
use crate::range::PartId;

/// Draws the heading whose rule is at `y`.
pub fn draw(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, run: &PlannedRun, y: f64) {
    let height = scene.plan.head_height;
    let look = &scene.facts.look;
    let family = scene.family(run.family);
    canvas.from(Some(family.key()));
    canvas.rule(Point::new(frame.x, y), frame.width, look.heavy, look.rule_ink);
    match look.head_form {
        HeadForm::OverSpine => over_spine(canvas, scene, frame, run, y),
        HeadForm::Flush => flush(canvas, scene, frame, run, y),
    }
    if matches!(scene.plan.families[run.family].choice.arrangement, Arrangement::Grid { .. }) {
        numbers(canvas, scene, frame, run, y + height);
    } else if look.head_form == HeadForm::Flush {
        // No numbers head these columns: the band says where they are.
        let words = scene.spelling.phrase("loose_head", &[]);
        let base = Point::new(frame.spine_x, y + height - look.head_numbers);
        canvas.text(base, &words, look.voices.size, Anchor::Left);
    }
    if look.head_hairline > 0.0 {
        let start = Point::new(frame.x, y + height - look.head_hairline);
        canvas.rule(start, frame.width, look.hair, look.hair_ink);
    }
    canvas.from(None);
}

fn over_spine(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, run: &PlannedRun, y: f64) {
    let (look, spelling) = (&scene.facts.look, scene.spelling);
    let again = goes_on(run);
    let family = scene.family(run.family);
    let title = spelling.apply(family.title());
    let voice = if again { look.voices.family_again } else { look.voices.family };
    // Numbers are beside the spine at the note's height, so it stays within.
    let room = frame.spine_width + frame.side_gap * 0.6;
    let voice = shrink(look, voice, &title, frame.x + frame.width - frame.spine_x, 0.5);
    let base = Point::new(frame.spine_x, y + look.head_name);
    canvas.text(base, &title, voice, Anchor::Left);
    let count = scene.plan.families[run.family].rows.len();
    let notes = if again {
        going_on(scene, run)
    } else {
        let (note, count) = (spelling.apply(family.note()), counted(scene, count));
        [join_note(&note, &count), note, count]
    };
    let plain = look.voices.family_note;
    let fits = |text: &str| look.width(shrink(look, plain, text, room, 0.86), text) <= room + 1e-6;
    let note = notes.iter().find(|t| !t.is_empty() && fits(t)).unwrap_or(&notes[2]);
    let voice = shrink(look, plain, note, room, 0.86);
    canvas.text(Point::new(base.x, base.y + look.head_note), note, voice, Anchor::Left);
}

fn flush(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, run: &PlannedRun, y: f64) {
    let (look, spelling) = (&scene.facts.look, scene.spelling);
    let again = goes_on(run);
    let family = scene.family(run.family);
    let title = spelling.apply(family.title());
    let voice = if again { look.voices.family_again } else { look.voices.family };
    let baseline = y + look.head_name;
    let rows = scene.plan.families[run.family].rows.len();
    let count = counted(scene, rows);
    let right = frame.x + frame.width;
    let count_width = look.width(look.voices.count, &count) + look.side_gap;
    let voice = shrink(look, voice, &title, frame.width - count_width, 0.4);
    // Large type hangs a little, so that its stems are on the edge.
    let hang = voice.size * 0.045;
    let start = Point::new(frame.x - hang, baseline);
    let name_end = frame.x + canvas.text(start, &title, voice, Anchor::Left);
    canvas.text(Point::new(right, baseline), &count, look.voices.count, Anchor::Right);
    let notes: &[String] =
        &if again { going_on(scene, run).to_vec() } else { vec![spelling.apply(family.note())] };
    // The note is on the spine's axis, or after a name that reaches over it; a longer one
    // before it may begin at the name.
    let after = name_end + look.side_gap * 0.7;
    let starts = [frame.spine_x.max(after), after];
    let placed = notes.iter().find_map(|note| {
        starts.iter().take(if again { 2 } else { 1 }).find_map(|&start| {
            let room = right - count_width - start;
            let voice = shrink(look, look.voices.family_note, note, room, 0.86);
            (look.width(voice, note) <= room).then_some((start, note, voice))
        })
    });
    if let Some((start, note, voice)) = placed {
        canvas.text(Point::new(start, baseline), note, voice, Anchor::Left);
    }
}

/// Is this a heading of a family that began before?
fn goes_on(run: &PlannedRun) -> bool {
    run.from > 0
}

/// That a family goes on here and with which of its rows, the longest way first.
fn going_on(scene: &Scene<'_>, run: &PlannedRun) -> [String; 3] {
    let all = scene.plan.families[run.family].rows.len().to_string();
    let (from, to) = ((run.from + 1).to_string(), run.to.to_string());
    let fill = [("from", from.as_str()), ("to", to.as_str()), ("all", all.as_str())];
    let one = run.to == run.from + 1;
    let [long, short] =
        if one { ["continued_row", "row_of"] } else { ["continued_rows", "rows_of"] };
    let say = |key: &str| scene.spelling.phrase(key, &fill);
    [say(long), say(short), say("continued")]
}

/// '52 colours', '1 colour'.
pub fn counted(scene: &Scene<'_>, count: usize) -> String {
    let key = if count == 1 { "one_colour" } else { "family_count" };
    scene.spelling.phrase(key, &[("n", &count.to_string())])
}

fn join_note(note: &str, count: &str) -> String {
    if note.is_empty() { count.to_owned() } else { format!("{note} · {count}") }
}

/// Part numbers over their columns, sizes under them where they fit.
fn numbers(canvas: &mut Canvas<'_>, scene: &Scene<'_>, frame: &Frame, run: &PlannedRun, end: f64) {
    let look = &scene.facts.look;
    let (heading, size) = (look.voices.heading, look.voices.size);
    let base = end - look.head_numbers;
    let columns = columns(scene, frame, run.family);
    let level = level(scene, frame, &columns);
    for (&(part, x), level) in columns.iter().zip(level) {
        let label = &scene.facts.part(part).label;
        if !level {
            canvas.text_up(Point::new(x + heading.cap / 2.0, base), label, heading);
            continue;
        }
        let words = scene.spelling.apply(scene.facts.range.part(part).size());
        let up = if words.is_empty() { 0.0 } else { size.size * SIZE_LEAD };
        canvas.text(Point::new(x, base - up), label, heading, Anchor::Middle);
        canvas.text(Point::new(x, base), &words, size, Anchor::Middle);
    }
}

/// White that neighbouring numbers keep, em.
const APART: f64 = 0.4;

/// Which numbers run level: on a page with turned ones all those that touch no neighbour. Of two that
/// would touch, the one over the narrower part is turned.
fn level(scene: &Scene<'_>, frame: &Frame, columns: &[(PartId, f64)]) -> Vec<bool> {
    let facts = scene.facts;
    let heading = facts.look.voices.heading;
    let mut level = vec![!scene.plan.turned || columns.len() == 1; columns.len()];
    if !scene.plan.turned {
        return level;
    }
    let wide = |i: usize| {
        let part = facts.part(columns[i].0);
        part.heading_width.max(part.size_width) / 2.0
    };
    let gap = heading.size * APART;
    let spine = (frame.spine_x, frame.spine_x + frame.spine_width);
    let inside = |i: usize| {
        let (x, half) = (columns[i].1, wide(i));
        let clear = x + half + gap <= spine.0 || x - half - gap >= spine.1;
        clear && x - half >= frame.x - 1e-6 && x + half <= frame.x + frame.width + 1e-6
    };
    level.iter_mut().enumerate().for_each(|(i, level)| *level = inside(i));
    let half = |level: &[bool], i: usize| if level[i] { wide(i) } else { heading.cap / 2.0 };
    // Each round turns one number at least.
    for _ in 0..columns.len() {
        let touching = (1..columns.len()).find(|&i| {
            let room = columns[i].1 - columns[i - 1].1;
            half(&level, i - 1) + half(&level, i) + gap > room && (level[i - 1] || level[i])
        });
        let Some(i) = touching else { break };
        let width = |i: usize| facts.part(columns[i].0).width;
        let first = level[i - 1] && (!level[i] || width(i - 1) < width(i));
        level[if first { i - 1 } else { i }] = false;
    }
    level
}
