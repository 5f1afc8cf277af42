//! Labels of a sample board: label sheets, words, places, sheets to print and to cut.

use std::collections::BTreeSet;
use std::f64::consts::PI;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use crate::told;
use kurbo::{Rect, Shape};
use proptest::prelude::*;
use shadecard::compare::again::Labels;
use shadecard::diag::{Findings, Sources};
use shadecard::diag_print::{line, render};
use shadecard::labels::choose::{self, Choice};
use shadecard::labels::stand::{Places, Stand};
use shadecard::labels::words::Wording;
use shadecard::labels::{Codes, Cut, LabelSheet, LabelsRequest, Set, used};
use shadecard::plan::Style;
use shadecard::range::{CentreLine, ColourId, ListingId, Loaded, load, load_either};
use shadecard::sheet::palette::PrintValues;
use shadecard::sheet::{ItemKind, Role};
use shadecard::spelling::Spelling;
use shadecard::supplies::LabelGrid;
use shadecard::work::Work;
use tempfile::TempDir;

const LABEL_SHEETS: [&str; 4] = ["a4", "letter", "roll", "small"];
const STYLES: [&str; 2] = ["plate", "catalogue"];

pub fn label_sheet(name: &str) -> LabelSheet {
    LabelSheet::find(name, Path::new(""), &mut Sources::default()).expect("shipped")
}

fn own(text: &str) -> LabelSheet {
    LabelSheet::parse(Path::new("own"), text).unwrap_or_else(|f| panic!("{:?}", f.sorted()))
}

fn loaded(sheet: &Path) -> Loaded {
    let mut sources = Sources::default();
    load(sheet, &mut sources).unwrap_or_else(|f| panic!("{}", render(&f.sorted(), &sources, false)))
}

fn demo() -> Loaded {
    loaded(Path::new("demo/haberdashery/sheet.ron"))
}

pub fn places(label_sheet: &LabelSheet, spoiled: u32, used: u64) -> Places {
    Places {
        grid: label_sheet.grid(spoiled).expect("rows are left"),
        columns: label_sheet.columns(),
        spoiled_rows: spoiled,
        fill: false,
        used: (0..used).collect(),
    }
}

/// The whole set of a sheet in British spelling.
fn set(
    loaded: &Loaded,
    label_sheet: &LabelSheet,
    style: &str,
    places: &Places,
) -> Result<Set, Findings> {
    set_with(loaded, label_sheet, style, places, false)
}

/// The same, with a code on every label or none.
pub fn set_with(
    loaded: &Loaded,
    label_sheet: &LabelSheet,
    style: &str,
    places: &Places,
    with_codes: bool,
) -> Result<Set, Findings> {
    let Loaded { range, sheet, .. } = loaded;
    let colours = choose::colours(range, sheet, &Choice::default()).expect("all");
    let style = Style::shipped(style).expect("shipped");
    let codes = with_codes.then(|| Codes::new(range, sheet, &colours, label_sheet)).transpose()?;
    let lines = sheet.centre().clone();
    let wish = LabelsRequest {
        range,
        sheet,
        label_sheet,
        style: &style,
        colours: &colours,
        lines: &lines,
        places,
        copies: 1,
        codes: codes.as_ref(),
        work: &Work::default(),
        values: &PrintValues::default(),
    };
    let spelling = Spelling::shipped("en-GB").expect("shipped");
    Set::new(&wish, &spelling, &mut Findings::default())
}

fn messages(findings: Findings) -> String {
    findings.sorted().iter().map(|d| format!("{}: {}\n", d.code, d.message)).collect()
}

