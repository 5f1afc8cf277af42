//! A table of parts: one row a part.

use super::field::{TextColumns, word, words};
use super::keys::Keys;
use super::{Named, Row, forms, listing_head, nameless, naming, source};
use crate::diag::Findings;
use crate::read::Side;
use crate::read::cells::Grid;
use crate::read::cells::heads::{Head, Mapping, Own, find, surplus, targets, unknown};
use crate::read::raw;
use crate::read::ron::Source;

/// The parts of a table; none when its headings are of no use.
pub fn parts(
    grid: &Grid,
    own: &[Mapping],
    listings: &[Named<'_>],
    findings: &mut Findings,
) -> Option<(Vec<raw::Part>, Source)> {
    let only = listings.len() == 1;
    let mut wanted = vec![
        Head::new("key", &[]),
        Head::new("title", &["name"]),
        Head::new("role", &[]),
        Head::new("side", &[]),
        Head::new("size", &[]),
        Head::new("shape", &["outline"]).needed(),
    ];
    let fixed = wanted.len();
    wanted.extend(listings.iter().map(|l| listing_head(*l, "number", only)));
    targets(own, &wanted, &|_| false, findings);
    let mut heads = find(grid, &wanted, Own::Mapped(own), findings)?;
    surplus(grid, &heads, findings);
    let mut texts = |name: &str, at: usize| TextColumns {
        name: name.to_owned(),
        column: heads.columns[at],
        forms: forms(&mut heads, &wanted[at], own),
    };
    let (title, size) = (texts("title", 1), texts("size", 4));
    let column = |index: usize| heads.columns[index];
    let naming_columns = [&heads.columns[fixed..], &heads.columns[1..2]].concat();
    if column(0).is_none() && naming_columns.iter().all(Option::is_none) {
        let naming: Vec<&Head> = wanted[..2].iter().chain(&wanted[fixed..]).collect();
        nameless(grid, &heads, (&wanted, &naming), findings);
        return None;
    }
    unknown(grid, &heads, &wanted, &[], findings);
    let (mut keys, sides) = (Keys::default(), [("left", Side::Left), ("right", Side::Right)]);
    let (mut list, mut nodes, mut faulty) = (Vec::new(), Vec::new(), Vec::new());
    for r in heads.rows(grid) {
        let mut row = Row { grid, row: r, fields: Vec::new(), faulty: &mut faulty };
        let made_key = match column(0) {
            None => naming(&mut keys, &mut row, &naming_columns, "a number nor a title", findings),
            Some(_) => None,
        };
        let mut text = |row: &mut Row<'_>, name: &str, c: usize| {
            row.take(name, column(c), findings).map(str::to_owned)
        };
        let mut part = raw::Part {
            key: made_key.or_else(|| text(&mut row, "key", 0)),
            role: text(&mut row, "role", 2),
            shape: text(&mut row, "shape", 5),
            ..raw::Part::default()
        };
        part.title = words(&mut row, &title, findings);
        part.size = words(&mut row, &size, findings);
        part.side = word(&mut row, "side", column(3), &sides, findings);
        let mut pairs = Vec::new();
        for (l, (key, _)) in listings.iter().enumerate() {
            let text = row.take(key, column(fixed + l), findings);
            pairs.extend(text.map(|text| ((*key).to_owned(), text.to_owned())));
        }
        let inner = row.fields.split_off(row.fields.len() - pairs.len());
        row.gather("numbers", inner);
        part.numbers = Some(raw::Pairs(pairs));
        nodes.push(row.node());
        list.push(part);
    }
    Some((list, source(grid, nodes, faulty)))
}
