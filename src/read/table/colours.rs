//! A table of colours: one row a colour.

use super::field::{TextColumns, decimal, value, whole, word, words};
use super::keys::Keys;
use super::{Named, Row, forms, listing_head, nameless, naming, source};
use crate::diag::Findings;
use crate::read::Finish;
use crate::read::cells::Grid;
use crate::read::cells::heads::{Head, Mapping, Own, find, mapped, surplus, targets, unknown};
use crate::read::raw;
use crate::read::ron::Source;

/// The columns of a table of colours: the fixed ones, then each listing's names, then their numbers.
pub(super) fn columns(listings: &[Named<'_>]) -> Vec<Head> {
    let only = listings.len() == 1;
    let mut wanted = vec![
        Head::new("key", &[]),
        Head::new("family", &[]),
        Head::new("value", &["colour value", "color value", "hex"]),
        Head::new("first", &["first year", "from", "since"]),
        Head::new("last", &["last year", "to", "until"]),
        Head::new("finish", &[]),
        Head::new("note", &["remark"]),
        Head::new("L*", &["lab l"]),
        Head::new("a*", &["lab a"]),
        Head::new("b*", &["lab b"]),
    ];
    wanted.extend(listings.iter().map(|l| listing_head(*l, "name", only)));
    wanted.extend(listings.iter().map(|l| listing_head(*l, "number", only)));
    wanted
}

/// The colours of a table; none when its headings are of no use. `crosses`: the names of the parts, where
/// the same table gives what is made.
pub fn colours(
    grid: &Grid,
    own: &[Mapping],
    listings: &[Named<'_>],
    crosses: &[&str],
    findings: &mut Findings,
) -> Option<(Vec<raw::Colour>, Source)> {
    let wanted = columns(listings);
    let fixed = wanted.len() - 2 * listings.len();
    let is_part = |text: &str| crosses.iter().any(|p| p.to_lowercase() == text.to_lowercase());
    targets(own, &wanted, &is_part, findings);
    let mut heads = find(grid, &wanted, Own::Mapped(own), findings)?;
    surplus(grid, &heads, findings);
    let mut texts = |index: usize| TextColumns {
        name: wanted[index].name.clone(),
        column: heads.columns[index],
        forms: forms(&mut heads, &wanted[index], own),
    };
    let mut note = texts(6);
    note.name = "note".to_owned();
    let names: Vec<TextColumns> = (0..listings.len())
        .map(|l| TextColumns { name: listings[l].0.to_owned(), ..texts(fixed + l) })
        .collect();
    heads.others.retain(|(_, heading)| !is_part(mapped(heading, own)));
    let [of_names, of_numbers] = [0, 1].map(|i| {
        let from = fixed + i * listings.len();
        &heads.columns[from..from + listings.len()]
    });
    let naming_columns = [of_numbers, of_names].concat();
    if heads.columns[0].is_none() && naming_columns.iter().all(Option::is_none) {
        let naming: Vec<&Head> = wanted[..1].iter().chain(&wanted[fixed..]).collect();
        nameless(grid, &heads, (&wanted, &naming), findings);
        return None;
    }
    unknown(grid, &heads, &wanted, crosses, findings);
    let columns = Columns {
        fixed: (0..fixed).map(|index| heads.columns[index]).collect(),
        naming: naming_columns,
        note,
        names,
        numbers: listings.iter().map(|(key, _)| *key).zip(of_numbers.iter().copied()).collect(),
        finishes: Finish::ALL.iter().map(|f| (f.word(), *f)).collect(),
    };
    let mut keys = Keys::default();
    let (mut list, mut nodes, mut faulty) = (Vec::new(), Vec::new(), Vec::new());
    for r in heads.rows(grid) {
        let mut row = Row { grid, row: r, fields: Vec::new(), faulty: &mut faulty };
        list.push(columns.colour(&mut row, &mut keys, findings));
        nodes.push(row.node());
    }
    Some((list, source(grid, nodes, faulty)))
}

/// Where a table has what of a colour.
struct Columns<'a> {
    /// Those of [`columns`] before the listings.
    fixed: Vec<Option<usize>>,
    /// Numbers and names, from which a key is made.
    naming: Vec<Option<usize>>,
    note: TextColumns,
    /// Of each listing.
    names: Vec<TextColumns>,
    numbers: Vec<(&'a str, Option<usize>)>,
    finishes: Vec<(&'static str, Finish)>,
}

impl Columns<'_> {
    /// The colour of a row.
    fn colour(&self, row: &mut Row<'_>, keys: &mut Keys, f: &mut Findings) -> raw::Colour {
        let column = |index: usize| self.fixed[index];
        let key = match column(0) {
            None => naming(keys, row, &self.naming, "a number nor a name", f),
            at => row.take("key", at, f).map(str::to_owned),
        };
        let mut colour = raw::Colour {
            key,
            family: row.take("family", column(1), f).map(str::to_owned),
            value: value(row, "value", column(2), f),
            first: whole(row, "first", column(3), f),
            last: whole(row, "last", column(4), f),
            finish: word(row, "finish", column(5), &self.finishes, f),
            note: words(row, &self.note, f),
            ..raw::Colour::default()
        };
        if colour.value.is_none() {
            colour.value = measured(row, [column(7), column(8), column(9)], f);
        }
        let start = row.fields.len();
        let mut pairs = Vec::new();
        for of in &self.names {
            pairs.extend(words(row, of, f).map(|text| (of.name.clone(), text)));
        }
        let inner = row.fields.split_off(start);
        row.gather("names", inner);
        colour.names = Some(raw::Pairs(pairs));
        let mut pairs = Vec::new();
        for (key, at) in &self.numbers {
            pairs.extend(row.take(key, *at, f).map(|text| ((*key).to_owned(), text.to_owned())));
        }
        let inner = row.fields.split_off(row.fields.len() - pairs.len());
        row.gather("numbers", inner);
        colour.numbers = Some(raw::Pairs(pairs));
        colour
    }
}

/// A value from the three columns of a measuring instrument.
fn measured(row: &mut Row<'_>, at: [Option<usize>; 3], f: &mut Findings) -> Option<raw::Value> {
    let l = decimal(row, "L*", at[0], f);
    let a = decimal(row, "a*", at[1], f);
    let b = decimal(row, "b*", at[2], f);
    // All three stand for the value: a message about it marks the first.
    if let Some(first) = row.fields.iter().find(|e| e.text == "L*").cloned() {
        row.fields.push(crate::read::locate::Entry { text: "value".into(), ..first });
    }
    Some(raw::Value::Lab(raw::Lab(l?, a?, b?)))
}
