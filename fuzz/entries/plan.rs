//! A sheet made from bytes, planned and positioned: every colour once, nothing over anything else.

use std::fmt::Write as _;

use shadecard::edition::{Editions, Filter, Planned};
use shadecard::plan::Report;
use shadecard::range::load;
use shadecard::sheet::Workshop;
use shadecard::sheet::identity::Identity;
use shadecard::work::WorkKind;

use super::desk;
use super::dice::Dice;
use super::positions::{
    colours_once_in_order, exact_colours, inside_the_page, none, readable, samples_apart,
    texts_clear,
};
use super::told::{errors, one, told};

/// Rows that planning may walk over: the exact search stops at 500 million, and the bounded one goes on from there.
const MOST_ROWS: u64 = 600_000_000;
const MOST_FAMILIES: usize = 5;
const MOST_COLOURS: usize = 12;
const MOST_PARTS: usize = 8;
const SIZES: [f64; 6] = [3.0, 6.0, 9.0, 12.5, 18.0, 40.0];

pub fn entry(bytes: &[u8]) -> String {
    let mut dice = Dice::new(bytes);
    let (layout, style) = (layout(&mut dice), dice.pick(&["plate", "catalogue"]));
    let sheet = sheet(&mut dice, style);
    let (range, shapes) = range(&mut dice);
    let names: Vec<String> = (0..shapes.len()).map(|n| format!("p{n}.svg")).collect();
    let mut files = vec![
        ("own.ron", layout.as_bytes()),
        ("sheet.ron", sheet.as_bytes()),
        ("range.ron", range.as_bytes()),
    ];
    files.extend(names.iter().zip(&shapes).map(|(name, svg)| (name.as_str(), svg.as_bytes())));
    if std::env::var_os("SHOWN").is_some() {
        files.iter().for_each(|(name, b)| eprintln!("== {name}\n{}", String::from_utf8_lossy(b)));
    }
    let mut sources = desk::sources(&files);
    let loaded = match load(&desk::file("sheet.ron"), &mut sources) {
        Ok(loaded) => loaded,
        Err(findings) => return errors(findings, &sources).len().to_string(),
    };
    told(loaded.warnings.clone(), &sources);
    let editions = match Editions::resolve(loaded, &Filter::default(), &mut sources) {
        Ok(editions) => editions,
        Err(findings) => return errors(findings, &sources).len().to_string(),
    };
    let mut out = told(editions.missing_characters(), &sources).len().to_string();
    let workshop = editions.workshop();
    for entry in editions.variants() {
        let (planned, done) = editions.session.work.counted(|| editions.plan(entry));
        assert!(done(WorkKind::Rows) <= MOST_ROWS, "{} rows walked over", done(WorkKind::Rows));
        out += &match planned {
            Ok(planned) => positioned(&editions, &planned, &workshop),
            Err(fault) => {
                one(&fault, &sources);
                fault.message
            }
        };
    }
    out
}

fn positioned(editions: &Editions, planned: &Planned<'_>, workshop: &Workshop) -> String {
    let report = Report::new(&planned.facts, &planned.plan);
    assert!(report.scale > 0.0 && report.scale <= report.bound + 1e-3, "{report:?}");
    let sheet = planned.place(workshop);
    assert_eq!(sheet.pages.len(), report.pages);
    none("colours", colours_once_in_order(editions, planned, &sheet));
    none("page", inside_the_page(&sheet));
    none("samples", samples_apart(&sheet));
    none("texts", texts_clear(&sheet));
    none("values", exact_colours(editions, &sheet));
    none("type", readable(&sheet, planned.facts.look.floor));
    format!(
        " {} {}",
        report.scale,
        Identity::of(sheet.coloured(&sheet.palette.published())).whole.hex()
    )
}

fn layout(dice: &mut Dice<'_>) -> String {
    let (width, height) = (dice.number(60.0, 450.0), dice.number(60.0, 650.0));
    let scale = match dice.below(4) {
        0 => "True".to_owned(),
        1 => format!("Ratio({:.2})", dice.number(0.1, 1.5)),
        _ => "Fit".to_owned(),
    };
    let mut out = format!(
        "Layout(title: \"t\", page: Mm({width:.1}, {height:.1}), scale: {scale}, bleed: {}, pages: {}, page_columns: {},",
        dice.pick(&[0, 0, 3]),
        1 + dice.below(4),
        1 + dice.below(6),
    );
    if dice.chance(3) {
        out += "orientation: Free,";
    }
    if dice.chance(4) {
        let _ = write!(
            out,
            "margins: ({:.1}, {:.1}, {:.1}),",
            dice.number(0.0, 30.0),
            dice.number(0.0, 30.0),
            dice.number(0.0, 30.0)
        );
    }
    if dice.chance(4) {
        out += "rows_sized_for: Paper(\"A6\"),";
    }
    let _ = write!(
        out,
        "type_floor: {:.2}, minimum: (coverage: {:.2}, columns: {}, density: {:.2}))",
        dice.number(1.0, 3.0),
        dice.number(0.0, 1.0),
        dice.below(4),
        dice.number(0.0, 1.0),
    );
    out
}

