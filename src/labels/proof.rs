//! The proof of a set: print and cut over each other, and the words of every label.

use kurbo::{Shape as _, Stroke, StrokeOpts};

use super::label_sheet::LabelSheet;
use super::print::Ready;
use super::stand::Stand;
use super::{Cut, CutSheet};
use crate::graphic::{FillRule, Rgb};
use crate::range::ColourRange;
use crate::sheet::{Area, Item, ItemKind, PaletteIndex, Role, Sample, Sheet};
use crate::table::{Align, Table};

/// Width of a cut in the picture, mm; it is as wide as a pixel or two.
const LINE: f64 = 0.3;
const EMPTY: Rgb = Rgb(205, 205, 205);

/// The sheets to print with every cut drawn over them, and empty places in grey.
pub fn pictures(
    sheet: &Sheet,
    cuts: &[CutSheet],
    label_sheet: &LabelSheet,
    stands: &[Stand],
) -> Sheet {
    let mut out = sheet.clone();
    let empty_ink = out.palette.add_ink(EMPTY);
    let [kiss, through] = [Cut::Kiss, Cut::Through].map(|cut| out.palette.add_ink(cut.colour()));
    let mut on_sheets = stands.chunk_by(|a, b| a.sheet == b.sheet);
    for (page, cut) in out.pages.iter_mut().zip(cuts) {
        let taken = on_sheets.next().unwrap_or_default();
        let places =
            (0..label_sheet.rows()).flat_map(|r| (0..label_sheet.columns()).map(move |c| (r, c)));
        let empty = places.filter(|p| !taken.iter().any(|s| (s.row, s.column) == *p));
        let empty = empty.map(|(r, c)| label_sheet.contour(label_sheet.label_at(r, c)));
        page.items.extend(empty.map(|path| outline(&path, empty_ink)));
        for contour in &cut.contours {
            let ink = match contour.cut {
                Cut::Kiss => kiss,
                Cut::Through => through,
            };
            page.items.push(outline(&contour.path, ink));
        }
    }
    out
}

/// A line along a path, as an area.
fn outline(path: &kurbo::BezPath, fill: PaletteIndex) -> Item {
    let path = kurbo::stroke(path, &Stroke::new(LINE), &StrokeOpts::default(), 1e-2);
    let bounds = path.bounding_box();
    let area = Area { path, rule: FillRule::NonZero, fill };
    Item { role: Role::Cut, origin: None, kind: ItemKind::Area(area), bounds }
}

/// Every label with its place, its words and the `value` that is printed, from 1.
pub fn list(
    range: &ColourRange,
    labels: &[Ready],
    stands: &[Stand],
    value: impl Fn(&Sample) -> Rgb,
) -> Table {
    let mut listings: Vec<usize> =
        labels.iter().flat_map(|l| &l.said.entries).map(|e| e.listing.0).collect();
    listings.sort_unstable();
    listings.dedup();
    let heads: Vec<[String; 2]> = listings
        .iter()
        .map(|l| range.listings()[*l].key())
        .map(|key| [format!("{key} name"), format!("{key} number")])
        .collect();
    let mut head = vec![
        ("sheet", Align::Right),
        ("place", Align::Right),
        ("row", Align::Right),
        ("column", Align::Right),
        ("key", Align::Left),
    ];
    head.extend(heads.iter().flatten().map(|h| (h.as_str(), Align::Left)));
    head.extend([("value", Align::Left), ("type mm", Align::Right), ("repeat", Align::Left)]);
    let mut table = Table::new(&head);
    for s in stands {
        let Ready { said, fitted } = &labels[s.label];
        let mut row = vec![
            (s.sheet + 1).to_string(),
            (s.place + 1).to_string(),
            (s.row + 1).to_string(),
            (s.column + 1).to_string(),
            said.key.clone(),
        ];
        for l in &listings {
            let entry = said.entries.iter().find(|e| e.listing.0 == *l);
            row.push(entry.map(|e| e.name.clone()).unwrap_or_default());
            row.push(entry.map(|e| e.number.clone()).unwrap_or_default());
        }
        row.push(value(&said.sample).hex());
        row.push(format!("{:.2}", fitted.size));
        row.push(if s.repeat { "yes".into() } else { String::new() });
        table.row(row);
    }
    table
}