/// Two listings, one family; a row of `(key, name, number)` a colour.
fn range_of(colours: &[(&str, &str, &str)]) -> String {
    // What is empty is left out.
    let of = |word: &str| match word {
        "" => "{}".to_owned(),
        word => format!("{{\"works\": \"{word}\"}}"),
    };
    let rows: String = colours
        .iter()
        .map(|(key, name, number)| {
            format!(
                "(key: \"{key}\", family: \"gloss\", names: {}, numbers: {}, value: \"#a03020\"),\n",
                of(name),
                of(number)
            )
        })
        .collect();
    format!(
        "Range(maker: \"Tideline Works\", listings: [(key: \"works\", title: \"Works list\"), (key: \"trade\", title: \"Trade list\")],
        families: [(key: \"gloss\", title: \"Gloss\")],
        parts: [(key: \"ring\", numbers: {{\"works\": \"1\"}}, role: \"ring\", side: left, shape: \"disc.svg\"),
                (key: \"bar\", numbers: {{\"works\": \"2\"}}, role: \"bar\", side: right, shape: \"disc.svg\")],
        colours: [{rows}])"
    )
}

pub const SHEET: &str = r#"Sheet(range: "range.ron", name: "board", title: "Board", headings: "works",
    centre: [(listing: "works")], editions: [(name: "a4", layout: "a4")])"#;
const DISC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle cx="4.5" cy="4.5" r="4.5" fill="#888888"/></svg>"##;

pub struct Board(TempDir);

impl Board {
    pub fn of(colours: &[(&str, &str, &str)]) -> Board {
        let folder = tempfile::tempdir().expect("a folder");
        for (name, text) in
            [("range.ron", range_of(colours).as_str()), ("sheet.ron", SHEET), ("disc.svg", DISC)]
        {
            std::fs::write(folder.path().join(name), text).expect("written");
        }
        Board(folder)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub fn sheet(&self) -> Loaded {
        loaded(&self.path("sheet.ron"))
    }

    pub fn run(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_shadecard"))
            .current_dir(self.0.path())
            .arg("labels")
            .args(args)
            .output()
            .expect("it runs")
    }
}

// ---------------------------------------------------------------- label sheets

/// A4 is 210 x 297 mm (ISO 216:2007), Letter 8.5 x 11 in of 25.4 mm
/// (ANSI/ASME Y14.1); labels and roll are common practice, no source.
#[test]
fn shipped_label_sheets_have_their_sizes_and_sit_in_the_middle() {
    for (name, size, grid) in [
        ("a4", (210.0, 297.0), (7, 3)),
        ("letter", (215.9, 279.4), (7, 3)),
        ("roll", (110.0, 300.0), (12, 2)),
        ("small", (210.0, 297.0), (11, 4)),
    ] {
        let r = label_sheet(name);
        assert!((r.width() - size.0).abs() < 1e-9 && (r.height() - size.1).abs() < 1e-9, "{name}");
        assert_eq!((r.rows(), r.columns()), grid, "{name}");
        let b = r.block();
        assert!((b.x0 - (r.width() - b.x1)).abs() < 0.011, "{name}: left and right differ");
        assert!((b.y0 - (r.height() - b.y1)).abs() < 0.011, "{name}: top and bottom differ");
    }
}

#[test]
fn as_many_as_fit() {
    // (210 - 2 x 10 + 2) / (36 + 2) = 5.05, (297 - 20 + 1) / (20 + 1) = 13.2.
    let text =
        "Labels(sheet: (paper: \"A4\"), label: (width: 36, height: 20), gap: (across: 2, down: 1))";
    let r = own(text);
    assert_eq!((r.columns(), r.rows()), (5, 13));
    // Exactly filled: 5 x 38 = 190.
    let exact = own(&text.replace("36", "38").replace("across: 2", "across: 0"));
    assert_eq!(exact.columns(), 5);
}

#[test]
fn every_fault_of_a_label_sheet_has_its_place() {
    let mut files: Vec<PathBuf> = std::fs::read_dir("tests/faults/labels")
        .expect("fixtures")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        .collect();
    files.sort();
    assert!(files.len() >= 20, "only {} fixtures", files.len());
    let mut wrong = String::new();
    for file in &files {
        let text = std::fs::read_to_string(file).expect("readable");
        let mut sources = Sources::default();
        sources.add(file, text.as_str().into());
        let found = match LabelSheet::parse(file, &text) {
            Ok(_) => Vec::new(),
            Err(findings) => findings.sorted(),
        };
        let mut left: Vec<_> = found.iter().collect();
        for expected in text.lines().filter_map(|l| l.strip_prefix("//! expect: ")) {
            let mut words = expected.splitn(3, ' ');
            let [code, place, piece] = [(); 3].map(|()| words.next().unwrap_or(""));
            let at = left.iter().position(|d| {
                let here = d.span.as_ref().and_then(|s| sources.line_column(s));
                let here = here.map_or("-".into(), |(l, c)| format!("{l}:{c}"));
                d.code == code && here == place && d.message.contains(piece)
            });
            match at {
                Some(i) => drop(left.remove(i)),
                None => wrong += &format!("{}: not found: {expected}\n", file.display()),
            }
        }
        for d in left {
            wrong +=
                &format!("{}: not expected: {} {}\n", file.display(), d.code, line(d, &sources));
        }
        let shown = render(&found, &sources, false).replace("tests/faults/labels/", "");
        wrong += &told::kept(&file.with_extension("told"), &shown);
        for d in &found {
            let text = format!("{} {}", d.message, d.help.as_deref().unwrap_or(""));
            if d.help.is_none() || !told::jargon(&text).is_empty() {
                wrong += &format!("{}: {text}\n", file.display());
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

// ---------------------------------------------------------------- places

/// Fills sheets as a person would: place by place, over used and lost ones.
fn by_hand(count: u64, total: u64, lost: u64, used: &BTreeSet<u64>) -> Vec<(usize, u64)> {
    let mut out = Vec::new();
    let mut sheet = 0;
    let part_used = (0..count).any(|p| p >= lost && !used.contains(&p)) && !used.is_empty();
    while (out.len() as u64) < total {
        for place in lost..count {
            let gone = sheet == 0 && part_used && used.contains(&place);
            if !gone && (out.len() as u64) < total {
                out.push((sheet, place));
            }
        }
        sheet += 1;
    }
    out
}

proptest! {
    #[test]
    fn places_are_filled_in_order(
        rows in 1u32..9, columns in 1u32..6, spoiled in 0u32..3, labels in 0usize..120,
        copies in 1u64..4, used in proptest::collection::btree_set(0u64..48, 0..30),
    ) {
        prop_assume!(spoiled < rows);
        let count = u64::from(rows * columns);
        let used: BTreeSet<u64> = used.into_iter().filter(|p| *p < count).collect();
        let grid = LabelGrid::new(rows, columns, spoiled).expect("a grid");
        let places = Places { grid, columns, spoiled_rows: spoiled, fill: false, used: used.clone() };
        let stands = places.stands(labels, copies);
        let total = labels as u64 * copies;
        let lost = u64::from(spoiled * columns);
        let got: Vec<(usize, u64)> = stands.iter().map(|s| (s.sheet, s.place)).collect();
        prop_assert_eq!(&got, &by_hand(count, total, lost, &used));
        // The figures of `supplies`.
        let need = grid.need(total, places.used_as());
        let sheets = stands.last().map_or(0, |s| s.sheet as u64 + 1);
        prop_assert_eq!(need.new + u64::from(need.on_part_used > 0), sheets);
        for (n, s) in stands.iter().enumerate() {
            prop_assert_eq!(s.label as u64, n as u64 / copies);
            prop_assert_eq!(u64::from(s.row * columns + s.column), s.place);
        }
    }

    #[test]
    fn repeats_fill_the_lost_rows_and_nothing_else(
        rows in 2u32..9, columns in 1u32..6, spoiled in 1u32..3, labels in 1usize..120,
        used in 0u64..20,
    ) {
        prop_assume!(spoiled < rows);
        let grid = LabelGrid::new(rows, columns, spoiled).expect("a grid");
        let count = u64::from(rows * columns);
        let used: BTreeSet<u64> = (0..used.min(count)).collect();
        let plain = Places { grid, columns, spoiled_rows: spoiled, fill: false, used: used.clone() };
        let filled = Places { fill: true, ..plain.clone() };
        let (plain, filled) = (plain.stands(labels, 1), filled.stands(labels, 1));
        let own: Vec<Stand> = filled.iter().copied().filter(|s| !s.repeat).collect();
        prop_assert_eq!(&own, &plain);
        let sheets = plain.last().map_or(0, |s| s.sheet + 1);
        for sheet in 0..sheets {
            // A sheet of which nothing is left is none to go on with.
            let free = (u64::from(spoiled * columns)..count).any(|p| !used.contains(&p));
            let part_used = sheet == 0 && free;
            let lost: Vec<u64> = (0..u64::from(spoiled * columns))
                .filter(|p| !(part_used && used.contains(p))).collect();
            let repeats: Vec<&Stand> =
                filled.iter().filter(|s| s.repeat && s.sheet == sheet).collect();
            prop_assert_eq!(repeats.iter().map(|s| s.place).collect::<Vec<_>>(), lost);
            let on_it: BTreeSet<usize> =
                plain.iter().filter(|s| s.sheet == sheet).map(|s| s.label).collect();
            prop_assert!(repeats.iter().all(|s| on_it.contains(&s.label)));
        }
    }
}

#[test]
fn used_places_are_read_and_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("used.csv");
    let mut sources = Sources::default();
    let places: BTreeSet<u64> = [0, 1, 2, 9, 20].into();
    std::fs::write(&file, used::csv(&places)).expect("written");
    assert_eq!(used::read(&file, 21, &mut sources).expect("read"), places);
    std::fs::write(&file, "place\n3\n22\nthird\n0\n").expect("written");
    let faults = used::read(&file, 21, &mut sources).expect_err("three faults").sorted();
    let told: Vec<_> = faults
        .iter()
        .map(|d| (d.code, d.span.as_ref().and_then(|s| sources.line_column(s))))
        .collect();
    let at = |l| ("bad-place", Some((l, 1)));
    assert_eq!(told, [at(3), at(4), at(5)]);
    std::fs::write(&file, "spot\n3\n").expect("written");
    assert!(used::read(&file, 21, &mut sources).is_err());
}

#[test]
fn a_sheet_that_is_used_up_is_not_gone_on_with() {
    let r = label_sheet("a4");
    let all = Places { fill: true, ..places(&r, 1, 21) };
    assert!(!all.part_used());
    let stands = all.stands(2, 1);
    assert_eq!(stands.iter().map(|s| s.place).collect::<Vec<_>>(), [0, 1, 2, 3, 4]);
    assert_eq!(all.used_after(&stands), (0..5).collect());
    // A new sheet gets its marks.
    let set = set(&demo(), &r, "plate", &all).expect("fits");
    let marks = set.print().pages[0].items.iter().filter(|i| i.role == Role::Cut);
    assert_eq!(marks.count(), 4);
}

#[test]
fn a_part_used_sheet_has_its_marks() {
    let r = label_sheet("a4");
    let set = set(&demo(), &r, "plate", &places(&r, 0, 16)).expect("fits");
    let marks =
        |page: usize| set.print().pages[page].items.iter().filter(|i| i.role == Role::Cut).count();
    assert_eq!((marks(0), marks(1)), (0, 4));
    // The machine looks for them on both.
    assert!(set.cuts().iter().all(|c| c.marks.len() == 4));
}

#[test]
fn what_is_used_after_a_run_is_where_the_next_begins() {
    let r = label_sheet("a4");
    let first = places(&r, 0, 0);
    let stands = first.stands(16, 1);
    let used = first.used_after(&stands);
    assert_eq!(used, (0..16).collect());
    // Lost rows are gone for the next run too.
    let lost = places(&r, 1, 0);
    assert_eq!(lost.used_after(&lost.stands(20, 1)), (0..5).collect());
    let next = Places { used, ..first };
    let at: Vec<(usize, u64)> = next.stands(6, 1).iter().map(|s| (s.sheet, s.place)).collect();
    assert_eq!(at, [(0, 16), (0, 17), (0, 18), (0, 19), (0, 20), (1, 0)]);
}

// ---------------------------------------------------------------- words

#[test]
fn everything_printed_keeps_the_safe_margin_and_the_floor() {
    let demo = demo();
    for style in STYLES {
        for name in LABEL_SHEETS {
            let r = label_sheet(name);
            let places = places(&r, 0, 0);
            let set = set(&demo, &r, style, &places)
                .unwrap_or_else(|f| panic!("{name} {style}: {}", messages(f)));
            let mut texts = 0;
            let mut stands = set.stands.chunk_by(|a, b| a.sheet == b.sheet);
            for page in &set.print().pages {
                let on_page = stands.next().expect("a sheet");
                for item in &page.items {
                    let ItemKind::Text(text) = &item.kind else { continue };
                    assert!(text.size >= r.type_floor() - 1e-9, "{name} {style}: {}", text.string);
                    if item.origin.as_deref() == Some("foot") {
                        continue;
                    }
                    let inside = on_page.iter().any(|s| {
                        let safe = r.label_at(s.row, s.column).inset(-r.safe());
                        text.x >= safe.x0 - 1e-6
                            && text.x + text.advance <= safe.x1 + 1e-6
                            && text.y <= safe.y1
                            && text.y - text.size * 0.6 >= safe.y0
                    });
                    assert!(inside, "{name} {style}: '{}' is outside", text.string);
                    texts += 1;
                }
            }
            // Every colour of the demo has a name and a number at least, nearly all have two of both.
            assert!(texts >= 119 * 3, "{name} {style}: {texts}");
        }
    }
}

#[test]
fn words_of_a_label_do_not_meet() {
    let demo = demo();
    for style in STYLES {
        for name in LABEL_SHEETS {
            let r = label_sheet(name);
            let set = set(&demo, &r, style, &places(&r, 0, 0)).expect("fits");
            for page in &set.print().pages {
                let ink: Vec<(Option<&str>, Rect)> = page
                    .items
                    .iter()
                    .filter_map(|i| match &i.kind {
                        // From the baseline to the top of an x: what hangs below is not counted.
                        ItemKind::Text(t) => Some((
                            i.origin.as_deref(),
                            Rect::new(t.x, t.y - t.size * 0.5, t.x + t.advance, t.y),
                        )),
                        ItemKind::Area(a) if i.role == Role::Swatch => {
                            Some((None, a.path.bounding_box()))
                        }
                        _ => None,
                    })
                    .collect();
                for (n, (origin, a)) in ink.iter().enumerate() {
                    for (other, b) in &ink[n + 1..] {
                        let meet = a.intersect(*b).area() > 1e-6;
                        let chips = origin.is_none() && other.is_none();
                        assert!(!meet || chips, "{name} {style}: {origin:?} meets {other:?}");
                    }
                }
            }
        }
    }
}

/// The lines of the first label, from the top, with their sizes.
fn lines(board: &Board, label_sheet: &LabelSheet) -> Result<Vec<(String, f64)>, String> {
    let set =
        set(&board.sheet(), label_sheet, "plate", &places(label_sheet, 0, 0)).map_err(messages)?;
    let texts = set.print().pages[0].items.iter().filter_map(|i| match &i.kind {
        // The listing is named besides.
        ItemKind::Text(t) if i.origin.as_deref() == Some("first") && t.string != "Works list" => {
            Some(t)
        }
        _ => None,
    });
    let mut texts: Vec<_> = texts.collect();
    texts.sort_by(|a, b| (a.y, a.x).partial_cmp(&(b.y, b.x)).expect("numbers"));
    Ok(texts.iter().map(|t| (t.string.clone(), t.size)).collect())
}

fn plain(extra: &str) -> LabelSheet {
    own(&format!(
        "Labels(sheet: (paper: \"A4\"), label: (width: 40, height: 15), gap: (across: 3), type_size: 4, lines: 1{extra})"
    ))
}

#[test]
fn a_name_is_broken_then_made_smaller_then_told() {
    let board = |name: &str| Board::of(&[("first", name, "7"), ("second", "Kelp", "8")]);
    let words = |l: Vec<(String, f64)>| l.into_iter().map(|l| l.0).collect::<Vec<_>>();
    let size = |l: &[(String, f64)]| l.iter().find(|l| l.0 != "7").expect("a name").1;
    let short = lines(&board("Tellin"), &plain("")).expect("fits");
    assert_eq!(words(short.clone()), ["7", "Tellin"]);
    assert!((size(&short) - 4.0).abs() < 1e-9);
    let broken = lines(&board("Bladderwrack on Granite"), &plain("")).expect("fits");
    assert_eq!(broken.len(), 3, "{broken:?}");
    assert!((size(&broken) - 4.0).abs() < 1e-9, "{broken:?}");
    let long = "Bladderwrack and Dulse and Eelgrass on Granite in the Lee of the Harbour Wall";
    let smaller = lines(&board(long), &plain("")).expect("fits");
    assert!(size(&smaller) < 3.5 && size(&smaller) >= plain("").type_floor(), "{smaller:?}");
    let joined: Vec<String> = words(smaller).into_iter().filter(|w| w != "7").collect();
    assert_eq!(joined.join(" "), long);
    let told = lines(&board(&long.repeat(6)), &plain("")).expect_err("does not fit");
    assert!(told.starts_with("label-too-small: ") && told.contains("Bladderwrack"), "{told}");
    assert_eq!(told.lines().count(), 1, "only the one colour: {told}");
    // Nothing is under the floor, the quieter number neither: 0.79 x 4 mm would be.
    let floored = lines(&board("Tellin"), &plain(", type_floor: 3.9")).expect("fits");
    assert!(floored.iter().all(|l| l.1 >= 3.9 - 1e-9), "{floored:?}");
    // A lower floor lets more in.
    let low = lines(&board(&long.repeat(2)), &plain(", type_floor: 1"));
    assert!(low.is_ok(), "{low:?}");
}

#[test]
fn two_lines_give_the_number_one_of_its_own() {
    let board = Board::of(&[("first", "Tellin", "7")]);
    let text = |lines: u32| {
        format!("Labels(sheet: (paper: \"A4\"), label: (width: 40, height: 20), lines: {lines})")
    };
    for (n, rows) in [(1, 1), (2, 2), (3, 2)] {
        let r = own(&text(n));
        let set = set(&board.sheet(), &r, "plate", &places(&r, 0, 0)).expect("fits");
        let ys: BTreeSet<i64> = set.print().pages[0]
            .items
            .iter()
            .filter_map(|i| match &i.kind {
                ItemKind::Text(t) if i.origin.as_deref() == Some("first") => {
                    Some((t.y * 1000.0).round() as i64)
                }
                _ => None,
            })
            .collect();
        assert_eq!(ys.len(), rows, "{n} lines");
    }
}

#[test]
fn listings_that_have_no_room_are_told_and_numbers_are_never_anothers() {
    let demo = demo();
    let Loaded { range, sheet, .. } = &demo;
    let spelling = Spelling::shipped("en-GB").expect("shipped");
    let colours = choose::colours(range, sheet, &Choice::default()).expect("all");
    let mut told = Findings::default();
    let one =
        Wording { range, shown: sheet.centre(), spelling: &spelling }.said(&colours, 1, &mut told);
    assert!(messages(told).contains("no room for the listing 'dealer'"));
    assert!(one.iter().all(|s| s.entries.len() == 1));
    // A colour that the dealer does not list: its name, not its works number.
    let dealer = CentreLine { listing: ListingId(1), name: true, number: true };
    let mut told = Findings::default();
    let board = Board::of(&[("first", "Tellin", "7")]);
    let small = board.sheet();
    let all = Wording { range: &small.range, shown: &[dealer], spelling: &spelling }.said(
        &[ColourId(0)],
        1,
        &mut told,
    );
    assert_eq!(
        (all[0].entries[0].name.as_str(), all[0].entries[0].number.as_str()),
        ("Tellin", "")
    );
    assert!(messages(told).starts_with("not-listed"));
}

/// Long names, accents, numbers of twelve characters, names and numbers that are missing: on every
/// label of a set the number begins at one place, no smaller than the name.
#[test]
fn the_number_stands_in_one_place_and_is_as_large_as_the_name() {
    let long = "Bladderwrack and Dulse and Eelgrass on Granite in the Lee of the Harbour Wall";
    let board = Board::of(&[
        ("a", "Tellin", "7"),
        ("b", long, "WR-0001-0007"),
        ("c", "Crème brûlée à l’écume", "1131"),
        ("d", "", "204"),
        ("e", "Ångström", ""),
    ]);
    for style in STYLES {
        for name in LABEL_SHEETS {
            let r = label_sheet(name);
            let set = set(&board.sheet(), &r, style, &places(&r, 0, 0)).expect("fits");
            let mut numbers = BTreeSet::new();
            for (stand, key) in set.stands.iter().zip(["a", "b", "c", "d", "e"]) {
                let at = r.label_at(stand.row, stand.column);
                let texts: Vec<_> = set.print().pages[0]
                    .items
                    .iter()
                    .filter(|i| i.origin.as_deref() == Some(key))
                    .filter_map(|i| if let ItemKind::Text(t) = &i.kind { Some(t) } else { None })
                    .collect();
                assert!(texts.iter().any(|t| t.string == "Works list"), "{key}: the listing");
                let words: Vec<_> = texts.iter().filter(|t| t.string != "Works list").collect();
                // No dash and no line for what is not there.
                assert!(words.iter().all(|t| t.string.chars().any(char::is_alphanumeric)));
                assert_eq!(words.len() == 1, ["d", "e"].contains(&key), "{key}: {words:?}");
                if key == "e" {
                    continue;
                }
                let number = words.iter().min_by(|a, b| a.y.total_cmp(&b.y)).expect("a number");
                assert!(number.string.ends_with(['7', '1', '4']), "{}", number.string);
                assert!(words.iter().all(|t| t.size <= number.size + 1e-9), "{name} {style} {key}");
                let (x, y) = (number.x - at.x0, number.y - at.y0);
                numbers.insert([(x * 1e3).round() as i64, (y * 1e3).round() as i64]);
            }
            assert_eq!(numbers.len(), 1, "{name} {style}: {numbers:?}");
        }
    }
}

/// The names of other listings do not make the first one small.
#[test]
fn another_listing_is_set_smaller_first() {
    let r = label_sheet("a4");
    let demo = demo();
    let set = set(&demo, &r, "plate", &places(&r, 0, 0)).expect("fits");
    let list = set.list(&demo.range, |sample| sample.published);
    let csv = list.csv();
    let mut rows = csv.lines().map(|l| l.split(',').collect::<Vec<_>>());
    let at = rows.next().expect("heads").iter().position(|h| *h == "type mm").expect("a column");
    let full = rows.filter(|row| row[at] == "5.60").count();
    assert!(full >= 100, "{full} of 119 names at the label sheet's size");
}

// ---------------------------------------------------------------- what is made

#[test]
fn only_changed_labels() {
    let old = Board::of(&[
        ("same", "Tellin", "1"),
        ("renamed", "Kelp", "2"),
        ("renumbered", "Dulse", "3"),
        ("gone", "Ulva", "4"),
    ]);
    let new = Board::of(&[
        ("new", "Ormer", "9"),
        ("same", "Tellin", "1"),
        ("renamed", "Oarweed", "2"),
        ("renumbered", "Dulse", "33"),
    ]);
    let Loaded { range, sheet, .. } = new.sheet();
    let colours = choose::colours(&range, &sheet, &Choice::default()).expect("all");
    for file in ["sheet.ron", "range.ron"] {
        let described = load_either(&old.path(file), &mut Sources::default()).expect("loads");
        let due = choose::due(&described, &Labels::of_sheet(&range, &sheet), false, &colours);
        let keys: Vec<&str> = due.iter().map(|c| range.colour(*c).key().as_str()).collect();
        assert_eq!(keys, ["new", "renamed", "renumbered"], "{file}");
    }
    let same = load_either(&new.path("sheet.ron"), &mut Sources::default()).expect("loads");
    assert!(choose::due(&same, &Labels::of_sheet(&range, &sheet), false, &colours).is_empty());
}

#[test]
fn only_some_colours_in_the_sheets_order() {
    let Loaded { range, sheet, .. } = demo();
    let keys = |only: &[&str]| {
        let choice =
            Choice { only: only.iter().map(|k| (*k).to_owned()).collect(), ..Choice::default() };
        choose::colours(&range, &sheet, &choice)
            .map(|c| c.iter().map(|c| range.colour(*c).key().clone()).collect::<Vec<_>>())
            .map_err(messages)
    };
    let two = keys(&["butterfish", "gannet"]).expect("both are shown");
    assert_eq!(two.len(), 2);
    let all: Vec<String> = keys(&[]).expect("all");
    let at = |k: &String| all.iter().position(|a| a == k);
    assert!(at(&two[0]) < at(&two[1]));
    let told = keys(&["gannett", "marl"]).expect_err("neither");
    assert!(told.contains("unknown-colour") && told.contains("not-on-sheet"), "{told}");
}

/// Every contour is closed, has the area of its label, and touches no other.
#[test]
fn contours_are_labels() {
    let demo = demo();
    for name in LABEL_SHEETS {
        let r = label_sheet(name);
        let set = set(&demo, &r, "plate", &places(&r, 1, 5)).expect("fits");
        let mut count = 0;
        let (w, h) = r.label();
        // A rectangle without its corners outside the arcs.
        let area = w * h - (4.0 - PI) * r.corner_radius().powi(2);
        for cut in set.cuts() {
            let labels: Vec<_> = cut.contours.iter().filter(|c| c.label.is_some()).collect();
            for (n, contour) in labels.iter().enumerate() {
                assert_eq!(contour.label, Some(n));
                assert_eq!(contour.cut, Cut::Kiss);
                assert!(matches!(contour.path.elements().last(), Some(kurbo::PathEl::ClosePath)));
                let off = (contour.path.area().abs() - area).abs() / area;
                assert!(off < 1e-4, "{name}: {off}");
                let a = contour.path.bounding_box();
                let sheet = Rect::new(0.0, 0.0, cut.width, cut.height);
                assert_eq!(a.intersect(sheet), a, "{name}: off the sheet");
                for other in &labels[n + 1..] {
                    let both = a.intersect(other.path.bounding_box());
                    assert!(both.width() <= 0.0 || both.height() <= 0.0, "{name}: they meet");
                }
            }
            count += labels.len();
        }
        assert_eq!(count, 119, "{name}");
        let through =
            |n: usize| set.cuts()[n].contours.iter().filter(|c| c.cut == Cut::Through).count();
        // The roll is cut off around the labels, but for the piece that was before.
        let want = if name == "roll" { (0, 1) } else { (0, 0) };
        assert_eq!((through(0), through(1)), want, "{name}");
    }
}

// ---------------------------------------------------------------- files

/// A layer of cuts in a PDF: paths of page millimetres, y down, by layer.
struct Drawn {
    cuts: Vec<(String, Rect)>,
    /// Rectangles filled: left, top, right, bottom.
    fills: Vec<Rect>,
    /// Where texts begin.
    texts: Vec<(f64, f64)>,
}

/// Reads the operations of a page; the page's own matrix is taken off, since
/// it only turns millimetres into points, and checked.
fn drawn(doc: &lopdf::Document, page: lopdf::ObjectId, height: f64) -> Drawn {
    let bytes = doc.get_page_content(page);
    let content = lopdf::content::Content::decode(&bytes).expect("operations");
    let (mut cuts, mut fills, mut texts) = (Vec::new(), Vec::new(), Vec::new());
    let mut layer = None;
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut first_matrix = true;
    for op in &content.operations {
        let n: Vec<f64> =
            op.operands.iter().filter_map(|o| o.as_float().ok()).map(f64::from).collect();
        match op.operator.as_str() {
            "cm" if first_matrix => {
                first_matrix = false;
                // ISO 32000-1: user space is 1/72 in.
                let k = 72.0 / 25.4;
                let want = [k, 0.0, 0.0, -k, 0.0, height * k];
                assert!(n.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-3), "{n:?}");
            }
            "cm" => panic!("another matrix: {n:?}"),
            "BDC" => {
                let name = op.operands[1].as_name().expect("a name");
                layer = Some(String::from_utf8_lossy(name).into_owned());
            }
            "EMC" => layer = None,
            "m" | "l" => points.push((n[0], n[1])),
            "c" => points.extend([(n[0], n[1]), (n[2], n[3]), (n[4], n[5])]),
            "S" | "f" | "f*" => {
                // The extremes of a rounded rectangle are ends of its lines.
                let x = |f: fn(f64, f64) -> f64, from| points.iter().map(|p| p.0).fold(from, f);
                let y = |f: fn(f64, f64) -> f64, from| points.iter().map(|p| p.1).fold(from, f);
                let rect = Rect::new(
                    x(f64::min, f64::MAX),
                    y(f64::min, f64::MAX),
                    x(f64::max, f64::MIN),
                    y(f64::max, f64::MIN),
                );
                match (&layer, op.operator.as_str()) {
                    (Some(layer), "S") => cuts.push((layer.clone(), rect)),
                    (None, "f" | "f*") => fills.push(rect),
                    other => panic!("drawn where it should not be: {other:?}"),
                }
                points.clear();
            }
            "Tm" => texts.push((n[4], n[5])),
            _ => {}
        }
    }
    Drawn { cuts, fills, texts }
}

/// As the command does.
fn pdf(set: &Set) -> Vec<u8> {
    let lines: Vec<Vec<shadecard::paint::CutLine>> = set
        .cuts()
        .iter()
        .map(|sheet| {
            sheet
                .contours
                .iter()
                .map(|c| shadecard::paint::CutLine {
                    step: match c.cut {
                        Cut::Kiss => shadecard::paint::Step::PartialCutting,
                        Cut::Through => shadecard::paint::Step::Cutting,
                    },
                    path: c.path.clone(),
                })
                .collect()
        })
        .collect();
    let print = set.print();
    shadecard::paint::pdf_with_cuts(print.coloured(&print.palette.published()), &lines)
}

/// The position of every cut against its label: a chip at the left edge ends
/// 10 mm right of the cut and begins the bleed before it, so the two are
/// measured against each other and against the label sheet's figures. At most 0.005 mm.
#[test]
fn cuts_lie_on_their_labels_in_the_pdf() {
    let r = label_sheet("a4");
    let set = set(&demo(), &r, "plate", &places(&r, 0, 0)).expect("fits");
    let doc = lopdf::Document::load_mem(&pdf(&set)).expect("a PDF");
    let mut worst: f64 = 0.0;
    let mut count = 0;
    for page in doc.get_pages().into_values() {
        let drawn = drawn(&doc, page, 297.0);
        let chips: Vec<&Rect> =
            drawn.fills.iter().filter(|f| (f.width() - 11.5).abs() < 0.01).collect();
        assert_eq!(chips.len(), drawn.cuts.len());
        for (i, ((layer, cut), chip)) in drawn.cuts.iter().zip(chips).enumerate() {
            assert_eq!(layer, "MC1");
            // layouts/a4.labels.ron: margins 15 and 17, 58 x 35 mm, 3 mm apart, bleed 1.5.
            let (column, row) = ((i % 3) as f64, (i / 3) as f64);
            let (x, y) = (15.0 + column * 61.0, 17.0 + row * 38.0);
            let off = [
                cut.x0 - x,
                cut.y0 - y,
                cut.x1 - x - 58.0,
                cut.y1 - y - 35.0,
                chip.x0 - (cut.x0 - 1.5),
                chip.x1 - (cut.x0 + 10.0),
                chip.y0 - (cut.y0 - 1.5),
                chip.y1 - (cut.y1 + 1.5),
            ];
            worst = off.into_iter().fold(worst, |w, o| w.max(o.abs()));
            let inside = |p: &&(f64, f64)| cut.contains(kurbo::Point::new(p.0, p.1));
            // A name and a number at least.
            assert!(drawn.texts.iter().filter(inside).count() >= 2, "label {i} has its words");
            count += 1;
        }
    }
    assert_eq!(count, 119);
    assert!(worst < 0.005, "{worst} mm");
}

/// ISO 19593-1 (read second-hand): group and type of the step as names on a
/// layer; the layer in the catalogue; a Separation that nothing else uses.
#[test]
fn the_cutting_layer() {
    let r = label_sheet("roll");
    let set = set(&demo(), &r, "catalogue", &places(&r, 0, 0)).expect("fits");
    let doc = lopdf::Document::load_mem(&pdf(&set)).expect("a PDF");
    let catalog = doc.catalog().expect("a catalogue");
    let oc = catalog.get(b"OCProperties").and_then(|o| o.as_dict()).expect("layers");
    let groups = oc.get(b"OCGs").and_then(|o| o.as_array()).expect("a list");
    let mut steps = Vec::new();
    for group in groups {
        let group = doc.get_dictionary(group.as_reference().expect("indirect")).expect("there");
        assert_eq!(group.get(b"Type").and_then(|o| o.as_name()).expect("a type"), b"OCG");
        let meta = group.get(b"GTS_Metadata").and_then(|o| o.as_dict()).expect("metadata");
        let name = |key: &[u8]| meta.get(key).and_then(|o| o.as_name()).expect("a name");
        assert_eq!(name(b"GTS_ProcStepsGroup"), b"Structural");
        steps.push(String::from_utf8_lossy(name(b"GTS_ProcStepsType")).into_owned());
    }
    assert_eq!(steps, ["Cutting", "PartialCutting"]);
    let shown = oc.get(b"D").and_then(|o| o.as_dict()).expect("a configuration");
    assert!(shown.get(b"Name").is_ok());
    // ISO 32000-1, 8.11.4.4, tables 102 and 103: whoever prints asks the usage of these layers, which is
    // not to be printed.
    let asked = shown.get(b"AS").and_then(|o| o.as_array()).expect("usage applications");
    let asked = asked[0].as_dict().expect("one");
    assert_eq!(asked.get(b"Event").and_then(|o| o.as_name()).expect("an event"), b"Print");
    let category = asked.get(b"Category").and_then(|o| o.as_array()).expect("categories");
    assert_eq!(category[0].as_name().expect("a name"), b"Print");
    assert_eq!(asked.get(b"OCGs").and_then(|o| o.as_array()).expect("layers"), groups);
    for group in groups {
        let group = doc.get_dictionary(group.as_reference().expect("indirect")).expect("there");
        let usage = group.get(b"Usage").and_then(|o| o.as_dict()).expect("a usage");
        let print = usage.get(b"Print").and_then(|o| o.as_dict()).expect("of printing");
        assert_eq!(print.get(b"PrintState").and_then(|o| o.as_name()).expect("a state"), b"OFF");
    }
    assert_eq!(shown.get(b"BaseState").and_then(|o| o.as_name()).expect("a state"), b"ON");
    for page in doc.get_pages().into_values() {
        let resources = doc.get_dictionary(page).expect("a page");
        let resources = resources.get(b"Resources").and_then(|o| o.as_reference());
        let resources = doc.get_dictionary(resources.expect("indirect")).expect("there");
        let spaces = resources.get(b"ColorSpace").and_then(|o| o.as_dict()).expect("spaces");
        assert_eq!(spaces.len(), 2);
        for step in &steps {
            let space = spaces.get(step.as_bytes()).and_then(|o| o.as_array()).expect("a space");
            assert_eq!(space[0].as_name().expect("a name"), b"Separation");
            assert_eq!(space[1].as_name().expect("a name"), step.as_bytes());
        }
        let states = resources.get(b"ExtGState").and_then(|o| o.as_dict()).expect("states");
        let state = states.get(b"CutState").and_then(|o| o.as_dict()).expect("a state");
        assert!(state.get(b"OP").and_then(|o| o.as_bool()).expect("overprints"));
        let content = lopdf::content::Content::decode(&doc.get_page_content(page)).expect("read");
        let mut layer = false;
        let mut spots = 0;
        for op in &content.operations {
            match op.operator.as_str() {
                "BDC" => layer = true,
                "EMC" => layer = false,
                "CS" | "SCN" => {
                    assert!(layer, "a spot colour outside its layer");
                    spots += 1;
                }
                "cs" | "scn" => panic!("a spot colour fills"),
                "f" | "f*" => assert!(!layer, "filled in the layer of cuts"),
                _ => {}
            }
        }
        // Two layers a page, each with a space and a tint.
        assert_eq!(spots, 4);
    }
}

/// A pixel in the middle of a label's upper edge shows the cut.
#[test]
fn the_proof_shows_print_and_cut() {
    let board = Board::of(&[("first", "Tellin", "7"), ("second", "Kelp", "8")]);
    let out = board.run(&["sheet.ron", "--spelling", "en-GB"]);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let png = std::fs::read(board.path("out/board/labels/labels.en-GB.1-of-1.proof.png"));
    let mut reader =
        png::Decoder::new(std::io::Cursor::new(png.expect("written"))).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("small")];
    let info = reader.next_frame(&mut pixels).expect("a frame");
    let step = info.color_type.samples();
    let at = |x: f64, y: f64| {
        let k = f64::from(info.width) / 210.0;
        let (x, y) = ((x * k) as usize, (y * k) as usize);
        let i = (y * info.width as usize + x) * step;
        [pixels[i], pixels[i + 1], pixels[i + 2]]
    };
    let violet = |p: [u8; 3]| p[2] > 200 && p[1] < 160 && p[0] < p[2];
    assert!(violet(at(15.0 + 29.0, 17.0)), "{:?}", at(44.0, 17.0));
    assert!(!violet(at(15.0 + 122.0 + 29.0, 17.0)), "the third place is empty");
    // The chip, in the colour's value.
    assert_eq!(at(20.0, 30.0), [0xa0, 0x30, 0x20]);
}

// ---------------------------------------------------------------- the command

fn json(out: &Output) -> serde_json::Value {
    serde_json::from_slice(&out.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&out.stderr)))
}

#[test]
fn the_number_of_sheets_is_that_of_supplies() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |args: &[&str]| {
        let out = Command::new(env!("CARGO_BIN_EXE_shadecard")).args(args).output().expect("runs");
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
        json(&out)
    };
    let sheet = "demo/haberdashery/sheet.ron";
    let dir = folder.path().to_str().expect("a path");
    for (spoiled, part_used, copies) in [("0", 0, "1"), ("1", 10, "1"), ("2", 0, "2")] {
        let at = (part_used + 1).to_string();
        let labels = run(&[
            "labels",
            sheet,
            "--spelling",
            "en-GB",
            "--json",
            "--out",
            dir,
            "--spoiled-rows",
            spoiled,
            "--first-free",
            &at,
            "--copies",
            copies,
        ]);
        let supplies = run(&[
            "supplies",
            sheet,
            "--json",
            "--spoiled-rows",
            spoiled,
            "--first-free",
            &at,
            "--labels-each",
            copies,
        ]);
        let of = &supplies["label_sheets"];
        let text = serde_json::to_string(of).expect("text");
        let new = labels[0]["new_sheets"].as_u64().expect("a count");
        assert!(of.is_object(), "{supplies}");
        assert_eq!(of["needed"].as_u64(), Some(new), "{text}");
        let files = labels[0]["files"].as_array().expect("files");
        let proofs = files.iter().filter(|f| f.as_str().is_some_and(|f| f.ends_with(".png")));
        let on_part_used = labels[0]["on_part_used_sheet"].as_u64().expect("a count");
        assert_eq!(proofs.count() as u64, new + u64::from(on_part_used > 0));
        assert!(files.iter().all(|f| Path::new(f.as_str().expect("a path")).exists()));
    }
}

#[test]
fn the_list_has_every_label_with_its_words() {
    let board = Board::of(&[("first", "Tellin", "7"), ("second", "Grey Kelp", "8")]);
    let out =
        board.run(&["sheet.ron", "--spelling", "en-US", "--copies", "2", "--first-free", "21"]);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let list = std::fs::read_to_string(board.path("out/board/labels/labels.en-US.csv"));
    let list = list.expect("written");
    let rows: Vec<Vec<&str>> = list.lines().map(|l| l.split(',').collect()).collect();
    assert_eq!(
        rows[0][..7],
        ["sheet", "place", "row", "column", "key", "works name", "works number"]
    );
    let first: Vec<_> = rows[1..].iter().map(|r| (r[0], r[1], r[4], r[5], r[6])).collect();
    assert_eq!(
        first,
        [
            ("1", "21", "first", "Tellin", "7"),
            ("2", "1", "first", "Tellin", "7"),
            ("2", "2", "second", "Gray Kelp", "8"),
            ("2", "3", "second", "Gray Kelp", "8"),
        ]
    );
    let used = std::fs::read_to_string(board.path("out/board/labels/labels.en-US.used.csv"));
    assert_eq!(used.expect("written"), "place\n1\n2\n3\n");
}

/// The file to print has everything of the other one but its layers.
#[test]
fn a_file_to_print_has_no_cut() {
    let board = Board::of(&[("first", "Tellin", "7"), ("second", "Kelp", "8")]);
    let out = board.run(&["sheet.ron", "--label-sheet", "roll", "--spelling", "en-GB"]);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let read = |name: &str| {
        let file = board.path(&format!("out/board/labels/labels.en-GB.{name}"));
        let doc = lopdf::Document::load(file).expect("a PDF");
        let page = doc.get_pages().into_values().next().expect("a page");
        let content = lopdf::content::Content::decode(&doc.get_page_content(page)).expect("read");
        let ops = content.operations.into_iter().map(|op| op.operator).collect::<Vec<_>>();
        let layers = doc.catalog().expect("a catalogue").get(b"OCProperties").is_ok();
        (ops, layers)
    };
    let (both, layered) = read("pdf");
    let (print, plain) = read("print.pdf");
    let count = |ops: &[String], op: &str| ops.iter().filter(|o| *o == op).count();
    assert!(layered && count(&both, "S") == 3 && count(&both, "BDC") == 2);
    assert!(!plain && ["S", "BDC", "CS"].iter().all(|op| count(&print, op) == 0), "{print:?}");
    assert_eq!(
        print.len(),
        both[..both.iter().position(|o| o == "BDC").expect("layers")].len() + 1
    );
}

/// Pictures of a run before, of another number of sheets, would be taken for this one's.
#[test]
fn older_pictures_go() {
    let board = Board::of(&[("first", "Tellin", "7"), ("second", "Kelp", "8")]);
    let pictures = || {
        let folder = std::fs::read_dir(board.path("out/board/labels")).expect("a folder");
        let names = folder.map(|e| e.expect("an entry").file_name().into_string().expect("text"));
        let mut names: Vec<String> = names.filter(|n| !n.ends_with(".pdf")).collect();
        names.sort();
        names.retain(|n| n.ends_with(".png"));
        names
    };
    let run = |args: &[&str]| assert!(board.run(&[&["sheet.ron"], args].concat()).status.success());
    run(&["--spelling", "en-GB", "--spelling", "en-US", "--copies", "20"]);
    assert_eq!(pictures().len(), 4);
    let mine = board.path("out/board/labels/labels.en-GB.of-my-own.proof.png");
    std::fs::write(&mine, "kept").expect("written");
    run(&["--spelling", "en-GB"]);
    assert_eq!(
        pictures(),
        [
            "labels.en-GB.1-of-1.proof.png",
            "labels.en-GB.of-my-own.proof.png",
            "labels.en-US.1-of-2.proof.png",
            "labels.en-US.2-of-2.proof.png",
        ]
    );
}

#[test]
fn same_input_same_bytes() {
    let board = Board::of(&[("first", "Tellin", "7"), ("second", "Kelp", "8")]);
    for dir in ["a", "b"] {
        assert!(board.run(&["sheet.ron", "--label-sheet", "roll", "--out", dir]).status.success());
    }
    let mut compared = 0;
    for file in std::fs::read_dir(board.path("a/board/labels")).expect("a folder") {
        let file = file.expect("an entry");
        let other = board.path("b/board/labels").join(file.file_name());
        let (a, b) = (std::fs::read(file.path()), std::fs::read(other));
        assert!(a.expect("read") == b.expect("read"), "{:?}", file.file_name());
        compared += 1;
    }
    assert!(compared >= 4, "{compared}");
}

#[test]
fn the_help_has_a_caution_and_faults_are_reported() {
    let board = Board::of(&[("first", "Tellin", "7")]);
    let help = board.run(&["--help"]);
    let help = String::from_utf8_lossy(&help.stdout).into_owned();
    assert!(help.contains("Caution: cutting machines and knives have sharp blades"), "{help}");
    std::fs::write(board.path("bad.labels.ron"), "Labels(sheet: (paper: \"A4\"))")
        .expect("written");
    for (args, piece) in [
        (vec!["--label-sheet", "a5"], "there is no label sheet 'a5'"),
        (vec!["--label-sheet", "bad.labels.ron"], "the label sheet has no 'label'"),
        (vec!["--label-sheet", "none.ron"], "none.ron"),
        (vec!["--first-free", "22"], "--first-free must be from 1 to 21, not 22"),
        (vec!["--spoiled-rows", "7"], "no labels are left"),
        (vec!["--copies", "0"], "--copies must be from 1 to 1000, not 0"),
        (vec!["--only", "fist"], "there is no colour 'fist'"),
        (vec!["--family", "glos"], "this sheet shows no family 'glos'"),
        (vec!["--listing", "work"], "there is no listing 'work'"),
        (
            vec!["--spelling", "en-GB", "--spelling", "en-US", "--first-free", "2"],
            "one spelling only",
        ),
        (vec!["--used", "nowhere.csv"], "nowhere.csv"),
        (vec!["--since", "nowhere.ron"], "nowhere.ron"),
    ] {
        let out = board.run(&[&["sheet.ron"], args.as_slice()].concat());
        let told = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(1), "{args:?}: {told}");
        assert!(told.to_lowercase().contains(&piece.to_lowercase()), "{args:?}: {told}");
        assert!(!board.path("out").exists(), "{args:?} wrote something");
    }
    let none = board.run(&["sheet.ron", "--since", "sheet.ron"]);
    assert_eq!(none.status.code(), Some(0));
    assert!(String::from_utf8_lossy(&none.stderr).contains("nothing is written"));
    assert!(!board.path("out").exists());
}
