//! The legend says what is on the page: on generated sheets it names nothing that is not there, and all that is.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use crate::positions::{ids, inside_the_page, none, open, readable, samples_apart, texts_clear};
use shadecard::edition::Variant;
use shadecard::plan::Furniture;
use shadecard::range::Finish;
use shadecard::sheet::{Item, ItemKind, Role, Sheet, Workshop};
use shadecard::spelling::Spelling;

/// 5 pt, the least type on any page: 5 x 25.4 / 72 mm.
const FLOOR: f64 = 5.0 * 25.4 / 72.0;
const DISC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle cx="4.5" cy="4.5" r="4.5" fill="#888888"/></svg>"##;
const BAR: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="5mm" viewBox="0 0 12 5"><rect width="12" height="5" fill="#888888"/></svg>"##;

/// Bits of a fixed sequence: Knuth's multiplicative hash of a count.
struct Chance(u64);

impl Chance {
    fn of(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_add(1);
        (self.0.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 33) % n
    }

    fn once_in(&mut self, n: u64) -> bool {
        self.of(n) == 0
    }
}

/// A generated range with a sheet that shows all of it.
struct Case {
    range: String,
    sheet: String,
}

const FINISHES: [&str; 7] = ["opaque", "clear", "flecked", "metal", "pearl", "satin", "glow"];

/// Three parts a side, two of them of one role; families in columns or loose; colours made in all
/// parts, or not; one listing or two; parts with titles or without.
fn case(seed: u64) -> Case {
    let mut chance = Chance(seed * 1000);
    let listings = 1 + chance.of(2);
    let list = |key: &str| format!("(key: \"{key}\", title: \"{} list\")", key.to_uppercase());
    let lists: Vec<String> =
        ["north", "south"][..listings as usize].iter().map(|k| list(k)).collect();
    let mut range =
        format!("Range(maker: \"Tideline Works\", listings: [{}], parts: [\n", lists.join(", "));
    for p in 0..6 {
        let (side, shape) = if p < 3 { ("left", "disc.svg") } else { ("right", "bar.svg") };
        let role = if p % 3 == 2 { format!("role-{}", p - 1) } else { format!("role-{p}") };
        let title =
            if chance.once_in(3) { String::new() } else { format!("title: \"Part {p}\", ") };
        writeln!(range, "(key: \"key-{p}\", numbers: {{\"north\": \"71{p}\"}}, {title}role: \"{role}\", side: {side}, shape: \"{shape}\"),").expect("a string");
    }
    let families = 1 + chance.of(3);
    range += "], families: [\n";
    for f in 0..families {
        let finish = FINISHES[chance.of(7) as usize];
        let legend =
            if chance.once_in(2) { format!(", legend: \"own words {f}\"") } else { String::new() };
        writeln!(range, "(key: \"f{f}\", title: \"Family {f}\", finish: {finish}{legend}),")
            .expect("a string");
    }
    range += "], colours: [\n";
    let (gaps, stand_ins) = (chance.once_in(2), chance.once_in(2));
    let mut rows = String::new();
    for f in 0..families {
        for c in 0..6 + chance.of(8) {
            let mut numbers = format!("\"north\": \"{f}{c:02}\"");
            let mut names = format!("\"north\": \"Shade {f} {c}\"");
            if listings == 2 {
                write!(numbers, ", \"south\": \"9{f}{c:02}\"").expect("a string");
                write!(names, ", \"south\": \"Hue {f} {c}\"").expect("a string");
            }
            let value = format!(
                "#{:02x}{:02x}{:02x}",
                40 + chance.of(200),
                40 + chance.of(200),
                40 + chance.of(200)
            );
            let made = (0..6).map(|p| match p {
                // The second of a role is made only where it may stand in.
                2 | 5 => stand_ins && c % 3 == 0,
                1 | 4 => !(stand_ins && c % 3 == 0),
                _ => !(gaps && chance.once_in(4)),
            });
            let made: String = made.map(|m| if m { 'x' } else { '.' }).collect();
            writeln!(rows, "\"c{f}-{c}\": \"{made}\",").expect("a string");
            writeln!(range, "(key: \"c{f}-{c}\", family: \"f{f}\", names: {{{names}}}, numbers: {{{numbers}}}, value: \"{value}\"),").expect("a string");
        }
    }
    let keys: Vec<String> = (0..6).map(|p| format!("\"key-{p}\"")).collect();
    write!(range, "], made: (parts: [{}], rows: {{\n{rows}}}))", keys.join(", "))
        .expect("a string");
    let shown: Vec<String> = (0..families)
        .map(|f| {
            let columns = match chance.of(3) {
                0 => "Loose",
                1 => "Given(left: [\"key-0\", \"key-1\"], right: [\"key-3\", \"key-4\"])",
                _ => "Choose()",
            };
            format!("(family: \"f{f}\", columns: {columns})")
        })
        .collect();
    let lines = if listings == 2 && chance.once_in(2) {
        "(listing: \"north\"), (listing: \"south\")"
    } else {
        "(listing: \"north\")"
    };
    let sheet = format!(
        "Sheet(range: \"range.ron\", name: \"made\", headings: \"north\", centre: [{lines}], families: [{}], spellings: [\"en-GB\", \"en-US\"], notes: [\"Dye lots differ a little.\"], editions: [(name: \"a4\", layout: \"a4\"), (name: \"poster\", layout: \"poster-610x914\")])",
        shown.join(", ")
    );
    Case { range, sheet }
}

