//! The title block.

use kurbo::Point;

use super::canvas::{Anchor, Canvas};
use super::head::counted;
use super::paragraph::shrink;
use super::scene::Scene;
use super::words::{filled, scale_phrase};
use crate::plan::style::TitleForm;
use crate::spelling::Spelling;

/// The sheet's title in the edition's spelling.
pub fn heading(scene: &Scene<'_>) -> String {
    heading_in(scene, scene.spelling)
}

fn heading_in(scene: &Scene<'_>, spelling: &Spelling) -> String {
    filled(scene.facts, spelling, scene.plan.scale, scene.facts.sheet.title())
}

/// Draws the title block of page `index`.
pub fn draw(canvas: &mut Canvas<'_>, scene: &Scene<'_>, index: usize) {
    canvas.from(Some("title"));
    match scene.facts.look.title_form {
        TitleForm::Centred => centred(canvas, scene, index),
        TitleForm::Contents => contents(canvas, scene, index),
    }
    canvas.from(None);
}

fn subtitle(scene: &Scene<'_>) -> String {
    let text = filled(scene.facts, scene.spelling, scene.plan.scale, scene.facts.sheet.subtitle());
    if text.is_empty() { scale_phrase(scene.spelling, scene.plan.scale) } else { text }
}

/// The short line at the right: the edition line, or which page this is.
fn corner_right(scene: &Scene<'_>, index: usize) -> String {
    let pages = scene.plan.pages.len();
    let line = scene.spelling.apply(scene.facts.sheet.edition_line());
    if pages == 1 {
        return line;
    }
    let page = [("page", (index + 1).to_string()), ("pages", pages.to_string())];
    let page = scene.spelling.phrase("page_of", &page.each_ref().map(|(k, v)| (*k, v.as_str())));
    if line.is_empty() { page } else { format!("{line} · {page}") }
}

fn centred(canvas: &mut Canvas<'_>, scene: &Scene<'_>, index: usize) {
    let look = &scene.facts.look;
    let voices = &look.voices;
    let (middle, room) = (scene.plan.width / 2.0, scene.plan.body.width);
    let maker = scene.spelling.apply(scene.facts.range.maker());
    let maker_line = look.top + voices.maker.size * 0.62;
    canvas.text(Point::new(middle, maker_line), &maker, voices.maker, Anchor::Middle);
    let title = heading(scene);
    let title_line = maker_line + voices.title.size * 0.98;
    let voice = shrink(look, voices.title, &title, room, 0.3);
    canvas.text(Point::new(middle, title_line), &title, voice, Anchor::Middle);
    let sub = subtitle(scene);
    let sub_line = title_line + voices.subtitle.size * 1.75;
    let voice = shrink(look, voices.subtitle, &sub, room, 0.6);
    let sub_width = canvas.text(Point::new(middle, sub_line), &sub, voice, Anchor::Middle);
    let left = scene.spelling.apply(scene.facts.sheet.corner_text());
    let right = corner_right(scene, index);
    let widest = look.width(voices.corner_text, &left).max(look.width(voices.corner_text, &right));
    // The corners share the subtitle's baseline where there is room, else the maker's.
    let clear = sub_width / 2.0 + widest + look.gutter <= room / 2.0;
    let line = if clear { sub_line } else { maker_line };
    canvas.text(Point::new(look.side, line), &left, voices.corner_text, Anchor::Left);
    canvas.text(Point::new(look.side + room, line), &right, voices.corner_text, Anchor::Right);
}

