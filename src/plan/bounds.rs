//! Bounds on the scale that hold for any order and any arrangement.

use kurbo::Size;

use super::facts::Facts;
use super::layout::ScaleRule;
use super::measure::{QUARTERS, body, size_menu};
use super::menu::PageMenu;

/// The least of the bounds, and which it was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// No arrangement has a larger scale.
    pub scale: f64,
    /// What holds it down, in plain words.
    pub by: &'static str,
}

impl Bound {
    /// Share by which a scale stays under the bound, 0 to 1.
    pub fn gap(&self, scale: f64) -> f64 {
        (1.0 - scale / self.scale).max(0.0)
    }
}

/// What can keep a page from fitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Hold {
    Nothing,
    WidestBlock,
    LeastRows,
    SortedFill,
}

impl Hold {
    fn words(self) -> &'static str {
        match self {
            Hold::Nothing => "true size",
            Hold::WidestBlock => "the widest block",
            Hold::LeastRows => "a heading with the fewest rows",
            Hold::SortedFill => "the height of all rows in page columns",
        }
    }
}

/// Scales that are looked at from the largest one down before the last step is halved.
const STEPS: u32 = 96;
/// Nothing is drawn so small.
const LEAST: f64 = 0.01;

/// The bound for a menu's content (its columns, headings and spine) on the best of the pages. It starts
/// from nothing that was found.
pub fn bound(facts: &Facts<'_>, menu: &PageMenu, pages: &[Size]) -> Bound {
    let most = match facts.layout.scale {
        ScaleRule::Fit | ScaleRule::True => 1.0,
        ScaleRule::Ratio(ratio) => ratio,
    };
    let bounds = pages.iter().map(|page| bound_of(facts, menu, *page, most));
    bounds
        .max_by(|a, b| a.scale.total_cmp(&b.scale))
        .unwrap_or(Bound { scale: most, by: Hold::Nothing.words() })
}

/// Looks from above: rows are whole quarters of a pitch that grows with the scale, so what holds at one
/// scale may not hold at one a little smaller.
fn bound_of(facts: &Facts<'_>, menu: &PageMenu, page: Size, most: f64) -> Bound {
    let held = |scale: f64| hold(facts, menu, page, scale);
    let step = (LEAST / most).powf(1.0 / f64::from(STEPS));
    let (mut high, mut by) = (most, held(most));
    if by == Hold::Nothing {
        return Bound { scale: most, by: by.words() };
    }
    let mut low = LEAST.min(most);
    for i in 1..=STEPS {
        let scale = most * step.powi(i as i32);
        match held(scale) {
            Hold::Nothing => {
                low = scale;
                break;
            }
            other => (high, by) = (scale, other),
        }
    }
    while high - low > 0.0005 {
        let middle = (low + high) / 2.0;
        match held(middle) {
            Hold::Nothing => low = middle,
            other => (high, by) = (middle, other),
        }
    }
    Bound { scale: high, by: by.words() }
}

/// The first necessary condition that fails at a scale.
fn hold(facts: &Facts<'_>, menu: &PageMenu, page: Size, scale: f64) -> Hold {
    let body = body(facts, page);
    let sized = size_menu(facts, menu, body, scale);
    let mut blocks: Vec<(f64, u32)> = Vec::new();
    for ways in &sized.families {
        let width = ways.iter().map(|w| w.left + w.centre + w.right).fold(f64::INFINITY, f64::min);
        let height = ways.iter().map(|w| w.rows.iter().sum()).min().unwrap_or(0);
        blocks.push((width, height));
        if width > body.width + 1e-6 {
            return Hold::WidestBlock;
        }
        if height.min(QUARTERS) > sized.room {
            return Hold::LeastRows;
        }
    }
    if sorted_fill(&mut blocks, sized.room * facts.layout.pages as u32, facts.look.gutter)
        > body.width + 1e-6
    {
        return Hold::SortedFill;
    }
    Hold::Nothing
}

/// Least total width: page columns at least as wide as `t` must hold all
/// families that are at least as wide as `t`, whatever the order.
fn sorted_fill(blocks: &mut [(f64, u32)], room: u32, gutter: f64) -> f64 {
    if room == 0 {
        return f64::INFINITY;
    }
    blocks.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (mut height, mut columns, mut width) = (0u32, 0u32, 0.0);
    for &(w, h) in blocks.iter() {
        height += h;
        let needed = height.div_ceil(room);
        width += f64::from(needed - columns) * (w + gutter);
        columns = needed;
    }
    (width - gutter).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_families_need_their_columns_first() {
        // 30 quarters 50 mm wide need two columns of 20; the 25 narrow ones fill up
        // the second and take a third: 50 + 50 + 10 mm and two gutters.
        let mut blocks = vec![(10.0, 25), (50.0, 30)];
        assert_eq!(sorted_fill(&mut blocks, 20, 1.0), 50.0 + 50.0 + 10.0 + 2.0);
    }
}
