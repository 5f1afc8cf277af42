//! What would fit: one rule relaxed at a time, and every answer printed.

use kurbo::Size;

use super::facts::{Facts, SpineChoice};
use super::layout::{Layout, MOST_PAGES, Minimum, Orientation, ScaleRule};
use super::measure::{body, text_height};
use super::papers::{PAPERS, Paper};
use super::request::Request;
use super::solution::NoFit;
use super::solve::fits_at;
use crate::diag::Diagnostic;
use crate::units::mm_to_pt;

/// Reports why nothing fits and what would.
pub fn explain(request: &Request<'_, '_>, facts: &Facts<'_>, fault: NoFit) -> Diagnostic {
    if let Some(long) = too_long(facts) {
        return long;
    }
    let layout = request.layout;
    let page = format!("{:.0} x {:.0} mm", layout.width, layout.height);
    let message = match fault.asked {
        Some(scale) if (scale - 1.0).abs() < 1e-9 => {
            format!("the sheet does not fit on {page} with every part at true size")
        }
        Some(scale) => {
            format!("the sheet does not fit on {page} with parts at {scale} of true size")
        }
        None => format!(
            "the sheet does not fit on {page} at any scale from {} of true size",
            layout.least_scale
        ),
    };
    let answers = answers(request, facts, fault);
    let help = if answers.is_empty() {
        "show fewer colours or parts, or split the sheet in two".to_owned()
    } else {
        format!("it fits {}", answers.join("; or "))
    };
    Diagnostic::error("does-not-fit", message).help(help)
}

/// A name or a block that is wider than the page whatever the scale.
fn too_long(facts: &Facts<'_>) -> Option<Diagnostic> {
    let narrowest = facts.spines.iter().map(|s| s.width).fold(f64::INFINITY, f64::min);
    let room = facts.layout.width - 2.0 * (facts.look.side + facts.look.side_gap);
    if narrowest <= room {
        return None;
    }
    let lines = || {
        let rows = facts.families.iter().flat_map(|f| &f.rows);
        rows.flat_map(|r| r.lines.iter().map(move |l| (r, l)))
    };
    let name = lines().max_by(|a, b| a.1.broken_width.total_cmp(&b.1.broken_width))?;
    let number = lines().max_by(|a, b| a.1.number_width.total_cmp(&b.1.number_width))?;
    let (what, text, colour, width) = if number.1.number_width > name.1.broken_width {
        ("number", &number.1.number, number.0.colour, number.1.number_width)
    } else {
        ("name", &name.1.name, name.0.colour, name.1.broken_width)
    };
    let colour = facts.range.colour(colour);
    let message = format!(
        "the {what} '{}' of colour '{}' is {width:.0} mm wide at the smallest type size; the page has {:.0} mm for chip, name and number",
        shortened(text),
        colour.key(),
        room.max(0.0)
    );
    let listing = facts.sheet.centre().first().map_or(0, |line| line.listing.0);
    let span = match what {
        "name" => colour.names().get(listing).map(|name| &name.span),
        _ => colour.numbers().get(listing).map(|number| &number.span),
    };
    let span = span.unwrap_or(colour.span()).clone();
    let help = match what {
        "name" => "shorten the name, or add a space or a hyphen where it may break",
        _ => "shorten the number",
    };
    // In every edition it is the same fault.
    Some(Diagnostic::error("name-too-long", message).at(span).cause(text.clone()).help(help))
}

/// The beginning of a long text.
fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{} ...", &text[..end]),
        None => text.to_owned(),
    }
}

fn answers(request: &Request<'_, '_>, facts: &Facts<'_>, fault: NoFit) -> Vec<String> {
    let layout = request.layout;
    let scale = fault.asked.unwrap_or(layout.least_scale);
    let mut out = Vec::new();
    if fault.asked.is_some()
        && let Some(largest) = fault.largest.filter(|s| *s >= 0.05)
    {
        out.push(format!("at {largest} of true size on this page (scale: Ratio({largest}))"));
    }
    if let Some(paper) = smallest_paper(request, scale) {
        out.push(paper);
    }
    if let Some(pages) = pages_enough(request, facts, scale) {
        out.push(format!("on {pages} pages of this size (pages: {pages})"));
    }
    if let Some(paper) = smaller_rows(request, scale) {
        out.push(format!("with rows as on {0} (rows_sized_for: Paper(\"{0}\"))", paper.name));
    }
    let few = Layout {
        minimum: Minimum { coverage: 0.4, columns: 1, ..layout.minimum },
        ..layout.clone()
    };
    if fits(request, &few, scale) {
        out.push("with fewer columns (minimum: (coverage: 0.4, columns: 1))".to_owned());
    }
    for share in [0.9, 0.8, 0.7] {
        let floor = layout.type_floor * share;
        if fits(request, &Layout { type_floor: floor, ..layout.clone() }, scale) {
            out.push(format!(
                "with type as small as {:.1} pt (type_floor: {floor:.3})",
                mm_to_pt(floor)
            ));
            break;
        }
    }
    if out.is_empty() {
        out.extend(several_rules(request, &few, scale));
    }
    out
}