fn sheet(dice: &mut Dice<'_>, style: &str) -> String {
    let mut out = format!(
        "Sheet(range: \"range.ron\", name: \"s\", title: {:?}, subtitle: {:?}, corner_text: {:?}, style: \"{style}\",",
        dice.text(40),
        dice.text(40),
        dice.text(8),
    );
    if dice.chance(2) {
        let notes: Vec<String> =
            (0..dice.below(4)).map(|_| dice.text(80)).filter(|n| !n.is_empty()).collect();
        let _ = write!(out, "notes: {notes:?},");
    }
    if dice.chance(3) {
        let _ = write!(out, "lookalikes: (show: {}, limit: 30),", 1 + dice.below(6));
    }
    if dice.chance(3) {
        out += "centre: [(listing: \"w\"), (listing: \"d\")],";
    }
    let order = dice.pick(&["", "order: hue,", "order: lightness,", "order: neighbours,"]);
    let spellings = dice.pick(&["[\"en-GB\"]", "[\"en-GB\", \"en-US\"]"]);
    out + order
        + &format!("spellings: {spellings}, editions: [(name: \"e\", layout: \"own.ron\")])")
}

/// The range file, and the shape of each part.
fn range(dice: &mut Dice<'_>) -> (String, Vec<String>) {
    let mut out = "Range(maker: \"M\", release: \"R\", listings: [(key: \"w\"), (key: \"d\", title: \"Dealer\")],\nfamilies: [".to_owned();
    let families = 1 + dice.below(MOST_FAMILIES);
    for f in 0..families {
        let (title, note) = (dice.text(24), dice.text(40));
        let finish =
            dice.pick(&["opaque", "opaque", "clear", "pearl", "metal", "glow", "satin", "flecked"]);
        let _ = write!(
            out,
            "(key: \"f{f}\", title: {:?}, note: {note:?}, finish: {finish}),",
            title + "F"
        );
    }
    out += "],\nparts: [\n";
    let mut shapes = Vec::new();
    let parts = 1 + dice.below(MOST_PARTS);
    for n in 0..parts {
        let side = dice.pick(&["left", "right"]);
        let _ = writeln!(
            out,
            "(key: \"p{n}\", numbers: {{\"w\": \"{}\"}}, role: \"r{}\", side: {side}, shape: \"p{n}.svg\"),",
            100 + n,
            dice.below(4),
        );
        let (w, h) = (dice.pick(&SIZES), dice.pick(&SIZES));
        let (x, y) = (w / 2.0, h / 2.0);
        shapes.push(format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' viewBox='0 0 {w} {h}'><ellipse cx='{x}' cy='{y}' rx='{x}' ry='{y}'/></svg>"
        ));
    }
    out += "],\ncolours: [\n";
    let mut rows = String::new();
    let mut n = 0;
    for f in 0..families {
        for _ in 0..1 + dice.below(MOST_COLOURS) {
            let name = dice.text(30);
            let rgb = [dice.byte(), dice.byte(), dice.byte()];
            let _ = writeln!(
                out,
                "(key: \"c{n}\", family: \"f{f}\", names: {{\"w\": {:?}, \"d\": \"D{n}\"}}, numbers: {{\"w\": \"{n}\"}}, value: \"#{:02x}{:02x}{:02x}\"),",
                format!("{name}{n}"),
                rgb[0],
                rgb[1],
                rgb[2],
            );
            let made = dice.byte();
            let mark = |p: usize| if p == n % parts || made >> p & 1 == 1 { 'x' } else { '.' };
            let _ = writeln!(rows, "\"c{n}\": \"{}\",", (0..parts).map(mark).collect::<String>());
            n += 1;
        }
    }
    let keys: Vec<String> = (0..parts).map(|p| format!("\"p{p}\"")).collect();
    let _ = write!(out, "],\nmade: (parts: [{}], rows: {{{rows}}}))", keys.join(", "));
    (out, shapes)
}
