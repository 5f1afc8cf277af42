//! All that is printed: every word of it comes from the spelling, and long names stay on the page.

use std::path::Path;
use std::process::Command;

use crate::positions::none;
use shadecard::board::{place, place::Board};
use shadecard::diag::Sources;
use shadecard::plan::papers::paper;
use shadecard::plan::{Look, Style};
use shadecard::press::tell::{Case, Names};
use shadecard::press::{self, Print, Report};
use shadecard::range::{Loaded, load};
use shadecard::sheet::Setting;
use shadecard::sheet::{ItemKind, Sheet};
use shadecard::spelling::Spelling;
use shadecard::supplies::tick_list;
use shadecard::supplies::{LabelGrid, Naming, Spares, Stock, Supplies, SuppliesRequest};
use shadecard::work::Work;
use shadecard::{board, proof};
use tempfile::TempDir;

const Q: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle cx="4.5" cy="4.5" r="4.5" fill="#888888"/></svg>"##;

/// A small range of names in the letter Q alone; two pairs of its colours are alike.
fn range(release: &str, changed: &str) -> String {
    format!(
        r##"Range(maker: "Qqq", release: "{release}",
    listings: [(key: "qa", title: "Qa"), (key: "qb", title: "Qb")],
    families: [(key: "q", title: "Qqqq", note: "qq", legend: "qqq"), (key: "qc", title: "Qc", finish: clear)],
    parts: [(key: "q1", numbers: {{"qa": "11"}}, title: "Qqq", size: "9", side: left, shape: "q.svg"),
            (key: "q2", numbers: {{"qa": "12", "qb": "Q-12"}}, title: "Qq", size: "9", side: right, shape: "q.svg")],
    colours: [
        (key: "qa1", family: "q", names: {{"qa": "Qqa", "qb": "Qqb"}}, numbers: {{"qa": "101", "qb": "Q-1"}}, value: "#c23b22"),
        (key: "qa2", family: "q", names: {{"qa": "{changed}"}}, numbers: {{"qa": "102"}}, value: "#c43d20"),
        (key: "qa3", family: "q", names: {{"qa": "Qqq"}}, numbers: {{"qa": "103"}}, value: "#0050ff"),
        (key: "qa4", family: "qc", names: {{"qa": "Qqqq"}}, numbers: {{"qa": "104"}}, value: "#0056fa"),
        (key: "qa5", family: "qc", names: {{"qa": "Qq"}}, value: "#f8f7f3"),
    ],
    made: (rows: {{"qa1": "xx", "qa2": "x.", "qa3": "xx", "qa4": ".x", "qa5": "xx"}}))"##
    )
}

const SHEET: &str = r#"Sheet(range: "RANGE", name: "q", title: "Qq", subtitle: "{colours_words} {scale}",
    imprint: ["{release} · {spelling}"], style: "STYLE", year: 2026, spellings: ["de"], headings: "qa",
    centre: [(listing: "qa"), (listing: "qb")], legend_parts: ["q1"], editions: [(name: "q", layout: "a4")])"#;

/// The letters of a text that are filled in by nobody, each become this one.
const MARK: char = 'ż';

fn marked(text: &str) -> String {
    let mut inside = false;
    let letter = |c: char| {
        inside = (inside || c == '{') && c != '}';
        if c.is_alphabetic() && !inside { MARK } else { c }
    };
    text.chars().map(letter).collect()
}

/// British spelling with every phrase and every number in marks.
fn spelling() -> String {
    let british = std::fs::read_to_string("src/spelling/en-GB.ron").expect("the file");
    let mut out = String::new();
    let mut in_words = false;
    let mut phrases = 0;
    for line in british.lines() {
        in_words |= line.trim().starts_with("numbers:");
        let pair = line.split_once("\": \"").filter(|_| line.trim().starts_with('"'));
        let line = match pair {
            Some((key, text)) => {
                phrases += 1;
                let end = text.rfind('"').expect("an end");
                format!("{key}\": \"{}{}", marked(&text[..end]), &text[end..])
            }
            None if in_words => {
                // Only what is in quotation marks.
                let parts: Vec<String> = line
                    .split('"')
                    .enumerate()
                    .map(|(i, p)| if i % 2 == 1 { marked(p) } else { p.to_owned() })
                    .collect();
                parts.join("\"")
            }
            None => line.to_owned(),
        };
        out += &(line + "\n");
    }
    assert!(phrases > 150, "{phrases} phrases are marked");
    out
}

fn folder(style: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        std::fs::write(folder.path().join(name), text).expect("written");
    };
    std::fs::create_dir(folder.path().join("spelling")).expect("a folder");
    write("spelling/de.ron", &spelling());
    write("q.svg", Q);
    let sheet = SHEET.replace("STYLE", style);
    for (name, release, changed) in [("old", "Q1", "Qqqqq"), ("new", "Q2", "Qqqqqq")] {
        write(&format!("{name}.ron"), &range(release, changed));
        write(&format!("{name}-sheet.ron"), &sheet.replace("RANGE", &format!("{name}.ron")));
    }
    folder
}