/// What is on the rows of a page, read off what is drawn.
#[derive(Debug, Default, PartialEq)]
struct OnPage {
    gap: bool,
    stand_in: bool,
    loose: bool,
    parts: BTreeSet<usize>,
}

fn text(item: &Item) -> Option<&str> {
    match &item.kind {
        ItemKind::Text(text) => Some(&text.string),
        _ => None,
    }
}

/// `labels` are the part numbers; colours and families go by their keys: 'c0-3', 'f0'.
fn on_page(sheet: &Sheet, labels: &[String]) -> OnPage {
    let mut out = OnPage::default();
    let items = || sheet.pages.iter().flat_map(|p| &p.items);
    let is_label = |t: &str| labels.iter().any(|l| l == t);
    let headed: BTreeSet<String> = items()
        .filter(|i| text(i).is_some_and(is_label))
        .filter_map(|i| i.origin.as_deref()?.strip_prefix('f').map(str::to_owned))
        .collect();
    for item in items() {
        let Some(row) = item.origin.as_deref().and_then(|o| o.strip_prefix('c')) else { continue };
        let Some((family, _)) = row.split_once('-') else { continue };
        match &item.kind {
            ItemKind::Use(used) => {
                let part = ids(&sheet.symbols[used.symbol.0].name).expect("a part").0;
                out.parts.insert(part);
            }
            // The rule over a row is as wide as the spine, a gap's mark is not.
            ItemKind::Area(area) if item.role == Role::Furniture => {
                use kurbo::Shape as _;
                out.gap |= area.path.bounding_box().width() < 3.0;
            }
            ItemKind::Text(t) if is_label(&t.string) => {
                if headed.contains(family) {
                    out.stand_in = true
                } else {
                    out.loose = true
                }
            }
            _ => {}
        }
    }
    out
}

fn legend(sheet: &Sheet) -> Vec<String> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let own = items.filter(|i| i.origin.as_deref() == Some("legend"));
    own.filter_map(|i| text(i).map(str::to_owned)).collect()
}

/// Does a legend say one of these phrases? Lines of one text follow each other.
fn says(told: &str, spelling: &Spelling, keys: &[&str]) -> bool {
    keys.iter().any(|key| told.contains(&spelling.phrase(key, &[])))
}

