//! Bad inputs, each with the findings it has to give.
//!
//! A fixture is a file in `tests/faults/`. Its comments say what is expected:
//!
//! ```text
//! //! expect: CODE LINE:COLUMN piece of the message
//! ```
//!
//! one for each finding, warnings included, with nothing else allowed. A
//! fixture that starts with `Range(` is read through a plain sheet, one that
//! starts with `Sheet(` shows `tests/faults/base/range.ron`. `//! file: NAME`
//! says that the next expectation is in another file.
//!
//! Beside it, `NAME.told` holds every message with its place and its suggestion, word for word;
//! `UPDATE_GOLDEN=1 cargo test --test inputs faults` writes it anew.

use std::fs;
use std::path::{Path, PathBuf};

use crate::told;
use shadecard::diag::{Diagnostic, Sources};
use shadecard::diag_print::{json, line, render};
use shadecard::range::load;

#[derive(Debug)]
struct Expected {
    code: String,
    place: String,
    piece: String,
}

fn expectations(text: &str) -> Vec<Expected> {
    text.lines()
        .filter_map(|l| l.trim().strip_prefix("//! expect: "))
        .map(|l| {
            let mut words = l.splitn(3, ' ');
            let mut next = || words.next().unwrap_or("").to_owned();
            Expected { code: next(), place: next(), piece: next() }
        })
        .collect()
}

fn findings(sheet: &Path) -> (Vec<Diagnostic>, Sources) {
    let mut sources = Sources::default();
    let list = match load(sheet, &mut sources) {
        Ok(loaded) => loaded.warnings,
        Err(findings) => findings,
    };
    (list.sorted(), sources)
}

/// A folder with the base files and the fixture in its place.
fn set_up(fixture: &[u8], as_range: bool) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for name in ["range.ron", "sheet.ron", "disc.svg"] {
        fs::copy(Path::new("tests/faults/base").join(name), at.join(name)).unwrap();
    }
    fs::write(at.join(if as_range { "range.ron" } else { "sheet.ron" }), fixture).unwrap();
    let sheet = at.join("sheet.ron");
    (folder, sheet)
}

fn place(d: &Diagnostic, sources: &Sources) -> String {
    match d.span.as_ref().and_then(|s| sources.line_column(s)) {
        Some((l, c)) => format!("{l}:{c}"),
        None => "-".into(),
    }
}

