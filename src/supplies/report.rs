//! Tables for the terminal, the lines as CSV, everything as JSON.

use serde_json::{Map, Value, json};

use super::count::{Count, LeftOver, Supplies, SuppliesRequest, SupplyLine, Total};
use super::naming::Naming;
use crate::range::{ColourId, PartId};
use crate::table::{Align, Table};

/// What a table of totals is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    Part,
    Family,
    Colour,
}

const NUMBERS: [(&str, Align); 4] = [
    ("needed", Align::Right),
    ("spares", Align::Right),
    ("in hand", Align::Right),
    ("to buy", Align::Right),
];

fn numbers(count: Count) -> [String; 4] {
    [count.needed, count.spares, count.in_hand, count.to_buy].map(|n| n.to_string())
}

fn table(head: &[(&str, Align)]) -> Table {
    let head: Vec<(&str, Align)> = head.iter().chain(&NUMBERS).copied().collect();
    Table::new(&head)
}

/// The summary, then a table for each of `per`.
pub fn text(
    supplies: &Supplies,
    naming: &Naming<'_>,
    wish: &SuppliesRequest,
    per: &[Per],
) -> String {
    let total = supplies.total();
    let mut out = format!(
        "Sample board of '{}': {} in {}; numbers: {}\n",
        naming.sheet.name(),
        counted(supplies.colours.len() as u64, "colour"),
        counted(supplies.per_part().len() as u64, "part"),
        naming.listing_title(),
    );
    let spell = |text: &str| naming.spelling.text(text);
    out.push_str(&format!(
        "{} of every part x {}; spares of parts: {}; of tiles: {}\n\n",
        wish.each,
        spell("colour"),
        wish.spares.words(),
        wish.tile_spares.words(),
    ));
    let mut summary = table(&[("", Align::Left)]);
    let mut row = |name: &str, count: Count| {
        summary.row([name.to_owned()].into_iter().chain(numbers(count)));
    };
    row("pieces", total.count);
    row("blank tiles", supplies.tiles);
    row("label sheets", supplies.sheets.count);
    out.push_str(&summary.text());
    out.push_str(&sheets_line(supplies, naming, wish));
    out.push('\n');
    for per in per {
        out.push('\n');
        out.push_str(&totals(supplies, naming, *per).text());
    }
    if !supplies.left_over.is_empty() {
        let mut left = Table::new(&[("left over in stock", Align::Left), ("count", Align::Right)]);
        for over in &supplies.left_over {
            let (what, count) = match *over {
                LeftOver::Pieces { part, colour, count } => {
                    (format!("{}, {}", naming.part(part), naming.colour(colour)), count)
                }
                LeftOver::Tiles(count) => ("blank tiles".to_owned(), count),
                LeftOver::LabelSheets(count) => ("label sheets".to_owned(), count),
            };
            left.row([what, count.to_string()]);
        }
        out.push('\n');
        out.push_str(&left.text());
    }
    spell(&out)
}

/// How the label sheets were counted.
pub fn sheets_line(supplies: &Supplies, naming: &Naming<'_>, wish: &SuppliesRequest) -> String {
    let (grid, sheets) = (wish.grid, &supplies.sheets);
    let say = |key: &str, n: u64| naming.say(key, &[("n", &n.to_string())]);
    let labels = naming.counted(sheets.labels, "label");
    let places = grid.places().to_string();
    let mut out = naming.say("sheets_on", &[("labels", &labels), ("places", &places)]);
    if grid.spoiled() > 0 {
        out = format!("{out}, {}", say("sheets_spoiled", grid.spoiled()));
    }
    if wish.used > 0 {
        let (n, used) = (sheets.need.on_part_used.to_string(), wish.used.to_string());
        let part_used = naming.say("sheets_part_used", &[("n", &n), ("used", &used)]);
        out = format!("{out}; {part_used}");
    }
    format!("{out}; {}", say("sheets_free", sheets.need.free))
}

