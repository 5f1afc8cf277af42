//! What the last change of the files changed on the sheet.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::compare::{Change, ComparedSheet, What, sheets};
use crate::edition::{Editions, PlannedEdition};

/// So many are listed.
const MOST: usize = 200;

/// Where each family begins, by edition: page, page column and how many blocks are above it, from 1.
pub type Blocks = BTreeMap<(String, String), [usize; 3]>;

/// Of planned editions.
pub fn blocks(editions: &Editions, planned: &[PlannedEdition<'_>]) -> Blocks {
    let mut out = Blocks::new();
    for edition in planned {
        let Some(variant) = edition.variants.first() else { continue };
        let pages = edition.plan.pages.iter().enumerate();
        for (page, columns) in pages {
            for (column, blocks) in columns.iter().enumerate() {
                for (place, run) in blocks.runs.iter().enumerate() {
                    let planned = &edition.plan.families[run.family];
                    let shown = variant.facts.families[planned.index].index;
                    let family = editions.sheet.families()[shown].family();
                    let key = editions.range.family(family).key().clone();
                    let at = [page, column, place].map(|n| n + 1);
                    out.entry((edition.edition.name.clone(), key)).or_insert(at);
                }
            }
        }
    }
    out
}

/// The list, the colours first, then the blocks that are elsewhere.
pub fn changes(was: (&Editions, &Blocks), is: (&Editions, &Blocks)) -> Value {
    fn compared(editions: &Editions) -> ComparedSheet<'_> {
        let spellings = editions.spellings().map(|(tag, s)| (tag.clone(), s.clone())).collect();
        ComparedSheet {
            range: &editions.range,
            sheet: &editions.sheet,
            spellings,
            texts: BTreeMap::new(),
            work: editions.session.work.clone(),
        }
    }
    let found = compared_lines(&compared(was.0), &compared(is.0));
    let all = found.into_iter().chain(moved(was.1, is.1));
    all.take(MOST).collect()
}

fn compared_lines(was: &ComparedSheet<'_>, is: &ComparedSheet<'_>) -> Vec<Value> {
    let found = sheets(was, is);
    let mut out: Vec<Value> = found.each().map(|change| line(change, is)).collect();
    for made in &found.made {
        let list = |words: &str, parts: &[String]| {
            (!parts.is_empty()).then(|| format!("{words} {}", parts.join(", ")))
        };
        let said = [list("now made as", &made.newly), list("no longer made as", &made.no_longer)];
        let said: Vec<String> = said.into_iter().flatten().collect();
        if !said.is_empty() {
            let text = format!("{}: {}", made.name, said.join("; "));
            out.push(json!({"origin": format!("colour:{}", made.colour), "text": text}));
        }
    }
    out
}

/// One change in words.
fn line(change: &Change, is: &ComparedSheet<'_>) -> Value {
    let Change { what, key, name, old, new, .. } = change;
    let origin = match what {
        What::Colour if is.range.colours().iter().any(|c| c.key() == key) => {
            Some(format!("colour:{key}"))
        }
        What::Part => Some(format!("part:{key}")),
        What::Family => Some(format!("heading:{key}")),
        What::Sheet if key == "title" || key == "imprint" => Some(format!("text:{key}")),
        _ => None,
    };
    let kind = change.kind.word();
    let text = match (old, new) {
        (Some(old), Some(new)) => format!("{name}: {kind}, {old} is now {new}"),
        (None, Some(new)) => format!("{name}: {kind}, {new}"),
        (Some(old), None) => format!("{name}: {kind}, was {old}"),
        (None, None) => format!("{name}: {kind}"),
    };
    json!({"origin": origin, "text": text})
}

fn moved<'a>(was: &'a Blocks, is: &'a Blocks) -> impl Iterator<Item = Value> + 'a {
    is.iter().filter_map(|((edition, family), at)| {
        let before = was.get(&(edition.clone(), family.clone()))?;
        let [page, column, place] = at;
        let text = match before {
            before if before == at => return None,
            [p, c, _] if p == page && c == column => {
                format!("{edition}: the block '{family}' is now block {place} of its column")
            }
            [p, ..] if p == page => {
                format!("{edition}: the block '{family}' moved to column {column}")
            }
            _ => format!("{edition}: the block '{family}' moved to page {page}, column {column}"),
        };
        Some(json!({"origin": format!("block:{family}"), "text": text}))
    })
}