#[test]
fn every_fixture_gives_its_findings_and_no_more() {
    let mut files: Vec<PathBuf> = fs::read_dir("tests/faults")
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        .collect();
    files.sort();
    assert!(files.len() >= 30, "only {} fixtures", files.len());
    let mut wrong = String::new();
    for file in &files {
        let text = fs::read_to_string(file).unwrap();
        let expected = expectations(&text);
        let body = text.lines().find(|l| !l.starts_with("//") && !l.is_empty()).unwrap_or("");
        let (_folder, sheet) = set_up(text.as_bytes(), body.starts_with("Range"));
        let (found, sources) = findings(&sheet);
        if expected.is_empty() {
            wrong += &format!("{}: expects nothing\n", file.display());
        }
        let mut left: Vec<&Diagnostic> = found.iter().collect();
        for e in &expected {
            let hit = left.iter().position(|d| {
                d.code == e.code && place(d, &sources) == e.place && d.message.contains(&e.piece)
            });
            match hit {
                Some(i) => {
                    left.remove(i);
                }
                None => wrong += &format!("{}: not found: {e:?}\n", file.display()),
            }
        }
        for d in left {
            wrong += &format!(
                "{}: not expected: {} {} {}\n",
                file.display(),
                d.code,
                place(d, &sources),
                line(d, &sources)
            );
        }
        for d in &found {
            tidy(d, &mut wrong);
        }
        let shown = render(&found, &sources, false);
        let place = format!("{}/", sheet.parent().expect("a folder").display());
        wrong += &told::kept(&file.with_extension("told"), &shown.replace(&place, ""));
        // Every form of printing takes every finding.
        assert!(json(&found, &sources).starts_with('['));
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// No finding speaks of the program's inside, and each says what to do.
fn tidy(d: &Diagnostic, wrong: &mut String) {
    let text = format!("{} {}", d.message, d.help.as_deref().unwrap_or(""));
    // The name of a temporary folder is letters by chance: any word may be in it.
    let folders = std::env::temp_dir().display().to_string();
    let words = text.split_whitespace().filter(|word| !word.contains(&folders));
    let text = words.collect::<Vec<_>>().join(" ");
    for word in told::jargon(&text) {
        *wrong += &format!("jargon '{word}' in: {text}\n");
    }
    if d.help.is_none() {
        *wrong += &format!("no way out in: {text}\n");
    }
}

#[test]
fn the_base_is_faultless() {
    let (found, sources) = findings(Path::new("tests/faults/base/sheet.ron"));
    assert!(found.is_empty(), "{}", render(&found, &sources, false));
}

#[test]
fn files_that_are_no_text() {
    let utf16: Vec<u8> = "Sheet(".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let utf16 = [vec![0xff, 0xfe], utf16].concat();
    for (bytes, code, piece) in [
        (b"".as_slice(), "empty-file", "is empty"),
        (b" \n\t\n", "empty-file", "is empty"),
        (b"Sheet(\n  range: \"\xe4\"\n)", "not-utf8", "line 2"),
        (utf16.as_slice(), "not-utf8", "UTF-16"),
        (b"\0\0\0\0", "not-text", "not a text file"),
    ] {
        let (_folder, sheet) = set_up(bytes, false);
        let (found, sources) = findings(&sheet);
        assert!(
            found.iter().any(|d| d.code == code && d.message.contains(piece)),
            "{code}: {}",
            render(&found, &sources, false)
        );
    }
    // A byte-order mark is no fault, and moves no column.
    let base = fs::read("tests/faults/base/sheet.ron").unwrap();
    let (_folder, sheet) = set_up(&[b"\xef\xbb\xbf".as_slice(), &base].concat(), false);
    assert!(findings(&sheet).0.is_empty());
}

#[test]
fn a_shape_that_is_no_drawing() {
    let base = fs::read_to_string("tests/faults/base/range.ron").unwrap();
    let (_folder, sheet) = set_up(
        base.replace("right, shape: \"disc.svg\"", "right, shape: \"sheet.ron\"").as_bytes(),
        true,
    );
    let (found, _) = findings(&sheet);
    assert!(found.len() == 1 && found[0].span.is_some(), "{found:?}");
}

#[test]
fn huge_deep_and_missing_files() {
    let (folder, sheet) = set_up(b"x", false);
    fs::File::create(&sheet).unwrap().set_len(65 << 20).unwrap();
    assert_eq!(findings(&sheet).0[0].code, "file-too-large");
    for open in ["(", "[", "{", "Sheet(range:[", "Lab("] {
        fs::write(&sheet, open.repeat(100_000)).unwrap();
        assert_eq!(findings(&sheet).0[0].code, "too-deep");
    }
    assert_eq!(findings(folder.path()).0[0].code, "not-a-file");
    fs::write(&sheet, "Sheet(range: \"range.ron\")").unwrap();
    let found = findings(&folder.path().join("sheets.ron")).0;
    assert_eq!(found[0].code, "no-such-file");
    assert!(found[0].help.as_ref().unwrap().contains("'sheet.ron'"));
}

/// Long lines and long lists take seconds, not hours.
#[test]
fn big_nonsense_is_over_soon() {
    let (_folder, sheet) = set_up(b"x", false);
    for text in [
        format!("Sheet(range: [{}])", "[],".repeat(1 << 20)),
        format!("Sheet(range: [{}])", "1 ".repeat(1 << 20)),
        format!("Sheet({})", "a: 1, ".repeat(1 << 18)),
        format!("Sheet(range: \"{}\")", "x".repeat(4 << 20)),
    ] {
        fs::write(&sheet, text).unwrap();
        let (found, sources) = findings(&sheet);
        assert!(!found.is_empty() && render(&found, &sources, false).len() < 200_000);
    }
}

/// Cut and bitten demo files: whatever comes, it is a finding and no crash.
#[test]
fn mutations_never_panic() {
    let text = fs::read_to_string("tests/faults/base/range.ron").unwrap();
    let bytes = text.as_bytes();
    let mut seed = 7u64;
    let mut next = |n: usize| {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) as usize % n
    };
    for _ in 0..400 {
        let mut b = bytes.to_vec();
        for _ in 0..1 + next(3) {
            let at = next(b.len());
            match next(4) {
                0 => {
                    b.truncate(at.max(1));
                }
                1 => {
                    b.remove(at);
                }
                2 => b.insert(at, b"()[]{}\":,.x9\\\n'/*#-"[next(19)]),
                _ => b[at] = next(256) as u8,
            }
        }
        let (_folder, sheet) = set_up(&b, true);
        let (found, sources) = findings(&sheet);
        let mut wrong = String::new();
        found.iter().for_each(|d| tidy(d, &mut wrong));
        assert!(wrong.is_empty(), "{wrong}\n{}", String::from_utf8_lossy(&b));
        render(&found, &sources, true);
    }
}