#[test]
fn the_legend_names_what_is_there_and_nothing_else() {
    // How often each thing was there, and not; and how often a specimen row or words told it.
    let mut met = BTreeSet::new();
    for seed in 0..10 {
        let Case { range, sheet } = case(seed);
        let folder = tempfile::tempdir().expect("a folder");
        for (name, text) in
            [("range.ron", &*range), ("sheet.ron", &*sheet), ("disc.svg", DISC), ("bar.svg", BAR)]
        {
            std::fs::write(folder.path().join(name), text).expect("written");
        }
        for style in ["plate", "catalogue"] {
            let editions = open(&folder.path().join("sheet.ron"), Some(style));
            let workshop = Workshop::boxes(&editions.range);
            // The A4 page and the poster in turn, one in American spelling.
            let wanted =
                (["a4", "poster"][seed as usize % 2], ["en-GB", "en-US"][usize::from(seed == 4)]);
            for entry in editions.variants().filter(|e| (e.name(), e.tag) == wanted) {
                let name = format!("seed {seed} {style} {}", entry.stem());
                let planned =
                    editions.plan(entry).unwrap_or_else(|d| panic!("{name}: {}", d.message));
                let sheet = planned.place(&workshop);
                let spelling = planned.spelling;
                let labels: Vec<String> =
                    planned.facts.parts.iter().map(|p| p.label.clone()).collect();
                let page = on_page(&sheet, &labels);
                let lines = legend(&sheet);
                let told = lines.join(" ");
                let specimen = says(&told, spelling, &["callout_chip"]);
                assert!(specimen != says(&told, spelling, &["how_exact"]), "{name}: {told}");
                met.insert(format!("specimen {specimen}"));
                for (what, there, keys) in [
                    ("gap", page.gap, &["callout_gap", "gap_dot", "gap_dash"][..]),
                    ("stand-in", page.stand_in, &["callout_stand_in", "stand_in_note"][..]),
                ] {
                    assert_eq!(says(&told, spelling, keys), there, "{name}: {what}\n{told}");
                    met.insert(format!("{what} {there}"));
                }
                let grid = sheet_has_heads(&sheet, &labels);
                let loose = ["callout_loose", "loose_note", "how_text_loose"];
                let under =
                    specimen && lines.iter().any(|l| *l == spelling.phrase("callout_under", &[]));
                assert_eq!(
                    says(&told, spelling, &loose) || (!grid && under),
                    page.loose,
                    "{name}: loose\n{told}"
                );
                met.insert(format!("loose {}", page.loose));
                finishes(&name, &planned, &lines, spelling);
                listings(&name, &planned, &told, specimen);
                for part in editions.range.parts() {
                    assert!(
                        !told.contains(part.key().as_str()),
                        "{name}: a key is printed\n{told}"
                    );
                }
                if style == "catalogue" {
                    let listed: BTreeSet<usize> =
                        (0..labels.len()).filter(|p| listed_part(&lines, &labels[*p])).collect();
                    assert_eq!(listed, page.parts, "{name}: parts\n{told}");
                    assert!(told.contains("sizes in mm"), "{name}: {told}");
                }
                let mut faults = inside_the_page(&sheet);
                faults.extend(texts_clear(&sheet));
                faults.extend(samples_apart(&sheet));
                faults.extend(readable(&sheet, FLOOR));
                none(&name, faults);
            }
        }
    }
    for what in ["specimen", "gap", "stand-in", "loose"] {
        for there in [true, false] {
            // Words alone need a narrow place: they have a test of their own.
            if what != "specimen" || there {
                assert!(met.contains(&format!("{what} {there}")), "not met: {what} {there}");
            }
        }
    }
}

/// Are there part numbers over columns?
fn sheet_has_heads(sheet: &Sheet, labels: &[String]) -> bool {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let mut heads = items.filter(|i| i.origin.as_deref().is_some_and(|o| o.starts_with('f')));
    heads.any(|i| text(i).is_some_and(|t| labels.iter().any(|l| l == t)))
}

/// Is a part in the list, which follows its heading?
fn listed_part(lines: &[String], label: &str) -> bool {
    let Some(head) = lines.iter().rposition(|l| l == "Parts") else { return false };
    lines[head..].iter().any(|l| l == label)
}

/// One entry per finish that occurs; none where there is one finish.
fn finishes(
    name: &str,
    planned: &shadecard::edition::Planned<'_>,
    lines: &[String],
    spelling: &Spelling,
) {
    let families = planned
        .facts
        .families
        .iter()
        .map(|f| planned.facts.range.family(planned.facts.sheet.families()[f.index].family()));
    let families: Vec<_> = families.collect();
    let occur: BTreeSet<Finish> = families.iter().map(|f| f.finish()).collect();
    for finish in Finish::ALL {
        let own: Vec<_> = families.iter().filter(|f| f.finish() == finish).collect();
        let named = spelling.phrase(&format!("finish_{}", finish.word()), &[]);
        let title = own.first().filter(|_| own.len() == 1).map(|f| spelling.apply(f.title()));
        let want = title.unwrap_or(named);
        let count = lines.iter().filter(|l| **l == want).count();
        let expected = usize::from(occur.len() > 1 && occur.contains(&finish));
        assert_eq!(count, expected, "{name}: {want} in {lines:?}");
    }
}

