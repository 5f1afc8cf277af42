//! Which drawn outline is the body, and what the other paints mean beside it.

use kurbo::{Affine, BezPath, PathEl, Shape as _, Vec2};

use crate::diag::{Diagnostic, Span};
use crate::graphic::Rgb;
use crate::graphic::lab;
use crate::read::Finish;
use crate::read::region::Region;

use super::walk::{Drawn, DrawnPaint};
use super::{Found, LARGEST, LayerRole, SMALLEST, Shape, ShapeLayer, Tone, TonePaint, whole};

/// Most points of an outline that offsets are taken of.
const MOST_POINTS: usize = 2000;

/// Makes the shape from what was drawn.
pub(super) fn assemble(found: &Found<'_>, items: Vec<Drawn>) -> Result<Shape, Vec<Diagnostic>> {
    let file = found.file;
    let empty = || {
        vec![
            whole(file, "shape-empty", "The drawing has no filled outline.")
                .help("Draw the outline of the part as a closed path with a fill."),
        ]
    };
    let mut items = items;
    // A file of bare lines: its closed lines are the outlines.
    if items.iter().all(|i| i.centre_line.is_some()) {
        items.retain(|i| i.centre_line.as_ref().is_some_and(closed));
        for item in &mut items {
            if let Some(line) = item.centre_line.take() {
                item.path = line;
            }
        }
    }
    let marked = |i: &Drawn| i.words.role == Some(LayerRole::Body) && i.centre_line.is_none();
    let any_marked = items.iter().any(marked);
    let size = |i: &Drawn| {
        let b = i.path.bounding_box();
        b.width() * b.height()
    };
    let candidate = |i: &&Drawn| {
        i.centre_line.is_none()
            && i.words.role != Some(LayerRole::Hole)
            && size(i) > 0.0
            && (!any_marked || marked(i))
    };
    // The first of equals: the lowest one, which the others lie upon.
    let mut body: Option<usize> = None;
    for (n, item) in items.iter().enumerate().filter(|(_, i)| candidate(i)) {
        if body.is_none_or(|b| size(item) > size(&items[b]) * (1.0 + 1e-9)) {
            body = Some(n);
        }
    }
    let Some(body) = body else { return Err(empty()) };
    if Region::of(&items[body].path, items[body].rule).area() < 1e-4 {
        return Err(empty());
    }
    let marks: Vec<_> = items.iter().filter(|i| marked(i)).collect();
    if marks.len() > 1 {
        return Err(vec![
            Diagnostic::error("shape-unsupported", "More than one outline is marked `body`.")
                .at(Some(Span { file: file.clone(), range: marks[1].place.clone() }))
                .help(
                    "Join them into one path, or mark only the one that the part is measured by.",
                ),
        ]);
    }

    let place = Some(Span { file: file.clone(), range: items[body].place.clone() });
    let bounds = items[body].path.bounding_box();
    let (w, h) = (bounds.width(), bounds.height());
    if w.max(h) > LARGEST {
        return Err(vec![
            Diagnostic::error(
                "shape-too-large",
                format!("The part measures {w:.1} x {h:.1} mm; the largest is {LARGEST} mm."),
            )
            .at(place)
            .help("Set width and height of the SVG in mm, with a viewBox of the same size."),
        ]);
    }
    if w.min(h) < SMALLEST {
        return Err(vec![
            Diagnostic::error(
                "shape-too-small",
                format!("The part measures {w:.3} x {h:.3} mm; the smallest is {SMALLEST} mm."),
            )
            .at(place)
            .help("Set width and height of the SVG in mm, with a viewBox of the same size."),
        ]);
    }
    let plain = found.plain_words && is_plain(&items, body);
    let points: usize = items
        .iter()
        .enumerate()
        .filter(|(n, i)| plain || *n == body || i.words.role == Some(LayerRole::Hole))
        .map(|(_, i)| i.path.elements().len())
        .sum();
    if points > MOST_POINTS {
        return Err(vec![
            Diagnostic::error(
                "shape-too-large",
                format!("The outline has {points} points; {MOST_POINTS} are the most."),
            )
            .at(place)
            .help(
                "Simplify the path in the drawing program; a good outline has a few dozen points.",
            ),
        ]);
    }
    let reference = match items[body].paint {
        DrawnPaint::Flat(c) => c,
        DrawnPaint::Gradient { .. } => {
            return Err(vec![
                Diagnostic::error("shape-unsupported", "The body is filled with a gradient.")
                    .at(place)
                    .help("Give the body one flat grey and draw light and shade as shapes on it."),
            ]);
        }
    };

    let shift = Vec2::new(-(bounds.x0 + bounds.x1) / 2.0, -(bounds.y0 + bounds.y1) / 2.0);
    let mut layers = Vec::new();
    for (n, item) in items.into_iter().enumerate() {
        let role = match item.words.role {
            _ if n == body => LayerRole::Body,
            Some(LayerRole::Hole) => LayerRole::Hole,
            _ if plain => LayerRole::Hole,
            _ => LayerRole::Relief,
        };
        // In a plain drawing a stroke around an outline is the line of the pen.
        if plain && item.centre_line.as_ref().is_some_and(|l| n != body && !closed(l)) {
            continue;
        }
        let path = match (&item.centre_line, plain) {
            (Some(line), true) => {
                if line.bounding_box() == bounds {
                    continue;
                }
                line.clone()
            }
            _ => item.path,
        };
        let finishes = if item.words.finishes.is_empty() || role == LayerRole::Body {
            Finish::ALL.to_vec()
        } else {
            item.words.finishes
        };
        let paint = if role == LayerRole::Body {
            TonePaint::Flat(Tone::EXACT)
        } else {
            tone_paint(item.paint, reference, item.words.fixed, shift)
        };
        layers.push(ShapeLayer {
            path: moved(path, shift),
            rule: item.rule,
            paint,
            opacity: if role == LayerRole::Body { 1.0 } else { item.opacity },
            role,
            finishes,
        });
    }
    let body_layer = layers.iter().position(|l| l.role == LayerRole::Body).ok_or_else(empty)?;
    let (outline, rule) = (layers[body_layer].path.clone(), layers[body_layer].rule);
    let bounds = bounds + shift;
    Ok(Shape { layers, outline, rule, bounds, extent: bounds })
}