/// Maker and title large and flush left; a table of the families at the right.
fn contents(canvas: &mut Canvas<'_>, scene: &Scene<'_>, index: usize) {
    let look = &scene.facts.look;
    let voices = &look.voices;
    let width = scene.plan.body.width;
    let count = scene.plan.pages.first().map_or(1, Vec::len).max(1);
    // The table takes the last page column, or the right third without one.
    let table = if count > 1 {
        (width - (count - 1) as f64 * look.gutter) / count as f64
    } else {
        width / 3.0
    };
    let table = table.min(width * 0.4);
    let table_x = look.side + width - table;
    canvas.rule(Point::new(look.side, look.top), width, look.heavy * 2.0, look.rule_ink);
    let (maker, title) = (scene.spelling.apply(scene.facts.range.maker()), heading(scene));
    let room = width - table - look.gutter;
    let high = look.title_height - look.head_pad * 0.6;
    let lede = voices.subtitle;
    let end = look.top + high - lede.size * 0.5;
    // Both lines at one size: as large as width and height allow. The lede
    // is clear of the second line's descenders (0.22 em).
    // In the spelling with the longest words, so that the rules are alike in all.
    let widest = scene.spellings.iter().map(|s| {
        let maker = look.width(voices.title, &s.apply(scene.facts.range.maker()));
        maker.max(look.width(voices.maker, &heading_in(scene, s)))
    });
    let widest = widest.fold(0.0, f64::max);
    let lede_drop = lede.cap + look.module * 0.9;
    let tall = (end - lede_drop - look.top - look.module * 1.6) / (0.70 + 1.04 + 0.22);
    let size = (voices.title.size * (room / widest.max(1.0)).min(1.0)).min(tall);
    let gap = size * 0.22 + lede_drop;
    let first = look.top + look.module * 1.6 + size * 0.70;
    let second = first + size * 1.04;
    let hung = look.side - size * 0.05;
    let (maker_voice, title_voice) = (voices.title.sized(size), voices.maker.sized(size));
    canvas.text(Point::new(hung, first), &maker, maker_voice, Anchor::Left);
    canvas.text(Point::new(hung, second), &title, title_voice, Anchor::Left);
    let sub = subtitle(scene);
    let voice = shrink(look, lede, &sub, room, 0.7);
    canvas.text(Point::new(look.side, second + gap), &sub, voice, Anchor::Left);
    let corner = corner_right(scene, index);
    canvas.text(Point::new(table_x, second + gap), &corner, voices.corner_text, Anchor::Left);
    let table = Table { x: table_x, width: table, top: first - size * 0.70, last: second };
    table_of_families(canvas, scene, &table);
}

/// Where the table of families is, mm.
struct Table {
    x: f64,
    width: f64,
    /// The top of the first line's capitals, the baseline of the last line.
    top: f64,
    last: f64,
}

fn table_of_families(canvas: &mut Canvas<'_>, scene: &Scene<'_>, table: &Table) {
    let Table { x, width, top, last } = *table;
    let look = &scene.facts.look;
    let (strong, plain) = (look.voices.legend, look.voices.family_note);
    let families = scene.plan.families.len();
    let lines = families + usize::from(families > 1);
    let first = top + strong.cap;
    let step = if lines > 1 { (last - first) / (lines - 1) as f64 } else { 0.0 };
    let mut order: Vec<usize> = (0..families).collect();
    order.sort_by_key(|&i| scene.plan.families[i].index);
    let entries: Vec<(String, String)> = order
        .iter()
        .map(|&planned| {
            let count = scene.plan.families[planned].rows.len().to_string();
            (scene.spelling.apply(scene.family(planned).title()), count)
        })
        .collect();
    let room = |count: &str| width - look.width(look.voices.number, count) - look.module;
    let fits = entries.iter().all(|(name, count)| look.width(strong, name) <= room(count));
    if !fits || (lines > 1 && step < strong.size * 1.05) {
        // Too many families for a table, or too long ones: their total says enough.
        let total: usize = scene.plan.families.iter().map(|f| f.rows.len()).sum();
        canvas.text(Point::new(x, first), &counted(scene, total), strong, Anchor::Left);
        return;
    }
    let rule_at = |baseline: f64| baseline + step / 2.0 - strong.cap / 2.0;
    for (line, (&planned, (name, count))) in order.iter().zip(&entries).enumerate() {
        let y = first + step * line as f64;
        let family = scene.family(planned);
        let named = canvas.text(Point::new(x, y), name, strong, Anchor::Left);
        let end = Point::new(x + width, y);
        let counted = canvas.text(end, count, look.voices.number, Anchor::Right);
        let note = scene.spelling.apply(family.note());
        let start = x + (width * 0.42).max(named + look.module);
        let voice = plain.inked(look.voices.count.ink);
        if look.width(voice, &note) <= x + width - counted - look.module - start {
            canvas.text(Point::new(start, y), &note, voice, Anchor::Left);
        }
        if lines > 1 {
            let closing = line + 1 == families;
            let (thick, ink) =
                if closing { (look.hair * 2.0, look.rule_ink) } else { (look.hair, look.hair_ink) };
            canvas.rule(Point::new(x, rule_at(y)), width, thick, ink);
        }
    }
    if families > 1 {
        let total: usize = scene.plan.families.iter().map(|f| f.rows.len()).sum();
        let y = first + step * families as f64;
        let all = scene.spelling.phrase("contents_all", &[]);
        canvas.text(Point::new(x, y), &all, strong, Anchor::Left);
        let end = Point::new(x + width, y);
        canvas.text(end, &total.to_string(), look.voices.number, Anchor::Right);
    }
}