/// The listings of the centre are named where the range has several, and no other.
fn listings(name: &str, planned: &shadecard::edition::Planned<'_>, told: &str, specimen: bool) {
    let range = planned.facts.range;
    for (i, listing) in range.listings().iter().enumerate() {
        let shown = planned.facts.sheet.centre().iter().any(|l| l.listing.0 == i);
        let expected = specimen && shown && range.listings().len() > 1;
        assert_eq!(told.contains(&listing.title().text), expected, "{name}: {told}");
    }
}

/// Where a specimen row has no room, words say what occurs: a page so narrow that no callouts are side by side.
#[test]
fn a_narrow_place_has_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let Case { range, sheet } = case(3);
    let sheet = sheet.replace("layout: \"a4\"", "layout: \"narrow.ron\"");
    let narrow = "Layout(title: \"Narrow\", page: Mm(74, 400), scale: Fit, page_columns: 1, least_scale: 0.02, minimum: (coverage: 0.5, columns: 1))";
    for (name, text) in [
        ("range.ron", &*range),
        ("sheet.ron", &*sheet),
        ("disc.svg", DISC),
        ("bar.svg", BAR),
        ("narrow.ron", narrow),
    ] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    let editions = open(&folder.path().join("sheet.ron"), Some("plate"));
    let entry = editions.variants().next().expect("an edition");
    let planned = editions.plan(entry).unwrap_or_else(|d| panic!("{}", d.message));
    let sheet = planned.place(&Workshop::boxes(&editions.range));
    let told = legend(&sheet).join(" ");
    assert!(says(&told, planned.spelling, &["how_exact"]), "{told}");
    none("narrow", inside_the_page(&sheet));
    none("narrow", texts_clear(&sheet));
}

/// The demo's poster in both styles and its A4 page as a plate have a specimen row, with the demo's listings.
#[test]
fn the_demo_has_a_specimen_row() {
    let mut specimens = 0;
    for style in ["plate", "catalogue"] {
        let editions = open(Path::new("demo/haberdashery/sheet.ron"), Some(style));
        let workshop = Workshop::boxes(&editions.range);
        let posters = |e: &Variant<'_>| e.tag == "en-US" && e.name() == "true-scale";
        for entry in editions.variants().filter(posters) {
            let planned = editions.plan(entry).expect("a plan");
            let told = legend(&planned.place(&workshop)).join(" ");
            let specimen = says(&told, planned.spelling, &["callout_chip"]);
            specimens += usize::from(specimen);
            for list in ["Works list", "Dealer list"] {
                assert_eq!(told.contains(list), specimen, "{style} {}: {told}", entry.stem());
            }
        }
    }
    assert_eq!(specimens, 2);
}

/// A list of parts as tall as a family would cost scale in a column: it may be across the page.
#[test]
fn the_list_of_parts_stands_apart_where_that_gains_scale() {
    let editions = open(Path::new("demo/haberdashery/sheet.ron"), Some("catalogue"));
    let entry = editions.variants().find(|e| e.name() == "letter").expect("an edition");
    let planned = editions.plan(entry).expect("it fits");
    assert_eq!(planned.plan.furniture, Furniture::Split);
    let sheet = planned.place(&Workshop::boxes(&editions.range));
    let heading = planned.spelling.phrase("parts_title", &[]);
    let items = &sheet.pages[0].items;
    let list = items.iter().find(|i| text(i) == Some(&heading)).expect("a list");
    let lowest = items.iter().filter(|i| i.role == Role::Sample).map(|i| i.bounds.y1);
    assert!(lowest.fold(0.0, f64::max) < list.bounds.y0, "{:?}", list.bounds);
    // Every part of the sheet is in it, beside the heading or right of it.
    let entries = items.iter().filter(|i| i.origin.as_deref() == Some("legend"));
    let below = entries.filter(|i| i.bounds.y0 > list.bounds.y0 - 0.1).filter_map(text);
    let told: BTreeSet<&str> = below.collect();
    for part in planned.facts.parts.iter() {
        assert!(told.contains(part.label.as_str()), "{} of {told:?}", part.label);
    }
    none("letter", texts_clear(&sheet));
    none("letter", inside_the_page(&sheet));
}
