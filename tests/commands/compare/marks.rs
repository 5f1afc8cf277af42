//! `make --new-since`: the marks of new colours.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use kurbo::{PathEl, Rect};
use shadecard::compare::new_colours;
use shadecard::edition::Editions;
use shadecard::range::{ColourId, MarkedNew};
use shadecard::sheet::{Item, ItemKind, Role, Sheet};

use super::{edit, load};
use crate::positions::{bodies, colours_once_in_order, depth, inside_the_page, none, open};
use crate::positions::{readable, samples_apart, text_box, texts_clear};

const SHEET: &str = "demo/haberdashery/sheet.ron";
/// In grids, in loose rows, under stand-ins; the last is new but not shown.
const NEW: [&str; 6] = ["sea-fan", "kittiwake", "fowl-egg", "lagoon", "doubloon", "mica-cove"];

/// The demo's range without some of its colours, as an older release.
fn old(folder: &Path) -> PathBuf {
    let range = std::fs::read_to_string("demo/haberdashery/range.ron").expect("the demo");
    let is_new = |line: &str| {
        NEW.iter().any(|key| {
            line.contains(&format!("(key: \"{key}\","))
                || line.trim().starts_with(&format!("\"{key}\":"))
        })
    };
    let kept: Vec<&str> = range.lines().filter(|line| !is_new(line)).collect();
    assert_eq!(kept.len() + 2 * NEW.len(), range.lines().count(), "a colour and a row each");
    let range = edit(&kept.join("\n"), &[("\"Release 7\"", "\"Spring release\"")]);
    std::fs::create_dir(folder.join("shapes")).expect("made");
    for shape in std::fs::read_dir("demo/haberdashery/shapes").expect("shapes") {
        let shape = shape.expect("a shape");
        std::fs::copy(shape.path(), folder.join("shapes").join(shape.file_name())).expect("copied");
    }
    super::write(folder, "range.ron", &range)
}

fn marked(editions: &mut Editions, old: &Path) {
    let old = load(old).range;
    let colours = new_colours(&old, &editions.range);
    editions.sheet.mark_new(MarkedNew { since: old.release().value.clone(), colours });
}

/// Triangles of the furniture.
fn is_mark(item: &Item) -> bool {
    let ItemKind::Area(area) = &item.kind else { return false };
    let corners = area.path.elements();
    item.role == Role::Furniture
        && corners.len() == 4
        && matches!(corners[..], [PathEl::MoveTo(_), PathEl::LineTo(_), PathEl::LineTo(_), _])
}

fn marks(sheet: &Sheet) -> Vec<&Item> {
    sheet.pages.iter().flat_map(|p| &p.items).filter(|i| is_mark(i)).collect()
}

/// Marks that touch a sample with its shadow, a text or a chip.
fn touching(sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    for (n, page) in sheet.pages.iter().enumerate() {
        let mut taken: Vec<Rect> = bodies(sheet, n).iter().map(|(_, item)| item.bounds).collect();
        taken.extend(page.items.iter().filter_map(|item| match &item.kind {
            ItemKind::Text(text) => Some(text_box(text)),
            ItemKind::Area(_) if !is_mark(item) => Some(item.bounds),
            _ => None,
        }));
        for mark in page.items.iter().filter(|i| is_mark(i)) {
            for other in taken.iter().filter(|other| depth(mark.bounds, **other) > -0.02) {
                faults.push(format!(
                    "the mark of {:?} {:?} touches {other:?}",
                    mark.origin, mark.bounds
                ));
            }
        }
    }
    faults
}

/// Everything but the marks, in words.
fn others(sheet: &Sheet) -> Vec<String> {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    items.filter(|i| !is_mark(i)).map(|i| format!("{i:?}")).collect()
}