/// '1 colour', '2 colours'.
pub fn counted(n: u64, thing: &str) -> String {
    format!("{n} {thing}{}", if n == 1 { "" } else { "s" })
}

/// Totals per part, family or colour, with their sum in the last row.
fn totals(supplies: &Supplies, naming: &Naming<'_>, per: Per) -> Table {
    let of = |t: &Total| [t.lines.to_string()].into_iter().chain(numbers(t.count));
    let (mut out, width) = match per {
        Per::Part => {
            let mut out = table(&[
                ("part", Align::Left),
                ("title", Align::Left),
                ("size", Align::Left),
                ("colours", Align::Right),
            ]);
            for (part, total) in supplies.per_part() {
                let number = naming.part_number(part).unwrap_or("-").to_owned();
                let size = naming.part_size(part);
                out.row([number, naming.part_title(part), size].into_iter().chain(of(&total)));
            }
            (out, 3)
        }
        Per::Family => {
            let mut out = table(&[("family", Align::Left), ("lines", Align::Right)]);
            for (family, total) in supplies.per_family() {
                out.row([naming.family(family)].into_iter().chain(of(&total)));
            }
            (out, 1)
        }
        Per::Colour => {
            let mut out =
                table(&[("colour", Align::Left), ("name", Align::Left), ("parts", Align::Right)]);
            for (colour, total) in supplies.per_colour() {
                let number = naming.colour_number(colour).unwrap_or("-").to_owned();
                out.row([number, naming.colour_name(colour)].into_iter().chain(of(&total)));
            }
            (out, 2)
        }
    };
    let sum = supplies.total();
    let head = (0..width).map(|i| if i == 0 { "all" } else { "" }.to_owned());
    out.row(head.chain(of(&sum)));
    out
}

/// Every line, then the tiles and the label sheets: what an order needs.
pub fn lines(supplies: &Supplies, naming: &Naming<'_>) -> Table {
    let left = Align::Left;
    let mut out = table(&[
        ("part", left),
        ("part key", left),
        ("title", left),
        ("size", left),
        ("family", left),
        ("colour", left),
        ("colour key", left),
        ("name", left),
        ("stands in for", left),
    ]);
    for line in &supplies.lines {
        let part = naming.range.part(line.part);
        let cells = [
            naming.part_number(line.part).unwrap_or("").to_owned(),
            part.key().clone(),
            naming.part_title(line.part),
            naming.part_size(line.part),
            naming.family(line.family),
            naming.colour_number(line.colour).unwrap_or("").to_owned(),
            naming.range.colour(line.colour).key().clone(),
            naming.colour_name(line.colour),
            stands_in_for(line, naming),
        ];
        out.row(cells.into_iter().chain(numbers(line.count)));
    }
    for (what, count) in [("blank tiles", supplies.tiles), ("label sheets", supplies.sheets.count)]
    {
        let blank = std::iter::repeat_n(String::new(), 8);
        out.row([what.to_owned()].into_iter().chain(blank).chain(numbers(count)));
    }
    out
}

fn stands_in_for(line: &SupplyLine, naming: &Naming<'_>) -> String {
    let key = |p| naming.range.part(p).key().clone();
    line.stands_in_for.map(key).unwrap_or_default()
}

