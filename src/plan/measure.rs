//! Sizes at a scale: blocks in millimetres, then on the row lattice.
//!
//! Heights are whole quarters of the row pitch, so that rows line up across
//! page columns whatever is above them.

use kurbo::Size;

use super::facts::Facts;
use super::menu::{
    Arrangement, PageMenu, Slot, loose_gap, loose_indent, loose_line_height, loose_lines,
    loose_slot,
};
use super::style::{HeadForm, SIZE_LEAD};
use crate::range::{PartId, Side};

/// Quarters in one row pitch.
pub const QUARTERS: u32 = 4;

/// One way of one family at a scale.
#[derive(Debug, Clone)]
pub struct Sized {
    /// Width left of the spine, of the spine with its side gaps, right, mm.
    pub left: f64,
    pub centre: f64,
    pub right: f64,
    /// Height of each row, quarters.
    pub rows: Vec<u32>,
    pub cost: f64,
}

impl Sized {
    /// Quarters of all rows.
    pub fn height(&self) -> u32 {
        self.rows.iter().sum()
    }
}

/// A page menu at a scale.
#[derive(Debug, Clone)]
pub struct SizedMenu {
    /// Least row pitch, mm.
    pub pitch: f64,
    /// Per family and way.
    pub families: Vec<Vec<Sized>>,
    /// Height of a heading inside a column, quarters.
    pub head: u32,
    /// Height left for rows under the heading at a column's top, quarters.
    pub room: u32,
}

impl SizedMenu {
    /// A quarter of the pitch, mm.
    pub fn quarter(&self) -> f64 {
        self.pitch / f64::from(QUARTERS)
    }
}

/// The area between title and foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    pub width: f64,
    pub height: f64,
}

/// The body of a page of this size in this look.
pub fn body(facts: &Facts<'_>, page: Size) -> Body {
    let look = &facts.look;
    Body {
        width: page.width - 2.0 * look.side,
        height: page.height - look.top - look.bottom - look.title_height - look.foot_height,
    }
}

/// Widths of a page's columns, mm: equal where all fit so, else each as wide
/// as it needs with an equal share of the rest. `count` is the number of
/// columns on a full page; the last page may have fewer.
pub fn column_widths(least: &[f64], count: usize, width: f64, gutter: f64) -> Vec<f64> {
    let room = width - (count - 1) as f64 * gutter;
    let equal = room / count as f64;
    if least.iter().all(|w| *w <= equal + 1e-6) {
        return vec![equal; least.len()];
    }
    let share = (room - least.iter().sum::<f64>()) / count as f64;
    least.iter().map(|w| w + share).collect()
}

/// Width of a side's columns, mm.
pub fn side_width(slots: &[Slot], gap: f64, scale: f64) -> f64 {
    let gaps = slots.len().saturating_sub(1) as f64 * gap;
    slots.iter().map(|s| s.width(scale)).sum::<f64>() + gaps
}

/// From a family's title to the count beside it, and the count, em of the count: 'twelve colours'.
const COUNT: f64 = 9.0;

/// The width that the widest title takes with its count beside it, mm.
pub fn title_room(facts: &Facts<'_>) -> f64 {
    let titles = facts.families.iter().map(|f| f.title_width).fold(0.0, f64::max);
    titles + COUNT * facts.look.voices.count.size
}

/// Height of the spine's text with the chip beside it, mm.
pub fn text_height(facts: &Facts<'_>, lines: usize) -> f64 {
    let look = &facts.look;
    let text = look.lead * (lines.max(1) - 1) as f64 + look.voices.name.cap;
    text.max(look.chip.1)
}

/// How far letters reach below their line, em: a round figure for the shipped faces.
const DESCENT: f64 = 0.25;

/// How tall a heading is: turned numbers may need more than the style's height,
/// and so may numbers below a title that reaches over their columns.
pub fn head_height(facts: &Facts<'_>, menu: &PageMenu) -> f64 {
    let look = &facts.look;
    let (heading, size) = (look.voices.heading, look.voices.size);
    let heads = menu
        .families
        .iter()
        .flatten()
        .flat_map(|c| c.left.iter().chain(&c.right))
        .map(|s| facts.part(s.part));
    let (numbers, beside) = if menu.turned {
        let longest = heads.map(|p| p.heading_width).fold(0.0, f64::max);
        (longest, longest + look.head_numbers + look.heavy + look.module)
    } else if heads.clone().any(|p| p.size_width > 0.0) {
        (heading.cap + SIZE_LEAD * size.size, 0.0)
    } else {
        (heading.cap, 0.0)
    };
    let free = match look.head_form {
        HeadForm::OverSpine => menu.spine.width,
        HeadForm::Flush => 0.0,
    };
    let below = if facts.families.iter().any(|f| f.title_width > free) {
        look.head_name + DESCENT * look.voices.family.size + numbers + look.head_numbers
    } else {
        0.0
    };
    let note = match look.head_form {
        HeadForm::OverSpine => {
            look.head_name + look.head_note + DESCENT * look.voices.family_note.size
        }
        HeadForm::Flush => 0.0,
    };
    look.head_height.max(beside).max(below).max(note + look.head_hairline)
}

