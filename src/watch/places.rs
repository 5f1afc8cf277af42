//! Where everything is on a page, so that a click on it finds the line that it comes from.

use std::collections::{HashMap, HashSet};

use kurbo::Rect;
use serde_json::{Value, json};

use crate::range::ColourRange;
use crate::sheet::{Item, ItemKind, Role, Sheet};

/// Where something is, from the bottom up: of several that hold a point the last is meant first.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    pub rect: Rect,
    /// A key of the state's origins, such as `colour:gannet`.
    pub origin: String,
}

/// The places of a page as the browser takes them: millimetres to a hundredth.
pub fn json(places: &[Place]) -> Value {
    let round = |v: f64| (v * 100.0).round() / 100.0;
    let each = places.iter().map(|Place { rect, origin }| {
        json!([round(rect.x0), round(rect.y0), round(rect.x1), round(rect.y1), origin])
    });
    json!({"places": each.collect::<Vec<_>>()})
}

/// Keys of a range, to know what an item is of.
pub struct Keys<'a> {
    colours: HashSet<&'a str>,
    families: HashSet<&'a str>,
    /// Part numbers as headings have them, and the parts' keys.
    numbers: HashMap<&'a str, &'a str>,
    range: &'a ColourRange,
}

impl<'a> Keys<'a> {
    pub fn new(range: &'a ColourRange) -> Keys<'a> {
        let mut numbers = HashMap::new();
        for part in range.parts() {
            for number in part.numbers().iter().flatten() {
                numbers.entry(number.as_str()).or_insert(part.key().as_str());
            }
        }
        Keys {
            colours: range.colours().iter().map(|c| c.key().as_str()).collect(),
            families: range.families().iter().map(|f| f.key().as_str()).collect(),
            numbers,
            range,
        }
    }

    /// What is on a page of a sheet.
    pub fn places(&self, sheet: &Sheet, page: usize) -> Vec<Place> {
        let none = Vec::new();
        let items = sheet.pages.get(page).map_or(&none, |page| &page.items);
        let runs: Vec<&[Item]> = items.chunk_by(|a, b| a.origin == b.origin).collect();
        let mut out = self.blocks(&runs);
        for run in runs {
            let Some(origin) = run.first().and_then(|item| item.origin.as_deref()) else {
                continue;
            };
            let whole = bounds(run);
            match self.kind(origin, run) {
                Kind::Heading => {
                    out.push(Place { rect: whole, origin: format!("heading:{origin}") });
                    out.extend(run.iter().filter_map(|item| self.number(item)));
                }
                Kind::Row => {
                    out.extend(run.iter().filter_map(|item| self.part(sheet, item)));
                    out.push(Place { rect: whole, origin: format!("colour:{origin}") });
                }
                Kind::Text => out.push(Place { rect: whole, origin: format!("text:{origin}") }),
            }
        }
        out
    }

    /// A key can be that of a family and of a colour; a heading has neither parts nor chips.
    pub fn kind(&self, origin: &str, run: &[Item]) -> Kind {
        let row = run.iter().any(|item| matches!(item.role, Role::Sample | Role::Swatch));
        match (self.families.contains(origin), self.colours.contains(origin)) {
            (true, colour) if !(colour && row) => Kind::Heading,
            (_, true) => Kind::Row,
            _ => Kind::Text,
        }
    }

    /// The families, each from its heading to the next.
    fn blocks(&self, runs: &[&[Item]]) -> Vec<Place> {
        let mut out: Vec<Place> = Vec::new();
        let mut open = false;
        for run in runs {
            let Some(origin) = run.first().and_then(|item| item.origin.as_deref()) else {
                continue;
            };
            match (self.kind(origin, run), out.last_mut()) {
                (Kind::Heading, _) => {
                    out.push(Place { rect: bounds(run), origin: format!("block:{origin}") });
                    open = true;
                }
                (Kind::Row, Some(block)) if open => block.rect = block.rect.union(bounds(run)),
                _ => open = false,
            }
        }
        out
    }

    fn number(&self, item: &Item) -> Option<Place> {
        let ItemKind::Text(text) = &item.kind else { return None };
        let key = self.numbers.get(text.string.as_str())?;
        Some(Place { rect: item.bounds, origin: format!("part:{key}") })
    }

    fn part(&self, sheet: &Sheet, item: &Item) -> Option<Place> {
        let ItemKind::Use(used) = &item.kind else { return None };
        // A symbol of a sheet is named p3-c17: the third part in the seventeenth colour.
        let name = sheet.symbols.get(used.symbol.0)?.name.strip_prefix('p')?;
        let number: usize = name.split_once('-')?.0.parse().ok()?;
        let part = self.range.parts().get(number.checked_sub(1)?)?;
        Some(Place { rect: item.bounds, origin: format!("part:{}", part.key()) })
    }
}

/// What items of one origin are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Heading,
    Row,
    Text,
}

fn bounds(run: &[Item]) -> Rect {
    run.iter().skip(1).fold(run[0].bounds, |all, item| all.union(item.bounds))
}