#[test]
fn exactly_the_new_colours_are_marked_and_nothing_moves_or_is_touched() {
    let folder = tempfile::tempdir().expect("a folder");
    let old = old(folder.path());
    for style in ["plate", "catalogue"] {
        let mut all = open(Path::new(SHEET), Some(style));
        let every = (0..all.range.colours().len()).map(ColourId).collect();
        let since = load(&old).range.release().value.clone();
        all.sheet.mark_new(MarkedNew { since, colours: every });
        let mut editions = open(Path::new(SHEET), Some(style));
        marked(&mut editions, &old);
        let workshop = editions.workshop();
        for (entry, all_entry) in editions.variants().zip(all.variants()) {
            let name = format!("{style} {}", entry.stem());
            let planned = editions.plan(entry).unwrap_or_else(|d| panic!("{name}: {}", d.message));
            let sheet = planned.place(&workshop);
            let origins: Vec<&str> =
                marks(&sheet).iter().filter_map(|i| i.origin.as_deref()).collect();
            let expected: BTreeSet<&str> =
                NEW.into_iter().filter(|key| *key != "fowl-egg").chain(["legend"]).collect();
            assert_eq!(origins.len(), expected.len(), "{name}: {origins:?}");
            assert_eq!(origins.into_iter().collect::<BTreeSet<_>>(), expected, "{name}");
            let mut faults = touching(&sheet);
            faults.extend(colours_once_in_order(&editions, &planned, &sheet));
            faults.extend(inside_the_page(&sheet));
            faults.extend(samples_apart(&sheet));
            faults.extend(texts_clear(&sheet));
            faults.extend(readable(&sheet, 5.0 * 25.4 / 72.0));
            none(&name, faults);
            // With a mark on every colour nothing else is elsewhere, and none touches anything.
            let planned = all.plan(all_entry).unwrap_or_else(|d| panic!("{}", d.message));
            let full = planned.place(&workshop);
            let in_rows =
                marks(&full).iter().filter(|i| i.origin.as_deref() != Some("legend")).count();
            assert_eq!(in_rows, all.sheet.colour_count(), "{name}");
            // In the legend the note has one, and so may the row that it shows.
            assert!((1..=2).contains(&(marks(&full).len() - in_rows)), "{name}");
            assert!(others(&full) == others(&sheet), "{name}: something moved");
            none(&name, touching(&full));
        }
    }
}

fn words(sheet: &Sheet) -> String {
    let items = sheet.pages.iter().flat_map(|p| &p.items);
    let texts = items.filter_map(|i| match &i.kind {
        ItemKind::Text(text) => Some(text.string.as_str()),
        _ => None,
    });
    texts.collect::<Vec<_>>().join(" ")
}

#[test]
fn the_legend_names_the_release_where_it_has_a_name_and_colours_are_marked() {
    let mut editions = open(Path::new("demo/haberdashery/gloss-only.ron"), None);
    let workshop = editions.workshop();
    let place = |editions: &Editions| {
        let planned = editions
            .plan(editions.variants().next().expect("an edition"))
            .unwrap_or_else(|d| panic!("{}", d.message));
        words(&planned.place(&workshop))
    };
    let find = |editions: &Editions, key: &str| {
        let at = editions.range.colours().iter().position(|c| c.key() == key);
        [ColourId(at.expect("a colour"))].into()
    };
    let since = |text: &str| shadecard::range::Words { text: text.into(), ..Default::default() };
    let colours = find(&editions, "sea-fan");
    editions.sheet.mark_new(MarkedNew { since: since("Spring release"), colours });
    assert!(place(&editions).contains("Marked: new since Spring release."));
    let colours = find(&editions, "sea-fan");
    editions.sheet.mark_new(MarkedNew { since: since(""), colours });
    assert!(place(&editions).contains("Marked: new in this release."));
    // A clear colour is not on the gloss sheet.
    let colours = find(&editions, "lagoon");
    editions.sheet.mark_new(MarkedNew { since: since("Spring release"), colours });
    assert!(!place(&editions).contains("Marked"));
}

fn make(out: &Path, more: &[&str]) -> std::process::Output {
    let sheet = "demo/haberdashery/gloss-only.ron";
    let out = out.to_str().expect("a name");
    let args = ["make", sheet, "--edition", "a4", "--spelling", "en-US", "--format", "svg"];
    Command::new(env!("CARGO_BIN_EXE_shadecard"))
        .args(args)
        .args(["--out", out])
        .args(more)
        .output()
        .expect("runs")
}

#[test]
fn the_command_marks_or_says_what_is_wrong_with_the_older_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let old = old(folder.path());
    let old = old.to_str().expect("a name");
    let run = make(folder.path(), &["--new-since", old]);
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let svg = folder.path().join("gloss-only/a4.en-US.svg");
    let svg = crate::svg_words::words(&std::fs::read_to_string(svg).expect("made"));
    assert!(svg.contains("Marked: new since Spring release."));
    // Against itself nothing is new, and the sheet is as without.
    let run = make(&folder.path().join("same"), &["--new-since", "demo/haberdashery/range.ron"]);
    assert!(String::from_utf8_lossy(&run.stderr).contains("nothing is marked"));
    assert!(make(&folder.path().join("plain"), &[]).status.success());
    let read = |name: &str| {
        std::fs::read(folder.path().join(name).join("gloss-only/a4.en-US.svg")).expect("made")
    };
    assert!(read("same") == read("plain"));
    let broken = super::write(folder.path(), "broken.ron", "Range(\n    releases: \"7\",\n)");
    let run = make(folder.path(), &["--new-since", broken.to_str().expect("a name")]);
    assert_eq!(run.status.code(), Some(1));
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(said.contains("broken.ron, line 2, column 5"), "{said}");
}