/// Where no rule by itself is enough: fewer columns, more pages and, if it must be, smaller parts.
fn several_rules(request: &Request<'_, '_>, few: &Layout, scale: f64) -> Option<String> {
    let facts = request.facts(few).ok()?;
    [1.0, 0.75, 0.5, 0.25].into_iter().find_map(|share| {
        let pages = pages_enough(request, &facts, scale * share)?;
        let (at, rule) = match share {
            1.0 => (String::new(), String::new()),
            _ => {
                let scale = (scale * share * 1000.0).round() / 1000.0;
                (format!(", parts at {scale} of true size"), format!("scale: Ratio({scale}), "))
            }
        };
        Some(format!(
            "on {pages} pages of this size{at}, with fewer columns (pages: {pages}, {rule}minimum: (coverage: 0.4, columns: 1))"
        ))
    })
}

fn fits(request: &Request<'_, '_>, layout: &Layout, scale: f64) -> bool {
    request.facts(layout).is_ok_and(|facts| fit(request, facts, scale))
}

/// The same of facts that are there already.
fn fit(request: &Request<'_, '_>, mut facts: Facts<'_>, scale: f64) -> bool {
    facts.layout.scale = ScaleRule::Ratio(scale);
    !facts.work.is_stopped() && could_fit(&facts) && fits_at(&facts, request.furniture, scale)
}

/// A quick look before a long one.
fn could_fit(facts: &Facts<'_>) -> bool {
    least_pages(facts).is_some_and(|pages| pages <= facts.layout.pages)
}

/// Pages that it takes at least: those of the spines alone, each as low as a line of names.
fn least_pages(facts: &Facts<'_>) -> Option<usize> {
    let (layout, look) = (&facts.layout, &facts.look);
    let turned = Size::new(layout.height, layout.width);
    let turned = (layout.orientation == Orientation::Free).then_some(turned);
    let pages = [Size::new(layout.width, layout.height)].into_iter().chain(turned);
    let on_a_page = |page| {
        let body = body(facts, page);
        let of = |spine: &SpineChoice| {
            let across = spine.width + 2.0 * look.side_gap + look.gutter;
            let columns = ((body.width + look.gutter) / across).floor();
            let rows = (body.height / text_height(facts, spine.lines)).floor();
            (columns.min(layout.page_columns as f64) * rows).max(0.0) as usize
        };
        facts.spines.iter().map(of).max().unwrap_or(0)
    };
    pages.map(on_a_page).max().filter(|n| *n > 0).map(|n| facts.colours().div_ceil(n).max(1))
}

/// The least number of pages of this size that hold all, beyond those that are given.
fn pages_enough(request: &Request<'_, '_>, facts: &Facts<'_>, scale: f64) -> Option<usize> {
    let hold = |pages: usize| {
        let layout = Layout { pages, ..facts.layout.clone() };
        fit(request, Facts { layout, ..facts.clone() }, scale)
    };
    let mut low = facts.layout.pages.max(least_pages(facts)?.saturating_sub(1));
    let mut high = low + 1;
    while high <= MOST_PAGES && !hold(high) {
        low = high;
        high += high.div_ceil(4);
    }
    if high > MOST_PAGES {
        return None;
    }
    while high - low > 1 {
        let middle = (low + high) / 2;
        if hold(middle) { high = middle } else { low = middle }
    }
    Some(high)
}

/// The largest standard sheet smaller than the page whose rows would let the page hold all.
fn smaller_rows(request: &Request<'_, '_>, scale: f64) -> Option<&'static Paper> {
    let (width, height) = request.layout.rows_page();
    let area = |p: &Paper| p.width * p.height;
    ["A0", "A1", "A2", "A3", "A4"]
        .iter()
        .filter_map(|name| PAPERS.iter().find(|p| p.name == *name))
        .filter(|p| area(p) < width * height * 0.999)
        .find(|p| {
            let rows_sized_for = Some((p.width, p.height));
            fits(request, &Layout { rows_sized_for, ..request.layout.clone() }, scale)
        })
}

/// The smallest standard sheet that fits, in which orientation, and the next
/// smaller one that just misses.
fn smallest_paper(request: &Request<'_, '_>, scale: f64) -> Option<String> {
    let mut papers: Vec<&Paper> = PAPERS.iter().collect();
    papers.sort_by(|a, b| (a.width * a.height).total_cmp(&(b.width * b.height)));
    let area = request.layout.width * request.layout.height;
    let mut missed: Option<&Paper> = None;
    for paper in papers.into_iter().filter(|p| p.width * p.height > area * 1.001) {
        for (w, h, turned) in
            [(paper.width, paper.height, "portrait"), (paper.height, paper.width, "landscape")]
        {
            let layout = Layout { orientation: Orientation::Fixed, ..request.layout.on(w, h) };
            if fits(request, &layout, scale) {
                let near =
                    missed.map_or(String::new(), |m| format!("; {} is just too small", m.name));
                return Some(format!("on {} {turned} ({w:.0} x {h:.0} mm{near})", paper.name));
            }
        }
        missed = Some(paper);
    }
    None
}

/// The smallest standard sheet below the page's own size on which everything
/// fits at this scale, portrait or landscape; its name.
pub fn smaller_paper(request: &Request<'_, '_>, scale: f64) -> Option<&'static str> {
    let area = |p: &Paper| p.width * p.height;
    let own = request.layout.width * request.layout.height;
    let mut papers: Vec<&Paper> = PAPERS.iter().filter(|p| area(p) < own * 0.9).collect();
    papers.sort_by(|a, b| area(a).total_cmp(&area(b)));
    papers
        .into_iter()
        .find(|p| {
            [(p.width, p.height), (p.height, p.width)].into_iter().any(|(w, h)| {
                let layout = Layout { orientation: Orientation::Fixed, ..request.layout.on(w, h) };
                fits(request, &layout, scale)
            })
        })
        .map(|p| p.name)
}