/// Texts of a PDF, its title first; a text on a page may come in pieces.
fn texts(file: &Path) -> Vec<String> {
    let doc = lopdf::Document::load(file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let info = doc.trailer.get(b"Info").and_then(|o| o.as_reference()).expect("what it is");
    let info = doc.get_dictionary(info).expect("there");
    let title = info.get(b"Title").and_then(lopdf::decode_text_string).expect("a title");
    let pages: Vec<u32> = doc.get_pages().into_keys().collect();
    let mut out = vec![title];
    for page in pages {
        out.extend(doc.extract_text(&[page]).expect("text").lines().map(str::to_owned));
    }
    out
}

/// Words that are no words of a language: units, a kind of file, what the person wrote as an option.
const KEPT: [&str; 5] = ["mm", "in", "svg", "coated", "x"];

/// What of some texts is neither a mark nor a name; and the number of marks.
fn strange(texts: &[String]) -> (Vec<String>, usize) {
    let marks = texts.iter().map(|t| t.matches(MARK).count()).sum();
    let words = texts.iter().flat_map(|t| t.split(|c: char| !c.is_alphabetic()));
    let name = |w: &str| w.chars().all(|c| ['q', 'Q', 'a', 'b', 'c'].contains(&c) || c == MARK);
    // Tiles are A1, B2.
    let tile = |w: &str| w.chars().count() == 1 && w.chars().all(char::is_uppercase);
    let odd = words.filter(|w| !name(w) && !tile(w) && !KEPT.contains(w));
    (odd.map(str::to_owned).collect(), marks)
}

#[test]
fn every_printed_word_is_of_the_spelling() {
    for style in ["plate", "catalogue"] {
        let folder = folder(style);
        let at = folder.path();
        let run = |args: &[&str]| {
            let out = Command::new(env!("CARGO_BIN_EXE_shadecard"))
                .current_dir(at)
                .args(args)
                .output()
                .expect("it runs");
            assert!(out.status.success(), "{args:?}: {}", String::from_utf8_lossy(&out.stderr));
        };
        let sheet = "new-sheet.ron";
        run(&["make", sheet, "--format", "pdf", "--panels", "150x200"]);
        run(&["labels", sheet]);
        run(&["labels", sheet, "--trial", "--out", "trial"]);
        run(&["board", sheet, "--out", "board.pdf", "--panels", "150x200"]);
        let spare = ["--spares", "1", "--spoiled-rows", "1", "--first-free", "9"];
        run(&[&["supplies", sheet, "--out", "list.pdf"], &spare[..]].concat());
        run(&[&["supplies", sheet, "--out", "list.md"], &spare[..]].concat());
        run(&["shapes", sheet, "--out", "shapes.pdf"]);
        run(&["proof", sheet, "--paper", "coated", "--quiet"]);
        let old = ["compare", "old-sheet.ron", sheet, "--for", "buyers", "--out", "note.pdf"];
        run(&old);
        let mut read = 0;
        for (name, least) in [
            ("out/q/q.de.pdf", 50),
            ("out/q/q.de.panels-150x200.pdf", 400),
            ("out/q/labels/labels.de.pdf", 10),
            ("out/q/labels/labels.de.print.pdf", 10),
            ("trial/q/labels/trial.pdf", 5),
            ("board.pdf", 400),
            ("list.pdf", 50),
            ("shapes.pdf", 100),
            ("out/q-proof/coated.q.de.proof.pdf", 200),
            ("note.pdf", 50),
        ] {
            let (odd, marks) = strange(&texts(&at.join(name)));
            assert!(odd.is_empty(), "{style} {name}: {odd:?}");
            assert!(marks >= least, "{style} {name}: {marks} marks");
            read += 1;
        }
        assert_eq!(read, 10);
        let list = std::fs::read_to_string(at.join("list.md")).expect("the list");
        let (odd, marks) = strange(&[list]);
        assert!(odd.is_empty() && marks > 50, "{style} list.md: {marks} {odd:?}");
    }
}

// ---------------------------------------------------------------- margins

const LONG: &str = "Bladderwrack and Dulse and Eelgrass on Granite in the Lee of the Harbour Wall of the Northern Islands";

/// The small range with names, titles and numbers of great length.
fn long(folder: &Path) -> Loaded {
    let range = std::fs::read_to_string(folder.join("new.ron")).expect("the range");
    let range = range
        .replace("Qqqqqq", LONG)
        .replace("\"Qqqq\"", &format!("\"{LONG}\""))
        .replace("\"Qqq\"", &format!("\"{LONG}, Unlimited\""))
        .replace("\"Qa\"", &format!("\"{LONG}\""))
        .replace("\"Q2\"", &format!("\"{LONG}\""))
        .replace("\"103\"", "\"WR-0001-0007\"")
        .replace("size: \"9\"", "size: \"nine across, measured over the rim, and three high\"");
    std::fs::write(folder.join("new.ron"), range).expect("written");
    let sheet = std::fs::read_to_string(folder.join("new-sheet.ron")).expect("the sheet");
    let sheet = sheet.replace("\"Qq\"", &format!("\"{LONG}, and of the Western ones\""));
    std::fs::write(folder.join("new-sheet.ron"), sheet).expect("written");
    let loaded = load(&folder.join("new-sheet.ron"), &mut Sources::default());
    loaded.unwrap_or_else(|f| panic!("{:?}", f.sorted()))
}

/// Texts that end past the margins at the sides, or under the lower one.
fn past(sheet: &Sheet, side: f64, bottom: f64) -> Vec<String> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    items
        .filter_map(|item| match &item.kind {
            ItemKind::Text(t) => {
                let wide = t.x < side - 1e-6 || t.x + t.advance > sheet.width - side + 1e-6;
                (wide || t.y > sheet.height - bottom + 1e-6)
                    .then(|| format!("'{}' from {:.2} to {:.2}", t.string, t.x, t.x + t.advance))
            }
            _ => None,
        })
        .collect()
}