/// White between a number under a part and the next row's part, as a share of that between rows.
pub const CLEAR: f64 = 0.25;

/// Least row pitch of a menu at a scale, mm: a multiple of an eighth of the module.
fn least_pitch(facts: &Facts<'_>, menu: &PageMenu, scale: f64) -> f64 {
    let look = &facts.look;
    let text = text_height(facts, menu.spine.lines) + look.row_gap * 0.6;
    let parts = menu
        .families
        .iter()
        .flatten()
        .filter(|c| c.arrangement != Arrangement::Loose)
        .map(|c| {
            let plain = c.tallest * scale + look.row_gap;
            // A part with a number under it may move up by half of what the number takes.
            let label = look.under_gap + look.voices.under.cap;
            let clear = look.row_gap * CLEAR;
            let pair = if c.tallest_pair > 0.0 {
                (c.tallest_pair * scale + label) / 2.0 + clear
            } else {
                0.0
            };
            let numbered = if c.tallest_numbered > 0.0 {
                c.tallest_numbered * scale + label + clear
            } else {
                0.0
            };
            plain.max(pair).max(numbered)
        })
        .fold(0.0, f64::max);
    text.max(parts)
}

/// Measures a menu at a scale.
pub fn size_menu(facts: &Facts<'_>, menu: &PageMenu, body: Body, scale: f64) -> SizedMenu {
    let look = &facts.look;
    let pitch = least_pitch(facts, menu, scale);
    let quarter = pitch / f64::from(QUARTERS);
    let head = head_height(facts, menu);
    let centre = menu.spine.width + 2.0 * look.side_gap;
    let limits = loose_limits(facts, menu, body, scale);
    let families = menu
        .families
        .iter()
        .zip(&facts.families)
        .map(|(ways, family)| {
            ways.iter()
                .map(|way| match way.arrangement {
                    Arrangement::Grid { .. } => Sized {
                        left: side_width(&way.left, look.part_gap, scale),
                        centre,
                        right: side_width(&way.right, look.part_gap, scale),
                        rows: vec![QUARTERS; family.rows.len()],
                        cost: way.cost,
                    },
                    Arrangement::Loose => {
                        let line = loose_line_height(facts, way.tallest_numbered, scale);
                        let (mut left, mut right) = (0.0f64, 0.0f64);
                        let rows = family
                            .rows
                            .iter()
                            .map(|row| {
                                let l = loose_lines(facts, row.made, Side::Left, scale, limits.0);
                                let r = loose_lines(facts, row.made, Side::Right, scale, limits.1);
                                left = left.max(widest_line(facts, &l, scale, limits.0));
                                right = right.max(widest_line(facts, &r, scale, limits.1));
                                let lines = l.len().max(r.len()).max(1) as f64;
                                ((line * lines / quarter) - 1e-6).ceil().max(f64::from(QUARTERS))
                                    as u32
                            })
                            .collect();
                        Sized { left, centre, right, rows, cost: way.cost }
                    }
                })
                .collect()
        })
        .collect();
    SizedMenu {
        pitch,
        families,
        head: 2 * (((head + look.head_pad) / quarter / 2.0 - 1e-6).ceil() as u32),
        room: ((body.height - head) / quarter + 1e-6).floor().max(0.0) as u32,
    }
}

fn widest_line(facts: &Facts<'_>, lines: &[Vec<PartId>], scale: f64, limit: f64) -> f64 {
    let width = |(i, line): (usize, &Vec<PartId>)| {
        let indent = if i > 0 { loose_indent(facts) } else { 0.0 };
        let gap = loose_gap(facts, line, scale, limit - indent);
        let slots: f64 = line.iter().map(|p| loose_slot(facts, *p, scale)).sum();
        indent + slots + gap * line.len().saturating_sub(1) as f64
    };
    lines.iter().enumerate().map(width).fold(0.0, f64::max)
}

/// How far loose rows may run out on each side before they wrap: as far as
/// the columns of the other families, or a third of the page without any.
pub fn loose_limits(facts: &Facts<'_>, menu: &PageMenu, body: Body, scale: f64) -> (f64, f64) {
    let gap = facts.look.part_gap;
    let grids = || menu.families.iter().flatten().filter(|c| c.arrangement != Arrangement::Loose);
    let left = grids().map(|c| side_width(&c.left, gap, scale)).fold(0.0, f64::max);
    let right = grids().map(|c| side_width(&c.right, gap, scale)).fold(0.0, f64::max);
    if left <= 0.0 && right <= 0.0 {
        let room = (body.width - menu.spine.width).max(0.0) / 3.0;
        return (room, room);
    }
    (left, right)
}
