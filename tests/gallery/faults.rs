//! What must not be on any sheet of the gallery, reported as a list of faults.

use kurbo::Rect;
use shadecard::edition::{Editions, Planned};
use shadecard::sheet::{ItemKind, Role, Sheet, Text, Turn};

use crate::positions;

/// Everything.
pub fn all(editions: &Editions, planned: &Planned<'_>, sheet: &Sheet) -> Vec<String> {
    let mut out = positions::colours_once_in_order(editions, planned, sheet);
    out.extend(positions::inside_the_page(sheet));
    out.extend(positions::samples_apart(sheet));
    out.extend(positions::texts_clear(sheet));
    out.extend(texts_apart(sheet));
    out.extend(aligned(sheet));
    out.extend(in_order(editions, planned));
    out.extend(key_at_an_end(planned));
    out.extend(no_hole(planned));
    out
}

/// No hole in the middle of a column: blocks are at most a row and a half farther apart than usual.
fn no_hole(planned: &Planned<'_>) -> Vec<String> {
    let c = planned.report().composition;
    let look = &planned.facts.look;
    let most = c.usual_gap_mm + 1.5 * planned.plan.pitch + look.head_pad + 0.6;
    let found = (c.largest_gap_mm > most).then(|| {
        format!("a hole of {} mm between blocks, {most:.1} is the most", c.largest_gap_mm)
    });
    found.into_iter().collect()
}

fn texts(sheet: &Sheet, page: usize) -> Vec<(Rect, &Text)> {
    let items = sheet.pages[page].items.iter();
    items
        .filter_map(|item| match &item.kind {
            ItemKind::Text(text) => Some((positions::text_box(text), &**text)),
            _ => None,
        })
        .collect()
}

/// No two texts on one line closer than a third of their size.
fn texts_apart(sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    for page in 0..sheet.pages.len() {
        let mut texts: Vec<_> =
            texts(sheet, page).into_iter().filter(|(_, t)| t.turn == Turn::Level).collect();
        texts.sort_by(|a, b| a.0.x0.total_cmp(&b.0.x0));
        for (i, (a, text)) in texts.iter().enumerate() {
            for (b, other) in &texts[i + 1..] {
                let least = text.size.min(other.size) / 3.0;
                if b.x0 > a.x1 + least {
                    break;
                }
                // In one line: their capitals overlap by more than half.
                let beside = a.y1.min(b.y1) - a.y0.max(b.y0) > 0.5 * a.height().min(b.height());
                let gap = b.x0 - a.x1;
                if beside && gap < least - 1e-6 && gap > -least {
                    faults.push(format!(
                        "page {page}: '{}' and '{}' are {gap:.2} mm apart, {least:.2} is the least",
                        text.string, other.string
                    ));
                }
            }
        }
    }
    faults
}

/// Near misses: left edges of chips, tops of headings, that differ by 0.05 to 0.6 mm.
fn aligned(sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    for (n, page) in sheet.pages.iter().enumerate() {
        let chips = page
            .items
            .iter()
            .filter(|i| i.role == Role::Swatch && i.origin.as_deref() != Some("lookalikes"));
        let mut lefts: Vec<f64> = chips.map(|i| i.bounds.x0).collect();
        let wide = |i: &&shadecard::sheet::Item| {
            i.role == Role::Furniture && i.bounds.width() > 30.0 && i.bounds.height() < 1.0
        };
        let rules: Vec<Rect> = page.items.iter().filter(wide).map(|i| i.bounds).collect();
        // Of one weight: a heading's rule and the hairline under its numbers are no pair.
        let thick = rules.iter().map(|b| b.height()).fold(0.0, f64::max);
        let heavy = rules.iter().filter(|b| b.height() > 0.9 * thick);
        let mut ys: Vec<f64> = heavy.map(|b| b.center().y).collect();
        for (what, values) in [("chips", &mut lefts), ("heavy rules", &mut ys)] {
            values.sort_by(f64::total_cmp);
            for pair in values.windows(2) {
                let off = pair[1] - pair[0];
                if off > 0.05 && off < 0.6 {
                    faults.push(format!(
                        "page {n}: {what} at {:.2} and {:.2} mm nearly line up",
                        pair[0], pair[1]
                    ));
                }
            }
        }
    }
    faults
}

/// Families are in the order of the sheet.
fn in_order(editions: &Editions, planned: &Planned<'_>) -> Vec<String> {
    let report = planned.report();
    let shown = planned.variant.edition.shown.iter().map(|i| &editions.sheet.families()[*i]);
    let want: Vec<&String> = shown.map(|f| editions.range.family(f.family()).key()).collect();
    let got: Vec<&String> = report.family_order.iter().collect();
    if want == got { Vec::new() } else { vec![format!("families stand as {got:?}, not {want:?}")] }
}

/// The legend is on the first page or the last.
fn key_at_an_end(planned: &Planned<'_>) -> Vec<String> {
    let pages = &planned.plan.pages;
    let middle = pages.iter().enumerate().skip(1).take(pages.len().saturating_sub(2));
    let has = |columns: &[shadecard::plan::PageColumn]| columns.iter().any(|c| c.furniture);
    middle
        .filter(|(_, columns)| has(columns))
        .map(|(n, _)| format!("the key stands on page {n}"))
        .collect()
}