/// Is the drawing an outline with at most some holes: nothing on the body but
/// flat closed shapes that all look the same?
fn is_plain(items: &[Drawn], body: usize) -> bool {
    let others: Vec<&Drawn> = items
        .iter()
        .enumerate()
        .filter(|(n, i)| *n != body && i.centre_line.is_none())
        .map(|(_, i)| i)
        .collect();
    others.iter().all(|i| {
        i.opacity >= 1.0 && matches!(i.paint, DrawnPaint::Flat(_)) && i.paint == others[0].paint
    }) && items[..body].iter().all(|i| i.centre_line.is_some())
}

fn closed(path: &BezPath) -> bool {
    path.elements().iter().any(|e| matches!(e, PathEl::ClosePath))
}

fn moved(path: BezPath, by: Vec2) -> BezPath {
    Affine::translate(by) * path
}

fn tone_paint(paint: DrawnPaint, reference: Rgb, fixed: bool, shift: Vec2) -> TonePaint {
    let tone = |c: Rgb| tone_of(c, reference, fixed);
    match paint {
        DrawnPaint::Flat(c) => TonePaint::Flat(tone(c)),
        DrawnPaint::Gradient { ramp, transform, stops } => TonePaint::Gradient {
            ramp,
            transform: Affine::translate(shift) * transform,
            stops: stops.into_iter().map(|(o, c)| (o, tone(c))).collect(),
        },
    }
}

/// A drawn colour beside the body's: its CIELAB difference.
fn tone_of(c: Rgb, reference: Rgb, fixed: bool) -> Tone {
    if fixed {
        return Tone::Fixed(c);
    }
    if c == reference {
        return Tone::EXACT;
    }
    if c == Rgb::WHITE {
        return Tone::Shine;
    }
    let (c, r) = (lab(c), lab(reference));
    Tone::Offset { dl: c.l - r.l, da: c.a - r.a, db: c.b - r.b }
}