/// Everything: what was asked, the sums, every total, every line, what is left over.
pub fn json(supplies: &Supplies, naming: &Naming<'_>, wish: &SuppliesRequest) -> Value {
    let range = naming.range;
    let need = supplies.sheets.need;
    let sheets = vec![
        ("labels", json!(supplies.sheets.labels)),
        ("places", json!(wish.grid.places())),
        ("spoiled", json!(wish.grid.spoiled())),
        ("used", json!(wish.used)),
        ("on_part_used", json!(need.on_part_used)),
        ("free", json!(need.free)),
    ];
    let parts = supplies.per_part();
    let parts = parts.iter().map(|(p, t)| merged(part_json(naming, *p), total(t, "colours")));
    let colours = supplies.per_colour();
    let colours = colours.iter().map(|(c, t)| merged(colour_json(naming, *c), total(t, "parts")));
    let families = supplies.per_family();
    let families = families.iter().map(|(f, t)| {
        let named =
            vec![("family", json!(range.family(*f).key())), ("title", json!(naming.family(*f)))];
        merged(named, total(t, "lines"))
    });
    json!({
        "sheet": naming.sheet.name(),
        "listing": range.listings()[naming.listing.0].key(),
        "spelling": naming.spelling.tag(),
        "each": wish.each,
        "spares": wish.spares.json(),
        "tile_spares": wish.tile_spares.json(),
        "total": total(&supplies.total(), "lines"),
        "tiles": counts(supplies.tiles),
        "label_sheets": merged(sheets, counts(supplies.sheets.count)),
        "parts": parts.collect::<Vec<_>>(),
        "families": families.collect::<Vec<_>>(),
        "colours": colours.collect::<Vec<_>>(),
        "lines": supplies.lines.iter().map(|l| line_json(naming, l)).collect::<Vec<_>>(),
        "left_over": supplies.left_over.iter().map(|l| left_json(naming, l)).collect::<Vec<_>>(),
    })
}

/// Fields of an object, one after the other.
fn merged(first: Vec<(&str, Value)>, rest: Map<String, Value>) -> Value {
    let first = first.into_iter().map(|(k, v)| (k.to_owned(), v));
    Value::Object(first.chain(rest).collect())
}

fn total(total: &Total, lines: &str) -> Map<String, Value> {
    let mut map = counts(total.count);
    map.insert(lines.into(), total.lines.into());
    map
}

fn part_json(naming: &Naming<'_>, part: PartId) -> Vec<(&'static str, Value)> {
    vec![
        ("part", json!(naming.range.part(part).key())),
        ("number", json!(naming.part_number(part))),
        ("title", json!(naming.part_title(part))),
        ("size", json!(naming.part_size(part))),
    ]
}

fn colour_json(naming: &Naming<'_>, colour: ColourId) -> Vec<(&'static str, Value)> {
    vec![
        ("colour", json!(naming.range.colour(colour).key())),
        ("number", json!(naming.colour_number(colour))),
        ("name", json!(naming.colour_name(colour))),
    ]
}

fn line_json(naming: &Naming<'_>, line: &SupplyLine) -> Value {
    let range = naming.range;
    let fields = vec![
        ("part", json!(range.part(line.part).key())),
        ("part_number", json!(naming.part_number(line.part))),
        ("colour", json!(range.colour(line.colour).key())),
        ("colour_number", json!(naming.colour_number(line.colour))),
        ("name", json!(naming.colour_name(line.colour))),
        ("family", json!(range.family(line.family).key())),
        ("stands_in_for", json!(line.stands_in_for.map(|p| range.part(p).key()))),
    ];
    merged(fields, counts(line.count))
}

fn left_json(naming: &Naming<'_>, left: &LeftOver) -> Value {
    let range = naming.range;
    match *left {
        LeftOver::Pieces { part, colour, count } => json!({
            "part": range.part(part).key(), "colour": range.colour(colour).key(), "count": count,
        }),
        LeftOver::Tiles(count) => json!({ "what": "blank tiles", "count": count }),
        LeftOver::LabelSheets(count) => json!({ "what": "label sheets", "count": count }),
    }
}

fn counts(count: Count) -> Map<String, Value> {
    let Count { needed, spares, in_hand, to_buy } = count;
    [("needed", needed), ("spares", spares), ("in_hand", in_hand), ("to_buy", to_buy)]
        .into_iter()
        .map(|(k, v)| (k.to_owned(), v.into()))
        .collect()
}