#[test]
fn long_names_and_titles_keep_the_margins() {
    for style_name in ["plate", "catalogue"] {
        let folder = folder(style_name);
        let Loaded { range, sheet, .. } = long(folder.path());
        let style = Style::shipped(style_name).expect("shipped");
        let spelling = Spelling::shipped("en-GB").expect("shipped");
        let naming =
            Naming { range: &range, sheet: &sheet, listing: sheet.headings(), spelling: &spelling };
        let wish = SuppliesRequest {
            families: Vec::new(),
            each: 1,
            spares: Spares::NONE,
            stand_ins: true,
            labels_each: 1,
            tile_spares: Spares::NONE,
            grid: LabelGrid::new(7, 3, 0).expect("a grid"),
            used: 0,
        };
        let supplies = Supplies::new(&range, &sheet, &wish, &Stock::default());
        let a4 = paper("A4").expect("a paper");
        let work = Work::default();
        let setting = Setting { style: &style, paper: a4, work: &work };
        let list = tick_list::sheet(&supplies, &naming, &wish, &setting);
        let list = list.unwrap_or_else(|f| panic!("{:?}", f.sorted()));
        none(&format!("{style_name}: tick list"), past(&list, 14.0, 9.0));

        let look = Look::new(&style, 210.0, 297.0, 1.764).expect("a look");
        let voices = board::draw::Voices::new(&look);
        let caption = |part| voices.caption(&look, &naming, part);
        let wish = place::BoardRequest { columns: Some(1), width: None, blank: (50.0, 25.0) };
        let map = Board::new(&range, &supplies, &wish, &caption).expect("a board");
        let map = board::draw::sheet(&map, &naming, (&look, &work), None).unwrap();
        none(&format!("{style_name}: board"), past(&map, place::EDGE, 1.0));

        let chosen =
            press::open_plain("coated", &sheet, None, &shadecard::session::Session::default())
                .expect("a paper");
        let print = Print::plain(&chosen.paper, &range, &sheet);
        let report = Report::new(&chosen.paper, &print, 10.0, &work);
        assert!(report.pairs.len() >= 2, "{} pairs", report.pairs.len());
        let (paper, print, report) = (&chosen.paper, &print, &report);
        let case = Case { paper_name: LONG, how: "plain", paper, print, report };
        let names = Names { range: &range, listing: sheet.headings() };
        // As wide as one column of the lists, and as two.
        let narrow = Sheet { width: 110.0, ..list.clone() };
        for page in [&list, &narrow] {
            let pages = proof::pages(page, &look, &case, (names, &spelling));
            none(&format!("{style_name}: proof"), past(&pages, look.side, look.bottom));
        }
        let pages = proof::pages(&narrow, &look, &case, (names, &spelling));
        lined_up(&pages, &look, style_name);
    }
}

/// Differences are set in tabular lining figures, all that are in a column with one right end.
fn lined_up(pages: &Sheet, look: &Look, style: &str) {
    let figure = |s: &str| {
        s.split_once('.').is_some_and(|(a, b)| {
            b.len() == 2 && !a.is_empty() && (a.to_owned() + b).chars().all(|c| c.is_ascii_digit())
        })
    };
    let mut ends = std::collections::BTreeSet::new();
    let mut count = 0;
    for item in pages.pages.iter().flat_map(|p| &p.items) {
        let ItemKind::Text(t) = &item.kind else { continue };
        // The sums in the head are larger.
        if !figure(&t.string) || t.size > look.voices.body.size + 1e-9 {
            continue;
        }
        assert_eq!(t.face, look.voices.number.face, "{style}: '{}'", t.string);
        ends.insert(((t.x + t.advance) * 1e3).round() as i64);
        count += 1;
    }
    let width = |text: &str| look.width(look.voices.number, text);
    assert!((width("1111") - width("8808")).abs() < 1e-9, "{style}: figures of one width");
    // Two lists with two columns of figures each.
    assert!(count >= 9 && ends.len() <= 4, "{style}: {count} figures end at {ends:?}");
}
